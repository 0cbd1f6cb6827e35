//! `matside check`: sessions read, and everything that is wrong with them told.

use std::fmt::Write as _;
use std::path::PathBuf;

use super::args::Check;
use super::load::{self, Own};
use super::report::{self, Failure};
use super::{folders, print};
use crate::export::{Outline, counted};
use crate::session::Session;

pub(super) fn check(asked: &Check, own: Own) -> Result<(), Failure> {
    // Faults of the settings and of the moves come first: sessions are read by them.
    let folders = folders::folders(own)?;
    let library = load::library(own)?;
    let (files, mut failed) = if asked.sessions.is_empty() {
        (folders::files(&folders), None)
    } else {
        named(asked, own)
    };
    if files.is_empty() && failed.is_none() {
        report::note("there is no session in these folders; `matside new NAME` writes one");
    }
    let (mut page, mut faulty) = (String::new(), 0);
    for file in &files {
        match load::read(file, &library) {
            Ok(session) => {
                let _ = writeln!(page, "{}: {}", file.display(), told(&session));
            }
            Err(failure) => {
                faulty += 1;
                report::tell(&format!("{failure}\n\n"));
            }
        }
    }
    print::result(&report::safe(&page))?;
    if faulty > 0 {
        let files = counted(files.len(), "file");
        failed = Some(Failure::Checked(format!(
            "{faulty} of {files} cannot be taught"
        )));
    }
    failed.map_or(Ok(()), Err)
}

/// The files that were named. One that is not there is told, and the others are read all the same.
fn named(asked: &Check, own: Own) -> (Vec<PathBuf>, Option<Failure>) {
    let (mut files, mut failed) = (Vec::new(), None);
    for name in &asked.sessions {
        match folders::found(name, own) {
            Ok(path) => files.push(path),
            Err(failure) => {
                if let Some(before) = failed.replace(failure) {
                    report::note(&Failure::to_string(&before));
                }
            }
        }
    }
    (files, failed)
}

/// A class that can be taught: its length against its slot, and what cannot be said in it.
fn told(session: &Session) -> String {
    let outline = Outline::of(session);
    let mut told = format!("no faults, {}", outline.stands());
    match outline.unplaced() {
        0 => {}
        1 => told.push_str("; for 1 prompt there is no time"),
        many => {
            let _ = write!(told, "; for {many} prompts there is no time");
        }
    }
    told
}

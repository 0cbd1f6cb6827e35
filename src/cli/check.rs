//! `matside check`: sessions read, and everything that is wrong with them told.

use std::fmt::Write as _;
use std::path::PathBuf;

use super::args::Check;
use super::load::{self, Own};
use super::report::{self, Failure};
use super::{folders, print};
use crate::advice::{Review, Weight};
use crate::export::{Outline, counted};
use crate::session::{Library, Session};

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
        report::note(
            "there is no session in these folders; `matside new NAME -o sessions/name.ron` writes one",
        );
    }
    let (mut page, mut faulty) = (String::new(), 0);
    for file in &files {
        match load::read(file, &library) {
            Ok(session) => {
                let review = Review::of(&session, &library);
                let told = told(&session, &library, review.count(Weight::MustMend));
                let _ = writeln!(page, "{}: {told}", file.display());
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

/// A class that can be taught: its length against its slot, what cannot be said in it, and what it
/// leaves to be mended for the room.
fn told(session: &Session, library: &Library, to_mend: usize) -> String {
    let outline = Outline::of(session).with_remarks(library);
    let mut told = format!("no faults, {}", outline.stands());
    match outline.unplaced() {
        0 => {}
        1 => told.push_str("; for 1 prompt there is no time"),
        many => {
            let _ = write!(told, "; for {many} prompts there is no time");
        }
    }
    if to_mend > 0 {
        let _ = write!(told, "; {to_mend} to mend (`matside review`)");
    }
    for remark in outline.remarks() {
        let _ = write!(told, "\n  {remark}");
    }
    told
}

//! `matside sessions`: the sessions that are found, a line each.

use std::collections::BTreeMap;

use super::load::{self, Own};
use super::report::{self, Failure};
use super::{folders, print};
use crate::export::{Outline, counted};

pub(super) fn sessions(own: Own) -> Result<(), Failure> {
    let library = load::library(own)?;
    let folders = folders::folders(own)?;
    let files = folders::files(&folders);
    let taught = last_taught();
    let (mut rows, mut faulty) = (Vec::new(), 0);
    for file in &files {
        match load::read(file, &library) {
            Ok(session) => rows.push([
                session.title.clone(),
                Outline::of(&session).stands(),
                taught
                    .get(&session.title)
                    .cloned()
                    .unwrap_or_else(|| "not taught yet".into()),
                file.display().to_string(),
            ]),
            Err(failure) => {
                faulty += 1;
                report::note(failure.to_string().lines().next().unwrap_or_default());
            }
        }
    }
    rows.sort();
    if files.is_empty() {
        let names: Vec<String> = folders
            .iter()
            .map(|one| format!("`{}`", one.display()))
            .collect();
        report::note(&format!(
            "there is no session in {}; `matside new NAME -o {}/name.ron` writes one",
            names.join(", "),
            folders::HERE
        ));
    }
    print::result(&report::safe(&print::columns(&rows)))?;
    match faulty {
        0 => Ok(()),
        _ => Err(Failure::Checked(format!(
            "{faulty} of {} cannot be taught; `matside check` tells why",
            counted(files.len(), "session")
        ))),
    }
}

/// The day on which each title was taught last.
fn last_taught() -> BTreeMap<String, String> {
    let listing = load::shelf().ok().and_then(|shelf| shelf.listing().ok());
    let classes = listing.map(|listing| listing.classes).unwrap_or_default();
    let day = |class: crate::store::Shelved| {
        let day = class.summary.started.format("%Y-%m-%d").to_string();
        (class.summary.title, day)
    };
    classes.into_iter().map(day).collect()
}

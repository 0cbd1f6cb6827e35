//! `matside new`: a session file to start from: a commented one, another session under a title of its
//! own, or a class as it was taught.

use std::path::Path;

use super::args::New;
use super::load::{self, Own};
use super::report::Failure;
use super::{folders, keep, print};
use crate::session::{Library, Session, retitled};
use crate::store::StoreFault;

/// A session with comments; `"TITLE"` stands for its title.
const TEMPLATE: &str = include_str!("../../assets/new.ron");

pub(super) fn new(asked: &New, own: Own) -> Result<(), Failure> {
    // A name that cannot be a title is told before anything else.
    let plain = session(&asked.name)?;
    let text = match &asked.from {
        None => plain,
        Some(from) => other(from, asked.name.trim(), own)?,
    };
    print::written(&asked.to, &text)
}

/// Another session as it stands, or the class of a record as it was taught.
fn other(from: &Path, title: &str, own: Own) -> Result<String, Failure> {
    let told = match folders::found(from, own) {
        Ok(path) => return session_of(&path, title, own),
        Err(Failure::NotFound(told)) => told,
        Err(failure) => return Err(failure),
    };
    let shelf = load::shelf()?;
    match shelf.find(&from.to_string_lossy()) {
        Ok(name) => keep::session(&shelf.read(&name)?, Some(title), own),
        Err(StoreFault::NoRecord { .. }) => {
            let (told, ways) = told.split_once('\n').unwrap_or((&told, ""));
            let told = format!("{told}; no record has this name either\n{ways}");
            Err(Failure::NotFound(told.trim_end().to_owned()))
        }
        Err(fault) => Err(fault.into()),
    }
}

/// A session that can be taught, with comments and all, under another title.
fn session_of(path: &Path, title: &str, own: Own) -> Result<String, Failure> {
    load::read(path, &load::library(own)?)?;
    let text = load::text(path)?;
    retitled(&path.display().to_string(), &text, title).map_err(Failure::Faults)
}

/// The file to start from with a title of its own.
pub(super) fn session(title: &str) -> Result<String, Failure> {
    titled(TEMPLATE, title)
}

/// A file in which `"TITLE"` stands for the title, with this one. It is read once, so that nobody gets
/// a file with faults.
pub(super) fn titled(template: &str, title: &str) -> Result<String, Failure> {
    let quoted = ron::ser::to_string(title.trim()).map_err(anyhow::Error::new)?;
    let text = template.replacen("\"TITLE\"", &quoted, 1);
    match Session::read("a new session", &text, &Library::builtin()) {
        Ok(_) => Ok(text),
        Err(faults) => {
            let why = faults.iter().next().map(|fault| fault.message.clone());
            let why = why.unwrap_or_default().replace("`title`", "the name");
            Err(Failure::Usage(why))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{CuePlan, Timeline};

    #[test]
    fn the_file_is_a_whole_class_of_that_title_whatever_the_title() {
        for title in [
            "Tide Line",
            "\"Quoted\" \\ n",
            "Ebbe & Flut: ü ~ 潮",
            "TITLE",
            "// x */",
        ] {
            let text = session(title).expect(title);
            let read = Session::read("new", &text, &Library::builtin()).expect(title);
            assert_eq!(read.title, title);
        }
    }

    #[test]
    fn the_class_fits_its_slot_and_everything_can_be_said() {
        let text = session("Tide Line").expect("a title");
        let read = Session::read("new", &text, &Library::builtin()).expect("whole");
        let timeline = Timeline::of(&read);
        let spare = read.slot.expect("a slot").saturating_sub(timeline.total());
        assert!(
            !spare.is_zero() && spare.secs() < 600.0,
            "{}",
            timeline.total()
        );
        let cues = CuePlan::of(&timeline, &read.cueing, &read.limits);
        assert!(cues.unplaced.is_empty(), "{:?}", cues.unplaced);
    }

    #[test]
    fn what_cannot_be_a_title_is_refused() {
        let long = "x".repeat(201);
        for title in ["", "  ", "a\nb", "a\u{1b}[2J", &long] {
            let refused = session(title).expect_err("no title").to_string();
            assert!(refused.contains("the name"), "{refused}");
        }
    }
}

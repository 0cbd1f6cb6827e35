//! `matside new`: a commented session file to start from.

use super::args::New;
use super::print;
use super::report::Failure;
use crate::session::{Library, Session};

/// A session with comments; `"TITLE"` stands for its title.
const TEMPLATE: &str = include_str!("../../assets/new.ron");

pub(super) fn new(asked: &New) -> Result<(), Failure> {
    print::written(&asked.to, &session(&asked.name)?)
}

/// The file with a title of its own. It is read once, so that nobody gets a file with faults.
fn session(title: &str) -> Result<String, Failure> {
    let quoted = ron::ser::to_string(title.trim()).map_err(anyhow::Error::new)?;
    let text = TEMPLATE.replacen("\"TITLE\"", &quoted, 1);
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

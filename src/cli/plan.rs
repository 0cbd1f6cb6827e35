//! `matside plan`: a class made at a page, from a file that is there or from nothing.

use std::path::{Path, PathBuf};

use super::args::{Plan as Asked, Sound};
use super::load::{self, Own};
use super::report::Failure;
use super::{folders, new, teach};
use crate::app::{PlanAsked, Wanted};
use crate::store::{NotOpened, Places, PlanFile};

/// A class to begin with; `"TITLE"` stands for its title.
const BEGUN: &str = include_str!("../../assets/plan.ron");
/// What a class is called before anybody called it something.
const UNNAMED: &str = "New class";

pub(super) fn plan(asked: &Asked, own: Own) -> Result<(), Failure> {
    teach::needs_terminal()?;
    let library = load::library(own)?;
    let file = asked.file.as_deref().map(|file| place(file, own));
    let file = file.transpose()?;
    if let Some(path) = &file {
        // What is no plan is told before the terminal is taken.
        PlanFile::open(path).map_err(|why| match why {
            NotOpened::Source(why) => Failure::Source(why),
            NotOpened::NoText(faults) => Failure::Faults(faults),
        })?;
    }
    let begun = begun(file.as_deref())?;
    let places = Places::of(|name| std::env::var_os(name)).ok();
    let what = Wanted::Plan(PlanAsked {
        file,
        begun,
        aside: places.map(|places| places.unsaved()),
    });
    teach::run(&teach::with(what, library, &Sound::default(), own)?)
}

/// The file that is meant: one that is found, or one to be made where it was named. A bare name that
/// nothing has is a new class among those of the working folder.
fn place(asked: &Path, own: Own) -> Result<PathBuf, Failure> {
    if asked.is_dir() {
        let told = format!("`{}` is a folder; name a file in it", asked.display());
        return Err(Failure::Usage(told));
    }
    if let Ok(found) = folders::found(asked, own) {
        return Ok(found);
    }
    let folder = asked
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty());
    if let Some(gone) = folder.filter(|folder| !folder.is_dir()) {
        let told = format!("there is no folder `{}`", gone.display());
        return Err(Failure::NotFound(told));
    }
    let named = if asked.extension().is_some() {
        asked.to_owned()
    } else {
        asked.with_extension("ron")
    };
    let here = Path::new(folders::HERE);
    let is_bare = folder.is_none() && asked.extension().is_none();
    Ok(if is_bare && here.is_dir() {
        here.join(named)
    } else {
        named
    })
}

/// A class to begin with, called as its file is.
fn begun(file: Option<&Path>) -> Result<String, Failure> {
    let stem = file
        .and_then(Path::file_stem)
        .map(|stem| stem.to_string_lossy());
    let title = stem.map_or_else(|| UNNAMED.to_owned(), |stem| title(&stem));
    new::titled(BEGUN, &title).or_else(|_| new::titled(BEGUN, UNNAMED))
}

/// The name of a file as a title: `tide-line` is `Tide line`.
fn title(stem: &str) -> String {
    let words = stem.replace(['-', '_'], " ");
    let words = words.trim();
    let mut letters = words.chars();
    let first = letters.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(letters).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::{Library, Session};

    #[test]
    fn a_class_that_is_begun_can_be_read_whatever_its_file_is_called() {
        for (file, title) in [
            ("tide-line.ron", "Tide line"),
            ("a/b/low_tide.ron", "Low tide"),
            ("\"quoted\".ron", "\"quoted\""),
            ("ebbe & flut.ron", "Ebbe & flut"),
            (" .ron", UNNAMED),
        ] {
            let text = begun(Some(Path::new(file))).expect(file);
            let read = Session::read("begun", &text, &Library::builtin()).expect(file);
            assert_eq!(read.title, title);
        }
        let text = begun(None).expect("a text");
        let read = Session::read("begun", &text, &Library::builtin()).expect("whole");
        assert_eq!(read.title, UNNAMED);
    }
}

//! `matside records`: what was taught: listed, shown, noted, exported, looked back on, deleted.

use std::io::{BufRead, IsTerminal, Write};
use std::path::{Path, PathBuf};

use super::args::{By, Delete, Export, Note as AskedNote, Records, WhichRecords};
use super::outline::width;
use super::report::Failure;
use crate::app;
use crate::export::{self, ChapterBy, Named};
use crate::record::{Filter, History, Note, Rating, Summary, Taught, wall};
use crate::store::{Places, Shelf, Shelved, replace};

pub(super) fn records(asked: &Records) -> Result<(), Failure> {
    let places = Places::of(|name| std::env::var_os(name))?;
    let shelf = Shelf::at(places.records());
    match asked {
        Records::List(which) => list(&shelf, which),
        Records::Show { name } => show(&shelf, name.as_deref()),
        Records::Note(asked) => note(&shelf, asked),
        Records::Export(asked) => export(&shelf, asked),
        Records::History(which) => history(&shelf, which),
        Records::Delete(asked) => delete(&shelf, asked),
    }
}

/// The records that were asked for. Those that cannot be read are told, and the rest goes on.
fn chosen(shelf: &Shelf, which: &WhichRecords) -> Result<Vec<Shelved>, Failure> {
    let filter = Filter {
        from: which.since,
        to: which.until,
        title: which.title.clone(),
    };
    let listing = shelf.listing()?;
    for unreadable in &listing.unreadable {
        super::report::note(&unreadable.to_string());
    }
    let mut classes = listing.classes;
    classes.retain(|class| filter.takes(&class.summary));
    Ok(classes)
}

fn named(classes: &[Shelved]) -> Vec<Named<'_>> {
    classes
        .iter()
        .map(|class| (class.name.as_str(), &class.summary))
        .collect()
}

fn list(shelf: &Shelf, which: &WhichRecords) -> Result<(), Failure> {
    let classes = chosen(shelf, which)?;
    if classes.is_empty() {
        super::report::note("no class was recorded yet; `matside teach` records one");
    }
    super::result(&export::record_list(&named(&classes), width()))
}

/// The record with this name, or the last one.
fn found(shelf: &Shelf, name: Option<&str>) -> Result<String, Failure> {
    if let Some(name) = name {
        return Ok(shelf.find(name)?);
    }
    let last = shelf.listing()?.classes.pop();
    last.map(|class| class.name)
        .ok_or_else(|| Failure::NotFound("no class was recorded yet".into()))
}

fn show(shelf: &Shelf, name: Option<&str>) -> Result<(), Failure> {
    let name = found(shelf, name)?;
    let record = shelf.read(&name)?;
    if let Some(torn) = record.torn {
        super::report::note(&torn.to_string());
    }
    super::result(&export::record_page(&Summary::of(&record), width()))
}

/// A note is edited: what is not given stays as it was.
fn note(shelf: &Shelf, asked: &AskedNote) -> Result<(), Failure> {
    let name = found(shelf, asked.name.as_deref())?;
    let record = shelf.read(&name)?;
    let before = record.note().cloned().unwrap_or_default();
    let rating = match asked.rating {
        Some(rating) => {
            let rating = Rating::try_from(rating);
            Some(rating.map_err(|wrong| Failure::Usage(wrong.to_string()))?)
        }
        None => before.rating,
    };
    let note = Note {
        people: asked.people.or(before.people),
        words: asked.words.clone().unwrap_or(before.words),
        ..Note::default()
    };
    shelf.note(&name, app::wall(), note.rated(rating))?;
    show(shelf, Some(&name))
}

fn export(shelf: &Shelf, asked: &Export) -> Result<(), Failure> {
    let text = if asked.vtt || asked.captions {
        track(shelf, asked)?
    } else {
        let mut classes = chosen(shelf, &asked.which)?;
        if let Some(name) = &asked.name {
            let name = shelf.find(name)?;
            classes.retain(|class| class.name == name);
        }
        let classes = named(&classes);
        if asked.json {
            export::classes_json(&classes)
        } else if asked.moves {
            export::moves_csv(&classes)
        } else {
            export::classes_csv(&classes)
        }
    };
    handed_over(asked.output.as_deref(), &text)
}

fn track(shelf: &Shelf, asked: &Export) -> Result<String, Failure> {
    let name = found(shelf, asked.name.as_deref())?;
    let record = shelf.read(&name)?;
    let taught = Taught::of(&record.header, record.facts_on_the_wall());
    let began = taught.began.unwrap_or(record.header.started);
    let recording = match &asked.from {
        Some(text) => wall::moment(text, record.header.started)
            .map_err(|wrong| Failure::Usage(wrong.to_string()))?,
        None => began,
    };
    if asked.captions {
        let captions = export::captions(&record);
        return Ok(export::vtt_captions(&captions, recording));
    }
    let by = match asked.by {
        By::Block => ChapterBy::Block,
        By::Round => ChapterBy::Round,
        By::Move => ChapterBy::Move,
    };
    let chapters = export::chapters(&record.header, &taught, by);
    Ok(export::vtt_chapters(&chapters, recording))
}

/// Unlike a new session, an export takes the place of the one before it.
fn handed_over(output: Option<&Path>, text: &str) -> Result<(), Failure> {
    match output {
        Some(path) if path != Path::new("-") => {
            replace(path, text.as_bytes()).map_err(|error| Failure::Create {
                path: PathBuf::from(path),
                error,
            })
        }
        _ => super::result(text),
    }
}

fn history(shelf: &Shelf, which: &WhichRecords) -> Result<(), Failure> {
    let classes = chosen(shelf, which)?;
    let history = History::of(classes.iter().map(|class| &class.summary));
    let today = app::wall().date_naive();
    super::result(&export::history_page(&history, today, width()))
}

fn delete(shelf: &Shelf, asked: &Delete) -> Result<(), Failure> {
    let name = shelf.find(&asked.name)?;
    if !asked.yes && !sure(&name)? {
        return Err(Failure::Usage(format!("`{name}` was kept")));
    }
    Ok(shelf.delete(&name)?)
}

fn sure(name: &str) -> Result<bool, Failure> {
    if !std::io::stdin().is_terminal() {
        return Err(Failure::Usage(
            "deleting is final and is asked on a terminal; add --yes to do it without".into(),
        ));
    }
    let mut terminal = std::io::stderr().lock();
    let asked = write!(terminal, "Delete the record `{name}` for ever? Write yes: ")
        .and_then(|()| terminal.flush())
        .and_then(|()| {
            let mut answer = String::new();
            std::io::stdin().lock().read_line(&mut answer)?;
            Ok(answer)
        });
    let answer = asked.map_err(|error| Failure::System(error.into()))?;
    Ok(answer.trim() == "yes")
}

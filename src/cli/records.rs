//! `matside records`: what was taught: listed, shown, noted, exported, looked back on, deleted.

use std::fmt::Write as _;
use std::io::{BufRead, IsTerminal, Write as _};

use super::args::{By, Delete, Export, Note as AskedNote, Records, Show, WhichRecords};
use super::load;
use super::print::{self, width};
use super::report::{self, Failure};
use crate::app;
use crate::export::{self, ChapterBy, Named};
use crate::record::{Filter, History, Note, Rating, Recovered, Summary, Taught, wall};
use crate::store::{Listing, Shelf, Shelved, StoreFault};

pub(super) fn records(asked: &Records) -> Result<(), Failure> {
    let shelf = load::shelf()?;
    match asked {
        Records::List(which) => list(&shelf, which),
        Records::Show(asked) => show(&shelf, asked),
        Records::Note(asked) => note(&shelf, asked),
        Records::Export(asked) => export(&shelf, asked),
        Records::History(which) => history(&shelf, which),
        Records::Delete(asked) => delete(&shelf, asked),
    }
}

/// The records that were asked for, and what has to be told once they are handed over: those that
/// cannot be read. Copies are told at once, and so is that nothing fits.
struct Chosen {
    classes: Vec<Shelved>,
    unreadable: Vec<StoreFault>,
}

impl Chosen {
    fn of(shelf: &Shelf, which: &WhichRecords) -> Result<Self, Failure> {
        let Listing {
            mut classes,
            unreadable,
            copies,
        } = shelf.listing()?;
        for copy in &copies {
            report::note(&copy.to_string());
        }
        let all = classes.len();
        retain(&mut classes, which);
        if classes.is_empty() {
            match (all, unreadable.len()) {
                (0, 0) => report::note("no class was recorded yet; `matside teach` records one"),
                (0, _) => report::note("no record can be read"),
                (1, _) => report::note("the one class that was recorded is not asked for by this"),
                _ => report::note(&format!(
                    "none of the {all} classes that were recorded is asked for by this"
                )),
            }
        }
        let unreadable = unreadable.into_iter().map(|one| one.fault).collect();
        Ok(Self {
            classes,
            unreadable,
        })
    }

    fn named(&self) -> Vec<Named<'_>> {
        self.classes
            .iter()
            .map(|class| (class.name.as_str(), &class.summary))
            .collect()
    }

    /// The end of a command whose result was handed over: it fails where records are missing in it.
    fn told(mut self) -> Result<(), Failure> {
        let last = self.unreadable.pop();
        for fault in &self.unreadable {
            report::note(&fault.to_string());
        }
        last.map_or(Ok(()), |fault| Err(fault.into()))
    }
}

fn retain(classes: &mut Vec<Shelved>, which: &WhichRecords) {
    let filter = Filter {
        from: which.since,
        to: which.until,
        title: which.title.clone(),
    };
    classes.retain(|class| filter.takes(&class.summary));
}

fn list(shelf: &Shelf, which: &WhichRecords) -> Result<(), Failure> {
    let chosen = Chosen::of(shelf, which)?;
    print::result(&export::record_list(&chosen.named(), width()))?;
    chosen.told()
}

/// The record with this name, or the last one. A last one that cannot be read is not passed over.
fn found(shelf: &Shelf, name: Option<&str>, which: &WhichRecords) -> Result<String, Failure> {
    if let Some(name) = name {
        return Ok(shelf.find(name)?);
    }
    let mut listing = shelf.listing()?;
    let all = listing.classes.len();
    let lost = listing.unreadable_last().filter(|one| {
        let day = one.when.map(|when| when.date_naive());
        which
            .since
            .is_none_or(|since| day.is_none_or(|day| since <= day))
            && which
                .until
                .is_none_or(|until| day.is_none_or(|day| day <= until))
    });
    let lost = lost.map(|one| one.name.clone());
    retain(&mut listing.classes, which);
    let last = listing.classes.pop().map(|class| class.name);
    if let Some(lost) = lost {
        let mut ways = as_far(&lost);
        if let Some(last) = last {
            let _ = write!(ways, "; the last that can be read is `{last}`");
        }
        let mut unreadable = listing.unreadable.into_iter();
        return Err(match unreadable.find(|one| one.name == lost) {
            Some(one) => Failure::Damaged {
                fault: one.fault,
                ways,
            },
            None => Failure::NotFound(ways),
        });
    }
    last.ok_or_else(|| match all {
        0 => Failure::NotFound("no class was recorded yet; `matside teach` records one".into()),
        _ => Failure::NotFound("no class that was recorded is asked for by this".into()),
    })
}

fn latest(shelf: &Shelf, name: Option<&str>) -> Result<String, Failure> {
    found(shelf, name, &WhichRecords::default())
}

fn show(shelf: &Shelf, asked: &Show) -> Result<(), Failure> {
    if asked.as_far_as_possible {
        return show_as_far(shelf, asked.name.as_deref());
    }
    let name = latest(shelf, asked.name.as_deref())?;
    page(&read(shelf, &name)?)
}

/// A record, with the way to what can be read of it where it is damaged.
fn read(shelf: &Shelf, name: &str) -> Result<Recovered, Failure> {
    shelf.read(name).map_err(|fault| {
        if !matches!(fault, StoreFault::Record { .. }) || shelf.read_as_far(name).is_err() {
            return fault.into();
        }
        Failure::Damaged {
            fault,
            ways: as_far(name),
        }
    })
}

/// The way to what can be read of a damaged record.
fn as_far(name: &str) -> String {
    format!(
        "`matside records show {name} --as-far-as-possible` shows what stands before the damage"
    )
}

fn page(record: &Recovered) -> Result<(), Failure> {
    if let Some(torn) = record.torn {
        report::note(&torn.to_string());
    }
    print::result(&export::record_page(&Summary::of(record), width()))
}

/// Of a damaged record, what stands before the damage; the page itself says that it is a part.
fn show_as_far(shelf: &Shelf, name: Option<&str>) -> Result<(), Failure> {
    let name = if let Some(name) = name {
        shelf.find(name)?
    } else {
        let listing = shelf.listing()?;
        let lost = listing.unreadable_last().map(|one| one.name.clone());
        let last = || listing.classes.last().map(|class| class.name.clone());
        let none = || Failure::NotFound("no class was recorded yet".into());
        lost.or_else(last).ok_or_else(none)?
    };
    let (record, damage) = shelf.read_as_far(&name)?;
    let Some(damage) = damage else {
        return page(&record);
    };
    print::result(&format!(
        "A part of the class only: {damage}. What came after it is not known.\n\n{}",
        export::record_page(&Summary::of(&record), width())
    ))
}

/// A note is edited: what is not given stays as it was.
fn note(shelf: &Shelf, asked: &AskedNote) -> Result<(), Failure> {
    let name = latest(shelf, asked.name.as_deref())?;
    let before = read(shelf, &name)?.note().cloned().unwrap_or_default();
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
    page(&read(shelf, &name)?)
}

fn export(shelf: &Shelf, asked: &Export) -> Result<(), Failure> {
    if asked.vtt || asked.captions {
        return print::written(&asked.to, &track(shelf, asked)?);
    }
    let mut chosen = Chosen::of(shelf, &asked.which)?;
    if let Some(name) = &asked.name {
        let name = shelf.find(name)?;
        // The one that was asked for is read, or the reason told; the others are no concern.
        read(shelf, &name)?;
        chosen.classes.retain(|class| class.name == name);
        chosen.unreadable.clear();
    }
    let classes = chosen.named();
    let text = if asked.json {
        export::classes_json(&classes)
    } else if asked.moves {
        export::moves_csv(&classes)
    } else {
        export::classes_csv(&classes)
    };
    print::written(&asked.to, &text)?;
    chosen.told()
}

fn track(shelf: &Shelf, asked: &Export) -> Result<String, Failure> {
    let name = found(shelf, asked.name.as_deref(), &asked.which)?;
    let record = read(shelf, &name)?;
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
        None | Some(By::Block) => ChapterBy::Block,
        Some(By::Round) => ChapterBy::Round,
        Some(By::Move) => ChapterBy::Move,
    };
    let chapters = export::chapters(&record.header, &taught, by);
    Ok(export::vtt_chapters(&chapters, recording))
}

fn history(shelf: &Shelf, which: &WhichRecords) -> Result<(), Failure> {
    let chosen = Chosen::of(shelf, which)?;
    if !chosen.classes.is_empty() {
        let history = History::of(chosen.classes.iter().map(|class| &class.summary));
        let today = app::wall().date_naive();
        print::result(&export::history_page(&history, today, width()))?;
    }
    chosen.told()
}

fn delete(shelf: &Shelf, asked: &Delete) -> Result<(), Failure> {
    let name = shelf.find(&asked.name)?;
    if asked.yes && name != asked.name {
        return Err(Failure::Usage(format!(
            "with --yes nothing is asked, so the whole name must be given: {name}"
        )));
    }
    if !asked.yes && !sure(&name)? {
        return Err(Failure::Usage(format!("`{name}` was kept")));
    }
    Ok(shelf.delete(&name)?)
}

fn sure(name: &str) -> Result<bool, Failure> {
    if !std::io::stdin().is_terminal() {
        return Err(Failure::Usage(format!(
            "deleting is final and is asked on a terminal; `matside records delete {name} --yes` does it without"
        )));
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

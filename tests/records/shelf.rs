//! Records as files: who may write them, what comes back, what the list knows.

use std::fs;
use std::time::Duration;

use matside::live::{Act, Ending, Fact, What};
use matside::record::{Header, Note, Pulse, Rating, Wall};
use matside::store::{NotRecording, Recorder, Shelf, StoreFault};
use matside::time::{Moment, Offset};
use tempfile::TempDir;

use crate::sample::{as_planned, eventful, header, note, short_class, start};

const LONG: Duration = Duration::from_secs(60);

fn shelf() -> (TempDir, Shelf) {
    let folder = tempfile::tempdir().unwrap();
    let shelf = Shelf::at(folder.path().join("data/records"));
    (folder, shelf)
}

fn record(shelf: &Shelf, header: &Header, facts: &[(Wall, Fact)]) -> String {
    let begun = shelf.begin(header).unwrap();
    tell(&begun.recorder, facts);
    begun.recorder.finish(LONG).unwrap();
    begun.name
}

fn tell(recorder: &Recorder, facts: &[(Wall, Fact)]) {
    for (wall, fact) in facts {
        recorder.entry(*wall, fact.clone());
    }
}

fn pulse(secs: u64) -> Pulse {
    Pulse {
        offset: Offset::from_millis(secs * 1000),
        at: Moment::from_millis(5_000 + secs * 1000),
        wall: start(),
    }
}

#[test]
#[cfg(unix)]
fn files_are_the_users_own() {
    use std::os::unix::fs::PermissionsExt;
    let (folder, shelf) = shelf();
    let begun = shelf.begin(&header(short_class(), start())).unwrap();
    begun.recorder.beat(pulse(1));
    begun.recorder.finish(LONG).unwrap();
    shelf.listing().unwrap();
    let mode = |path: &std::path::Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode(shelf.folder()), 0o700);
    assert_eq!(mode(&folder.path().join("data")), 0o700);
    let files: Vec<_> = fs::read_dir(shelf.folder()).unwrap().collect();
    assert_eq!(files.len(), 3, "record, pulse and index");
    for file in files {
        assert_eq!(mode(&file.unwrap().path()), 0o600);
    }
}

/// A folder that somebody else made, with whatever mode, is closed before a record lies in it.
#[test]
#[cfg(unix)]
fn a_folder_that_was_open_is_closed() {
    use std::os::unix::fs::PermissionsExt;
    for open in [0o755, 0o775, 0o777, 0o750, 0o700] {
        let (_folder, shelf) = shelf();
        fs::create_dir_all(shelf.folder()).unwrap();
        fs::set_permissions(shelf.folder(), fs::Permissions::from_mode(open)).unwrap();
        record(&shelf, &header(short_class(), start()), &[]);
        let mode = fs::metadata(shelf.folder()).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o700, "{open:o}");
    }
}

#[test]
fn a_name_that_is_taken_gets_a_number() {
    let (_folder, shelf) = shelf();
    let header = header(short_class(), start());
    let names = [0, 1, 2].map(|_| record(&shelf, &header, &[]));
    let first = "2026-03-02-1830-tide-shore";
    assert_eq!(names, [first, &format!("{first}-2"), &format!("{first}-3")]);
    assert_eq!(shelf.find(first).unwrap(), first);
    assert_eq!(shelf.find("shore-3").unwrap(), names[2]);
    assert!(matches!(
        shelf.find("2026"),
        Err(StoreFault::Several { count: 3, .. })
    ));
    assert!(matches!(shelf.find("x"), Err(StoreFault::NoRecord { .. })));
}

#[test]
fn no_two_programs_write_one_record() {
    let (_folder, shelf) = shelf();
    let begun = shelf.begin(&header(short_class(), start())).unwrap();
    let in_use = |fault: StoreFault| matches!(fault, StoreFault::InUse { .. });
    assert!(in_use(shelf.take_up(&begun.name).unwrap_err()));
    assert!(in_use(
        shelf.note(&begun.name, start(), note()).unwrap_err()
    ));
    assert!(in_use(shelf.delete(&begun.name).unwrap_err()));
    assert_eq!(shelf.unfinished().unwrap(), [], "it is being taught");
    begun.recorder.finish(LONG).unwrap();
    assert_eq!(shelf.unfinished().unwrap().len(), 1);
    shelf.take_up(&begun.name).unwrap();
}

#[test]
fn a_class_is_taken_up_where_it_was_left() {
    let (_folder, shelf) = shelf();
    let facts = eventful(start());
    let (before, after) = facts.split_at(9);
    let begun = shelf.begin(&header(short_class(), start())).unwrap();
    tell(&begun.recorder, before);
    begun.recorder.beat(pulse(500));
    begun.recorder.finish(LONG).unwrap();
    let path = shelf.path(&begun.name);
    let whole = fs::read(&path).unwrap();
    fs::write(
        &path,
        [&whole, b"{\"n\":10,\"wall\":\"2026-0".as_slice()].concat(),
    )
    .unwrap();

    let waiting = shelf.unfinished().unwrap();
    assert_eq!((waiting.len(), waiting[0].pulse), (1, Some(pulse(500))));
    let taken = shelf.take_up(&begun.name).unwrap();
    assert!(taken.record.torn.is_some());
    assert_eq!(taken.pulse, Some(pulse(500)));
    let told = |facts: &[(Wall, Fact)]| -> Vec<Fact> {
        facts.iter().map(|(_, fact)| fact.clone()).collect()
    };
    assert_eq!(
        taken.record.facts().cloned().collect::<Vec<_>>(),
        told(before)
    );
    tell(&taken.recorder, after);
    taken.recorder.beat(pulse(501));
    taken.recorder.finish(LONG).unwrap();

    let back = shelf.read(&begun.name).unwrap();
    assert_eq!(back.facts().cloned().collect::<Vec<_>>(), told(&facts));
    assert_eq!(back.torn, None);
    assert!(
        !path.with_extension("pulse").exists(),
        "removed after the end"
    );
    assert!(matches!(
        shelf.take_up(&begun.name),
        Err(StoreFault::Ended { .. })
    ));
}

#[test]
fn a_pulse_before_the_last_fact_is_passed_over() {
    let (_folder, shelf) = shelf();
    let begun = shelf.begin(&header(short_class(), start())).unwrap();
    begun.recorder.beat(pulse(1));
    tell(&begun.recorder, &eventful(start())[..9]);
    begun.recorder.finish(LONG).unwrap();
    assert_eq!(shelf.take_up(&begun.name).unwrap().pulse, None);
}

#[test]
fn damage_is_told_and_the_file_left_as_it_is() {
    let (_folder, shelf) = shelf();
    let name = record(&shelf, &header(short_class(), start()), &eventful(start()));
    let mut bytes = fs::read(shelf.path(&name)).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    fs::write(shelf.path(&name), &bytes).unwrap();
    for fault in [
        shelf.read(&name).unwrap_err(),
        shelf.take_up(&name).unwrap_err(),
        shelf.note(&name, start(), note()).unwrap_err(),
        shelf.listing().unwrap().unreadable.swap_remove(0).fault,
    ] {
        let said = fault.to_string();
        assert!(said.contains(&name) && said.contains("line"), "{said}");
    }
    assert_eq!(fs::read(shelf.path(&name)).unwrap(), bytes);
}

#[test]
fn a_folder_that_cannot_be_made_is_told_with_its_place() {
    let folder = tempfile::tempdir().unwrap();
    let taken = folder.path().join("file");
    fs::write(&taken, "").unwrap();
    let fault = Shelf::at(taken.join("records"))
        .begin(&header(short_class(), start()))
        .unwrap_err();
    let said = fault.to_string();
    assert!(said.contains("file/records` cannot be made"), "{said}");
    let recorder = Recorder::none(NotRecording::since(said));
    assert!(recorder.state().is_err());
}

#[test]
#[cfg(unix)]
fn a_folder_removed_in_class_is_noticed() {
    let (_folder, shelf) = shelf();
    let begun = shelf.begin(&header(short_class(), start())).unwrap();
    fs::remove_dir_all(shelf.folder()).unwrap();
    begun.recorder.beat(pulse(1));
    let why = begun.recorder.finish(LONG).unwrap_err().to_string();
    assert!(why.contains("removed"), "{why}");
}

#[test]
fn an_empty_or_missing_shelf_is_no_fault() {
    let (_folder, shelf) = shelf();
    let listing = shelf.listing().unwrap();
    assert!(listing.classes.is_empty() && listing.unreadable.is_empty());
    assert!(shelf.unfinished().unwrap().is_empty());
}

#[test]
fn the_list_never_trusts_its_index_over_the_records() {
    let (_folder, shelf) = shelf();
    let name = record(&shelf, &header(short_class(), start()), &eventful(start()));
    let fresh = shelf.listing().unwrap().classes;
    let index = shelf.folder().join("index.cache");
    let whole = fs::read(&index).unwrap();
    assert_eq!(shelf.listing().unwrap().classes, fresh, "from the index");

    let mut flipped = whole.clone();
    let at = flipped.len() / 2;
    flipped[at] ^= 1;
    for bad in [
        &flipped[..],
        &whole[..whole.len() - 5],
        b"",
        b"index 0 0.0.0 0\n[]",
    ] {
        fs::write(&index, bad).unwrap();
        assert_eq!(shelf.listing().unwrap().classes, fresh);
        assert_eq!(fs::read(&index).unwrap(), whole, "made anew");
    }

    shelf.note(&name, start(), note()).unwrap();
    assert_eq!(
        shelf.listing().unwrap().classes[0].summary.note,
        Some(note())
    );
    let other = Note::default().rated(Rating::try_from(3).ok());
    shelf.note(&name, start(), other.clone()).unwrap();
    assert_eq!(
        shelf.listing().unwrap().classes[0].summary.note,
        Some(other)
    );

    shelf.delete(&name).unwrap();
    assert!(shelf.listing().unwrap().classes.is_empty());
    assert!(matches!(
        shelf.find(&name),
        Err(StoreFault::NoRecord { .. })
    ));
}

#[test]
fn a_class_can_be_closed_later() {
    let (_folder, shelf) = shelf();
    let facts = as_planned(&short_class(), start());
    let name = record(&shelf, &header(short_class(), start()), &facts[..5]);
    let taken = shelf.take_up(&name).unwrap();
    let (wall, last) = facts[4].clone();
    let end = Fact {
        what: What::Ended(Ending::Broken),
        ..last
    };
    taken.recorder.entry(wall, end);
    taken.recorder.finish(LONG).unwrap();
    let class = shelf.listing().unwrap().classes.swap_remove(0).summary;
    assert_eq!(class.ending, Some(Ending::Broken));
    assert!(matches!(facts[0].1.what, What::Did(Act::Begin)));
}

/// What happens before a record is there waits for it, and is in it in order.
#[test]
fn a_record_begun_in_the_background_keeps_what_happened_meanwhile() {
    let (_folder, shelf) = shelf();
    let facts = eventful(start());
    let recorder = shelf.begin_in_background(header(short_class(), start()));
    tell(&recorder, &facts);
    let name = recorder.told_name();
    recorder.finish(LONG).unwrap();
    let back = shelf.read(&name().unwrap()).unwrap();
    let told: Vec<_> = back.facts().cloned().collect();
    let expected: Vec<_> = facts.into_iter().map(|(_, fact)| fact).collect();
    assert_eq!(told, expected);
}

/// A folder that cannot be made: the class runs on, is told why, and has no record.
#[test]
fn a_record_that_cannot_be_begun_in_the_background_says_why() {
    let (folder, shelf) = shelf();
    fs::write(folder.path().join("data"), b"a file").unwrap();
    let recorder = shelf.begin_in_background(header(short_class(), start()));
    tell(&recorder, &eventful(start()));
    let (name, begun) = (recorder.told_name(), recorder.is_begun());
    let why = recorder.finish(LONG).unwrap_err().to_string();
    assert!(why.contains("data"), "{why}");
    assert_eq!((name(), begun), (None, false));
}

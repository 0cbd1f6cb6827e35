//! Kept records of each version of the format: what was once written stays readable, and tells
//! the same.
//!
//! They were written by the version they are named after and are never written again. With
//! `MATSIDE_WRITE_FIXTURE` set to a file's name this test writes one that is missing.

use std::fs;
use std::path::PathBuf;

use matside::record::{Body, Entry, Summary, Version, read};

use crate::sample::{bytes, entries, eventful, header, hour_class, note, short_class, start};

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/records")
}

fn eventful_with_note() -> Vec<Entry> {
    let mut told = entries(eventful(start()));
    told.push(Entry {
        n: told.len() as u64 + 1,
        wall: start(),
        body: Body::Note(note()),
    });
    told
}

#[test]
fn version_1_0_is_read_as_it_was_written() {
    let eventful = (header(short_class(), start()), eventful_with_note());
    let hour = hour_class("Long Shore", 0);
    let planned = entries(crate::sample::as_planned(&hour, start()));
    let hour = (header(hour, start()), planned);
    for (name, (header, told)) in [("v1-0-eventful", eventful), ("v1-0-hour", hour)] {
        let path = folder().join(format!("{name}.jsonl"));
        if std::env::var("MATSIDE_WRITE_FIXTURE").as_deref() == Ok(name) && !path.exists() {
            fs::write(&path, bytes(&header, &told)).unwrap();
        }
        let back = read(&fs::read(&path).unwrap()).unwrap();
        assert_eq!(back.header.version, Version { major: 1, minor: 0 });
        assert_eq!(
            (back.header.session, back.entries, back.torn),
            (header.session, told, None)
        );
    }
}

#[test]
fn a_torn_record_of_version_1_0_is_read_up_to_the_tear() {
    let back = read(&fs::read(folder().join("v1-0-torn.jsonl")).unwrap()).unwrap();
    assert_eq!(back.torn.map(|torn| torn.line), Some(12));
    assert_eq!(back.entries, eventful_with_note()[..10]);
    assert_eq!(Summary::of(&back).ending, None);
}

//! A disk that fills up in class. Needs one of 64 KiB; `tests/small-disk.sh` makes it.

use std::time::Duration;

use matside::store::{Shelf, StoreFault};

use crate::sample::{as_planned, header, hour_class, note, start};

#[test]
#[ignore = "needs a disk of 64 KiB: run tests/small-disk.sh"]
fn a_disk_that_fills_up_in_class_leaves_what_was_written_whole() {
    let folder = std::env::var_os("MATSIDE_SMALL_DISK").unwrap();
    let shelf = Shelf::at(folder);
    let session = hour_class("Long Shore", 0);
    let facts = as_planned(&session, start());
    let begun = shelf.begin(&header(session, start())).unwrap();
    let many: Vec<_> = facts.iter().cycle().take(3 * facts.len()).collect();
    for (wall, fact) in &many {
        while begun.recorder.waiting() > 100 {
            std::thread::yield_now();
        }
        begun.recorder.entry(*wall, fact.clone());
    }
    let why = begun.recorder.finish(Duration::from_secs(60)).unwrap_err();
    assert!(why.to_string().contains("the disk is full"), "{why}");

    let back = shelf.read(&begun.name).unwrap();
    let told: Vec<_> = back.facts().collect();
    assert!(told.len() > 50 && told.len() < many.len());
    assert!(
        told.iter()
            .zip(&many)
            .all(|(told, (_, fact))| *told == fact)
    );
    assert_eq!(
        shelf.listing().unwrap().classes.len(),
        1,
        "without an index"
    );
    let refused = shelf.note(&begun.name, start(), note());
    assert!(matches!(refused, Ok(()) | Err(StoreFault::Disk { .. })));
    let another = shelf.begin(&header(hour_class("Long Shore", 0), start()));
    let said = another.unwrap_err().to_string();
    assert!(said.contains("the disk is full"), "{said}");
    assert_eq!(
        shelf.listing().unwrap().unreadable.len(),
        0,
        "nothing half begun is left"
    );
    shelf.delete(&begun.name).unwrap();
    assert!(shelf.listing().unwrap().classes.is_empty());
}

//! A session file with what was advised written into it, and everything else as it was.

use crate::advice::{Arranged, Fit};
use crate::session::edit::{Edits, Step};

/// The file with the new times in the places of the old ones; nothing where they do not fill the
/// slot, or the file has no place for one of them.
#[must_use]
pub fn fitted_text(name: &str, text: &str, fit: &Fit) -> Option<String> {
    if !fit.is_exact() {
        return None;
    }
    let mut edits = Edits::of(name, text).ok()?;
    let set = fit.changes.iter().all(|change| {
        let at = &change.after;
        if at.is_list {
            edits.set_times(&at.path, &at.spans)
        } else {
            edits.set_time(&at.path, at.spans[0])
        }
    });
    set.then(|| edits.finish())?
}

/// The file with the moves of its blocks in another order; nothing where it has no place for one of
/// them.
#[must_use]
pub fn arranged_text(name: &str, text: &str, blocks: &[Arranged]) -> Option<String> {
    let mut edits = Edits::of(name, text).ok()?;
    let changed = blocks.iter().filter(|block| block.is_changed());
    let set = changed.fold(true, |set, block| {
        let path = [
            Step::Field("parts"),
            Step::Item(block.part),
            Step::Field("moves"),
        ];
        edits.reorder(&path, &block.order) && set
    });
    set.then(|| edits.finish())?
}

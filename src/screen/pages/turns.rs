//! Pages of several screenfuls, turned by a key.

use crate::screen::around::Hint;

/// What the key does that turns the page.
const MORE: &str = "more";

/// The keys of a page of so many screenfuls: which of them is shown is said beside the key that
/// turns it; where all is seen that key is left out.
pub(super) fn turning(hints: &[Hint], page: usize, count: usize) -> Vec<Hint> {
    let hints = hints.iter().filter(|hint| count > 1 || hint.action != MORE);
    let hints = hints.map(|hint| {
        let mut hint = hint.clone();
        if hint.action == MORE {
            hint.action = format!("{MORE}, {} of {count}", page % count + 1);
        }
        hint
    });
    hints.collect()
}

/// The keys of a page without the one that turns it: whoever shows these sees all of the page.
pub(super) fn unturned(hints: &[Hint]) -> Vec<Hint> {
    turning(hints, 0, 1)
}

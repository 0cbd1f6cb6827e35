//! In which steps an interval may be shortened.
//!
//! How short it may become in each is the business of the floors.

use crate::plan::{Interval, Kind, Shape};

/// How many steps there are in which intervals are shortened.
pub(super) const STEPS: usize = 11;

/// How many of them come before rounds go.
pub(super) const BEFORE_ROUNDS: usize = STEPS - 1;

/// The step in which an interval is shortened, and the one in which it is shortened once more.
/// What lasts up to a mark comes before all others.
pub(super) fn steps_of(interval: &Interval) -> (Option<usize>, Option<usize>) {
    let (once, again) = match interval.kind {
        Kind::Recovery => (1, Some(7)),
        Kind::Rest => (2, Some(8)),
        Kind::Talk | Kind::Ready => (3, None),
        Kind::Work if is_window(interval) => (4, Some(9)),
        Kind::Work | Kind::Free => (4, None),
        Kind::WarmUp => (5, None),
        Kind::CoolDown => (6, Some(BEFORE_ROUNDS)),
    };
    let once = if interval.mark.is_some() { 0 } else { once };
    (Some(once), again)
}

/// Whether it is one window in which moves are repeated freely.
pub(super) fn is_window(interval: &Interval) -> bool {
    let place = interval.place.as_ref();
    place.is_some_and(|place| place.shape == Shape::Window)
}

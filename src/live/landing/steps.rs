//! In which steps an interval may be shortened.
//!
//! How short it may become in each is the business of the floors.

use crate::plan::{Interval, Kind};

/// How many steps there are in which intervals are shortened.
pub(super) const STEPS: usize = 10;

/// How many of them come before rounds go.
pub(super) const BEFORE_ROUNDS: usize = STEPS - 1;

/// The step in which an interval is shortened, and the one in which it is shortened once more.
pub(super) fn steps_of(interval: &Interval) -> (Option<usize>, Option<usize>) {
    match interval.kind {
        Kind::Recovery => (Some(0), Some(6)),
        Kind::Rest => (Some(1), Some(7)),
        Kind::Talk | Kind::Ready => (Some(2), None),
        Kind::Work if interval.is_window() => (Some(3), Some(8)),
        Kind::Work => (Some(3), None),
        Kind::WarmUp => (Some(4), None),
        Kind::CoolDown => (Some(5), Some(BEFORE_ROUNDS)),
    }
}

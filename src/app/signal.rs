//! What reaches the loop from outside.

use super::strokes::Heard;
use crate::time::Moment;

/// Something from outside.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Signal {
    /// Something was heard of the terminal, and when.
    Heard(Heard, Moment),
    /// The window has another size, or has the focus again: draw everything.
    Redraw,
    /// Something that a thread of ours was sent for is there.
    Back,
    /// The system asks the program to stop for a while (Ctrl-Z from elsewhere).
    Stop,
    /// The program goes on after a stop.
    Continue,
    /// The system asks the program to end, or the terminal has gone.
    Leave,
}

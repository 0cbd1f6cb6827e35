//! Which versions of a move may be offered to whom: one answer for the voice, the screen and the
//! keys.
//!
//! A room has limits: what somebody in it must spare. A version is clean for a room if it loads
//! none of them, and it is offered only if it brings none of them. Nobody is told whose limit is
//! whose, so that the version for a limit must be clean for the whole room, as if one person had
//! them all. It is a reminder for the instructor, no medical advice. How any of it is said, and
//! when, is not known here.

mod choice;
mod elsewhere;
mod in_force;
mod room;
mod rungs;
mod version;

pub use choice::{Choice, Harder, choose, sparing};
pub use elsewhere::elsewhere;
pub use room::{Room, is_at_hand};
pub use version::Version;

#[cfg(test)]
mod tests;

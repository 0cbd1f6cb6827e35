//! The class as it is written: moves, parts, patterns, and everything that can be wrong with a file.
//!
//! This room refuses to know clocks, folders and the terminal. It is given text and gives back a
//! [`Session`] that is whole, or the list of all faults in it; never half of a class.

mod brackets;
mod branch;
pub mod edit;
mod energy;
mod fault;
mod laid;
mod library;
pub mod manuscript;
mod mask;
mod model;
mod moves;
mod names;
mod path;
mod read;
mod readable;
mod search;
mod slips;
mod slots;
mod source;
mod syntax;
mod terms;
mod together;
mod tree;
mod trivia;
mod unseen;
mod versions;
mod write;

pub use energy::{Edition, edition, met};
pub use fault::{Fault, Faults};
pub use laid::{Go, Laid};
pub use library::Library;
pub use model::{Block, Cueing, Order, Part, Pattern, Session, Step};
pub use moves::{CommonFault, Move, MoveOption, Pick, StandIn, Use, counted, counted_aloud};
pub use read::OutOfBounds;
pub use search::{Closeness, search};
pub use slots::{Pause, Slot};
pub use source::LARGEST;
pub use terms::{Action, Impact, Load, Muscle, Position, Region, Side, Sides};
pub use together::{Doing, Together};
pub use versions::{Choice, Harder, Room, Version, choose, elsewhere, is_at_hand, sparing};
pub use write::{Ron, Written, own_moves, retitled};

pub(crate) use read::{Fields, Reader, Word, nearest};
pub(crate) use source::{clipped, is_blank};
pub(crate) use tree::{Node, Shape};

/// Reads a file of another kind, such as the configuration, by the rules of session files and with
/// faults of the same quality. `what` says how such a file is written, for whoever left it empty.
///
/// # Errors
/// All faults of the file at once, bytes that are no text among them.
pub(crate) fn read_other<T>(
    name: &str,
    bytes: &[u8],
    what: &str,
    read: impl for<'s> FnOnce(&mut Reader<'s>, &Node<'s>) -> Option<T>,
) -> Result<T, Faults> {
    read::other(&source::Source::of_bytes(name, bytes)?, what, read)
}

impl Session {
    /// Reads a session file; `name` is its name in faults.
    ///
    /// # Errors
    /// All faults of the text at once.
    pub fn read(name: &str, text: &str, library: &Library) -> Result<Self, Faults> {
        read::session(&source::Source::of(name, text)?, library)
    }

    /// Reads a session file as it lies on the disk.
    ///
    /// # Errors
    /// All faults of the file at once, bytes that are no text among them.
    pub fn read_bytes(name: &str, bytes: &[u8], library: &Library) -> Result<Self, Faults> {
        read::session(&source::Source::of_bytes(name, bytes)?, library)
    }
}

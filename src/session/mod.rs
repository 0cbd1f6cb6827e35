//! The class as it is written: moves, parts, patterns, and everything that can be wrong with a file.
//!
//! This room refuses to know clocks, folders and the terminal. It is given text and gives back a
//! [`Session`] that is whole, or the list of all faults in it; never half of a class.

mod brackets;
mod energy;
mod fault;
mod library;
mod model;
mod moves;
mod read;
mod source;
mod syntax;
mod tree;

pub use energy::met;
pub use fault::{Fault, Faults};
pub use library::Library;
pub use model::{Block, Cueing, Order, Part, Pattern, Session, Step};
pub use moves::{Impact, Load, Move, MoveOption, Muscle, Pick, Position, Region, Sides, Use};
pub use source::LARGEST;

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

//! The class as it is written: moves, parts, patterns, and everything that can be wrong with a file.
//!
//! This room refuses to know clocks, folders and the terminal. It is given text and gives back a
//! [`Session`] that is whole, or the list of all faults in it; never half of a class.

mod energy;
mod model;
mod moves;

pub use energy::met;
pub use model::{Block, Cueing, Order, Part, Pattern, Session, Step};
pub use moves::{Impact, Load, Move, MoveOption, Muscle, Pick, Position, Region, Sides, Use};

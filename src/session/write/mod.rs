//! Session files written: values as text, the moves that a file brings along, another title.

mod moves;
mod ron;
mod title;

pub use self::ron::{Ron, Written};
pub use moves::own_moves;
pub use title::retitled;

//! What is kept of a class: facts as bytes and back, and what can be told from them.
//!
//! This room refuses to know files. A record is bytes: a first line that says what was planned, and
//! a line for each thing that happened. Summaries, history and chapters are folds over these.

mod entry;
mod fold;
mod header;
mod history;
mod line;
mod note;
mod plan;
mod pulse;
mod reader;
mod sides;
mod summary;
mod taught;
pub mod wall;

pub use entry::{Body, Entry};
pub use header::{Header, NoVersion, SlotKind, Version};
pub use history::{Differences, Filter, History, MoveUse, WEEKLY_AMOUNTS, Week, WeeklyAmounts};
pub use note::{Note, OffScale, RATING_SCALE, Rating};
pub use pulse::{PULSE_SLOT, Pulse};
pub use reader::{Fault, Recovered, Torn, read, read_as_far};

pub use sides::SidesDone;
pub use summary::{Amounts, MoveDone, OptionUsed, Summary, session_load};
pub use taught::{Changes, HoldTaken, MarkSet, Piece, Taught, moves_in, moves_of};
pub use wall::Wall;

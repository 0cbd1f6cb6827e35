//! What a colleague would say about a plan the evening before: values in, remarks and figures out.
//!
//! It reads the class as it was planned. What was really taught, who is in the room beyond the
//! limits that were set, clocks and files are not known here.

mod arrange;
mod draft;
mod effort;
mod fit;
mod likeness;
mod names;
mod remark;
mod review;

pub use arrange::{Arranged, EXACT, Kept, KeptFor, Pins, Remedy, Trouble, arrange, kept};
pub use draft::{
    Alternative, BlockWish, CannotDraft, Draft, DraftedBlock, Exertion, Ground, Kit, LastTaught,
    Level, Score, WAYS, Wishes, alternatives, draft, draft_block, three,
};
pub use effort::{
    Effort, Energy, Intensity, MODERATE, MoveEffort, PAUSE, Stretch, UNKNOWN, VIGOROUS,
};
pub use fit::{Fit, Retimed};
pub use remark::{Remark, Weight, Where};
pub use review::Review;

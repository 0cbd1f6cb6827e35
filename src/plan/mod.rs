//! The class laid out in time: intervals, signals and prompts, derived from a session.
//!
//! Everything here is a pure value. This room refuses to know clocks, folders, the terminal and
//! the loudspeaker: what it says is the same for the printed outline and for the running class.

mod body;
mod brief;
mod calls;
mod choose;
mod course;
mod cues;
mod desk;
mod expand;
mod faults;
mod home;
mod leg;
mod offers;
mod phrases;
mod room;
mod signals;
mod speech;
mod timeline;
mod turn;
mod wants;

pub use body::{Body, least, need, to_fetch, uses_mat};
pub use cues::{CuePlan, Prompt, PromptKind, Unplaced};
pub use signals::{Signal, SignalKind, is_counted_out, signals};
pub use speech::time_to_say;
pub use timeline::{Interval, Kind, Place, Timeline};

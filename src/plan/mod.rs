//! The class laid out in time: intervals, signals and prompts, derived from a session.
//!
//! Everything here is a pure value: what it says is the same for the printed outline and for the
//! running class. Clocks, folders, the terminal and the loudspeaker are not known here.

mod before_class;
mod cues;
mod expand;
mod floors;
mod head_count;
mod interval;
mod nth;
mod rotation;
mod score;
mod signals;
mod speech;
mod timeline;
mod transition;

pub use before_class::before_class;
pub use cues::{
    CuePlan, Heard, Known, LONG_TO_EXPLAIN, Past, Prompt, PromptKind, Unplaced, explaining, guard,
};
pub use floors::{Floors, floors_at_the_end, is_fixed, own_floors};
pub use head_count::{head_count, pause_before};
pub use interval::{Interval, Kind, Place, Shape};
pub use nth::Nth;
pub use rotation::Rotation;
pub use score::{Recurring, Score, Strike};
pub use signals::{Signal, SignalKind, is_counted_out, signals};
pub use speech::time_to_say;
pub use timeline::{Placed, Timeline};
pub use transition::{PositionChange, Transition, by_station, least, leaves_mat, need};

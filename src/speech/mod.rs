//! Words as sound: prompts made by a speaker program of the system, ahead of their time.
//!
//! A program that writes WAV is run for each prompt, never through a shell and never for longer than
//! a prompt may take (`run`). What it made is read, trimmed, levelled to one loudness (`clip`), kept
//! (`Keep`) and brought to the rate of the device, on a thread of its own, in the order in which it is
//! needed (`maker`). Which of it may be heard when is worked out in `placing`. This room knows no
//! screen, no folder and no device.

mod clip;
mod counting;
mod fault;
mod key;
mod maker;
mod placing;
mod program;
mod run;
mod talks;
mod track;
mod wav;

pub use clip::Clip;
pub use counting::{Counting, NUMBERS};
pub use fault::SpeechFault;
pub use maker::{Keep, Maker, State, make};
pub use placing::{Placed, Wall, Word, place, walls};
pub use program::{Preset, Program, Speaker};
pub use talks::{Due, Heard, ORDERING, Talks, Tally};
pub use track::{Track, TrackFormat};

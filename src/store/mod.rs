//! Files: where they are, how they are written, and who may write them.
//!
//! The one room that writes to the disk. It refuses to know what a class is beyond its record, and
//! neither screen nor sound, nor what a session file means.

mod disk;
mod fault;
mod file;
mod handed;
mod index;
mod journal;
mod lack;
mod listing;
mod name;
mod places;
mod pulse;
mod recorder;
mod sessions;
mod shelf;
mod source;

pub use disk::{make_folder, replace, write_new};
pub use fault::{StoreFault, said};
pub use file::RecordFile;
pub use handed::{Present, hand_over};
pub use journal::{Journal, Medium, NotRecording};
pub use lack::Lack;
pub use listing::{Copied, Listing, Shelved, Unfinished, Unreadable};
pub use places::{Places, config_folder};
pub use pulse::PulseFile;
pub use recorder::{QUEUE, Recorder};
pub use sessions::{is_session, session_files};
pub use shelf::{Begun, Shelf, TakenUp};
pub use source::{SourceError, SourceKind, read_source};

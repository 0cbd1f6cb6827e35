//! Files: where they are, how they are written, and who may write them.
//!
//! The one room that writes to the disk. It refuses to know what a class is beyond its record, and
//! neither screen nor sound, nor what a session file means.

mod cache;
mod disk;
mod fault;
mod file;
mod handed;
mod index;
mod journal;
mod lack;
mod listing;
mod loan;
mod making;
mod name;
mod places;
mod plan_file;
mod pulse;
mod recorder;
mod sessions;
mod shelf;
mod source;
mod unsaved;

pub use cache::Cache;
pub use disk::{make_folder, replace, write_new};
pub use fault::{StoreFault, said};
pub use file::RecordFile;
pub use handed::{Present, hand_over};
pub use journal::{Journal, Medium, NotRecording};
pub use lack::Lack;
pub use listing::{Copied, Listing, Shelved, Unfinished, Unreadable};
pub use loan::Loan;
pub use making::Making;
pub use places::{Places, cache_folder, config_folder};
pub use plan_file::{Meanwhile, NotOpened, PlanFile, Saving};
pub use pulse::PulseFile;
pub use recorder::{QUEUE, Recorder};
pub use sessions::{is_session, session_files};
pub use shelf::{Begun, Shelf, TakenUp};
pub use source::{SourceError, SourceKind, read_source};
pub use unsaved::{Leftover, Unsaved, left_over};

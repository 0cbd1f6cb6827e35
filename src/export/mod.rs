//! What leaves the program: bytes and text, never a file.
//!
//! Whoever calls decides where the bytes go; this room refuses to know folders and the terminal.

mod captions;
mod chapters;
mod fit;
mod history_page;
mod kept;
mod outline;
mod record_page;
mod rows;
mod short;
mod table;
mod vtt;

pub use captions::captions;
pub use chapters::{Chapter, ChapterBy, chapters};
pub use fit::{broken, counted};
pub use history_page::{LONG_UNUSED_DAYS, history_page};
pub use kept::{NotKept, kept};
pub use outline::Outline;
pub use record_page::{happenings, record_list, record_page};
pub use rows::OUTLINE_FIELDS;
pub use table::{Named, classes_csv, classes_json, columns, moves_csv};
pub use vtt::{Caption, vtt_captions, vtt_chapters};

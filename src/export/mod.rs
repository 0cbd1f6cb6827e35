//! What leaves the program: bytes and text, never a file.
//!
//! Whoever calls decides where the bytes go; this room refuses to know folders and the terminal.

mod arrange_page;
mod captions;
pub mod cautions;
mod changed;
mod chapters;
mod draft_page;
mod effort_page;
mod fit;
mod fit_page;
mod history_page;
mod kept;
mod outline;
mod record_page;
mod review_page;
mod rows;
mod sheet;
mod short;
mod table;
mod vtt;

pub use arrange_page::{arrange_json, arrange_kept, arrange_page};
pub use captions::captions;
pub use changed::{arranged_text, fitted_text};
pub use chapters::{Chapter, ChapterBy, chapters};
pub use draft_page::{draft_json, draft_page};
pub use effort_page::{effort_json, effort_page};
pub use fit::{broken, counted};
pub use fit_page::{fit_json, fit_page};
pub use history_page::{LONG_UNUSED_DAYS, history_page};
pub use kept::{NotKept, kept};
pub use outline::Outline;
pub use record_page::{happenings, record_list, record_page};
pub use review_page::{review_json, review_page, summary};
pub use rows::OUTLINE_FIELDS;
pub use sheet::{Layout, Paper, cards, cover, sheet};
pub use table::{Named, classes_csv, classes_json, columns, moves_csv};
pub use vtt::{Caption, vtt_captions, vtt_chapters};

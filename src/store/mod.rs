//! Files and folders: the only room that touches the disk.
//!
//! It refuses to know what a session means, and the screen and the sound.

mod source;

pub use source::{SourceError, SourceKind, read_source};

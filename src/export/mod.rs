//! What leaves the program: bytes and text, never a file.
//!
//! Whoever calls decides where the bytes go; this room refuses to know folders and the terminal.

mod outline;

pub use outline::Outline;

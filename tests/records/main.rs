//! Records from outside: bytes, files, and what is told from them.
#![allow(
    clippy::unwrap_used,
    clippy::float_cmp,
    clippy::disallowed_methods,
    reason = "tests"
)]

#[path = "../support/sample.rs"]
mod sample;

mod disk;
mod exports;
mod fixtures;
mod format;
mod journal;
mod kept;
mod kill;
mod live;
mod shelf;
mod told;

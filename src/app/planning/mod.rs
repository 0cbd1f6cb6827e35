//! A class planned at a page: its lines, what can be written of them, and what it becomes.
//!
//! The text of the file is the truth; every key is a splice in it. [`press`] knows what a key does to a [`plan`]
//! and no file; [`desk`] has the file, the editor and the clock, and does what the plan wishes.

mod adding;
mod answers;
mod asking;
mod becomes;
mod desk;
mod drawn;
mod editor;
mod fields;
mod finding;
mod form;
mod here;
mod lines;
mod list;
mod patterns;
mod plan;
mod press;
mod previews;
mod put;
mod reading;
#[cfg(test)]
mod tests;
mod typed;

pub(super) use desk::{Desk, Left};

//! Matside counts a group-fitness class out, looks ahead, and says in time what has to be said.
//!
//! The data goes one way: a session file becomes a [`session::Session`], that a
//! [`plan::Timeline`], that a cue plan, and `live` runs it. See DEVELOPERS.md for the house.

pub mod text;
pub mod time;

pub mod session;

pub mod plan;

pub mod advice;
pub mod live;

pub mod export;
pub mod screen;

pub mod record;

pub mod sound;
pub mod speech;

pub mod store;

pub mod app;

pub mod cli;

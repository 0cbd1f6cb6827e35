//! Landing over random classes, against rules written down a second time.

mod plans;
mod properties;
mod samples;
mod search;

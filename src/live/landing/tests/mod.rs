//! Landing over random classes, against rules written down a second time.

mod changes;
mod least;
mod plans;
mod properties;
mod rules;
mod samples;
mod search;

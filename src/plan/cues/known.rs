//! What is known of a class that runs.

use super::past::Past;
use super::prompt::{Heard, Prompt};
use crate::plan::interval::Interval;

/// What is known of a class that runs, from what happened in it.
#[derive(Clone, Copy)]
pub struct Known<'a> {
    /// What has been taught.
    pub past: &'a Past,
    /// The last interval in which people moved before what runs.
    pub before: Option<&'a Interval>,
    /// What was shown to be said while its interval ran.
    pub heard: &'a [Heard],
    /// What is being said.
    pub speaking: Option<&'a Prompt>,
}

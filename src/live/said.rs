//! What has been said in a class, and is to be said.

use std::sync::Arc;

use crate::plan::{CuePlan, Heard, Prompt};
use crate::time::Offset;

/// What was said up to a place, and is to be said from there on.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Said {
    pub(super) heard: Arc<Vec<Heard>>,
    pub(super) noted: Offset,
    pub(super) speaking: Option<(u32, Prompt)>,
    pub(super) cues: Arc<CuePlan>,
}

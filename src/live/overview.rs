//! What is true of a whole plan until it is changed: found once, so that no look at the class has
//! to go through all of it.

use std::sync::Arc;

use super::ribbon::Ribbon;
use crate::plan::Timeline;

/// What the view tells of the whole plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Overview {
    pub(super) ribbon: Arc<Ribbon>,
    /// How many blocks there are.
    pub(super) blocks: usize,
    /// The last interval that lasts until the instructor moves on.
    pub(super) last_untimed: Option<usize>,
}

impl Overview {
    pub(super) fn of(plan: &Timeline) -> Self {
        let intervals = plan.intervals();
        Self {
            ribbon: Arc::new(Ribbon::of_plan(plan)),
            blocks: intervals
                .iter()
                .filter_map(|i| i.block())
                .max()
                .unwrap_or(0),
            last_untimed: intervals.iter().rposition(|i| i.untimed),
        }
    }
}

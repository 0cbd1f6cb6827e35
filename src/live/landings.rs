//! The landings of a running class: what would end it on time from where it is.

use super::landing::{Landing, Spot};
use super::machine::Live;
use crate::time::{Moment, Span};

impl Live {
    /// What can be chosen between where there is so much room from now: the landing where the class
    /// is over its time, else what can be done with the time in hand, each a choice. `running` lets
    /// what runs be shortened too. Nothing of a class that is over.
    #[must_use]
    pub fn landings(&self, now: Moment, room: Span, running: bool) -> Vec<Landing> {
        if self.is_over() {
            return Vec::new();
        }
        let spot = Spot::of(self.plan(), self.running(), self.offset(now), room);
        let spot = spot.ending_at(self.block_ends_at());
        Landing::choices(&spot, &self.session().cueing, running)
    }
}

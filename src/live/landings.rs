//! The landings of a running class: what would end it on time from where it is.

use super::landing::{Landing, Spot};
use super::machine::Live;
use crate::time::{Moment, Span};

/// How often a landing is worked out anew for the time that it makes people need.
const TRIES: usize = 4;

impl Live {
    /// What can be chosen between where there is so much room from now: the landing where the class
    /// is over its time, else what can be done with the time in hand, each a choice. `running` lets
    /// what runs be shortened too. Nothing of a class that is over.
    #[must_use]
    pub fn landings(&self, now: Moment, room: Span, running: bool) -> Vec<Landing> {
        if self.is_over() {
            return Vec::new();
        }
        let landings = self.choices(now, room, running, Span::ZERO).into_iter();
        landings
            .enumerate()
            .map(|(n, landing)| self.as_it_goes(now, room, running, n, landing))
            .collect()
    }

    /// A choice whose end is the one that the class then has: where what went leaves people farther
    /// from what follows, the time for that is in the room too.
    fn as_it_goes(
        &self,
        now: Moment,
        room: Span,
        running: bool,
        n: usize,
        mut landing: Landing,
    ) -> Landing {
        let at = self.offset(now);
        let mut put_in = Span::ZERO;
        for _ in 0..TRIES {
            let left = self.left_once_landed(at, &landing.changes);
            let told = landing.total.saturating_sub(at.span());
            let Some(left) = left.filter(|left| *left > told) else {
                break;
            };
            put_in += left.saturating_sub(told);
            let mut again = self.choices(now, room, running, put_in).into_iter();
            match again.nth(n) {
                Some(again) => landing = again,
                None => break,
            }
        }
        let left = self.left_once_landed(at, &landing.changes);
        let left = left.unwrap_or_else(|| self.left(now));
        landing.leaving(left, (at, room), self.left(now))
    }

    fn choices(&self, now: Moment, room: Span, running: bool, put_in: Span) -> Vec<Landing> {
        let spot = Spot::of(self.plan(), self.running(), self.offset(now), room);
        let spot = spot.ending_at(self.block_ends_at()).putting_in(put_in);
        Landing::choices(&spot, &self.session().cueing, running)
    }
}

//! What starts the clock of the class and stops it: begin, hold, resume, a sleep and what makes up
//! for it.

use super::edits;
use super::input::HoldReason;
use super::machine::{Gap, Live, State};
use crate::plan::{Score, SignalKind, Strike};
use crate::time::{Moment, Offset, Span};

/// How often a break for everyone is gently recalled.
const BREAK_EVERY: Span = Span::from_secs(60);

impl Live {
    /// A class that begins with people moving is counted in; one that begins with words is not.
    pub(super) fn begin(&mut self, now: Moment) -> bool {
        let from = Offset::ZERO;
        let moving = self
            .course
            .now()
            .is_some_and(|first| first.kind.is_moving());
        self.state = if moving {
            let counted = now + self.reach;
            let go = counted + self.session.cueing.count_span();
            State::CountIn {
                from,
                pressed: counted,
                go,
                since: go,
            }
        } else {
            State::Running { from, at: now }
        };
        self.entered(now, from);
        self.advance(now);
        self.play(now);
        true
    }

    pub(super) fn hold(&mut self, now: Moment, at: Offset, why: HoldReason) -> bool {
        let since = match self.state {
            State::Held { why: before, .. } if before == why => return false,
            // The same hold, for another reason.
            State::Held { since, .. } => since,
            // Counted in after a hold: that hold goes on.
            State::CountIn { since, .. } if since < now => since,
            _ => {
                self.tally.held_at(at);
                now
            }
        };
        self.state = State::Held {
            at,
            since,
            why,
            gap: None,
        };
        let first = Strike {
            at: now + BREAK_EVERY,
            kind: SignalKind::Half,
        };
        let score = match why {
            HoldReason::Break | HoldReason::Moving => Score::recurring(first, BREAK_EVERY),
            HoldReason::Hold | HoldReason::Slept => Score::silence(),
        };
        self.hear(now, score);
        true
    }

    pub(super) fn resume(&mut self, now: Moment) -> bool {
        let State::Held { at, since, .. } = self.state else {
            return false;
        };
        let counted = now + self.reach;
        let go = counted + self.session.cueing.count_span();
        self.state = State::CountIn {
            from: at,
            pressed: counted,
            go,
            since,
        };
        self.advance(now);
        self.play(now);
        true
    }

    pub(super) fn slept(&mut self, now: Moment, from: Moment, slept: Span) -> bool {
        let begun = self.course.running().map_or(Offset::ZERO, |now| now.start);
        let at = self.offset(from).max(begun);
        let missed = match self.state {
            State::Held { gap: Some(gap), .. } => Some(gap.missed(from) + slept),
            // Held by hand, the class misses nothing.
            State::Held { .. } => None,
            State::CountIn { go, .. } => Some(slept.saturating_sub(go.since(from))),
            _ => Some(slept),
        };
        let why = match self.state {
            State::Held { gap: None, why, .. } => why,
            _ => HoldReason::Slept,
        };
        self.tally.unseen += slept.saturating_sub(now.since(from));
        let since = match self.state {
            State::CountIn { since, .. } | State::Held { since, .. } if since <= from => since,
            State::Waiting | State::Ended { .. } => return false,
            _ => {
                self.tally.held_at(at);
                from
            }
        };
        self.state = State::Held {
            at,
            since: since.min(now),
            why,
            gap: missed.map(|slept| Gap { slept, told: now }),
        };
        self.hear(from, Score::silence());
        true
    }

    /// What catching up leaves out: all that was missed, and the count-in that comes first.
    pub(super) fn missed(&self, now: Moment) -> Option<Span> {
        match self.state {
            State::Held { gap: Some(gap), .. } => {
                Some(gap.missed(now) + self.reach + self.session.cueing.count_span())
            }
            _ => None,
        }
    }

    pub(super) fn catch_up(&mut self, now: Moment, at: Offset) -> bool {
        let Some(missed) = self.missed(now) else {
            return self.refuse(now, "nothing to catch up with".into());
        };
        if let State::Held { gap, .. } = &mut self.state {
            *gap = None;
        }
        if let Some(edit) = edits::leave_out(&self.course.left, at, missed) {
            let said = format!("moved on by {}", missed.ceil_secs());
            self.jump(now, at, edit, said);
        }
        if self.is_held() {
            self.resume(now);
        }
        true
    }
}

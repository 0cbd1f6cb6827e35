//! What a plan is made from, and what it knows of an interval as room to speak.
//!
//! It refuses to know what is said. The counted zones are those of the signals: one rule for both.

use super::cues::PromptKind;
use super::room::{Ask, Hold, Room};
use super::signals::is_counted_out;
use super::speech::{BREATH, saying};
use super::timeline::{Interval, Timeline};
use super::wants::Want;
use crate::session::{Cueing, Load};
use crate::time::{Offset, Span};

/// Air after work before anything is said (common practice, no source).
pub(super) const AIR: Span = Span::from_secs(2);
/// Least silence between two prompts during a move (the voice: see Rumbach 2013).
const SILENCE: Span = Span::from_secs(4);

/// What the plan is made from.
#[derive(Clone, Copy)]
pub(super) struct Desk<'a> {
    pub(super) timeline: &'a Timeline,
    pub(super) cueing: &'a Cueing,
    pub(super) limits: &'a [Load],
    pub(super) last_work: Option<usize>,
}

/// What has been said when a leg is planned anew from within.
#[derive(Clone, Debug, Default)]
pub(super) struct Told {
    /// Nothing can be said before.
    pub(super) from: Offset,
    /// What has been said, by what it is about.
    pub(super) said: Vec<(usize, PromptKind, String)>,
    /// How much of the room in which `from` lies has been speech.
    pub(super) spoken: Span,
}

impl Told {
    /// Whether this has been said.
    pub(super) fn has(&self, ask: &Ask) -> bool {
        let mut said = self.said.iter();
        said.any(|(about, kind, say)| *about == ask.about && *kind == ask.kind && *say == ask.say)
    }
}

/// Holds an ask back to what is still to come; false where its place is past.
pub(super) fn release(ask: &mut Ask, told: &Told) -> bool {
    if ask.hold == Hold::Fixed && ask.from < told.from {
        return false;
    }
    ask.from = ask.from.max(told.from);
    true
}

impl<'a> Desk<'a> {
    pub(super) fn interval(&self, n: usize) -> &'a Interval {
        &self.timeline.intervals()[n]
    }

    pub(super) fn ask(&self, want: Want, about: usize, (from, by): (Offset, Offset)) -> Ask {
        Ask {
            kind: want.kind,
            long: saying(&want.say, self.cueing.words_per_minute),
            say: want.say,
            about,
            marked: want.marked,
            rank: want.rank,
            from,
            by,
            hold: Hold::Early,
            order: want.order,
            coming: false,
            needs: None,
        }
    }

    pub(super) fn half(&self, n: usize) -> Offset {
        self.interval(n).start + self.interval(n).length.half()
    }

    /// From when on an interval without a move may be spoken in.
    pub(super) fn open(&self, n: usize) -> Offset {
        let after_move = n > 0 && self.interval(n - 1).kind.is_moving();
        self.interval(n).start + if after_move { AIR } else { BREATH }
    }

    pub(super) fn room(&self, n: usize, told: &Told) -> Room {
        let interval = self.interval(n);
        let moving = interval.kind.is_moving();
        let open = if moving {
            interval.length.half()
        } else {
            interval.length
        };
        let under_way = interval.start < told.from && told.from < interval.end();
        Room {
            from: interval.start,
            until: interval.end(),
            closed: self.closed(n),
            gap: if moving { SILENCE } else { Span::ZERO },
            budget: if under_way {
                open.less(told.spoken)
            } else {
                open
            },
        }
    }

    pub(super) fn fit(&self, n: usize, asks: &[&Ask], told: &Told) -> bool {
        let mut asks: Vec<Ask> = asks.iter().map(|&ask| ask.clone()).collect();
        asks.retain_mut(|ask| release(ask, told));
        self.room(n, told)
            .place(&asks, (1 << asks.len()) - 1)
            .is_some()
    }

    /// The zones in which the instructor counts aloud, as far as they touch an interval.
    fn closed(&self, n: usize) -> Vec<(Offset, Offset)> {
        let intervals = self.timeline.intervals();
        let (begin, end) = (intervals[n].start, intervals[n].end());
        let count = self.cueing.count_span();
        let ends = |k: usize| intervals[k].end();
        let mut first = n;
        while first > 0 && ends(first - 1) + BREATH > begin {
            first -= 1;
        }
        (first..intervals.len())
            .take_while(|&k| k <= n || ends(k).before(count) < end)
            .filter(|&k| is_counted_out(&intervals[k], intervals.get(k + 1)))
            .map(|k| (ends(k).before(count), ends(k) + BREATH))
            .collect()
    }
}

//! What a plan is made from, and what it knows of an interval as a stretch to speak in.
//!
//! The counted zones are those of the signals: one rule for both. What is said is not known here.

use std::collections::{HashMap, HashSet};

use super::known::Known;
use super::prompt::{Heard, Prompt, PromptKind};
use super::window::Stretch;
use crate::plan::interval::{Interval, Kind};
use crate::plan::signals::is_counted_out;
use crate::plan::speech::{self, BREATH};
use crate::plan::timeline::{Placed, Timeline};
use crate::session::{Cueing, Load};
use crate::time::{Offset, Span};

/// Air after work before anything is said (common practice, no source).
pub(super) const AIR: Span = Span::from_secs(2);
/// Least silence between two prompts during a move (the voice: see Rumbach 2013).
pub(super) const SILENCE: Span = Span::from_secs(4);
/// How many of the last repetitions are counted aloud (common practice, no source).
const COUNTED_ALOUD: u64 = 3;

/// What the plan is made from.
#[derive(Clone, Copy)]
pub(super) struct Context<'a> {
    pub(super) timeline: &'a Timeline,
    pub(super) cueing: &'a Cueing,
    pub(super) limits: &'a [Load],
    pub(super) last_work: Option<usize>,
    pub(super) told: &'a Told,
}

/// The end of what was said last.
#[derive(Clone, Copy, Debug)]
struct Last {
    until: Offset,
    is_call: bool,
    /// Whether it was about what comes after the stay.
    is_coming: bool,
}

/// A preview that was heard.
#[derive(Clone, Copy, Debug)]
pub(super) struct Previewed {
    /// Whether it was said during the move before, not in a pause.
    pub(super) in_move: bool,
    /// When it had been said.
    pub(super) until: Offset,
}

/// What has been said where a plan begins within a class.
#[derive(Clone, Debug, Default)]
pub(super) struct Told {
    /// Nothing can be said before.
    pub(super) from: Offset,
    /// What was heard: what it was about, by number, and the words.
    heard: HashSet<(u32, PromptKind, String)>,
    /// The moves, by number, of which a preview was heard.
    previewed: HashMap<u32, Previewed>,
    /// What was said last in the stay that runs.
    last: Option<Last>,
    /// The interval that runs, and how much of it has been speech.
    running: Option<(usize, Span)>,
    /// What is being said, if it is still to be said; then it is the first of the plan.
    pub(super) speaking: Option<Prompt>,
}

impl Told {
    /// Nothing, and there is nothing before the plan.
    pub(super) fn unheard() -> Self {
        Self::default()
    }

    /// What is known at a place of the class.
    pub(super) fn at(at: Offset, timeline: &Timeline, running: usize, known: Known) -> Self {
        let intervals = timeline.intervals();
        let stay = intervals.get(running);
        let speaking = known.speaking.and_then(|prompt| {
            let until = prompt.until.min(stay?.end);
            if until <= at {
                return None;
            }
            let coming = intervals.get(running..).unwrap_or_default();
            let about = coming.iter().position(|next| next.id == prompt.id)?;
            Some(Prompt {
                until,
                about: running + about,
                ..prompt.clone()
            })
        });
        let speaking = speaking.as_ref();
        let stay_id = stay.map(|stay| stay.id);
        let going_on = speaking.map(|prompt| Heard {
            said_in: stay_id.unwrap_or(prompt.id),
            about: prompt.id,
            kind: prompt.kind,
            say: prompt.say.clone(),
            at: prompt.at,
            until: prompt.until,
        });
        let heard = || known.heard.iter().chain(going_on.as_ref());
        let begin = stay.map_or(at, |stay| stay.start);
        let here = || heard().filter(|heard| heard.at >= begin);
        let moved = known.before.map(|before| before.id);
        let moving = |id: u32| {
            Some(id) == moved || stay.is_some_and(|stay| stay.id == id && stay.kind.is_moving())
        };
        let previews = heard().filter(|heard| heard.kind == PromptKind::Preview);
        let last = here().max_by_key(|heard| heard.until).map(|heard| Last {
            until: heard.until,
            is_call: heard.kind.is_call(),
            is_coming: Some(heard.about) != stay_id,
        });
        Self {
            from: speaking.map_or(at, |prompt| prompt.until),
            previewed: previews
                .map(|heard| {
                    let (in_move, until) = (moving(heard.said_in), heard.until);
                    (heard.about, Previewed { in_move, until })
                })
                .collect(),
            running: Some((running, here().map(|heard| heard.until - heard.at).sum())),
            heard: heard()
                .map(|heard| (heard.about, heard.kind, heard.say.clone()))
                .collect(),
            last,
            speaking: speaking.cloned(),
        }
    }

    /// Whether this has been heard of an interval.
    pub(super) fn has(&self, about: &Interval, kind: PromptKind, say: &str) -> bool {
        let heard = || self.heard.contains(&(about.id, kind, say.to_owned()));
        !self.heard.is_empty() && heard()
    }

    /// The preview of a move, if one has been heard.
    pub(super) fn preview_of(&self, of: &Interval) -> Option<Previewed> {
        self.previewed.get(&of.id).copied()
    }

    /// From when on a call may be said in an interval: what was said last in it of its own keeps its
    /// silence, as it does in the plan of the whole.
    pub(super) fn quiet_for_a_call(&self, n: usize, gap: Span) -> Offset {
        let here = self.running.is_some_and(|(running, _)| running == n);
        let last = self
            .last
            .filter(|last| here && !last.is_call && !last.is_coming);
        last.map_or(Offset::ZERO, |last| last.until + gap)
    }

    /// From when on something may be said in an interval, after what was said last in it.
    pub(super) fn quiet_until(&self, n: usize, gap: Span, coming: bool) -> Offset {
        let here = self.running.is_some_and(|(running, _)| running == n);
        let last = self.last.filter(|_| here);
        last.map_or(self.from, |last| {
            let silence = if coming && last.is_call {
                Span::ZERO
            } else {
                gap
            };
            self.from.max(last.until + silence)
        })
    }
}

impl<'a> Context<'a> {
    pub(super) fn of(
        timeline: &'a Timeline,
        cueing: &'a Cueing,
        limits: &'a [Load],
        told: &'a Told,
    ) -> Self {
        let intervals = timeline.intervals();
        Self {
            timeline,
            cueing,
            limits,
            last_work: intervals.iter().rposition(|next| next.kind == Kind::Work),
            told,
        }
    }

    pub(super) fn interval(&self, n: usize) -> &'a Placed {
        &self.timeline.intervals()[n]
    }

    /// Whether the scale of efforts is named in an interval: in the first talk, before anybody has
    /// moved, of a class that has any.
    pub(super) fn names_the_scale(&self, n: usize) -> bool {
        let all = self.timeline.intervals();
        let is_first = |n: usize| {
            let mut before = all[..n].iter();
            before.all(|one| one.kind != Kind::Talk && !one.kind.is_moving())
        };
        let mut turns = all.iter().flat_map(|one| one.moves.iter());
        all[n].kind == Kind::Talk && is_first(n) && turns.any(|turn| turn.effort.is_some())
    }

    /// How long words take.
    pub(super) fn saying(&self, say: &str) -> Span {
        speech::saying(say, self.cueing.words_per_minute)
    }

    /// From when on an interval without a move may be spoken in.
    pub(super) fn open(&self, n: usize) -> Offset {
        let after_move = n > 0 && self.interval(n - 1).kind.is_moving();
        self.interval(n).start + if after_move { AIR } else { BREATH }
    }

    /// From when on nothing is said in counted work, since the last repetitions are counted aloud.
    pub(super) fn counting_from(&self, n: usize) -> Offset {
        let interval = self.interval(n);
        let reps = interval
            .turn()
            .and_then(|turn| turn.reps)
            .unwrap_or(1)
            .max(1);
        let one = interval.length.millis() / u64::from(reps);
        let aloud = Span::from_millis(one * COUNTED_ALOUD).min(interval.length.half());
        interval.end.before(aloud)
    }

    /// An interval as a stretch to speak in.
    pub(super) fn stretch(&self, n: usize) -> Stretch {
        let interval = self.interval(n);
        let moving = interval.kind.is_moving();
        let open = if moving {
            interval.span().half()
        } else {
            interval.span()
        };
        let spoken = match self.told.running {
            Some((running, spoken)) if running == n => spoken,
            _ => Span::ZERO,
        };
        let from = interval.start.max(self.told.from);
        Stretch {
            from,
            until: interval.end.max(from),
            closed: self.closed(n),
            gap: if moving { SILENCE } else { Span::ZERO },
            budget: open.saturating_sub(spoken),
        }
    }

    /// The zones in which the instructor counts aloud, as far as they touch an interval.
    fn closed(&self, n: usize) -> Vec<(Offset, Offset)> {
        let intervals = self.timeline.intervals();
        let (begin, end) = (intervals[n].start, intervals[n].end);
        let count = self.cueing.count_span();
        let mut first = n;
        while first > 0 && intervals[first - 1].end + BREATH > begin {
            first -= 1;
        }
        let counted = (first..intervals.len())
            .take_while(|&k| k <= n || intervals[k].end.before(count) < end)
            .filter(|&k| {
                let next = intervals.get(k + 1).map(|next| &**next);
                is_counted_out(&intervals[k], next)
            })
            .map(|k| (intervals[k].end.before(count), intervals[k].end + BREATH));
        let alone = intervals[n].together().is_none();
        let aloud = alone
            && intervals[n].untimed
            && intervals[n].turn().is_some_and(|turn| turn.reps.is_some());
        let aloud = aloud.then(|| (self.counting_from(n), end));
        counted.chain(aloud).collect()
    }
}

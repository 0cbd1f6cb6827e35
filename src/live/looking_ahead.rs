//! What is derived anew from the course when it changes: the whole with its places in time, the
//! prompts ahead, and the log of what has been heard.
//!
//! Prompts are planned as far ahead as they may be needed, and further as the class gets there; how
//! far makes no difference to what they are.

use std::collections::HashSet;
use std::sync::Arc;

use super::machine::{Live, State};
use super::overview::Overview;
use super::said::{Said, Speaking};
use crate::plan::{CuePlan, Heard, Known, Prompt};
use crate::time::{Moment, Offset, Span};

/// How far ahead prompts are planned at the least.
const REACH: Span = Span::from_secs(5 * 60);
/// How much of the log is kept.
const LOG: usize = 256;

impl Live {
    pub(super) fn said(&self) -> Said {
        Said {
            heard: self.heard.clone(),
            noted: self.noted,
            speaking: self.speaking.clone(),
            cues: self.cues.clone(),
            running: self.running(),
            past: self.course.past.clone(),
        }
    }

    /// What was said is again what it was, where the class is again as it was.
    pub(super) fn recall(&mut self, said: Said) {
        self.heard = said.heard;
        self.noted = said.noted;
        self.speaking = said.speaking;
        self.cues = said.cues;
    }

    /// Derives anew what follows from the course as it now is.
    pub(super) fn plan_again(&mut self, at: Offset) {
        self.plan = Arc::new(self.course.timeline(&self.original));
        self.overview = Overview::of(&self.plan);
        let until = if self.has_begun() {
            at + REACH
        } else {
            self.plan.end()
        };
        self.noted = at;
        self.look_ahead(at, until);
    }

    fn look_ahead(&mut self, at: Offset, until: Offset) {
        let speaking = self.still_said();
        let ahead = CuePlan::ahead(
            &self.plan,
            self.running(),
            at..until,
            self.known(speaking.as_ref()),
            &self.session.cueing,
            &self.limits,
        );
        self.cues = Arc::new(ahead);
    }

    /// What was being said in the stay that still runs.
    fn still_said(&self) -> Option<Prompt> {
        let speaking = self.speaking.as_ref()?;
        let prompt = &speaking.prompt;
        let running = self.course.running()?;
        let same = running.interval.id == speaking.said_in && prompt.at >= running.start;
        let is_true = same && speaking.is_true_of(self.course.left.intervals());
        is_true.then(|| Prompt {
            interval: self.running(),
            ..prompt.clone()
        })
    }

    fn known<'a>(&'a self, speaking: Option<&'a Prompt>) -> Known<'a> {
        Known {
            past: &self.course.past,
            before: self.course.moved_before().map(|before| &**before),
            heard: &self.heard,
            speaking,
        }
    }

    /// Plans further prompts as the class comes near the end of those that are planned.
    pub(super) fn reach_on(&mut self, now: Moment) {
        let State::Running { .. } = self.state else {
            return;
        };
        let (here, until) = (self.offset(now), self.cues.until());
        if until >= self.plan.end() || until > here + REACH.half() {
            return;
        }
        let more = self.cues.further(
            &self.plan,
            self.running(),
            here + REACH,
            self.known(None),
            &self.session.cueing,
            &self.limits,
        );
        self.cues = Arc::new(more);
    }

    /// Notes what was shown to be said up to `at`, while its interval ran.
    pub(super) fn note_heard(&mut self, at: Offset) {
        let running = self.running();
        let shown = self.cues.said_within(self.noted, at);
        let shown = shown.filter(|prompt| prompt.interval <= running);
        let intervals = self.plan.intervals();
        let shown = shown.map(|prompt| Heard {
            said_in: intervals[prompt.interval].id,
            about: prompt.id,
            kind: prompt.kind,
            say: prompt.say.clone(),
            at: prompt.at,
            until: prompt.until,
        });
        let shown: Vec<_> = shown.collect();
        if !shown.is_empty() {
            let heard = Arc::make_mut(&mut self.heard);
            heard.extend(shown);
            let old = heard.len().saturating_sub(LOG);
            heard.drain(..old);
        }
        self.noted = self.noted.max(at);
        self.speaking = self.cues.being_said(at, running).map(|prompt| {
            let of = &intervals[running..=prompt.about.max(running)];
            Speaking {
                said_in: intervals[running].id,
                prompt: prompt.clone(),
                of: of.iter().map(|placed| placed.interval().clone()).collect(),
            }
        });
    }

    /// Where the class went back before something was heard, it has not been heard; nor was what is
    /// about a move that was done since and comes again.
    pub(super) fn went_back(&mut self) {
        let said: HashSet<u32> = self.heard.iter().map(|heard| heard.said_in).collect();
        let ahead = self.course.left.ahead.iter().map(|next| next.id);
        let mut again: HashSet<u32> = ahead.filter(|id| said.contains(id)).collect();
        let running = self.course.running();
        let begun = running.filter(|running| running.into.is_zero());
        again.extend(begun.map(|running| running.interval.id));
        let about: HashSet<u32> = self.heard.iter().map(|heard| heard.about).collect();
        let taught = self.course.taught.iter().map(|stay| stay.interval.id);
        let done: HashSet<u32> = taught.filter(|id| about.contains(id)).collect();
        let ahead = self.course.left.ahead.iter().map(|next| next.id);
        let anew: HashSet<u32> = ahead.filter(|id| done.contains(id)).collect();
        let is_past = |heard: &Heard| again.contains(&heard.said_in) || anew.contains(&heard.about);
        if self.heard.iter().any(is_past) {
            Arc::make_mut(&mut self.heard).retain(|heard| !is_past(heard));
        }
    }
}

//! The legs of a class one after the other, from any point on.
//!
//! It refuses to know what is said in a leg. A leg depends on the moves before it and on the words
//! left over by the leg before, so the plan can begin at any of them: it counts the moves up to
//! there, looks one leg back, and goes on. The cost of a whole class is the sum of its legs.

use std::ops::Range;

use super::cues::{CuePlan, Prompt, PromptKind};
use super::desk::{Desk, Told};
use super::leg::{Leg, Said};
use super::timeline::{Kind, Timeline};
use super::turn::{History, Turn, comes};
use super::wants::Want;
use crate::session::{Cueing, Load};
use crate::time::Offset;

/// A class as its moves follow one another.
pub(super) struct Course<'a> {
    desk: Desk<'a>,
    /// The intervals in which people move.
    moves: Vec<usize>,
}

impl<'a> Course<'a> {
    pub(super) fn of(timeline: &'a Timeline, cueing: &'a Cueing, limits: &'a [Load]) -> Self {
        let intervals = timeline.intervals();
        let moves: Vec<usize> = (0..intervals.len())
            .filter(|&n| comes(&intervals[n]))
            .collect();
        let last_work = moves.iter().rev().copied();
        let last_work = last_work
            .into_iter()
            .find(|&n| intervals[n].kind == Kind::Work);
        Self {
            desk: Desk {
                timeline,
                cueing,
                limits,
                last_work,
            },
            moves,
        }
    }

    /// What is said in a stretch of the class; `heard` is what was said before it, where known.
    pub(super) fn plan(&self, stretch: Range<Offset>, heard: Option<&[Prompt]>) -> CuePlan {
        let mut plan = CuePlan::default();
        let (mut walk, mut left) = self.walk_to(stretch.start);
        while let Some(leg) = walk.next() {
            let begin = leg.begin();
            if begin >= stretch.end && begin > stretch.start {
                break;
            }
            let cut = begin < stretch.start || (begin == stretch.start && heard.is_some());
            let said = if cut {
                self.cut(&leg, &left, stretch.start, heard)
            } else {
                self.desk.leg(&leg, &left, &Told::default())
            };
            plan.prompts.extend(said.prompts);
            plan.unplaced.extend(said.unplaced);
            left = said.left;
        }
        plan
    }

    /// The walk from the leg in which `from` lies, with the words left over for its move.
    fn walk_to(&self, from: Offset) -> (Walk<'a, '_>, Vec<Want>) {
        let intervals = self.desk.timeline.intervals();
        let begun = match from {
            Offset::ZERO => 0,
            _ => self.moves.partition_point(|&n| intervals[n].start <= from),
        };
        let mut walk = Walk::over(self);
        for _ in 2..begun {
            walk.skip();
        }
        if begun > 1 {
            walk.next();
        }
        let left = if begun > 0 {
            walk.next().map(|leg| self.desk.left_before(&leg))
        } else {
            None
        };
        (walk, left.unwrap_or_default())
    }

    /// A leg that is planned from within. Where all was said so far as planned, the rest of that
    /// plan stands; otherwise the leg is planned anew with what is still to say.
    fn cut(&self, leg: &Leg, left: &[Want], from: Offset, heard: Option<&[Prompt]>) -> Said {
        let mut said = self.desk.leg(leg, left, &Told::default());
        let (past, coming): (Vec<Prompt>, Vec<Prompt>) = said
            .prompts
            .into_iter()
            .partition(|prompt| prompt.at < from);
        let goes_on = |prompt: &Prompt| prompt.at < from && prompt.until > from;
        let followed = |prompt: &Prompt| match heard {
            Some(heard) => heard
                .iter()
                .any(|h| same(h, prompt) && (h.until <= from || h.at == prompt.at)),
            None => {
                prompt.kind != PromptKind::Preview || goes_on(prompt) || !leg.leads_to(prompt.about)
            }
        };
        let known: Vec<Prompt> = match heard {
            Some(heard) => heard.iter().filter(|h| h.until <= from).cloned().collect(),
            None => past.iter().filter(|p| followed(p)).cloned().collect(),
        };
        let told = self.told(&known, from);
        let is_new = |prompt: &Prompt| heard.is_none() || !known.iter().any(|h| alike(h, prompt));
        if past.iter().all(followed) && coming.iter().all(is_new) {
            let unfinished = past
                .into_iter()
                .filter(|p| heard.is_some() && goes_on(p) && is_new(p));
            said.prompts = unfinished.chain(coming).collect();
        } else {
            said = self.desk.leg(leg, left, &told);
        }
        let unheard = |want: &Want| {
            !known
                .iter()
                .any(|h| h.kind == want.kind && h.say == want.say && leg.leads_to(h.about))
        };
        said.left.retain(unheard);
        said.unplaced
            .retain(|unplaced| self.desk.timeline.intervals()[unplaced.about].end() > from);
        said
    }

    fn told(&self, heard: &[Prompt], from: Offset) -> Told {
        let now = self.desk.timeline.index_at(from);
        let begin = now.map_or(from, |n| self.desk.timeline.intervals()[n].start);
        let here = heard.iter().filter(|prompt| prompt.at >= begin);
        let ends = heard.iter().map(|prompt| prompt.until);
        Told {
            from: ends.fold(from, Ord::max),
            spoken: here.map(|prompt| prompt.until - prompt.at).sum(),
            said: heard
                .iter()
                .map(|prompt| (prompt.about, prompt.kind, prompt.say.clone()))
                .collect(),
        }
    }

    /// What an earlier plan had begun to say by `from` of the moves under way and next, in terms
    /// of this class. What is about a move that will not come is left out.
    pub(super) fn heard(&self, plan: &CuePlan, from: Offset) -> Vec<Prompt> {
        let now = self.desk.timeline.intervals();
        let begun = self.moves.partition_point(|&n| now[n].start <= from);
        let first = begun.checked_sub(1).map_or(0, |k| self.moves[k]);
        let last = self.moves.get(begun).map_or(now.len(), |&n| n + 1);
        let said = plan.prompts.iter().filter(|prompt| prompt.at < from);
        let said = plan.heard.iter().chain(said);
        said.filter_map(|prompt| {
            let about = (first..last).find(|&n| now[n].id == prompt.id)?;
            Some(Prompt {
                about,
                ..prompt.clone()
            })
        })
        .collect()
    }
}

fn alike(a: &Prompt, b: &Prompt) -> bool {
    a.about == b.about && a.kind == b.kind && (a.kind == PromptKind::Preview || a.say == b.say)
}

fn same(a: &Prompt, b: &Prompt) -> bool {
    alike(a, b) && a.say == b.say
}

/// The legs one by one, with the history that each finds.
struct Walk<'a, 'c> {
    course: &'c Course<'a>,
    history: History<'a>,
    /// How many moves lie behind.
    done: usize,
    now: Option<Turn<'a>>,
    over: bool,
}

impl<'a, 'c> Walk<'a, 'c> {
    fn over(course: &'c Course<'a>) -> Self {
        Self {
            course,
            history: History::default(),
            done: 0,
            now: None,
            over: false,
        }
    }

    /// Goes past a move without looking at its leg.
    fn skip(&mut self) {
        let at = self.course.moves[self.done];
        self.now = None;
        self.history.add(self.course.desk.timeline, at);
        self.done += 1;
    }

    fn next(&mut self) -> Option<Leg<'a>> {
        if self.over {
            return None;
        }
        let timeline = self.course.desk.timeline;
        let next = self.course.moves.get(self.done).copied();
        let turn = next.and_then(|at| self.history.turn(timeline, at));
        let first = self
            .done
            .checked_sub(1)
            .map_or(0, |k| self.course.moves[k] + 1);
        let leg = Leg {
            now: self.now.take(),
            between: first..next.unwrap_or(timeline.intervals().len()),
            next: turn.clone(),
        };
        if let Some(at) = next {
            self.history.add(timeline, at);
        }
        self.done += 1;
        self.over = next.is_none();
        self.now = turn;
        Some(leg)
    }
}

//! The difference that a change made to what is left of the class, and how it is taken back.
//!
//! It names intervals by their own numbers, never by their places: whatever was taught since, or
//! changed besides, what is still ahead is found again. What has begun stays as it is.

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use super::course::{Course, Remaining, Running};
use crate::plan::Interval;
use crate::time::{Offset, Span};

/// One thing that a change did.
#[derive(Clone, Debug, PartialEq)]
enum Step {
    /// An interval was put in; whether people move in it.
    Put(u32, bool),
    /// An interval was left out, before the one with this number, or at the end.
    Gone(Arc<Interval>, Option<u32>),
    /// An interval became another.
    Other(Arc<Interval>, Arc<Interval>),
}

/// What a change did, small enough to keep a hundred.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Patch {
    steps: Vec<Step>,
    /// The visit that ran.
    visit: Option<u32>,
    /// The visit that ran, and its target before and after.
    target: Option<(u32, Span, Span)>,
    /// The visit that ran, and what was done in it before and after.
    running: Option<(u32, Arc<Interval>, Arc<Interval>)>,
}

impl Patch {
    /// What makes the one of the other, where the same visit runs in both.
    pub(super) fn between(before: &Remaining, after: &Remaining) -> Self {
        let mut patch = Self {
            steps: steps(before, after),
            visit: before.running.as_ref().map(|running| running.visit),
            ..Self::default()
        };
        if let (Some(old), Some(new)) = (&before.running, &after.running) {
            patch.target =
                (old.target != new.target).then_some((old.visit, old.target, new.target));
            let other = old.interval != new.interval;
            patch.running = other.then(|| (old.visit, old.interval.clone(), new.interval.clone()));
        }
        patch
    }

    /// What is left of the class with this taken back; nothing where it is too late. Of a change
    /// that is worth it in part, what can still be taken back is; any other whole or not at all.
    /// The change was made at `at`.
    pub(super) fn taken_back(
        &self,
        course: &Course,
        at: Offset,
        in_part: bool,
    ) -> Option<Remaining> {
        let left = &course.left;
        let mut back = left.clone();
        let mut done = 0;
        if let Some(running) = &mut back.running {
            done += self.take_back_running(running);
        }
        if !self.steps.is_empty() || self.running.is_some() {
            let ahead = left.ahead.to_vec();
            let still = self.still_put(&ahead);
            if !self.are_put_in(&still) || self.is_any_back(course, at) {
                return None;
            }
            let (ahead, undone) = self.unstepped(ahead, &still);
            done += undone;
            back.ahead.replace(left.ahead.len(), ahead);
        }
        let all = self.steps.len()
            + usize::from(self.target.is_some())
            + usize::from(self.is_other_move());
        (done == all || in_part && done > 0).then_some(back)
    }

    fn take_back_running(&self, running: &mut Running) -> usize {
        let mut done = 0;
        let visit = running.visit;
        if let Some((_, was, now)) = self.target.filter(|target| target.0 == visit) {
            running.target = (running.target + was).saturating_sub(now);
            done += 1;
        }
        if let Some((_, was, now)) = self.running.as_ref().filter(|of| of.0 == visit) {
            running.interval = was.clone();
            done += usize::from(was.moves != now.moves);
        }
        let begun_since = self.visit.is_some_and(|then| then < visit);
        let own = self.others().find(|(_, now)| now.id == running.interval.id);
        if let Some((was, now)) = own.filter(|_| begun_since) {
            running.target = (running.target + was.length).saturating_sub(now.length);
            running.interval = undone(&running.interval, was, now);
            done += 1;
        }
        done
    }

    /// What became another interval: ahead, or what ran, for that may be begun anew.
    fn others(&self) -> impl Iterator<Item = (&Arc<Interval>, &Arc<Interval>)> {
        let steps = self.steps.iter().filter_map(|step| match step {
            Step::Other(was, now) => Some((was, now)),
            _ => None,
        });
        let running = self.running.iter().map(|(_, was, now)| (was, now));
        steps.chain(running)
    }

    /// Whether something else was done in what ran, not only counted otherwise.
    fn is_other_move(&self) -> bool {
        let running = self.running.as_ref();
        running.is_some_and(|(_, was, now)| was.moves != now.moves)
    }

    fn put(&self) -> impl Iterator<Item = (u32, bool)> {
        self.steps.iter().filter_map(|step| match step {
            Step::Put(id, moves) => Some((*id, *moves)),
            _ => None,
        })
    }

    /// What was put in and is still ahead.
    fn still_put(&self, ahead: &[Arc<Interval>]) -> HashSet<u32> {
        let put: HashSet<u32> = self.put().map(|(id, _)| id).collect();
        let ahead = ahead.iter().map(|next| next.id);
        ahead.filter(|id| put.contains(id)).collect()
    }

    /// Whether what was put in is still ahead: its moves all of them, and not only a pause that may
    /// have begun.
    fn are_put_in(&self, still: &HashSet<u32>) -> bool {
        let mut put = self.put().peekable();
        let any = put.peek().is_none() || !still.is_empty();
        any && put.all(|(id, moves)| !moves || still.contains(&id))
    }

    /// Whether something that was left out has come back since by another way.
    fn is_any_back(&self, course: &Course, at: Offset) -> bool {
        let gone = self.steps.iter().filter_map(|step| match step {
            Step::Gone(was, _) => Some(was.id),
            _ => None,
        });
        let gone: HashSet<u32> = gone.collect();
        if gone.is_empty() {
            return false;
        }
        let begun = course.taught.iter().rev().take_while(|stay| stay.end > at);
        let begun = begun.filter(|stay| Some(stay.visit) > self.visit);
        let begun = begun.map(|stay| &stay.interval);
        let mut there = course.left.intervals().chain(begun);
        there.any(|next| gone.contains(&next.id))
    }

    /// These intervals with the steps taken back, and how many of them are; a pause that was put in
    /// and has begun is past.
    fn unstepped(
        &self,
        ahead: Vec<Arc<Interval>>,
        put: &HashSet<u32>,
    ) -> (Vec<Arc<Interval>>, usize) {
        let mut others: HashMap<u32, (&Arc<Interval>, &Arc<Interval>)> = HashMap::new();
        let mut gone: HashMap<Option<u32>, &Arc<Interval>> = HashMap::new();
        others.extend(self.others().map(|(was, now)| (now.id, (was, now))));
        for step in &self.steps {
            if let Step::Gone(was, before) = step {
                gone.insert(*before, was);
            }
        }
        let mut done = self.put().count();
        let mut out = Vec::with_capacity(ahead.len() + gone.len());
        for next in ahead.into_iter().filter(|next| !put.contains(&next.id)) {
            done += put_before(Some(next.id), &gone, &mut out);
            out.push(match others.get(&next.id) {
                Some((was, now)) => {
                    done += 1;
                    undone(&next, was, now)
                }
                None => next,
            });
        }
        done += put_before(None, &gone, &mut out);
        (out, done)
    }
}

/// Puts back what was left out before an interval, the first of it first.
fn put_before(
    id: Option<u32>,
    gone: &HashMap<Option<u32>, &Arc<Interval>>,
    out: &mut Vec<Arc<Interval>>,
) -> usize {
    let first = out.len();
    let mut before = id;
    // Each is put back once, whatever the numbers say: nothing stops a running class.
    for _ in 0..gone.len() {
        let Some(&was) = gone.get(&before) else {
            break;
        };
        out.push(was.clone());
        before = Some(was.id);
    }
    out[first..].reverse();
    out.len() - first
}

/// An interval as it is, with what a change made of it taken back.
fn undone(next: &Arc<Interval>, was: &Arc<Interval>, now: &Arc<Interval>) -> Arc<Interval> {
    if Arc::ptr_eq(next, now) || next == now {
        return was.clone();
    }
    let mut back = next.as_ref().clone();
    if was.length != now.length {
        back.length = was.length;
    }
    if was.moves != now.moves {
        back.moves = was.moves.clone();
    }
    if was.mark != now.mark {
        back.mark = was.mark;
    }
    if was.place != now.place {
        back.place.clone_from(&was.place);
    }
    Arc::new(back)
}

fn steps(before: &Remaining, after: &Remaining) -> Vec<Step> {
    let same = |a: &Arc<Interval>, b: &Arc<Interval>| Arc::ptr_eq(a, b);
    let (old, new) = (&before.ahead, &after.ahead);
    let head = old.iter().zip(new.iter());
    let head = head.take_while(|(a, b)| same(a, b)).count();
    let shorter = old.len().min(new.len()) - head;
    let tail = old.iter().rev().zip(new.iter().rev()).take(shorter);
    let tail = tail.take_while(|(a, b)| same(a, b)).count();
    let old: Vec<_> = old.iter().skip(head).take(old.len() - head).collect();
    let (old, following) = old.split_at(old.len() - tail);
    let new: Vec<_> = new
        .iter()
        .skip(head)
        .take(new.len() - head - tail)
        .collect();
    differing(old, &new, following.first().map(|next| next.id))
}

fn differing(old: &[&Arc<Interval>], new: &[&Arc<Interval>], following: Option<u32>) -> Vec<Step> {
    let now: HashMap<u32, &Arc<Interval>> = new.iter().map(|next| (next.id, *next)).collect();
    let was: HashSet<u32> = old.iter().map(|next| next.id).collect();
    let mut steps: Vec<Step> = Vec::new();
    for (at, interval) in old.iter().enumerate() {
        match now.get(&interval.id) {
            Some(now) if now == interval => {}
            Some(now) => steps.push(Step::Other((*interval).clone(), (*now).clone())),
            None => {
                let before = old.get(at + 1).map(|next| next.id).or(following);
                steps.push(Step::Gone((*interval).clone(), before));
            }
        }
    }
    let put = new.iter().filter(|next| !was.contains(&next.id));
    steps.extend(put.map(|next| Step::Put(next.id, next.kind.is_moving())));
    steps
}

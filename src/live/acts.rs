//! What each act does to the class: whether it may, what it makes of the plan, what is said.

use std::sync::Arc;

use super::edit::Course;
use super::fact::{Ending, Fact, What};
use super::input::{Act, Harder, Output, SoundOrder};
use super::machine::{ASK_FOR, Live, State};
use super::{Change, ChangeKind, landing, said};
use crate::plan::{SignalKind, least};
use crate::time::{Moment, Offset, Span};

/// How soon `back` must be pressed again to go further back.
const BACK_AGAIN: Span = Span::from_secs(2);
/// The least that `take` leaves, besides the count (common practice, no source).
const TAKE_FLOOR: Span = Span::from_secs(3);
/// The most an interval can be made to last.
const LONGEST: Span = Span::from_secs(12 * 3600);

impl Live {
    pub(super) fn act(&mut self, now: Moment, act: &Act) {
        let before = self.offset(match act {
            Act::Slept { from, .. } => *from,
            _ => now,
        });
        let allowed = match (&self.state, act) {
            (State::Waiting, Act::Begin | Act::Limits(_)) => true,
            (State::Waiting | State::Ended { .. }, _) | (_, Act::Begin) => false,
            _ => true,
        };
        if !allowed {
            return;
        }
        self.asked = None;
        let first = self.out.len();
        if self.carry_out(now, before, act) {
            if !matches!(act, Act::Back) {
                self.back = None;
            }
            let what = What::Did(act.clone());
            let (at, offset) = (now, before);
            // Before what follows from it, although only doing it tells whether it counts.
            self.out
                .insert(first, Output::Fact(Fact { at, offset, what }));
        }
    }

    fn carry_out(&mut self, now: Moment, at: Offset, act: &Act) -> bool {
        match act {
            Act::Begin => self.begin(now),
            Act::Hold(why) => self.hold(now, at, *why),
            Act::Resume => self.resume(now),
            Act::GoOn => self.jump(now, at, self.course.go_on(at), said::went_on),
            Act::Back => self.go_back(now, at),
            Act::Skip => self.skip(now, at),
            Act::Add(by) => self.add(now, at, *by),
            Act::Take(by) => self.take(now, at, *by),
            Act::Step(way) => self.step(now, at, *way),
            Act::OnceMore => match self.course.once_more(&mut self.next_id) {
                Some(course) => self.bend(now, at, course, said::once_more),
                None => self.refuse(now, "no move to do once more".into()),
            },
            Act::DropRound => match self.course.drop_round() {
                Some(course) => self.bend(now, at, course, said::round_dropped),
                None => self.refuse(now, "nothing left of this round to drop".into()),
            },
            Act::GoTo(part) => match self.course.go_to(at, *part, &self.original) {
                Some(course) => self.jump(now, at, course, said::went_to),
                None => self.refuse(now, "nothing is taught in that part".into()),
            },
            Act::Mark => self.mark(now, at),
            Act::Limits(limits) => {
                self.limits.clone_from(limits);
                self.plan_again(at);
                true
            }
            Act::Land(changes) => self.land(now, at, changes),
            Act::Undo => self.take_back(now, at),
            Act::Slept { from, gap } => self.slept(now, *from, *gap),
            Act::CatchUp => self.catch_up(now, at),
            Act::End => self.stop(now, at),
        }
    }

    fn step(&mut self, now: Moment, at: Offset, way: Harder) -> bool {
        let Some(course) = self.course.step(way) else {
            return self.refuse(now, said::no_step(&self.course, way));
        };
        self.bend(now, at, course, |_, after| said::stepped(after));
        self.entered_anew(now, at);
        true
    }

    fn mark(&mut self, now: Moment, at: Offset) -> bool {
        self.tally.marks += 1;
        self.say(now, format!("marked at {}", at.span().whole()));
        true
    }

    fn stop(&mut self, now: Moment, at: Offset) -> bool {
        self.course = self.course.cut_off(at);
        self.plan_again(at);
        self.end(now, at, Ending::Stopped);
        self.out.push_back(Output::Sound(SoundOrder::Hold));
        true
    }

    pub(super) fn refuse(&mut self, now: Moment, why: String) -> bool {
        self.say(now, why);
        false
    }

    pub(super) fn say(&mut self, now: Moment, text: String) {
        self.notice = Some((text, now + ASK_FOR));
    }

    pub(super) fn jump(
        &mut self,
        now: Moment,
        at: Offset,
        course: Course,
        said: impl Fn(&Course, &Course) -> String,
    ) -> bool {
        self.change(now, at, course, true, said)
    }

    fn bend(
        &mut self,
        now: Moment,
        at: Offset,
        course: Course,
        said: impl Fn(&Course, &Course) -> String,
    ) -> bool {
        self.change(now, at, course, false, said)
    }

    fn change(
        &mut self,
        now: Moment,
        at: Offset,
        course: Course,
        jump: bool,
        said: impl Fn(&Course, &Course) -> String,
    ) -> bool {
        let what = said(&self.course, &course);
        self.keep_for_undo(at, jump, what.clone());
        self.set(now, at, course, jump);
        if !self.is_over() {
            self.say(now, what);
        }
        true
    }

    pub(super) fn set(&mut self, now: Moment, at: Offset, course: Course, entered: bool) {
        self.course = course;
        self.plan_again(at);
        if entered {
            self.entered(now, at);
        }
        if self.is_over() {
            self.out.push_back(Output::Sound(SoundOrder::Hold));
            self.strike(SignalKind::End, now);
        }
        self.play(now);
    }

    /// The running interval is told again, since what is done in it has changed.
    pub(super) fn entered_anew(&mut self, now: Moment, at: Offset) {
        if self.course.now().is_some_and(|i| i.kind.is_moving()) {
            self.entered(now, at);
        }
    }

    fn go_back(&mut self, now: Moment, at: Offset) -> bool {
        let again = self
            .back
            .filter(|&(pressed, _)| now.since(pressed) <= BACK_AGAIN);
        let (course, origin) = match again {
            Some((_, origin)) => {
                let Some(target) = self.course.before(origin) else {
                    return self.refuse(now, "this is where the class began".into());
                };
                (self.course.back_to(at, target), target)
            }
            None => (self.course.again(at), self.course.n),
        };
        let Some(course) = course else { return false };
        self.back = Some((now, origin));
        self.jump(now, at, course, said::went_back)
    }

    fn skip(&mut self, now: Moment, at: Offset) -> bool {
        let Some((course, skipped)) = self.course.skip(at) else {
            return self.refuse(now, "no move left to skip".into());
        };
        let name = said::name_of(&self.course, skipped.id);
        let ran = self.course.started_as_this().zip(self.course.now());
        let cut = ran.map(|(first, now)| (first, now.start));
        let cut = cut.filter(|_| skipped.jump);
        self.change(now, at, course, skipped.jump, |_, _| {
            format!("skipped {name}")
        });
        self.skipped.push((skipped.id, cut));
        true
    }

    fn add(&mut self, now: Moment, at: Offset, by: Span) -> bool {
        let Some(running) = self.course.now() else {
            return false;
        };
        if running.untimed {
            return self.refuse(now, "this lasts until you go on".into());
        }
        if running.length + by > LONGEST {
            return self.refuse(now, format!("nothing lasts longer than {LONGEST}"));
        }
        let length = running.length + by;
        match self.course.with_length(length) {
            Some(course) => self.bend(now, at, course, |_, _| format!("{} s more", by.secs_up())),
            None => false,
        }
    }

    fn take(&mut self, now: Moment, at: Offset, by: Span) -> bool {
        let Some(running) = self.course.now() else {
            return false;
        };
        if running.untimed {
            return self.refuse(now, "this lasts until you go on".into());
        }
        let left = running.end().since(at);
        let floor = TAKE_FLOOR.max(self.session.cueing.count_span());
        let keep = left.less(by).max(floor.min(left));
        if keep == left {
            return self.refuse(now, "already at its last seconds".into());
        }
        let length = at.since(running.start) + keep;
        match self.course.with_length(length) {
            Some(course) => self.bend(now, at, course, |_, _| {
                format!("{} s less", left.less(keep).secs_up())
            }),
            None => false,
        }
    }

    /// Takes a landing. What runs keeps what it has run and time to be counted out, however long
    /// ago the landing was worked out.
    fn land(&mut self, now: Moment, at: Offset, changes: &[Change]) -> bool {
        let Course { plan, n } = &self.course;
        let mut changes = changes.to_vec();
        if let Some(running) = self.course.now() {
            let begun = at.since(running.start) + least(&self.session.cueing);
            let floor = begun.min(running.length);
            for change in changes.iter_mut().filter(|change| change.id == running.id) {
                if let ChangeKind::Length(length) = &mut change.kind {
                    *length = floor.max(*length);
                }
            }
        }
        let plan = landing::apply_running(plan, *n, &changes, &mut self.next_id);
        let course = Course {
            plan: Arc::new(plan),
            n: *n,
        };
        self.bend(now, at, course, |_, _| "landing taken".into())
    }
}

//! What each act does to the class: whether it may, what it makes of the plan, what is said.

use super::course::Remaining;
use super::edits::{self, Edit};
use super::fact::{Ending, Fact, What};
use super::gate::PutIn;
use super::input::{Act, Harder};
use super::landing::{self, Change, ChangeKind};
use super::machine::{ASK_FOR, Live, Notice, State};
use super::notices;
use super::output::Output;
use super::rotation;
use super::undo::gate;
use crate::plan::{Kind, Score, SignalKind, Strike, least, leaves_mat};
use crate::session::{Load, Room};
use crate::time::{Moment, Offset, Span};

/// How soon `back` must be pressed again to go further back.
const BACK_AGAIN: Span = Span::from_secs(2);

impl Live {
    pub(super) fn act(&mut self, now: Moment, act: &Act) {
        let before = self.offset(match act {
            Act::Slept { from, .. } => *from,
            _ => now,
        });
        let allowed = match (&self.state, act) {
            (State::Waiting, Act::Begin | Act::Limits(_)) => true,
            (State::Ended { .. }, Act::Undo) => self.can_take_up_again(),
            (State::Waiting | State::Ended { .. }, _) | (_, Act::Begin) => false,
            _ => true,
        };
        if !allowed {
            return;
        }
        self.asked = None;
        self.undone = None;
        // Counted work waits for the instructor: there is nothing to leave out.
        let waits = self.course.now().is_some_and(|now| now.untimed);
        let act = match act {
            Act::CatchUp if waits && self.missed(now).is_some() => &Act::Resume,
            act => act,
        };
        let first = self.out.len();
        self.note_heard(before);
        if self.carry_out(now, before, act) {
            if !matches!(act, Act::Back) {
                self.back = None;
            }
            let what = match self.undone {
                Some(change) => What::Undid(change),
                None => What::Did(act.clone()),
            };
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
            Act::GoOn => self.go_on(now, at),
            Act::Back => self.go_back(now, at),
            Act::Skip => self.skip(now, at),
            Act::Add(by) => self.add(now, at, *by),
            Act::Take(by) => self.take(now, at, *by),
            Act::Step(way) => self.step(now, at, *way),
            Act::Swap(of) => self.swap(now, at, of),
            Act::OnceMore => self.once_more(now, at),
            Act::DropRound => self.drop_round(now, at),
            Act::GoTo(part) => self.go_to(now, at, *part),
            Act::Mark => self.mark(now, at),
            Act::Limits(limits) => self.set_limits(now, at, limits),
            Act::Land(changes) => self.land(now, at, changes),
            Act::Undo => self.take_back(now, at),
            Act::Slept { from, gap } => self.slept(now, *from, *gap),
            Act::CatchUp => self.catch_up(now, at),
            Act::End => self.stop(now, at),
        }
    }

    fn step(&mut self, now: Moment, at: Offset, way: Harder) -> bool {
        let room = Room {
            limits: &self.limits,
            things: &self.session.equipment,
        };
        let meant = self.course.left.meant();
        if meant.is_some_and(|meant| meant.together().is_some()) {
            let why = "several moves at once: tell the others their version there";
            return self.refuse(now, why.into());
        }
        let Some(edit) = edits::step(&self.course.left, way, &room) else {
            let why = notices::no_step(&self.course.left, way, &self.limits);
            return self.refuse(now, why);
        };
        let said = notices::stepped(&edit.left);
        self.bend(now, at, edit, true, said);
        self.entered_anew(now, at);
        true
    }

    fn go_on(&mut self, now: Moment, at: Offset) -> bool {
        let left = &self.course.left;
        if edits::waits_for_the_grid(left) {
            return self.refuse(now, "the next one starts on time".into());
        }
        let (said, mut id) = (notices::went_on(left, at), self.next_id);
        let edit = edits::go_on(left, at, &mut id);
        self.next_id = id;
        self.edit(now, at, edit, said)
    }

    fn mark(&mut self, now: Moment, at: Offset) -> bool {
        self.tally.marks += 1;
        self.say(now, format!("marked at {}", at.span().floor_secs()));
        true
    }

    fn set_limits(&mut self, now: Moment, at: Offset, limits: &[Load]) -> bool {
        let before = std::mem::replace(&mut self.limits, limits.to_vec());
        // What is being said may be a version for a limit that is no more.
        self.speaking = None;
        self.course.past.spare(limits);
        if self.has_begun() {
            let said = notices::limits(&self.limits);
            self.keep_limits(at, before, said.clone());
            self.say(now, said);
        }
        self.plan_again(at);
        true
    }

    fn stop(&mut self, now: Moment, at: Offset) -> bool {
        let (before, said) = (self.course.left.clone(), self.said());
        let left = Remaining {
            visits: before.visits,
            ..Remaining::default()
        };
        self.course.leave(at, left);
        self.keep_jump(at, before, said, "ended the class".into());
        self.plan_again(at);
        self.end(now, at, Ending::Stopped);
        self.hear(now, Score::silence());
        true
    }

    pub(super) fn refuse(&mut self, now: Moment, why: String) -> bool {
        self.say(now, why);
        false
    }

    pub(super) fn say(&mut self, now: Moment, text: String) {
        self.notice = Some(Notice {
            text,
            until: now + ASK_FOR,
            is_change: false,
        });
    }

    /// Says what a change did; when the class now ends is told with it.
    pub(super) fn tell_end(&mut self, now: Moment, text: String) {
        if !self.is_over() {
            self.say(now, text);
            self.notice
                .iter_mut()
                .for_each(|notice| notice.is_change = true);
        }
    }

    /// Makes a change, if it can be made.
    pub(super) fn edit(
        &mut self,
        now: Moment,
        at: Offset,
        edit: Option<Edit>,
        said: String,
    ) -> bool {
        match edit {
            Some(edit) if edit.jump => self.jump(now, at, edit, said),
            Some(edit) => self.bend(now, at, edit, false, said),
            None => return false,
        }
        true
    }

    /// Leaves what runs for what the change leads to.
    pub(super) fn jump(&mut self, now: Moment, at: Offset, edit: Edit, said: String) {
        let (before, until_now) = (self.course.left.clone(), self.said());
        let (left, put_in) = self.kept(at, &before, edit);
        self.course.leave(at, left);
        let told = format!("{said}{put_in}");
        self.keep_jump(at, before, until_now, said);
        self.went_back();
        self.set(now, at, true);
        self.tell_end(now, told);
    }

    /// Changes what is to come; `in_part` where it is worth taking back in part.
    pub(super) fn bend(
        &mut self,
        now: Moment,
        at: Offset,
        edit: Edit,
        in_part: bool,
        said: String,
    ) {
        let before = self.course.left.clone();
        let (left, put_in) = self.kept(at, &before, edit);
        self.course.left = left;
        let told = format!("{said}{put_in}");
        self.keep_bend(at, &before, in_part, said);
        self.set(now, at, false);
        self.tell_end(now, told);
    }

    /// What is left after a change, with what a body needs between two moves.
    fn kept(&mut self, at: Offset, before: &Remaining, edit: Edit) -> (Remaining, PutIn) {
        let mut next_id = self.next_id;
        let kept = self.kept_with(at, before, edit, &mut next_id);
        self.next_id = next_id;
        kept
    }

    fn kept_with(
        &self,
        at: Offset,
        before: &Remaining,
        edit: Edit,
        next_id: &mut u32,
    ) -> (Remaining, PutIn) {
        let mut left = edit.left;
        left.keep_ends(at);
        let mut gate = gate(&self.course, at, &self.session.cueing);
        if edit.jump {
            gate.leaves(before.running.as_ref());
        }
        let put_in = gate.keep(before, &mut left, next_id);
        // What was put in before a mark or in a block with a cap moves neither.
        left.keep_ends(at);
        let put_in = put_in.and(gate.keep(before, &mut left, next_id));
        (left, edit.put_in.and(put_in))
    }

    pub(super) fn set(&mut self, now: Moment, at: Offset, entered: bool) {
        self.plan_again(at);
        self.tell(now, at, entered);
    }

    /// Tells the world how the class now goes on.
    pub(super) fn tell(&mut self, now: Moment, at: Offset, entered: bool) {
        if entered {
            self.entered(now, at);
        }
        if self.is_over() {
            let kind = SignalKind::End;
            self.hear(now, Score::of([Strike { at: now, kind }]));
        }
        self.play(now);
    }

    /// The running interval is told again, since what is done in it has changed.
    pub(super) fn entered_anew(&mut self, now: Moment, at: Offset) {
        if self.course.now().is_some_and(|now| now.kind.is_moving()) {
            self.entered(now, at);
        }
    }

    fn go_back(&mut self, now: Moment, at: Offset) -> bool {
        let again = self
            .back
            .filter(|&(pressed, _)| now.since(pressed) <= BACK_AGAIN);
        let left = &self.course.left;
        let (edit, origin) = match again {
            Some((_, origin)) => {
                let Some(origin) = self.stay_before(origin) else {
                    return self.refuse(now, "this is where the class began".into());
                };
                let earlier = &self.course.taught[origin].interval;
                let edit = edits::back_to(left, at, earlier, &mut self.next_id);
                (edit, origin)
            }
            None => (edits::again(left, at), self.course.taught.len()),
        };
        let Some(edit) = edit else { return false };
        self.back = Some((now, origin));
        let said = notices::went_back(&edit.left);
        self.jump(now, at, edit, said);
        true
    }

    /// The last stay before another one, and before all stays in the same interval next to it. To what
    /// was taken back nobody goes back: it is ahead again.
    fn stay_before(&self, origin: usize) -> Option<usize> {
        let taught = &self.course.taught;
        // A stay of no time has left no trace.
        let stay = taught.get(origin).map(|stay| &stay.interval);
        let id = stay.or(self.course.now())?.id;
        let is_meant = |&n: &usize| taught[n].interval.id != id && !taught[n].is_undone;
        (0..origin).rev().find(is_meant)
    }

    fn skip(&mut self, now: Moment, at: Offset) -> bool {
        if rotation::has_begun(&self.course.left) {
            let why = "who has begun to go round comes to every station";
            return self.refuse(now, why.into());
        }
        let mut id = self.next_id;
        let gate = gate(&self.course, at, &self.session.cueing);
        let skipped = edits::skip(&self.course.left, &gate, &mut id);
        self.next_id = id;
        let Some((edit, skipped)) = skipped else {
            return self.refuse(now, "no move left to skip".into());
        };
        let said = notices::skipped(&self.course.left, at, &skipped);
        let visits: Vec<u32> = self.visits_of(skipped.id);
        let jump = edit.jump;
        self.edit(now, at, Some(edit), said);
        self.skipped.push(self.changed);
        if jump {
            let (taught, changed) = (&mut self.course.taught, self.changed);
            for stay in taught
                .iter_mut()
                .filter(|stay| visits.contains(&stay.visit))
            {
                stay.skipped = Some(changed);
            }
        }
        true
    }

    /// The running visit of an interval, and those restarted just before it.
    fn visits_of(&self, id: u32) -> Vec<u32> {
        let running = self.course.running().map(|running| running.visit);
        let taught = self.course.taught.iter().rev();
        let before = taught.take_while(|stay| stay.interval.id == id);
        let before = before.map(|stay| stay.visit);
        before.chain(running).collect()
    }

    fn add(&mut self, now: Moment, at: Offset, by: Span) -> bool {
        let runs = self.course.now();
        let mat = self.course.past.mat_lies() || runs.is_some_and(|of| leaves_mat(of));
        match edits::add(&self.course.left, by, &self.session.cueing, mat) {
            Ok((edit, by)) => {
                self.bend(now, at, edit, false, format!("{} s more", by.secs_ceil()));
                true
            }
            Err(why) => self.refuse(now, why),
        }
    }

    fn take(&mut self, now: Moment, at: Offset, by: Span) -> bool {
        let mut id = self.next_id;
        let taken = edits::take(&self.course.left, at, by, &self.session.cueing, &mut id);
        self.next_id = id;
        let edit = match taken {
            Ok((edit, _)) => edit,
            Err(why) => return self.refuse(now, why),
        };
        let before = self.course.left.clone();
        let (left, put_in) = self.kept(at, &before, edit);
        let target = |left: &Remaining| left.running.as_ref().map_or(Span::ZERO, |of| of.target);
        let by = target(&before).saturating_sub(target(&left));
        if by.is_zero() {
            return self.refuse(
                now,
                "no less: people need it to get to the next move".into(),
            );
        }
        let edit = Edit {
            put_in,
            ..Edit::bend(left)
        };
        self.bend(now, at, edit, false, format!("{} s less", by.secs_ceil()));
        true
    }

    fn once_more(&mut self, now: Moment, at: Offset) -> bool {
        let mut next_id = self.next_id;
        let left = &self.course.left;
        let rests = |block| self.rest_of(block);
        let edit = edits::once_more(left, self.course.last_moved(), rests, &mut next_id);
        let Some(edit) = edit else {
            return self.refuse(now, "no move to do once more".into());
        };
        let said = notices::once_more(left, self.course.last_moved());
        self.next_id = next_id;
        self.edit(now, at, Some(edit), said)
    }

    /// The rest that a block has between two works: the one that runs, else the next, else the last.
    fn rest_of(&self, block: usize) -> Option<std::sync::Arc<crate::plan::Interval>> {
        let is_rest =
            |one: &crate::plan::Interval| one.kind == Kind::Rest && one.block() == Some(block);
        let taught = self.course.taught.iter().rev().map(|stay| &stay.interval);
        let mut all = self.course.left.intervals().chain(taught);
        all.find(|one| is_rest(one)).cloned()
    }

    fn drop_round(&mut self, now: Moment, at: Offset) -> bool {
        let mut id = self.next_id;
        let gate = gate(&self.course, at, &self.session.cueing);
        let edit = edits::drop_round(&self.course.left, &gate, &mut id);
        self.next_id = id;
        let Some(edit) = edit else {
            return self.refuse(now, "nothing left of this round to drop".into());
        };
        let said = notices::round_dropped(&self.course.left, &edit.left);
        self.edit(now, at, Some(edit), said)
    }

    fn go_to(&mut self, now: Moment, at: Offset, part: usize) -> bool {
        let Some(mut edit) = edits::go_to(&self.course.left, at, part, &self.original) else {
            return self.refuse(now, "nothing is taught in that part".into());
        };
        let said = notices::went_to(&edit.left);
        let mut gate = gate(&self.course, at, &self.session.cueing);
        gate.leaves(self.course.running());
        edit.put_in = gate.lead_in(gate.moved, &mut edit.left, &mut self.next_id);
        let begun = edit.left.running.as_ref();
        if begun.is_some_and(|begun| begun.interval.place.is_none()) {
            // The block's time begins with its first work, not with the way to it.
            edit.left.cap = None;
        }
        self.jump(now, at, edit, said);
        true
    }

    /// Takes a landing. What runs keeps what it has run and time to be counted out, however long
    /// ago the landing was worked out.
    fn land(&mut self, now: Moment, at: Offset, changes: &[Change]) -> bool {
        let Some((left, next_id)) = self.landed(at, changes) else {
            return false;
        };
        self.next_id = next_id;
        self.bend(now, at, Edit::bend(left), true, "landing taken".into());
        true
    }

    /// How much of the class is left once a landing is taken, with the time in it that people then
    /// need to come to what follows what went.
    pub(super) fn left_once_landed(&self, at: Offset, changes: &[Change]) -> Option<Span> {
        let (left, mut next_id) = self.landed(at, changes)?;
        let (left, _) = self.kept_with(at, &self.course.left, Edit::bend(left), &mut next_id);
        Some(left.lasts(at))
    }

    /// What is left with the changes of a landing, and the next number that is free.
    fn landed(&self, at: Offset, changes: &[Change]) -> Option<(Remaining, u32)> {
        let mut left = self.course.left.clone();
        let running = left.running.as_mut()?;
        let (id, timed) = (running.interval.id, !running.interval.untimed);
        let own = changes.iter().filter(|change| change.id == id);
        for change in own.filter(|_| timed) {
            if let ChangeKind::Length(length) = change.kind {
                let begun = running.elapsed(at) + least(&self.session.cueing);
                let floor = begun.min(running.target);
                let landed = running.into + length;
                running.target = floor.max(landed);
                // Begun anew it is as long as the landing made it.
                running.interval = edits::with_length(&running.interval, landed);
            }
        }
        let mut next_id = self.next_id;
        let ahead = left.ahead.to_vec();
        let taught = self.course.taught.iter().map(|stay| &stay.interval);
        let begun = taught.chain(self.course.now());
        let landed = landing::apply(begun, &ahead, changes, &mut next_id);
        if let Some(running) = left.running.as_mut() {
            running.interval = landing::counted_with(&running.interval, &landed);
        }
        left.ahead.replace(ahead.len(), landed);
        left.move_marks(at);
        Some((left, next_id))
    }
}

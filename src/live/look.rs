//! How a class looks at a moment: the view, derived from the state without changing it.

use super::input::HoldReason;
use super::machine::{Live, State};
use super::view::{Digits, HeldView, MoveView, NextView, PromptView, SlotView, Stance, View};
use crate::plan::{Body, Interval, Kind, Prompt, is_counted_out, to_fetch, uses_mat};
use crate::session::{Load, MoveOption, Pick, Position, Sides, Use};
use crate::time::{Moment, Offset, Span};

/// Seconds before the end of work from which the next move takes the first place.
const TURN: Span = Span::from_secs(10);
/// Seconds before the end of a long recovery or a briefing from which it does.
const TURN_FROM_OPEN: Span = Span::from_secs(15);
/// Parts into which the time to say a prompt is divided on screen.
const TWELFTHS: u64 = 12;

impl Live {
    /// What can be seen of the class at `now`.
    #[must_use]
    pub fn view(&self, now: Moment) -> View {
        let here = self.offset(now);
        let running = self.shown();
        let left = running.map_or(Span::ZERO, |running| running.end().since(here));
        let next = self.next_view(here);
        let stance = self.stance(left, next.is_some());
        View {
            title: self.course.plan.title().clone(),
            stance,
            kind: running.map_or(Kind::Talk, |running| running.kind),
            digits: self.digits(now, here, left),
            length: running.map_or(Span::ZERO, |running| running.length),
            brief: running.map_or_else(|| "".into(), |running| running.say.clone()),
            now: running
                .and_then(|running| Some(self.move_view(running.turn()?, Some((running, here))))),
            circuit: running.map_or_else(Vec::new, circuit),
            next,
            between: self.between(),
            last_of: self.last_of(),
            say: self.prompt(here, 0),
            say_next: self.prompt(here, 1),
            block_title: running
                .and_then(|running| running.place.as_ref())
                .and_then(|place| place.title.clone()),
            block: self.block(),
            round: self.place(|place| (place.round, place.rounds)),
            place: self.place(|place| (place.place, place.places)),
            ribbon: self.whole.ribbon.clone(),
            at: here.span().whole(),
            total: self.course.plan.total().ceil_secs(),
            left: self.left(now).ceil_secs(),
            estimated: self.is_estimated(),
            slot: self.slot(now),
            count: self.count(left),
            held: self.held(now),
            asked: self.asked.map(|(asked, _)| asked),
            notice: self.notice.as_ref().map(|(text, _)| text.clone()),
            done: self.done_in_the_end(now),
        }
    }

    /// The interval that is shown: the running one, or the last where the class is over.
    fn shown(&self) -> Option<&Interval> {
        self.course
            .now()
            .or_else(|| self.course.plan.intervals().last())
    }

    fn stance(&self, left: Span, has_next: bool) -> Stance {
        match self.state {
            State::Waiting => return Stance::Waiting,
            State::Held { .. } => return Stance::Held,
            State::Ended { .. } => return Stance::Ended,
            State::CountIn { .. } | State::Running { .. } => {}
        }
        let Some(running) = self.course.now() else {
            return Stance::Ended;
        };
        match running.kind {
            Kind::Work | Kind::WarmUp | Kind::CoolDown => {
                let turn = TURN.min(running.length.half());
                if has_next && !running.untimed && left <= turn {
                    Stance::Turning
                } else {
                    Stance::AtWork
                }
            }
            Kind::Rest | Kind::Ready => Stance::Turning,
            Kind::Talk | Kind::Recovery if has_next && left <= TURN_FROM_OPEN => Stance::Turning,
            Kind::Talk | Kind::Recovery => Stance::Open,
        }
    }

    fn digits(&self, now: Moment, here: Offset, left: Span) -> Digits {
        if let State::CountIn { go, .. } = self.state {
            return Digits::CountIn(go.since(now).secs_up());
        }
        match self.course.now() {
            Some(running) if running.untimed => Digits::Up(here.since(running.start).secs_down()),
            _ => Digits::Left(left.secs_up()),
        }
    }

    fn next_view(&self, here: Offset) -> Option<NextView> {
        let plan = &self.course.plan;
        let from = match self.state {
            State::Ended { .. } => return None,
            State::Waiting => 0,
            _ => self.course.n + 1,
        };
        let next = plan.next_moving(from)?;
        let (next, running) = (&plan.intervals()[next], self.course.now()?);
        let turn = next.turn()?;
        let before = self.last_moving();
        let used = before.map_or(&[][..], |before| &before.moves);
        let new_block = next.place.as_ref().is_some_and(|place| {
            running.place.as_ref().map(|here| here.block) != Some(place.block)
        });
        let pending = if running.untimed {
            next.start.since(running.end())
        } else {
            next.start.since(here)
        };
        Some(NextView {
            is: self.move_view(turn, None),
            body: Body::between(used.last().map(AsRef::as_ref), turn),
            from: used
                .last()
                .map_or(Position::Standing, |before| before.position()),
            fetch: to_fetch(used, &next.moves, self.mat_lies())
                .into_iter()
                .map(ToOwned::to_owned)
                .collect(),
            starts_in: pending.ceil_secs(),
            length: (!next.untimed).then_some(next.length.ceil_secs()),
            block: new_block
                .then(|| next.place.as_ref()?.title.as_deref().map(ToOwned::to_owned))
                .flatten(),
        })
    }

    /// The interval in which people move, or the last one in which they did.
    fn last_moving(&self) -> Option<&Interval> {
        let so_far = self.so_far().iter().rev();
        so_far
            .into_iter()
            .find(|interval| interval.kind.is_moving())
    }

    fn mat_lies(&self) -> bool {
        self.so_far()
            .iter()
            .any(|interval| uses_mat(&interval.moves))
    }

    /// What has been taught, and what runs.
    fn so_far(&self) -> &[Interval] {
        let intervals = self.course.plan.intervals();
        match self.state {
            State::Waiting => &[],
            _ => &intervals[..(self.course.n + 1).min(intervals.len())],
        }
    }

    fn move_view(&self, turn: &Use, running: Option<(&Interval, Offset)>) -> MoveView {
        let (easier, harder) = steps(turn);
        MoveView {
            name: turn.of.name.clone(),
            option: turn.option().map(|option| option.call.clone()),
            note: turn.note.clone(),
            reps: turn.reps,
            position: turn.position(),
            side: running.and_then(|(interval, here)| side(turn, interval, here)),
            easier,
            harder,
            form: turn.of.form.clone(),
            setup: turn
                .option()
                .and_then(|option| option.setup.clone())
                .unwrap_or_else(|| turn.of.setup.clone()),
            spare: self.spare(turn),
        }
    }

    fn spare(&self, turn: &Use) -> Vec<String> {
        let loads = turn.loads();
        let meets = self.limits.iter().filter(|limit| loads.contains(limit));
        meets.map(|limit| spared(turn, *limit)).collect()
    }

    fn between(&self) -> Option<(Kind, Span)> {
        let after = self.course.plan.intervals().get(self.course.n + 1)?;
        (!after.kind.is_moving()).then_some((after.kind, after.length.ceil_secs()))
    }

    fn last_of(&self) -> Option<&'static str> {
        let running = self.course.now()?;
        if running.kind != Kind::Work {
            return None;
        }
        let behind = &self.course.plan.intervals()[self.course.n + 1..];
        let mut works = behind.iter().filter(|next| next.kind == Kind::Work);
        let block = |interval: &Interval| interval.place.as_ref().map(|place| place.block);
        match works.next() {
            None => Some("the class"),
            Some(next) if block(next) != block(running) => Some("the block"),
            Some(_) => None,
        }
    }

    fn prompt(&self, here: Offset, which: usize) -> Option<PromptView> {
        let stopped = matches!(self.state, State::Waiting | State::Ended { .. });
        if stopped {
            return None;
        }
        let prompts = &self.cues.prompts;
        let first = prompts.partition_point(|prompt| prompt.until <= here);
        let begun = prompts.get(first).is_some_and(|prompt| prompt.at <= here);
        let after_now = first + usize::from(begun);
        let prompt = match which {
            0 if begun => &prompts[first],
            0 => return None,
            _ => prompts.get(after_now)?,
        };
        Some(PromptView {
            say: prompt.say.clone(),
            kind: prompt.kind,
            marked: prompt.marked,
            left: twelfths(prompt, here),
        })
    }

    fn block(&self) -> (usize, usize) {
        let here = self.place(|place| (place.block, 0)).0;
        (here, self.whole.blocks)
    }

    fn place(&self, of: impl Fn(&crate::plan::Place) -> (usize, usize)) -> (usize, usize) {
        let place = self.course.now().and_then(|running| running.place.as_ref());
        place.map_or((0, 0), |place| of(place))
    }

    fn is_estimated(&self) -> bool {
        self.whole.last_untimed.is_some_and(|n| n >= self.course.n)
    }

    fn slot(&self, now: Moment) -> Option<SlotView> {
        let (end, slot) = (self.projected_end(now), self.ends_at?);
        Some(if end > slot {
            SlotView::Over(end.since(slot).ceil_secs())
        } else {
            SlotView::InHand(slot.since(end).whole())
        })
    }

    /// The seconds of a count before a boundary, where one is counted.
    fn count(&self, left: Span) -> Option<u64> {
        let State::Running { .. } = self.state else {
            return None;
        };
        let next = self.course.plan.intervals().get(self.course.n + 1);
        let counted = is_counted_out(self.course.now()?, next);
        let within = left <= self.session.cueing.count_span() && !left.is_zero();
        (counted && within).then(|| left.secs_up())
    }

    fn held(&self, now: Moment) -> Option<HeldView> {
        match self.state {
            State::Held {
                since, why, gap, ..
            } => Some(HeldView {
                why,
                secs: now.since(since).secs_down(),
                gap: gap.map(|gap| gap.slept),
            }),
            _ => None,
        }
    }

    /// Why the class is held, if it is.
    #[must_use]
    pub fn held_for(&self) -> Option<HoldReason> {
        match self.state {
            State::Held { why, .. } => Some(why),
            _ => None,
        }
    }
}

/// What is easier and what is harder than what everyone does now, by their calls, the nearest
/// first.
fn steps(turn: &Use) -> (Vec<String>, Vec<String>) {
    let calls = |options: &[MoveOption]| -> Vec<String> {
        options.iter().map(|option| option.call.clone()).collect()
    };
    let back = |options: &[MoveOption], n: usize| -> Vec<String> {
        let nearer = options[..n.min(options.len())].iter().rev();
        let nearer = nearer.map(|option| option.call.clone());
        nearer.chain(["the move as it is".to_owned()]).collect()
    };
    let on = |options: &[MoveOption], n: usize| calls(options.get(n + 1..).unwrap_or_default());
    let (easier, harder) = (&turn.of.easier, &turn.of.harder);
    match turn.pick {
        None => (calls(easier), calls(harder)),
        Some(Pick::Instead(_)) => (calls(easier), back(harder, 0)),
        Some(Pick::Easier(n)) => (on(easier, n), back(easier, n)),
        Some(Pick::Harder(n)) => (back(harder, n), on(harder, n)),
    }
}

fn side(turn: &Use, interval: &Interval, here: Offset) -> Option<u8> {
    let each = turn.of.sides == Sides::Each && interval.moves.len() == 1 && !interval.untimed;
    each.then(|| {
        let second = here.since(interval.start) >= interval.length.half();
        1 + u8::from(second)
    })
}

fn circuit(interval: &Interval) -> Vec<String> {
    if interval.moves.len() < 2 {
        return Vec::new();
    }
    let line = |turn: &Use| match turn.reps {
        Some(reps) => format!("{reps} {}", turn.of.name),
        None => turn.of.name.clone(),
    };
    interval.moves.iter().map(|turn| line(turn)).collect()
}

fn spared(turn: &Use, limit: Load) -> String {
    match turn.sparing(limit) {
        Some((_, option)) => format!("{}: {}", limit.label(), option.call),
        None => format!("{}: leave this one out", limit.label()),
    }
}

/// How much of a prompt's time is left, in twelfths, rounded up.
fn twelfths(prompt: &Prompt, here: Offset) -> u8 {
    let length = prompt.until.since(prompt.at).millis().max(1);
    let left = prompt.until.since(here.max(prompt.at)).millis();
    u8::try_from((left * TWELFTHS).div_ceil(length).min(TWELFTHS)).unwrap_or(12)
}

/// When the bar of a prompt next changes, or the prompt goes.
pub(super) fn next_twelfth(prompt: &Prompt, here: Offset) -> Offset {
    let length = prompt.until.since(prompt.at).millis();
    let left = u64::from(twelfths(prompt, here));
    let at = prompt.until.before(Span::from_millis(
        length * (left.saturating_sub(1)) / TWELFTHS,
    ));
    at.max(here + Span::from_millis(1))
        .min(prompt.until.max(here + Span::from_millis(1)))
}

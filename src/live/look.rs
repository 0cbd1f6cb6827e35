//! How a class looks at a moment: the view, derived from the state without changing it.

use super::ahead;
use super::input::HoldReason;
use super::machine::{Live, State};
use super::notices;
use super::rotation;
use super::stations;
use super::view::{
    Digits, HeldView, MeantView, MoveView, NextView, PromptView, SlotView, Stance, TogetherView,
    View,
};
use crate::plan::{Interval, Kind, Nth, Place, Placed, Prompt, Transition, guard, is_counted_out};
use crate::session::{Choice, Load, Room, Use, Version, choose};
use crate::time::{Moment, Offset, Span};

/// Seconds before the end of work from which the next move takes the first place.
const TURN: Span = Span::from_secs(10);
/// Seconds before the end of a long recovery or a briefing from which it does.
const TURN_FROM_OPEN: Span = Span::from_secs(15);
/// Seconds before the end of a circuit, which is announced for longer.
const TURN_FROM_CIRCUIT: Span = Span::from_secs(15);
/// Parts into which the time to say a prompt is divided on screen.
const TWELFTHS: u64 = 12;

impl Live {
    /// What can be seen of the class at `now`.
    #[must_use]
    pub fn view(&self, now: Moment) -> View {
        let here = self.offset(now);
        let running = self.shown();
        let capped = self.course.left.capped_at().filter(|_| !self.is_over());
        let end = running.map_or(here, |running| running.end);
        let left = capped.unwrap_or(end).since(here);
        let next = self.next_view(here);
        let stance = self.stance(left, next.is_some());
        let meant = running.and_then(|running| self.interval_view(running, self.side(here), false));
        let then = self.then();
        View {
            title: self.plan.title().clone(),
            stance,
            meant: self.meant(here),
            kind: running.map_or(Kind::Talk, |running| running.kind),
            digits: self.digits(now, here, left),
            length: match capped {
                Some(_) => running
                    .and_then(|running| running.place.as_ref())
                    .and_then(|place| place.cap)
                    .unwrap_or_default(),
                None => self.length(),
            },
            brief: running.map_or_else(|| "".into(), |running| running.say.clone()),
            then,
            version: ahead::version(stance, then, meant.as_ref(), next.as_ref()),
            free: self.free(here),
            minute: self.minute(),
            now: meant,
            circuit: running.map_or_else(Vec::new, |running| circuit(running)),
            together: self.together_view(stance),
            next,
            between: self.between(),
            last_of: self.last_of(),
            say: self.prompt(here, 0),
            say_next: self.prompt(here, 1),
            block_title: running
                .and_then(|running| running.place.as_ref())
                .and_then(|place| place.title.clone()),
            block: self.block(),
            round: self.place(|place| place.round),
            place: self.place(|place| place.place),
            ribbon: self.overview.ribbon.clone(),
            at: here.span().floor_secs(),
            total: self.plan.total().ceil_secs(),
            left: self.left(now).ceil_secs(),
            estimated: self.is_estimated(),
            slot: self.slot(now),
            count: self.count(left),
            held: self.held(now),
            asked: self.asked.map(|(asked, _)| asked),
            notice: self.notice.as_ref().map(|notice| notice.text.clone()),
            is_changed: self.notice.as_ref().is_some_and(|notice| notice.is_change),
            done: self.done_in_the_end(now),
        }
    }

    /// What the keys mean whose meaning depends on where the class is.
    fn meant(&self, here: Offset) -> MeantView {
        let left = &self.course.left;
        let told = notices::is_pause(left) || notices::in_window(left);
        let in_pause = |meant: Option<String>| meant.filter(|_| told && !self.is_over());
        let undo = self.last_change(here).filter(|_| !self.is_over());
        let goes_round = rotation::has_begun(left);
        MeantView {
            skip: in_pause(notices::to_skip(left)).filter(|_| !goes_round),
            goes_round,
            once_more: in_pause(notices::to_repeat(left, self.course.last_moved())),
            undo: undo.map(|change| change.what.clone()),
        }
    }

    /// The interval that is shown: the running one, or the last where the class is over.
    fn shown(&self) -> Option<&Placed> {
        let intervals = self.plan.intervals();
        intervals.get(self.running()).or(intervals.last())
    }

    /// How long it is in all, whatever of it lay behind when it was taken up.
    fn length(&self) -> Span {
        let target = self.course.running().map(|running| running.target);
        let last = || self.shown().map_or(Span::ZERO, Placed::span);
        target.unwrap_or_else(last)
    }

    /// The side people are on, where they have sides.
    fn side(&self, here: Offset) -> Option<u8> {
        self.course.running()?.side(here)
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
                let target = self.course.running().map(|running| running.target);
                let long = target.unwrap_or(Span::ZERO);
                let turn = if running.is_circuit() {
                    TURN_FROM_CIRCUIT
                } else {
                    TURN
                };
                let turn = turn.min(long.half());
                if has_next && !running.untimed && left <= turn {
                    Stance::Turning
                } else {
                    Stance::AtWork
                }
            }
            Kind::Rest | Kind::Ready => Stance::Turning,
            Kind::Talk | Kind::Recovery | Kind::Free if has_next && left <= TURN_FROM_OPEN => {
                Stance::Turning
            }
            Kind::Talk | Kind::Recovery | Kind::Free => Stance::Open,
        }
    }

    fn digits(&self, now: Moment, here: Offset, left: Span) -> Digits {
        if let State::CountIn { go, .. } = self.state {
            // Until the loudspeaker can be reached the first digit stands.
            let count = self.session.cueing.count_span().secs_ceil();
            return Digits::CountIn(go.since(now).secs_ceil().min(count.max(1)));
        }
        match self.course.running() {
            _ if self.course.left.capped_at().is_some() => Digits::Left(left.secs_ceil()),
            Some(running) if running.interval.untimed => {
                Digits::Up(running.elapsed(here).secs_floor())
            }
            _ => Digits::Left(left.secs_ceil()),
        }
    }

    fn next_view(&self, here: Offset) -> Option<NextView> {
        let from = match self.state {
            State::Ended { .. } => return None,
            State::Waiting => 0,
            _ => self.running() + 1,
        };
        let nth = self.plan.next_moving(from)?;
        let (next, running) = (&self.plan.intervals()[nth], self.course.running()?);
        let way = self.way_to(nth);
        let new_block = next.block().is_some() && running.interval.block() != next.block();
        let title = next.place.as_ref().and_then(|place| place.title.as_deref());
        let pending = if running.interval.untimed {
            next.start.since(running.end())
        } else {
            next.start.since(here)
        };
        Some(NextView {
            is: self.interval_view(next, None, true)?,
            change: way.change,
            from: way.from,
            fetch: way.fetch.iter().map(ToString::to_string).collect(),
            starts_in: pending.ceil_secs(),
            length: (!next.untimed).then_some(next.span().ceil_secs()),
            block: title.filter(|_| new_block).map(ToOwned::to_owned),
        })
    }

    /// The way from where people are to the move that comes next.
    fn way_to(&self, nth: usize) -> Transition<'_> {
        let begun = self.state != State::Waiting;
        let running = self
            .course
            .now()
            .filter(|now| begun && now.kind.is_moving());
        let active = self.plan.intervals()[..nth].iter().rev();
        let mut active = active.take_while(|pause| !pause.kind.is_moving());
        let active = active.find(|pause| begun && pause.is_active_pause());
        let before = active.map(Placed::interval).or(running);
        let before = before.or_else(|| self.course.last_moved());
        let lies =
            self.course.past.mat_lies() || running.is_some_and(|now| crate::plan::leaves_mat(now));
        Transition::of(
            before.map(|before| &**before),
            &self.plan.intervals()[nth],
            lies,
        )
    }

    /// What is done in an interval; `comes` where it is still to come.
    fn interval_view(&self, of: &Interval, side: Option<u8>, comes: bool) -> Option<MoveView> {
        let first = self.move_view(of.turn()?, side);
        let Some(rotation) = of.together() else {
            return Some(first);
        };
        let views = of.moves.iter().map(|turn| {
            let spare = self.move_view(turn, None).spare.into_iter();
            spare.map(|line| format!("{}, {line}", turn.of.call))
        });
        let name = stations::title(of, rotation, comes);
        Some(MoveView {
            call: name.clone(),
            name,
            spare: views.flatten().collect(),
            option: None,
            note: None,
            reps: None,
            easier: Vec::new(),
            harder: Vec::new(),
            instead: Vec::new(),
            form: Vec::new(),
            setup: String::new(),
            ..first
        })
    }

    /// Who is where: now, or in the pause and the last seconds before a change, then.
    fn together_view(&self, stance: Stance) -> Option<TogetherView> {
        let running = self.shown()?;
        let here = running
            .together()
            .and_then(|_| stations::view(None, running, false));
        let begun = self.state != State::Waiting;
        let from = if begun { self.running() + 1 } else { 0 };
        let coming = || {
            let next = &self.plan.intervals()[self.plan.next_moving(from)?];
            next.together()?;
            let before = running.kind.is_moving().then_some(&**running.interval());
            let before = before.or_else(|| self.course.last_moved().map(|of| &**of));
            stations::view(before.filter(|_| begun), next, true)
        };
        let is_over = stance == Stance::Ended;
        let turning = stance != Stance::AtWork && !is_over;
        let next = coming().filter(|_| turning);
        let shown = next.or(here).filter(|_| !is_over)?;
        // Which work it is stays what it is while the next one is shown, and in the swap to it.
        let turn = running.rotation().map_or(shown.turn, |of| of.turn);
        Some(TogetherView { turn, ..shown })
    }

    fn move_view(&self, turn: &Use, side: Option<u8>) -> MoveView {
        let limits = &self.limits;
        let things = &self.session.equipment;
        let choice = choose(turn, &Room { limits, things });
        let [easier, harder, instead] = steps(turn, &choice);
        MoveView {
            name: turn.of.name.clone(),
            call: turn.of.call.clone(),
            option: turn.option().map(|option| option.call.clone()),
            note: turn.note.clone(),
            reps: turn.reps,
            effort: turn.effort,
            aside: turn.aside.clone(),
            position: turn.position(),
            side: side.filter(|_| !turn.version().turns_about()),
            easier,
            harder,
            instead,
            form: turn.version().form().to_vec(),
            setup: turn.version().setup().unwrap_or_default().to_owned(),
            spare: spare(&choice),
        }
    }

    fn between(&self) -> Option<(Kind, Span)> {
        let after = self.course.left.ahead.next()?;
        (!after.kind.is_moving()).then_some((after.kind, after.length.ceil_secs()))
    }

    fn last_of(&self) -> Option<&'static str> {
        let running = self.course.now()?;
        if running.kind != Kind::Work {
            return None;
        }
        let mut works = self.course.left.ahead.iter();
        match works.find(|next| next.kind == Kind::Work) {
            None => Some("the class"),
            Some(next) if next.block() != running.block() => Some("the block"),
            Some(_) => None,
        }
    }

    /// The first prompt of the running interval that is not over by a place in the class.
    pub(super) fn prompt_from(&self, here: Offset) -> Option<&Prompt> {
        self.prompts_here(here).next()
    }

    /// What is to be said in the running interval, and is not over.
    fn prompts_here(&self, here: Offset) -> impl Iterator<Item = &Prompt> {
        let (prompts, running) = (&self.cues.prompts, self.running());
        let first = prompts.partition_point(|prompt| prompt.until <= here);
        prompts[first..]
            .iter()
            .filter(move |prompt| prompt.interval == running)
    }

    /// What is said now, and what is said after that: of the running interval, and where nothing
    /// more is said in it, of what comes.
    fn prompt(&self, here: Offset, which: usize) -> Option<PromptView> {
        if matches!(self.state, State::Waiting | State::Ended { .. }) {
            return None;
        }
        let mut here_still = self.prompts_here(here).peekable();
        let begun = here_still.next_if(|prompt| prompt.at <= here);
        let waits = self.course.now().is_some_and(|now| now.untimed);
        let later = || {
            let (prompts, running) = (&self.cues.prompts, self.running());
            let first = prompts.partition_point(|prompt| prompt.at <= here);
            let mut later = prompts[first..].iter();
            later.find(|prompt| prompt.interval > running && !waits)
        };
        let prompt = match which {
            0 => begun?,
            _ => here_still.next().or_else(later)?,
        };
        Some(PromptView {
            say: prompt.say.clone(),
            kind: prompt.kind,
            marked: prompt.marked,
            left: twelfths(prompt, here),
        })
    }

    fn block(&self) -> Nth {
        let blocks = self.overview.blocks;
        let here = self.course.now().and_then(|running| running.block());
        Nth::new(here.unwrap_or(0), blocks)
    }

    fn place(&self, of: impl Fn(&Place) -> Nth) -> Nth {
        let place = self.course.now().and_then(|running| running.place.as_ref());
        place.map_or_else(Nth::default, |place| of(place))
    }

    fn is_estimated(&self) -> bool {
        self.overview
            .last_untimed
            .is_some_and(|n| n >= self.running())
    }

    fn slot(&self, now: Moment) -> Option<SlotView> {
        let (end, slot) = (self.projected_end(now), self.ends_at?);
        Some(if end > slot {
            SlotView::Over(end.since(slot).ceil_secs())
        } else {
            SlotView::InHand(slot.since(end).floor_secs())
        })
    }

    /// The seconds of a count before a boundary, where one is counted.
    fn count(&self, left: Span) -> Option<u64> {
        let State::Running { .. } = self.state else {
            return None;
        };
        let next = self.course.left.ahead.next().map(|next| &**next);
        let capped = self.course.left.capped_at().is_some();
        let counted = capped || is_counted_out(self.course.now()?, next);
        let within = left <= self.session.cueing.count_span() && !left.is_zero();
        (counted && within).then(|| left.secs_ceil())
    }

    fn held(&self, now: Moment) -> Option<HeldView> {
        match self.state {
            State::Held {
                since, why, gap, ..
            } => Some(HeldView {
                why,
                secs: now.since(since).secs_floor(),
                gap: gap.map(|gap| gap.slept),
                doing: (why == HoldReason::Moving).then(|| self.easy_move()),
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

/// Who must spare what, and how.
fn spare(choice: &Choice) -> Vec<String> {
    let line = |limit: &Load| {
        let instead = choice
            .spare
            .map_or("leave this one out", |version| version.call());
        format!("{}: {instead}", limit.label())
    };
    choice.met.iter().map(line).collect()
}

/// What is easier, what is harder and what there is instead, the one to which a key leads first.
fn steps(turn: &Use, choice: &Choice) -> [Vec<String>; 3] {
    let call = |version: &Version| match version.pick() {
        None => "the move as it is".to_owned(),
        Some(_) => version.call().to_owned(),
    };
    let first = |next: Option<Version>, all: &[Version]| -> Vec<String> {
        let others = all.iter().filter(|one| Some(**one) != next);
        next.iter().chain(others).map(call).collect()
    };
    let next = choice.next_harder();
    let others = choice.harder.iter().filter(|one| Some(*one) != next);
    let harder = next.into_iter().chain(others);
    let harder = harder.map(|harder| match guard(harder, turn) {
        Some(guard) => format!("{}; {guard}", call(&harder.version)),
        None => call(&harder.version),
    });
    [
        first(choice.next_easier(), &choice.easier),
        harder.collect(),
        first(choice.next_instead(), &choice.instead),
    ]
}

fn circuit(interval: &Interval) -> Vec<String> {
    if !interval.is_circuit() {
        return Vec::new();
    }
    let moves = interval.moves.iter();
    moves.map(|turn| turn.counted_name()).collect()
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

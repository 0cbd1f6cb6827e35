//! The state machine of a running class.
//!
//! Everything that happens is the consequence of a plan, of acts and of their moments. Boundaries
//! fall on the moments at which they were due, whenever the machine is woken, so a late wake and an
//! early one leave the same facts. Every change leaves its way back, and can be taken back.

use std::collections::VecDeque;
use std::sync::Arc;

use super::change::Change;
use super::course::{Course, Running};
use super::fact::{Ending, Fact, What};
use super::input::{Act, HoldReason, Input};
use super::notices;
use super::output::Output;
use super::overview::Overview;
use super::said::Speaking;

use super::view::Asked;
use crate::plan::{CuePlan, Heard, Interval, Placed, Timeline};
use crate::session::{Load, Session, Use};
use crate::time::{Moment, Offset, Span};

/// How long a question stands, and a word about what was just done.
pub(super) const ASK_FOR: Span = Span::from_secs(4);

/// A word about what was just done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Notice {
    pub(super) text: String,
    pub(super) until: Moment,
    /// Whether it is of a change, so that it belongs beside it when the class now ends.
    pub(super) is_change: bool,
}

/// How the clock of the class stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum State {
    Waiting,
    Running {
        from: Offset,
        at: Moment,
    },
    CountIn {
        from: Offset,
        pressed: Moment,
        go: Moment,
        since: Moment,
    },
    Held {
        at: Offset,
        since: Moment,
        why: HoldReason,
        gap: Option<Gap>,
    },
    Ended {
        at: Offset,
        how: Ending,
        since: Moment,
        /// Whether the class stood when it was ended.
        was_held: bool,
    },
}

/// How long nothing ran, and when that was told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Gap {
    pub(super) slept: Span,
    pub(super) told: Moment,
}

impl Gap {
    /// What the class has missed by `now`: the sleep, and the time since it was told.
    pub(super) fn missed(self, now: Moment) -> Span {
        self.slept + now.since(self.told)
    }
}

/// What was counted on the way.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Tally {
    pub(super) holds: usize,
    /// Where the class was held last.
    last_hold: Option<Offset>,
    pub(super) held: Span,
    /// How much of a sleep the clock of the class did not see.
    pub(super) unseen: Span,
    pub(super) marks: usize,
}

impl Tally {
    /// The class is held at `at`; where none of it has run since it was held last, it still is.
    pub(super) fn held_at(&mut self, at: Offset) {
        self.holds += usize::from(self.last_hold != Some(at));
        self.last_hold = Some(at);
    }
}

/// A class that runs.
#[derive(Clone, Debug, PartialEq)]
pub struct Live {
    pub(super) session: Arc<Session>,
    pub(super) limits: Vec<Load>,
    pub(super) original: Arc<Timeline>,
    pub(super) course: Course,
    /// The course with its places in time, as it was last changed.
    pub(super) plan: Arc<Timeline>,
    pub(super) state: State,
    pub(super) cues: Arc<CuePlan>,
    /// What was shown to be said, while its interval ran.
    pub(super) heard: Arc<Vec<Heard>>,
    /// Up to where that is noted.
    pub(super) noted: Offset,
    /// What was being said then, with the number of its interval.
    pub(super) speaking: Option<Speaking>,
    pub(super) overview: Overview,
    pub(super) ends_at: Option<Moment>,
    pub(super) asked: Option<(Asked, Moment)>,
    pub(super) notice: Option<Notice>,
    /// The changes that left out a work, by their numbers.
    pub(super) skipped: Vec<u32>,
    /// From where on what is run counts as done.
    pub(super) counts_from: Offset,
    pub(super) tally: Tally,
    /// When `back` was pressed last, and from which stay on it went back.
    pub(super) back: Option<(Moment, usize)>,
    pub(super) changes: Vec<Change>,
    /// What was done last that can no longer be taken back, in words.
    pub(super) history: Option<String>,
    /// How many changes there have been.
    pub(super) changed: u32,
    /// The change that the act in hand takes back.
    pub(super) undone: Option<u32>,
    pub(super) next_id: u32,
    /// How far ahead of the clock the loudspeaker commits.
    pub(super) reach: Span,
    pub(super) seen: Moment,
    pub(super) out: VecDeque<Output>,
}

impl Live {
    /// A class that has not begun.
    #[must_use]
    pub fn new(session: Arc<Session>) -> Self {
        let original = Arc::new(Timeline::of(&session));
        let next_id = u32::try_from(original.intervals().len()).unwrap_or(u32::MAX / 2);
        let mut live = Self {
            limits: session.limits.clone(),
            course: Course::of(&original, &session.limits),
            plan: original.clone(),
            original,
            session,
            state: State::Waiting,
            cues: Arc::default(),
            heard: Arc::default(),
            noted: Offset::ZERO,
            speaking: None,
            overview: Overview::default(),
            ends_at: None,
            asked: None,
            notice: None,
            skipped: Vec::new(),
            counts_from: Offset::ZERO,
            tally: Tally::default(),
            back: None,
            changes: Vec::new(),
            history: None,
            changed: 0,
            undone: None,
            next_id,
            reach: Span::ZERO,
            seen: Moment::ZERO,
            out: VecDeque::new(),
        };
        live.plan_again(Offset::ZERO);
        live
    }

    /// A class as its facts left it.
    ///
    /// The facts' acts are done again at their moments; what follows from them follows again.
    #[must_use]
    pub fn replay<'a>(session: Arc<Session>, facts: impl IntoIterator<Item = &'a Fact>) -> Self {
        let mut live = Self::new(session);
        for fact in facts {
            live.redo(fact);
            live.out.clear();
        }
        live
    }

    /// Does once more what a fact tells. What was asked then has been answered.
    pub fn redo(&mut self, fact: &Fact) {
        match &fact.what {
            What::Did(act) => self.handle_act(fact.at, act),
            What::Undid(_) => self.handle_act(fact.at, &Act::Undo),
            What::EndsAt(end) => self.handle(fact.at, &Input::EndsAt(*end)),
            What::Sound(on) => self.handle(fact.at, &Input::Sound(*on)),
            What::Reach(reach) => self.handle(fact.at, &Input::Reach(*reach)),
            What::Entered { .. } | What::Ended(_) => self.handle(fact.at, &Input::Wake),
        }
    }

    /// What the class has to say to the world; call until there is nothing more.
    pub fn poll_output(&mut self) -> Option<Output> {
        self.out.pop_front()
    }

    /// Whether the class is over.
    #[must_use]
    pub fn is_over(&self) -> bool {
        matches!(self.state, State::Ended { .. })
    }

    /// Whether the class has begun.
    #[must_use]
    pub fn has_begun(&self) -> bool {
        self.state != State::Waiting
    }

    /// Whether the class has asked whether to end, and waits for the answer.
    #[must_use]
    pub fn is_asking(&self, now: Moment) -> bool {
        self.asked.is_some_and(|(_, until)| now < until)
    }

    /// Whether the clock of the class stands still.
    #[must_use]
    pub fn is_held(&self) -> bool {
        matches!(self.state, State::Held { .. })
    }

    /// The whole class: what is past as it was taught, what comes as it is now planned.
    #[must_use]
    pub fn plan(&self) -> &Timeline {
        &self.plan
    }

    /// The place of the running interval in the whole class.
    #[must_use]
    pub const fn running(&self) -> usize {
        self.course.taught.len()
    }

    /// The running interval, if one runs.
    #[must_use]
    pub fn now(&self) -> Option<&Interval> {
        self.course.now().map(|now| &**now)
    }

    /// Where counted work that runs has had its planned time; nothing where none runs.
    #[must_use]
    pub fn counted_until(&self) -> Option<Offset> {
        let running = self.course.running();
        let counted = running.filter(|running| running.interval.untimed);
        counted.map(Running::end)
    }

    /// The move that the keys mean: this one while working, else the coming one.
    #[must_use]
    pub fn meant_move(&self) -> Option<&Use> {
        let meant = self.course.left.meant()?;
        meant.turn().map(|turn| &**turn)
    }

    /// The session that is taught.
    #[must_use]
    pub fn session(&self) -> &Arc<Session> {
        &self.session
    }

    /// What someone in the room must spare.
    #[must_use]
    pub fn limits(&self) -> &[Load] {
        &self.limits
    }

    /// The prompts for what is left.
    #[must_use]
    pub fn cues(&self) -> &CuePlan {
        &self.cues
    }

    /// Where the class is.
    #[must_use]
    pub fn offset(&self, now: Moment) -> Offset {
        match self.state {
            State::Waiting => Offset::ZERO,
            State::Running { from, at } => from + now.since(at),
            State::CountIn { from, go, .. } => from + now.since(go),
            State::Held { at, .. } | State::Ended { at, .. } => at,
        }
    }

    /// Class time left, held time not counted.
    #[must_use]
    pub fn left(&self, now: Moment) -> Span {
        let Some(running) = self.course.running().filter(|_| !self.is_over()) else {
            return Span::ZERO;
        };
        let here = self.offset(now);
        let left = self.plan.end().since(running.end()) + running.left(here);
        let Some(cap) = self.course.left.cap else {
            return left;
        };
        let of_block = |placed: &&Placed| placed.part == running.interval.part;
        let block = self.plan.intervals()[self.running()..].iter();
        let block = block
            .take_while(of_block)
            .last()
            .map_or(here, |last| last.end);
        let in_block = block.since(running.end()) + running.left(here);
        left.saturating_sub(in_block) + in_block.min(cap.ends.since(here))
    }

    /// Where the block that runs ends by itself, if it does.
    pub(super) fn block_ends_at(&self) -> Option<Offset> {
        self.course.left.cap.map(|cap| cap.ends)
    }

    /// Where the counted work that runs ends by itself, if it does.
    #[must_use]
    pub fn capped_at(&self) -> Option<Offset> {
        self.course.left.capped_at()
    }

    /// When the class will end if it runs on from now.
    #[must_use]
    pub fn projected_end(&self, now: Moment) -> Moment {
        let start = match self.state {
            State::CountIn { go, .. } => now.max(go),
            _ => now,
        };
        start + self.left(now)
    }

    /// The end of the slot.
    #[must_use]
    pub fn ends_at(&self) -> Option<Moment> {
        self.ends_at
    }

    /// Does what has come due by `now`, and then the input.
    pub fn handle(&mut self, now: Moment, input: &Input) {
        if let Input::Act(act) = input {
            return self.ask_or_act(now, act);
        }
        self.advance(now);
        match input {
            Input::Wake => self.forget(now),
            Input::Act(_) => {}
            Input::End => self.ask_to_end(now),
            Input::Cancel => self.asked = None,
            Input::Sound(on) => self.fact(now, What::Sound(*on)),
            Input::Reach(reach) if self.reach == *reach || self.is_over() => {}
            Input::Reach(reach) => {
                self.reach = *reach;
                self.fact(now, What::Reach(*reach));
            }
            Input::EndsAt(end) => {
                self.ends_at = *end;
                self.fact(now, What::EndsAt(*end));
            }
        }
    }

    /// Lets what has had its time go, so that it makes no difference whether it was seen.
    fn forget(&mut self, now: Moment) {
        if self.asked.is_some_and(|(_, until)| until <= now) {
            self.asked = None;
        }
        if self
            .notice
            .as_ref()
            .is_some_and(|notice| notice.until <= now)
        {
            self.notice = None;
        }
    }

    /// What costs much asks first.
    fn ask_or_act(&mut self, now: Moment, act: &Act) {
        if can_ask(act) {
            self.advance(now);
            if let Some(question) = self.question(now, act)
                && !self.is_answered(now, question)
            {
                self.asked = Some((question, now + ASK_FOR));
                return;
            }
        }
        self.handle_act(now, act);
    }

    /// Whether this act says yes to what the class has asked.
    #[must_use]
    pub fn answers(&self, now: Moment, act: &Act) -> bool {
        let question = self.question(now, act).filter(|_| can_ask(act));
        question.is_some_and(|question| self.is_answered(now, question))
    }

    /// Whether this question stands, or the one whether to end.
    fn is_answered(&self, now: Moment, question: Asked) -> bool {
        let asked = self.asked.filter(|(_, until)| now < *until);
        asked.is_some_and(|(asked, _)| match (asked, question) {
            (Asked::End, _) => question == Asked::End,
            (Asked::Window { what, .. }, Asked::Window { what: meant, .. }) => what == meant,
            (Asked::Window { .. }, Asked::End) => false,
        })
    }

    /// What this act asks before it is done, if it does.
    fn question(&self, now: Moment, act: &Act) -> Option<Asked> {
        if self.would_end(now, act) {
            return Some(Asked::End);
        }
        if self.is_over() || !self.has_begun() {
            return None;
        }
        notices::window(&self.course, self.offset(now), act)
    }

    fn handle_act(&mut self, now: Moment, act: &Act) {
        let Act::Slept { from, gap } = act else {
            self.advance(now);
            return self.act(now, act);
        };
        // What was seen before has happened; the sleep can only have begun after it.
        let from = (*from).max(self.seen).min(now);
        self.advance(from);
        self.act(now, &Act::Slept { from, gap: *gap });
    }

    fn ask_to_end(&mut self, now: Moment) {
        match self.asked {
            Some((Asked::End, until)) if now < until => self.act(now, &Act::End),
            _ if self.is_over() || !self.has_begun() => {}
            _ => self.asked = Some((Asked::End, now + ASK_FOR)),
        }
    }

    pub(super) fn advance(&mut self, now: Moment) {
        self.seen = self.seen.max(now);
        if let State::CountIn {
            from, go, since, ..
        } = self.state
            && now >= go
        {
            self.tally.held += go.since(since);
            self.state = State::Running { from, at: go };
        }
        while let State::Running { from, at } = self.state {
            let Some(running) = self.course.running() else {
                break;
            };
            let capped = self.course.left.capped_at();
            let offset = capped.unwrap_or_else(|| running.end());
            let due = at + offset.since(from);
            if running.interval.untimed && capped.is_none() || now < due {
                break;
            }
            self.note_heard(offset);
            if capped.is_some() {
                self.course.end_at_cap(offset);
                self.plan_again(offset);
            } else {
                let known = self.course.taught.len();
                self.course.go_over();
                let has_cap = self.course.left.cap.is_some();
                if has_cap {
                    // What is timed may have been cut to end with its block.
                    self.course.left.keep_marks(offset);
                }
                if has_cap || self.course.taught.len() == known {
                    self.plan_again(offset);
                }
            }
            self.forget_history(offset);
            self.entered(due, offset);
            if capped.is_some() {
                self.play(due);
            }
        }
        self.reach_on(now);
    }

    /// Says that the running interval began, or goes on, at `offset`; or that there is none left.
    pub(super) fn entered(&mut self, at: Moment, offset: Offset) {
        let Some(running) = self.course.running() else {
            self.end(at, offset, Ending::Completed);
            return;
        };
        let (now, place) = (&running.interval, running.interval.place.as_ref());
        let what = What::Entered {
            id: now.id,
            kind: now.kind,
            length: running.target.saturating_sub(running.into),
            part: now.part,
            block: place.map(|place| place.block),
            round: place.map(|place| place.round.nth),
            moves: now.moves.iter().map(|m| m.of.id.clone()).collect(),
            pick: now.turn().and_then(|turn| turn.pick),
            together: now.together().map(|of| of.turn.nth),
        };
        let untimed = now.untimed;
        self.out.push_back(Output::Fact(Fact { at, offset, what }));
        if untimed {
            self.play(at);
        }
    }

    pub(super) fn end(&mut self, at: Moment, offset: Offset, how: Ending) {
        let stood = match self.state {
            State::Held { since, .. } | State::CountIn { since, .. } if since <= at => Some(since),
            _ => None,
        };
        self.tally.held += stood.map_or(Span::ZERO, |since| at.since(since));
        self.state = State::Ended {
            at: offset,
            how,
            since: at,
            was_held: stood.is_some(),
        };
        self.asked = None;
        self.notice = None;
        self.out.push_back(Output::Fact(Fact {
            at,
            offset,
            what: What::Ended(how),
        }));
    }

    pub(super) fn fact(&mut self, at: Moment, what: What) {
        let offset = self.offset(at);
        self.out.push_back(Output::Fact(Fact { at, offset, what }));
    }
}

/// Whether this may be a question first.
const fn can_ask(act: &Act) -> bool {
    matches!(act, Act::GoOn | Act::Skip | Act::OnceMore | Act::CatchUp)
}

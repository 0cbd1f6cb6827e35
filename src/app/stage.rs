//! A class on the screen: the loop that wakes it, shows it, records it, and hands the keys on.

use std::time::Duration;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::awake::{Awake, AwakeState};
use super::clock::{Both, Clock, Wall, asleep, at_home, wall};
use super::did::Did;
use super::ears::Ears;
use super::hands::Nature;
use super::hours::{Hours, Reading, SlotEnds};
use super::keys::{Action, Keys};
use super::landing::Chosen;
use super::overlay::{Overlay, Sheet, running_part};
use super::search::Search;
use super::shell::{NO_PASTE, Painted, Shell, Told};
use super::speech_settings::Speech;
use super::stood::Stood;
use super::strokes::Stroke;
use super::talking::Talking;
use super::waits::LOOK;
use super::{footer, meaning};
use crate::live::{Act, Fact, Input, Live, Output, View};
use crate::record::{Pulse, wall as wall_time};
use crate::screen::{self, Around, RecordState, SoundState, SpeechState, Theme};
use crate::session::Library;
use crate::store::Recorder;
use crate::time::{Moment, Span};

/// How long a rehearsal shows its end.
const SHOW_END: Duration = Duration::from_secs(3);
/// How long the last signal may still sound.
const LAST_SIGNAL: Duration = Duration::from_millis(1_500);
/// How long after a page closed a key that moves on is not heard.
const SETTLE: Span = Span::from_millis(700);
/// How long the disk may leave something waiting before the screen says so.
const STUCK: Span = Span::from_secs(1);
/// How often the record is told where the class is. A class that breaks off must come back at most
/// a second before, whatever time the waking and the writing take.
const BEAT: Span = Span::from_millis(500);

/// The running class as it is drawn.
#[derive(Clone, Debug, PartialEq)]
struct Teaching {
    view: View,
    around: Around,
    sheet: Option<Sheet>,
}

impl Painted for Teaching {
    fn paint(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        screen::draw(area, buf, &self.view, &self.around, theme);
        if let Some(sheet) = &self.sheet {
            sheet.paint(area, buf, theme);
        }
    }
}

/// A running class with all that it needs from the world.
pub(super) struct Stage {
    pub(super) live: Live,
    pub(super) clock: Clock,
    pub(super) ears: Ears,
    pub(super) talking: Talking,
    pub(super) keys: Keys,
    pub(super) recorder: Option<Recorder>,
    /// The hour at which the clock stood at zero, for a rehearsal's own hour.
    pub(super) zero: Wall,
    pub(super) rehearsal: Option<u32>,
    /// The moves that may come in place of others.
    pub(super) library: Library,
    hours: Hours,
    /// Real time, whatever the pace.
    real: Clock,
    stood: Stood,
    pub(super) motion: bool,
    prompts: bool,
    overlay: Overlay,
    heard: Option<bool>,
    beat: Option<Moment>,
    /// Since when the disk has left something waiting.
    stuck: Option<Moment>,
    /// Until when a key that moves on is taken for the echo of the one that closed a page.
    settled: Moment,
    awake: Option<Awake>,
}

impl Stage {
    pub(super) fn new(
        live: Live,
        (clock, zero): (Clock, Wall),
        ears: Ears,
        keys: Keys,
        rehearsal: Option<u32>,
    ) -> Self {
        let real = Clock::starting_at(Moment::ZERO, 1);
        let stood = Stood::begin(real);
        let seen = reading(clock, stood.in_all(real));
        Self {
            live,
            clock,
            ears,
            talking: Talking::of(&Speech::default(), None, false),
            keys,
            recorder: None,
            zero,
            rehearsal,
            library: Library::default(),
            hours: Hours::new(seen, clock.pace()),
            real,
            stood,
            motion: true,
            prompts: true,
            overlay: Overlay::None,
            heard: None,
            beat: None,
            stuck: None,
            settled: Moment::ZERO,
            awake: None,
        }
    }

    /// Sets the end of the slot of a class that begins.
    pub(super) fn ends_at(&mut self, end: Option<SlotEnds>) {
        let both = self.both();
        let end = self.hours.set_slot(end, both);
        self.live.handle(both.now, &Input::EndsAt(end));
    }

    /// Goes on with the end of the slot of a class that broke off. An hour may have moved against
    /// the clock of the class meanwhile.
    pub(super) fn goes_on_until(&mut self, end: SlotEnds) {
        let both = self.both();
        let end = self.hours.set_slot(Some(end), both);
        let known = self.live.ends_at();
        let off = |a: Moment, b: Moment| a.since(b) + b.since(a);
        if end
            .zip(known)
            .is_none_or(|(end, known)| off(end, known) >= Span::from_secs(1))
        {
            self.live.handle(both.now, &Input::EndsAt(end));
        }
    }

    /// Runs the class until it is over or the program is to leave.
    pub(super) fn play(&mut self, shell: &mut Shell) {
        self.awake = Some(Awake::begin());
        let mut last = None;
        while !shell.is_leaving() && !self.live.is_over() {
            let now = self.clock.now();
            self.look_at_clocks();
            self.live.handle(now, &Input::Wake);
            self.count_for_her(now);
            self.notice_sound(now);
            self.carry_out();
            self.talking.look(&self.live, now, &mut self.ears);
            self.tell_where(now);
            shell.show(&self.page(now, shell), &mut last);
            match shell.next(self.wait(now), |stroke| self.nature(stroke)) {
                Some(Told::Key(stroke)) => self.press(stroke, shell),
                Some(Told::Paste(text)) if !self.overlay.paste(&text) => shell.say(NO_PASTE),
                Some(Told::Paste(_)) | None => {}
            }
        }
        self.carry_out();
        self.talking
            .look(&self.live, self.clock.now(), &mut self.ears);
        self.awake = None;
        if self.live.is_over() {
            self.show_end(shell, &mut last);
        }
    }

    /// Takes the end of the class back: it stands where it was ended. What went by on the page after
    /// class is no sleep.
    pub(super) fn take_up_again(&mut self) {
        let seen = reading(self.clock, self.stood.in_all(self.real));
        let _ = self.hours.look(seen);
        let now = self.clock.now();
        self.live.handle(now, &Input::Act(Act::Undo));
        self.settle(now);
        self.beat = None;
        self.awake = Some(Awake::begin());
        self.carry_out();
    }

    /// The end stays on the screen for a moment, and its signal is heard out.
    fn show_end(&mut self, shell: &mut Shell, last: &mut Option<Teaching>) {
        self.overlay = Overlay::None;
        let end = self.clock.now();
        shell.show(&self.page(end, shell), last);
        let long = if self.rehearsal.is_some() {
            SHOW_END
        } else {
            LAST_SIGNAL
        };
        let until = end + at_pace(long, self.clock.pace());
        while !shell.is_leaving() {
            let left = self.clock.until(until);
            if left.is_zero() {
                break;
            }
            // A key that was meant for the class must not close the page behind it.
            let _ = shell.next(left, |stroke| self.nature(stroke));
            shell.show(&self.page(end, shell), last);
        }
    }

    fn wait(&self, now: Moment) -> Duration {
        let wake = self.live.next_wakeup(now).map(|wake| wake.at);
        let wake = wake.map_or(LOOK, |at| self.clock.until(at).min(LOOK));
        match (&self.recorder, self.beat) {
            (Some(_), Some(beat)) => wake.min(self.clock.until(beat + BEAT)),
            _ => wake,
        }
    }

    /// A rehearsal that runs faster than the clock comes to its end by itself.
    fn count_for_her(&mut self, now: Moment) {
        if self.rehearsal.is_some_and(|pace| pace > 1) {
            self.pass_counted(now);
        }
    }

    /// Goes on from counted work that has had its planned time by `now`.
    pub(super) fn pass_counted(&mut self, now: Moment) {
        while let Some(over) = meaning::counted_out(&self.live, now) {
            self.live.handle(over, &Input::Act(Act::GoOn));
            self.live.handle(now, &Input::Wake);
        }
    }

    /// Holds a class that nothing ran for a while, and moves the end of the slot where a clock was
    /// set.
    fn look_at_clocks(&mut self) {
        let seen = reading(self.clock, self.stood.in_all(self.real));
        let now = seen.both.now;
        if let Some(away) = self.hours.look(seen) {
            let (from, gap) = (away.from, away.gap);
            self.live.handle(from, &Input::Wake);
            self.carry_out_by(away.before);
            self.live.handle(now, &Input::Act(Act::Slept { from, gap }));
        }
        if let Some(end) = self.hours.moved_slot() {
            self.live.handle(now, &Input::EndsAt(Some(end)));
        }
    }

    /// Tells the class how far ahead of the clock the loudspeaker is: count-ins go by it.
    pub(super) fn tell_reach(&mut self, now: Moment) {
        let reach = self.ears.reach();
        self.live.handle(now, &Input::Reach(reach));
    }

    fn notice_sound(&mut self, now: Moment) {
        self.tell_reach(now);
        let there = self.ears.is_there();
        if there.is_some() && there != self.heard {
            let first = self.heard.is_none();
            self.heard = there;
            if let Some(there) = there.filter(|there| !(first && *there)) {
                self.live.handle(now, &Input::Sound(there));
            }
        }
    }

    fn tell_where(&mut self, now: Moment) {
        let waits = self
            .recorder
            .as_ref()
            .is_some_and(|recorder| recorder.waiting() > 0);
        self.stuck = waits.then(|| self.stuck.unwrap_or(now));
        let due = self.beat.is_none_or(|beat| now.since(beat) >= BEAT);
        if let Some(recorder) = self.recorder.as_ref().filter(|_| due) {
            recorder.beat(Pulse {
                offset: self.live.offset(now),
                at: now,
                wall: wall(),
            });
            self.beat = Some(now);
        }
    }

    /// What a key is at the moment.
    fn nature(&self, stroke: Stroke) -> Nature {
        if self.overlay.is_written_on_by(stroke.command()) {
            return Nature::Flow;
        }
        if self.overlay.moves_by(stroke.command()) {
            return Nature::Step;
        }
        self.action(stroke).map_or(Nature::Turn, nature)
    }

    fn action(&self, stroke: Stroke) -> Option<Action> {
        let latin = || self.keys.action(stroke.latin?);
        self.keys.action(stroke.key).or_else(latin)
    }

    fn press(&mut self, stroke: Stroke, shell: &mut Shell) {
        if !self.hear(stroke) {
            return shell.say_unbound(stroke.key);
        }
        let of_sound = matches!(
            self.action(stroke),
            Some(Action::Mute | Action::Louder | Action::Softer)
        );
        if let Some(word) = self
            .ears
            .unheard()
            .filter(|_| of_sound && self.overlay == Overlay::None)
        {
            shell.say(word);
        }
    }

    /// Does what a key means; tells whether it meant something. A key may have waited through a stop
    /// of the program, so the clocks come first.
    fn hear(&mut self, stroke: Stroke) -> bool {
        self.look_at_clocks();
        let now = self.clock.now();
        let mut meant = true;
        match self
            .overlay
            .press(stroke.command(), (&self.live, &self.library), now)
        {
            Did::Page(overlay) => self.overlay = overlay,
            Did::Close => self.overlay = Overlay::None,
            Did::Say(input) => {
                self.overlay = Overlay::None;
                self.settle(now);
                self.live.handle(now, &input);
            }
            Did::Stay(input) => {
                self.live.handle(now, &input);
            }
            Did::Nothing => {
                if let Some(action) = self.action(stroke) {
                    self.act(action, now);
                } else {
                    meant = self.live.is_asking(now);
                    self.live.handle(now, &Input::Cancel);
                }
            }
        }
        self.carry_out();
        meant
    }

    /// A key that closed a page and is pressed once more must not move the class on.
    pub(super) fn settle(&mut self, now: Moment) {
        self.settled = now + SETTLE;
    }

    fn act(&mut self, action: Action, now: Moment) {
        if action == Action::GoOn && now < self.settled {
            return;
        }
        match meaning::input(&self.live, action, now) {
            // Nobody can press twice within the moment that a question stands at such a pace.
            Some(Input::End) if self.clock.pace() > 1 => {
                self.live.handle(now, &Input::Act(Act::End));
            }
            Some(input) => self.live.handle(now, &input),
            None => {}
        }
        match action {
            Action::Prompts => self.prompts = !self.prompts,
            Action::Mute => self.ears.mute(),
            Action::Voice => self.talking.mute(&mut self.ears),
            Action::Louder => self.ears.step(true),
            Action::Softer => self.ears.step(false),
            Action::Help => self.toggle(Overlay::Help(0)),
            Action::Card => self.toggle(Overlay::Card(0)),
            Action::Swap => self.toggle(Overlay::Swap(Search::default())),
            Action::Limits => self.toggle(Overlay::Limits(0)),
            Action::Parts => self.toggle(Overlay::Parts(running_part(&self.live))),
            Action::Landing => self.toggle(Overlay::Landing(Chosen::default())),
            _ => {}
        }
        if self.live.is_asking(now) {
            // Nobody can answer a question that a page lies over.
            self.overlay = Overlay::None;
        }
    }

    /// Opens a page over the class, or closes it where it is open already.
    fn toggle(&mut self, overlay: Overlay) {
        let same = std::mem::discriminant(&self.overlay) == std::mem::discriminant(&overlay);
        self.overlay = if same { Overlay::None } else { overlay };
    }

    /// Hands on what the class asks of the world.
    fn carry_out(&mut self) {
        self.carry_out_by(self.both());
    }

    fn carry_out_by(&mut self, both: Both) {
        while let Some(output) = self.live.poll_output() {
            match output {
                Output::Sound(order) => self.ears.carry(order),
                Output::Fact(fact) => self.record(fact, both),
            }
        }
    }

    fn both(&self) -> Both {
        reading(self.clock, Span::ZERO).both
    }

    fn record(&self, fact: Fact, both: Both) {
        if let Some(recorder) = &self.recorder {
            recorder.entry(both.wall_at(fact.at), fact);
        }
    }

    fn page(&self, now: Moment, shell: &Shell) -> Teaching {
        self.page_with(now, shell.word())
    }

    /// The class, the page over it, and a word about a key. What is told has its place on either.
    fn page_with(&self, now: Moment, word: Option<&str>) -> Teaching {
        let mut view = self.live.view(now);
        if view.notice.is_none() {
            view.notice = word.map(str::to_owned);
        }
        let around = self.around(now, &view);
        let hour_at = |moment| self.hour_at(now, moment);
        let sheet = self
            .overlay
            .sheet((&self.live, &self.library), &self.keys, now, &hour_at)
            .map(|sheet| sheet.telling(view.notice.as_deref()));
        Teaching {
            view,
            around,
            sheet,
        }
    }

    fn around(&self, now: Moment, view: &View) -> Around {
        let text = |at: Wall| at.format("%H:%M").to_string();
        let end = self.live.projected_end(now);
        let sound = self.ears.state();
        Around {
            clock: text(self.hour(now)),
            ends: text(self.hour_at(now, end)),
            flash: !matches!(sound, SoundState::On { .. }),
            sound,
            speech: self.speech(),
            record: self.record_state(),
            prompts: self.prompts,
            motion: self.motion,
            note: self.note(),
            hints: footer::of_class(&self.keys, view),
        }
    }

    /// Whom the words are spoken to.
    fn speech(&self) -> SpeechState {
        let (words, is_trouble) = self.talking.stands(&self.ears);
        match words {
            words if words.is_empty() => SpeechState::Off,
            why if is_trouble => SpeechState::Silent(why),
            words => SpeechState::Speaks(words),
        }
    }

    /// Small things to know.
    fn note(&self) -> String {
        let lacks = self.recorder.as_ref().map(Recorder::lacks);
        let lacks = lacks.unwrap_or_default().into_iter();
        let awake = match self.awake.as_ref().map(Awake::state) {
            Some(AwakeState::Unavailable { why }) => Some(why),
            Some(AwakeState::Trying | AwakeState::Held) | None => None,
        };
        let notes: Vec<String> = awake
            .into_iter()
            .chain(lacks.map(|lack| lack.words().to_owned()))
            .collect();
        notes.join(", ")
    }

    fn record_state(&self) -> RecordState {
        match (self.rehearsal, &self.recorder) {
            (Some(pace), _) => RecordState::Rehearsal(pace),
            (None, None) => RecordState::Off("no place for it".into()),
            (None, Some(recorder)) => match recorder.state() {
                Ok(()) if self.is_stuck() => {
                    RecordState::Off("the disk does not answer yet".into())
                }
                Ok(()) if !recorder.is_begun() => RecordState::Beginning,
                Ok(()) => RecordState::Recorded,
                Err(why) => RecordState::Off(why.why.to_string()),
            },
        }
    }

    fn is_stuck(&self) -> bool {
        let now = self.clock.now();
        self.stuck.is_some_and(|since| now.since(since) >= STUCK)
    }

    /// The clock on the wall; a rehearsal has an hour of its own, that runs at its pace.
    pub(super) fn hour(&self, now: Moment) -> Wall {
        match self.rehearsal {
            Some(_) => at_home(self.zero + wall_time::delta(now.since(Moment::ZERO))),
            None => wall(),
        }
    }

    /// What the clock on the wall will show at a moment to come.
    fn hour_at(&self, now: Moment, moment: Moment) -> Wall {
        at_home(self.hour(now) + wall_time::delta(moment.since(now)))
    }

    /// How the end stands against the slot, in words, for the page after class.
    pub(super) fn against_slot(&self, now: Moment) -> Option<String> {
        let end = self.live.ends_at()?;
        let (over, before) = (now.since(end).floor_secs(), end.since(now).floor_secs());
        Some(if !over.is_zero() {
            format!("ended {over} after the slot")
        } else if !before.is_zero() {
            format!("ended {before} before the slot's end")
        } else {
            "ended on the slot's time".into()
        })
    }
}

fn reading(clock: Clock, stood: Span) -> Reading {
    Reading {
        both: Both {
            now: clock.now(),
            wall: wall(),
        },
        stood,
        asleep: asleep(),
    }
}

/// What a key of an action is. Only what is counted by presses may come twice in a breath.
pub(super) const fn nature(action: Action) -> Nature {
    match action {
        Action::Louder | Action::Softer => Nature::Flow,
        Action::Add
        | Action::Take
        | Action::Easier
        | Action::Harder
        | Action::Instead
        | Action::Mark => Nature::Step,
        _ => Nature::Turn,
    }
}

fn at_pace(wait: Duration, pace: u32) -> Span {
    let millis = u64::try_from(wait.as_millis()).unwrap_or(u64::MAX);
    Span::from_millis(millis.saturating_mul(u64::from(pace)))
}

#[cfg(test)]
#[path = "stage_tests.rs"]
mod tests;

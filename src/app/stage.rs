//! A class on the screen: the loop that wakes it, shows it, records it, and hands the keys on.

use std::time::Duration;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::awake::{Awake, AwakeState};
use super::clock::{Both, Clock, Sleep, Wall, Watch, delta, wall};
use super::ears::Ears;
use super::insist::Insist;
use super::keys::{Action, Key, Keys};
use super::overlay::{Did, Overlay, Sheet, running_part};
use super::shell::{Page, Shell};
use super::wires::Signal;
use super::{FINISH, LOOK, desk, footer};
use crate::live::{Act, Fact, Input, Live, Output, View};
use crate::record::Pulse;
use crate::screen::{self, Around, RecordState, SoundState, Theme};
use crate::store::Recorder;
use crate::time::{Moment, Span};

/// How long a rehearsal shows its end.
const SHOW_END: Duration = Duration::from_secs(3);
/// How long the last signal may still sound.
const LAST_SIGNAL: Duration = Duration::from_millis(1_500);
/// How long after a page closed a key that moves on is not heard.
const SETTLE: Span = Span::from_millis(700);
/// How long the disk may leave something waiting before the screen says so.
const STUCK: Span = Span::from_secs(5);
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

impl Page for Teaching {
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
    pub(super) keys: Keys,
    pub(super) recorder: Option<Recorder>,
    /// The hour at which the clock stood at zero, for a rehearsal's own hour.
    pub(super) zero: Wall,
    pub(super) rehearsal: Option<u32>,
    /// The end of the slot by the clock on the wall.
    pub(super) slot_end: Option<Wall>,
    pub(super) motion: bool,
    prompts: bool,
    overlay: Overlay,
    /// Real time, by which a hand is judged whatever the pace.
    hand: Clock,
    insist: Insist,
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
        Self {
            live,
            clock,
            ears,
            keys,
            recorder: None,
            zero,
            rehearsal,
            slot_end: None,
            motion: true,
            prompts: true,
            overlay: Overlay::None,
            hand: Clock::starting_at(Moment::ZERO, 1),
            insist: Insist::default(),
            heard: None,
            beat: None,
            stuck: None,
            settled: Moment::ZERO,
            awake: Some(Awake::begin()),
        }
    }

    /// Sets the end of the slot.
    pub(super) fn ends_at(&mut self, end: Option<Wall>) {
        self.slot_end = end;
        let now = self.clock.now();
        let both = Both {
            now,
            wall: self.hour(now),
        };
        let moment = end.map(|end| both.moment_at(end));
        self.live.handle(now, &Input::EndsAt(moment));
    }

    /// Runs the class until it is over or the program is to leave.
    pub(super) fn play(&mut self, shell: &mut Shell) {
        let mut last = None;
        let mut watch = Watch::new(self.both());
        let mut due = self.clock.now();
        while !shell.is_leaving() && !self.live.is_over() {
            let now = self.clock.now();
            self.notice_sleep(&mut watch, now, due);
            self.live.handle(now, &Input::Wake);
            if let Some(meant) = self.insist.settled(self.hand.now()) {
                self.live.handle(now, &meant);
            }
            self.count_for_her(now);
            self.notice_sound(now);
            self.carry_out();
            self.tell_where(now);
            shell.show(&self.page(now), &mut last);
            let wait = self.wait(now);
            due = self.clock.now() + at_pace(wait, self.clock.pace());
            if let Some(Signal::Key(event)) = shell.next(wait) {
                self.press(Key::of(event), shell);
            }
        }
        self.carry_out();
        self.awake = None;
        if self.live.is_over() {
            self.show_end(shell, &mut last);
        }
    }

    /// The end stays on the screen for a moment, and its signal is heard out.
    fn show_end(&mut self, shell: &mut Shell, last: &mut Option<Teaching>) {
        self.overlay = Overlay::None;
        let end = self.clock.now();
        shell.show(&self.page(end), last);
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
            let _ = shell.next(left);
            shell.show(&self.page(end), last);
        }
    }

    fn wait(&self, now: Moment) -> Duration {
        let wake = self.live.next_wakeup(now).map(|wake| wake.at);
        let wake = wake.map_or(LOOK, |at| self.clock.until(at).min(LOOK));
        let insist = self.insist.next().map_or(LOOK, |at| self.hand.until(at));
        let wake = wake.min(insist);
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
        while let Some(over) = desk::counted_out(&self.live, now) {
            self.live.handle(over, &Input::Act(Act::GoOn));
            self.live.handle(now, &Input::Wake);
        }
    }

    fn notice_sleep(&mut self, watch: &mut Watch, now: Moment, due: Moment) {
        let wall = wall();
        let Some(Sleep { from, gap, before }) = watch.look(Both { now, wall }, due) else {
            return;
        };
        if self.rehearsal.is_none() {
            self.live.handle(from, &Input::Wake);
            self.carry_out_by(before);
            self.live.handle(now, &Input::Act(Act::Slept { from, gap }));
            // The steady clock may have stood still: the slot's end has moved against it.
            self.ends_at(self.slot_end);
        }
    }

    fn notice_sound(&mut self, now: Moment) {
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

    fn press(&mut self, key: Key, shell: &mut Shell) {
        let now = self.clock.now();
        if Key::named("ctrl-z") == Some(key) {
            return shell.stop();
        }
        self.insist.forget();
        if self.keys.bounces(key, self.hand.now()) {
            return;
        }
        match self.overlay.press(key, &self.live, now) {
            Did::Page(overlay) => self.overlay = overlay,
            Did::Say(input) => {
                self.overlay = Overlay::None;
                self.settle(now);
                self.live.handle(now, &input);
            }
            Did::Nothing => match self.keys.action(key) {
                Some(action) => self.act(action, now),
                None => self.live.handle(now, &Input::Cancel),
            },
        }
        self.carry_out();
    }

    /// A key that closed a page and is pressed once more must not move the class on.
    pub(super) fn settle(&mut self, now: Moment) {
        self.settled = now + SETTLE;
    }

    fn act(&mut self, action: Action, now: Moment) {
        if action == Action::GoOn && now < self.settled {
            return;
        }
        match desk::input(&self.live, action, now) {
            // Nobody can press twice within the moment that a question stands at such a pace.
            Some(Input::End) if self.clock.pace() > 1 => {
                self.live.handle(now, &Input::Act(Act::End));
            }
            Some(input) if Insist::concerns(&input) && self.is_asked(now) => {
                self.insist.pressed(input, self.hand.now());
            }
            Some(input) => self.live.handle(now, &input),
            None => {}
        }
        match action {
            Action::Prompts => self.prompts = !self.prompts,
            Action::Mute => self.ears.mute(),
            Action::Louder => self.ears.step(true),
            Action::Softer => self.ears.step(false),
            Action::Help => self.toggle(Overlay::Help(0)),
            Action::Parts => self.toggle(Overlay::Parts(running_part(&self.live))),
            Action::Landing => self.toggle(Overlay::Landing {
                choice: 0,
                running: false,
            }),
            _ => {}
        }
    }

    fn is_asked(&self, now: Moment) -> bool {
        self.clock.pace() == 1 && self.live.is_asking(now)
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
        Both {
            now: self.clock.now(),
            wall: wall(),
        }
    }

    fn record(&self, fact: Fact, both: Both) {
        if let Some(recorder) = &self.recorder {
            recorder.entry(both.wall_at(fact.at), fact);
        }
    }

    /// Waits until the record is safe, for a while at most; tells how it stands.
    pub(super) fn finish_record(&mut self) -> RecordState {
        match self.recorder.take().map(|recorder| recorder.finish(FINISH)) {
            Some(Ok(())) => RecordState::Recorded,
            Some(Err(why)) => RecordState::Off(why.why.to_string()),
            None => self.record_state(),
        }
    }

    fn page(&self, now: Moment) -> Teaching {
        let view = self.live.view(now);
        let around = self.around(now, &view);
        let sheet = self
            .overlay
            .sheet(&self.live, &self.keys, now, self.hour(now));
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
            ends: text(self.hour(now) + delta(end.since(now))),
            sound,
            record: self.record_state(),
            prompts: self.prompts,
            motion: self.motion,
            note: self.note(),
            flash: !matches!(sound, SoundState::On(_)),
            hints: footer::hints(&self.keys, view),
        }
    }

    /// A small thing to know.
    fn note(&self) -> String {
        match self.awake.as_ref().map(Awake::state) {
            Some(AwakeState::Unavailable { why }) => why,
            Some(AwakeState::Trying | AwakeState::Held) | None => String::new(),
        }
    }

    pub(super) fn record_state(&self) -> RecordState {
        match (self.rehearsal, &self.recorder) {
            (Some(pace), _) => RecordState::Rehearsal(pace),
            (None, None) => RecordState::Off("no place for it".into()),
            (None, Some(recorder)) => match recorder.state() {
                Ok(()) if self.is_stuck() => RecordState::Off("the disk does not answer".into()),
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
            Some(_) => self.zero + delta(now.since(Moment::ZERO)),
            None => wall(),
        }
    }

    /// How the end stands against the slot, in words, for the page after class.
    pub(super) fn against_slot(&self, now: Moment) -> Option<String> {
        let over = (self.hour(now) - self.slot_end?).num_seconds();
        let span = Span::from_secs(over.unsigned_abs());
        Some(match over {
            0 => "ended on the slot's time".into(),
            1.. => format!("ended {span} after the slot"),
            _ => format!("ended {span} before the slot's end"),
        })
    }
}

fn at_pace(wait: Duration, pace: u32) -> Span {
    let millis = u64::try_from(wait.as_millis()).unwrap_or(u64::MAX);
    Span::from_millis(millis.saturating_mul(u64::from(pace)))
}

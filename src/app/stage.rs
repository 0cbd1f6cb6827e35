//! A class on the screen: the loop that wakes it, shows it, and hands the keys on.

use std::sync::Arc;
use std::time::Duration;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::awake::{Awake, AwakeState};
use super::clock::{Clock, Wall, Watch, wall};
use super::keys::{Action, Key, Keys};
use super::settings::Ground;
use super::shell::{Page, Shell};
use super::wires::Signal;
use super::{Room, Run, desk};
use crate::live::{Act, Input, Live, Output, SoundOrder, Stance, View};
use crate::screen::{self, Around, Hint, Palette, RecordState, SoundState, Theme};
use crate::sound::{self, Micros, Order, Settings, Sound, Volume};
use crate::time::{Moment, Offset, Span};

/// How long the loop waits at most: the hour and the loudspeaker are looked at this often.
const LONGEST_WAIT: Duration = Duration::from_secs(1);
/// How long a rehearsal shows its end.
const SHOW_END: Duration = Duration::from_secs(3);

/// What the footer offers, most important first.
const RUNNING: &[Action] = &[
    Action::Hold,
    Action::GoOn,
    Action::Back,
    Action::Skip,
    Action::Landing,
    Action::Help,
    Action::Undo,
    Action::Easier,
    Action::Harder,
    Action::Add,
    Action::Take,
    Action::Break,
    Action::Mark,
    Action::Parts,
    Action::Mute,
    Action::End,
];
const HELD: &[Action] = &[
    Action::Hold,
    Action::Landing,
    Action::Undo,
    Action::Back,
    Action::GoOn,
    Action::Parts,
    Action::Help,
    Action::End,
];

#[derive(Clone, Debug, PartialEq)]
struct Teaching {
    view: View,
    around: Around,
}

impl Page for Teaching {
    fn paint(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        screen::draw(area, buf, &self.view, &self.around, theme);
    }
}

/// Runs a class to its end.
///
/// # Errors
/// The terminal cannot be had.
pub(super) fn run(run: &Run) -> anyhow::Result<String> {
    let hush = sound::hush_stderr()?;
    let mut shell = Shell::take(theme(run.settings.ground))?;
    let mut stage = Stage::of(run);
    stage.begin(run.from);
    stage.play(&mut shell);
    drop(shell);
    drop(hush);
    Ok(stage.told())
}

fn theme(ground: Ground) -> Theme {
    let of = |name: &str| std::env::var(name).ok();
    Theme {
        palette: Palette::of_environment(
            of("COLORTERM").as_deref(),
            of("TERM").as_deref(),
            of("NO_COLOR").as_deref(),
        ),
        light: ground == Ground::Light,
    }
}

struct Stage {
    live: Live,
    clock: Clock,
    began: Wall,
    rehearsal: Option<u32>,
    keys: Keys,
    sound: Option<Sound>,
    volume: u8,
    muted: bool,
    prompts: bool,
    motion: bool,
    awake: Awake,
}

impl Stage {
    fn of(run: &Run) -> Self {
        let clock = Clock::starting_at(Moment::ZERO + run.from.span(), run.rehearsal.unwrap_or(1));
        let volume = run.settings.volume;
        let settings = Settings {
            offset_ms: run.settings.sound_offset_ms,
            volume: Volume::new(volume),
            muted: run.muted,
        };
        // Faster than the clock the signals would only be noise.
        let audible = clock.pace() == 1;
        let sound = audible.then(|| Sound::open(sound_clock(clock), settings));
        let mut live = Live::new(run.session.clone());
        let now = clock.now();
        if let Some(end) = slot_end(run, now) {
            live.handle(now, &Input::EndsAt(Some(end)));
        }
        Self {
            live,
            clock,
            began: wall(),
            rehearsal: run.rehearsal,
            keys: run.settings.keys(),
            sound,
            volume,
            muted: run.muted,
            prompts: true,
            motion: run.settings.motion,
            awake: Awake::begin(),
        }
    }

    fn begin(&mut self, from: Offset) {
        let start = self.clock.now().before(from.span());
        self.live.handle(start, &Input::Act(Act::Begin));
    }

    fn play(&mut self, shell: &mut Shell) {
        let mut last = None;
        let mut watch = Watch::new(self.clock.now(), wall());
        let mut due = self.clock.now();
        let mut ended = None;
        while !shell.is_leaving() {
            let now = self.clock.now();
            if let Some((from, gap)) = watch.look(now, wall(), due)
                && self.rehearsal.is_none()
            {
                self.live.handle(now, &Input::Act(Act::Slept { from, gap }));
            }
            self.live.handle(now, &Input::Wake);
            self.carry_out();
            shell.show(&self.page(now), &mut last);
            if self.live.is_over() && self.rehearsal.is_some() {
                let end = *ended.get_or_insert(now);
                if self
                    .clock
                    .until(end + span_at_pace(SHOW_END, self.clock.pace()))
                    .is_zero()
                {
                    return;
                }
            }
            let wake = self.live.next_wakeup(now).map(|wake| wake.at);
            let wait = wake.map_or(LONGEST_WAIT, |at| self.clock.until(at).min(LONGEST_WAIT));
            due = self.clock.now() + span_at_pace(wait, self.clock.pace());
            if let Some(Signal::Key(event)) = shell.next(wait)
                && !self.press(Key::of(event), shell)
            {
                return;
            }
        }
    }

    /// Does what a key says; `false` where the page is to be left.
    fn press(&mut self, key: Key, shell: &mut Shell) -> bool {
        let now = self.clock.now();
        if Key::named("ctrl-z") == Some(key) {
            shell.stop();
            return true;
        }
        if self.keys.bounces(key, now) {
            return true;
        }
        if self.live.is_over() {
            return false;
        }
        let Some(action) = self.keys.action(key) else {
            self.live.handle(now, &Input::Cancel);
            return true;
        };
        if let Some(input) = desk::input(&self.live, action) {
            self.live.handle(now, &input);
        }
        match action {
            Action::Prompts => self.prompts = !self.prompts,
            Action::Mute => self.set_sound(self.volume, !self.muted),
            Action::Louder => self.set_sound((self.volume + 1).min(10), false),
            Action::Softer => self.set_sound(self.volume.saturating_sub(1), false),
            _ => {}
        }
        self.carry_out();
        true
    }

    fn set_sound(&mut self, volume: u8, muted: bool) {
        (self.volume, self.muted) = (volume, muted);
        if let Some(sound) = &self.sound {
            sound.order(Order::Volume(volume));
            sound.order(Order::Mute(muted));
        }
    }

    /// Hands on what the class asks of the world.
    fn carry_out(&mut self) {
        while let Some(output) = self.live.poll_output() {
            match output {
                Output::Sound(order) => {
                    if let Some(sound) = &self.sound {
                        sound.order(ordered(order));
                    }
                }
                Output::Fact(_) => {}
            }
        }
    }

    fn page(&self, now: Moment) -> Teaching {
        let view = self.live.view(now);
        let around = self.around(now, view.stance);
        Teaching { view, around }
    }

    fn around(&self, now: Moment, stance: Stance) -> Around {
        let hour = |at: Moment| self.wall_at(at, now).format("%H:%M").to_string();
        let sound = self.sound_state();
        let offered = match stance {
            Stance::Held => HELD,
            _ => RUNNING,
        };
        Around {
            clock: hour(now),
            ends: hour(self.live.projected_end(now)),
            sound,
            record: match self.rehearsal {
                Some(pace) => RecordState::Rehearsal(pace),
                None => RecordState::Off("not yet built".into()),
            },
            prompts: self.prompts,
            motion: self.motion,
            note: self.note(),
            flash: !matches!(sound, SoundState::On(_)),
            hints: self
                .keys
                .hints(offered)
                .into_iter()
                .map(|(key, label)| Hint::new(key, label))
                .collect(),
        }
    }

    /// A small thing to know.
    fn note(&self) -> String {
        match self.awake.state() {
            AwakeState::Unavailable { why } => why,
            AwakeState::Trying | AwakeState::Held => String::new(),
        }
    }

    /// The wall clock's time at a moment; a rehearsal has an hour of its own.
    fn wall_at(&self, at: Moment, now: Moment) -> Wall {
        let (from, base) = match self.rehearsal {
            Some(_) => (self.began, Moment::ZERO),
            None => (wall(), now),
        };
        let delta = i64::try_from(at.millis()).unwrap_or(i64::MAX)
            - i64::try_from(base.millis()).unwrap_or(i64::MAX);
        from + chrono::TimeDelta::milliseconds(delta)
    }

    fn sound_state(&self) -> SoundState {
        match &self.sound {
            None => SoundState::Muted,
            Some(sound) => match sound.state() {
                sound::SoundState::Opening => SoundState::Opening,
                sound::SoundState::Lost { .. } => SoundState::Lost,
                sound::SoundState::Absent { .. } => SoundState::Absent,
                sound::SoundState::On { .. } if self.muted => SoundState::Muted,
                sound::SoundState::On { .. } => SoundState::On(self.volume),
            },
        }
    }

    fn told(&self) -> String {
        let done = self.live.done(self.clock.now());
        let verb = if self.rehearsal.is_some() {
            "rehearsed"
        } else {
            "taught"
        };
        format!(
            "{}: {verb} {} of {} planned, {} of {} works\n",
            self.live.session().title,
            Span::from_secs(done.run.secs_down()),
            done.planned,
            done.works,
            done.works_planned
        )
    }
}

fn sound_clock(clock: Clock) -> sound::Clock {
    Arc::new(move || Micros::from(clock.now()))
}

fn slot_end(run: &Run, now: Moment) -> Option<Moment> {
    match run.room {
        Room::AsPlanned => run.session.slot.map(|slot| now + slot),
        Room::For(slot) => Some(now + slot),
        Room::Until(hour) => {
            let today = wall();
            let end = today
                .date_naive()
                .and_time(hour)
                .and_local_timezone(today.timezone())
                .single()?;
            let left = u64::try_from((end - today).num_milliseconds()).unwrap_or(0);
            Some(now + Span::from_millis(left))
        }
    }
}

fn span_at_pace(wait: Duration, pace: u32) -> Span {
    let millis = u64::try_from(wait.as_millis()).unwrap_or(u64::MAX);
    Span::from_millis(millis.saturating_mul(u64::from(pace)))
}

fn ordered(order: SoundOrder) -> Order {
    match order {
        SoundOrder::Run { score, from, at } => Order::Run { score, from, at },
        SoundOrder::Strike { kind, at } => Order::Strike { kind, at },
        SoundOrder::Hold => Order::Hold,
    }
}

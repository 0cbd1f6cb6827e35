//! The page on which sound is set: a tone, or the voice's word, against a flash, until they agree.
//!
//! What is changed is heard at once. Nothing is written here; whoever opened the page gets what was
//! chosen.

use std::sync::Arc;
use std::time::Duration;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::clock::Clock;
use super::ears::Ears;
use super::errand::Errand;
use super::hands::Nature;
use super::settings::Settings;
use super::shell::{NO_PASTE, Painted, Shell, Told};
use super::speech_settings::{CountBy, EarSide, SpeaksTo, When};
use super::strokes::Stroke;
use crate::plan::{SignalKind, Strike};
use crate::screen::pages::{Page as _, SettingLine, SoundPage};
use crate::screen::{Hint, Theme};
use crate::session::Word as _;
use crate::sound::{MOST_OFFSET_MS, Output, Talk, To, Volume, outputs};
use crate::speech::{Maker, State};
use crate::store::Cache;
use crate::time::{Moment, Span};

/// From one flash to the next.
const BEAT: Span = Span::from_secs(2);
/// How long a flash is lit: as long as a tone is heard.
const LIT: Span = Span::from_millis(150);
/// A change settles for so long before the device is opened anew.
const SETTLES: Span = Span::from_millis(400);
/// How much an arrow moves an offset: less than what the eye and the ear tell apart at a flash (some
/// 40 ms; common practice, no source).
const STEP_MS: i64 = 10;
/// Beats that are ordered ahead.
const AHEAD: u64 = 30;
/// What the voice says at each flash.
const WORD: &str = "now";
/// What it says for a sample.
const SAMPLE: &str = "next, push-ups: hands wider than shoulders, legs long";

impl Painted for SoundPage {
    fn paint(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        self.draw(area, buf, theme);
    }
}

/// Something that can be set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Row {
    Device,
    Offset,
    Volume,
    KeepAwake,
    To,
    When,
    EarOn,
    EarOffset,
    Words,
    Count,
}

impl Row {
    const fn name(self) -> &'static str {
        match self {
            Self::Device => "device",
            Self::Offset => "sent earlier by",
            Self::Volume => "volume",
            Self::KeepAwake => "keep the loudspeaker awake",
            Self::To => "words are spoken to",
            Self::When => "when",
            Self::EarOn => "your ear is on",
            Self::EarOffset => "its sound is sent earlier by",
            Self::Words => "volume of the words",
            Self::Count => "counts are heard as",
        }
    }

    const fn about(self) -> &'static str {
        match self {
            Self::Device => {
                "Which device plays the signals. The system's default is followed where it changes."
            }
            Self::Offset => {
                "Right where the tone comes after the flash, left where it comes before, until they come as one. \
                 A Bluetooth loudspeaker wants 100 to 300 ms."
            }
            Self::Volume => "How loud the signals begin; in class the arrows change it.",
            Self::KeepAwake => {
                "A tone too deep and too low to be heard, for a loudspeaker that falls asleep between signals and \
                 swallows the next. Some take it for silence all the same."
            }
            Self::To => {
                "Off: to nobody. Ear: what to say, into your ear alone. Room: the program says the prompts to the class."
            }
            Self::When => {
                "WhenBlind: only on the mat, where you cannot read the screen. Always: all of it."
            }
            Self::EarOn => {
                "A channel of the device, by a splitter cable or a mixer, or a device of your ear's own. Listen whether \
                 the room hears your ear: some devices make one channel of both."
            }
            Self::EarOffset => "As with the signals: until the word and the flash come as one.",
            Self::Words => "How loud the words are.",
            Self::Count => {
                "Tones, or Words: three, two, one, spoken in their place; the start and the stop stay tones."
            }
        }
    }

    /// Whether the voice is heard while it is set, and no tone.
    const fn is_of_words(self) -> bool {
        !matches!(
            self,
            Self::Device | Self::Offset | Self::Volume | Self::KeepAwake
        )
    }
}

/// What can be set as it now stands.
fn rows(settings: &Settings) -> Vec<Row> {
    let mut rows = vec![
        Row::Device,
        Row::Offset,
        Row::Volume,
        Row::KeepAwake,
        Row::To,
    ];
    let speech = &settings.speech;
    if speech.to == SpeaksTo::Ear {
        rows.extend([Row::When, Row::EarOn]);
        if !speech.device.is_empty() {
            rows.push(Row::EarOffset);
        }
    }
    if speech.to != SpeaksTo::Off {
        rows.push(Row::Words);
    }
    if speech.to == SpeaksTo::Room {
        rows.push(Row::Count);
    }
    rows
}

fn value(row: Row, settings: &Settings) -> String {
    let speech = &settings.speech;
    let or_default = |name: &str| match name {
        "" => "the system's default".to_owned(),
        name => name.to_owned(),
    };
    let loud = |step: u8| format!("{step} of {}", Volume::FULL.step());
    match row {
        Row::Device => or_default(&settings.device),
        Row::Offset => format!("{} ms", settings.sound_offset_ms),
        Row::Volume => loud(settings.volume),
        Row::KeepAwake => if settings.keep_awake { "yes" } else { "no" }.into(),
        Row::To => speech.to.word().into(),
        Row::When => speech.when.word().into(),
        Row::EarOn => match (speech.device.as_str(), speech.side) {
            ("", EarSide::Left) => "the left channel".into(),
            ("", EarSide::Right) => "the right channel".into(),
            (name, _) => name.into(),
        },
        Row::EarOffset => format!("{} ms", speech.offset_ms),
        Row::Words => loud(speech.volume),
        Row::Count => speech.count.word().into(),
    }
}

/// Changes something by one step; `devices` are the names of those that can play.
fn change(row: Row, up: bool, settings: &mut Settings, devices: &[String]) {
    let speech = &mut settings.speech;
    match row {
        Row::Device => {
            let none = std::iter::once(String::new());
            settings.device = turned(none, devices, &settings.device, up);
        }
        Row::Offset => settings.sound_offset_ms = later(settings.sound_offset_ms, up),
        Row::Volume => settings.volume = louder(settings.volume, up),
        Row::KeepAwake => settings.keep_awake = !settings.keep_awake,
        Row::To => speech.to = next_of(SpeaksTo::ALL, speech.to, up),
        Row::When => speech.when = next_of(When::ALL, speech.when, up),
        Row::EarOn => {
            let sides = EarSide::ALL.iter().map(|side| side.word().to_owned());
            let now = match speech.device.as_str() {
                "" => speech.side.word(),
                name => name,
            };
            let next = turned(sides, devices, now, up);
            match EarSide::ALL.iter().find(|side| side.word() == next) {
                Some(side) => (speech.side, speech.device) = (*side, String::new()),
                None => speech.device = next,
            }
        }
        Row::EarOffset => speech.offset_ms = later(speech.offset_ms, up),
        Row::Words => speech.volume = louder(speech.volume, up),
        Row::Count => speech.count = next_of(CountBy::ALL, speech.count, up),
    }
}

/// The one after `now`, or before it, round and round. One that isn't there now keeps its place.
fn turned(first: impl Iterator<Item = String>, devices: &[String], now: &str, up: bool) -> String {
    let mut all: Vec<String> = first.chain(devices.iter().cloned()).collect();
    if !all.iter().any(|one| one == now) {
        all.push(now.to_owned());
    }
    let here = all.iter().position(|one| one == now).unwrap_or(0);
    let step = if up { 1 } else { all.len() - 1 };
    all.swap_remove((here + step) % all.len())
}

fn next_of<T: Copy + PartialEq>(all: &[T], now: T, up: bool) -> T {
    let here = all.iter().position(|one| *one == now).unwrap_or(0);
    let step = if up { 1 } else { all.len() - 1 };
    all[(here + step) % all.len()]
}

fn later(now: i64, up: bool) -> i64 {
    let step = if up { STEP_MS } else { -STEP_MS };
    (now + step).clamp(-MOST_OFFSET_MS, MOST_OFFSET_MS)
}

fn louder(now: u8, up: bool) -> u8 {
    let step = if up {
        now.saturating_add(1)
    } else {
        now.saturating_sub(1)
    };
    Volume::new(step).step()
}

/// The beat that was last, and how long ago.
fn beat(now: Moment) -> (Moment, Span) {
    let since = Span::from_millis(now.millis() % BEAT.millis());
    (now.before(since), since)
}

/// How long until the flash changes.
fn until_it_changes(now: Moment) -> Span {
    let (_, since) = beat(now);
    let edge = if since < LIT { LIT } else { BEAT };
    edge.saturating_sub(since)
}

/// Shows the page; gives what was chosen, or nothing where all is to stay.
pub(super) fn open(
    shell: &mut Shell,
    settings: &Settings,
    keep: Option<Cache>,
) -> Option<Settings> {
    let mut bench = Bench::of(settings.clone(), keep);
    let found = Errand::send(shell.back(), outputs);
    let mut last = None;
    while !shell.is_leaving() {
        if let Some(Ok(found)) = found.look() {
            bench.found(found);
        }
        bench.hear();
        let mut page = bench.page();
        page.hints = shell.or_word(page.hints);
        shell.show(&page, &mut last);
        let wait = bench.clock.until(bench.clock.now() + bench.waits());
        match shell.next(wait.max(Duration::from_millis(1)), nature) {
            Some(Told::Key(stroke)) => match stroke.command().name().as_str() {
                "enter" => return Some(bench.settings),
                "esc" | "q" | "ctrl-c" => return None,
                name => {
                    if !bench.press(name) {
                        shell.say_unbound(stroke.key);
                    }
                }
            },
            Some(Told::Paste(_)) => shell.say(NO_PASTE),
            None => {}
        }
    }
    None
}

fn nature(stroke: Stroke) -> Nature {
    match stroke.command().name().as_str() {
        "up" | "down" | "left" | "right" => Nature::Flow,
        _ => Nature::Begin,
    }
}

/// What is set, and what is heard of it.
struct Bench {
    clock: Clock,
    settings: Settings,
    devices: Vec<String>,
    chosen: usize,
    ears: Ears,
    maker: Option<Maker>,
    /// What the device was opened with.
    opened: Settings,
    changed: Moment,
    /// The beat up to which has been ordered, and whether words were.
    ordered: Option<(Moment, bool)>,
    /// When the sample begins.
    sample: Option<Moment>,
}

impl Bench {
    fn of(settings: Settings, keep: Option<Cache>) -> Self {
        let clock = Clock::for_a_class();
        Self {
            clock,
            ears: ears(clock, &settings),
            maker: settings.speech.maker(keep),
            opened: settings.clone(),
            settings,
            devices: Vec::new(),
            chosen: 0,
            changed: clock.now(),
            ordered: None,
            sample: None,
        }
    }

    fn found(&mut self, found: Vec<Output>) {
        self.devices = found.into_iter().map(|output| output.name).collect();
        let mut seen = std::collections::HashSet::new();
        self.devices.retain(|name| seen.insert(name.clone()));
    }

    fn row(&self) -> Row {
        let rows = rows(&self.settings);
        rows[self.chosen.min(rows.len() - 1)]
    }

    fn press(&mut self, name: &str) -> bool {
        let count = rows(&self.settings).len();
        match name {
            "up" => self.chosen = (self.chosen + count - 1) % count,
            "down" => self.chosen = (self.chosen + 1) % count,
            "left" | "right" => {
                change(
                    self.row(),
                    name == "right",
                    &mut self.settings,
                    &self.devices,
                );
                self.changed = self.clock.now();
            }
            "t" if self.row().is_of_words() && self.to().is_some() => {
                let (last, _) = beat(self.clock.now());
                self.sample = Some(last + BEAT);
                self.ordered = None;
            }
            _ => return false,
        }
        true
    }

    const fn to(&self) -> Option<To> {
        self.settings.speech.listener()
    }

    /// Opens the device anew where something else was set, and orders the beats to come.
    fn hear(&mut self) {
        let now = self.clock.now();
        if self.opened != self.settings && now.since(self.changed) >= SETTLES {
            self.ears = ears(self.clock, &self.settings);
            self.opened = self.settings.clone();
            self.ordered = None;
        }
        let speaks = self.row().is_of_words() && self.to().is_some();
        let (last, _) = beat(now);
        if self.ordered == Some((last, speaks)) {
            return;
        }
        let beats = (1..=AHEAD).map(|n| last + BEAT * n);
        if !speaks {
            let kind = SignalKind::Count;
            self.ears.strike(beats.map(|at| Strike { at, kind }));
            if let Some(to) = self.to() {
                self.ears.say(Vec::new(), to);
            }
            self.ordered = Some((last, speaks));
            return;
        }
        self.ears.quiet();
        if self.speak(now, beats.collect()) {
            self.ordered = Some((last, speaks));
        }
    }

    /// Orders the word at each beat, or the sample at the next; whether the words are ready.
    fn speak(&mut self, now: Moment, beats: Vec<Moment>) -> bool {
        let (Some(to), Some(maker)) = (self.to(), &self.maker) else {
            return true;
        };
        let Some((rate, reach)) = self.ears.speaks_at(to) else {
            return false;
        };
        maker.need(vec![Arc::from(WORD), Arc::from(SAMPLE)], rate);
        let (Some(word), Some(sample)) = (maker.ready(WORD, rate), maker.ready(SAMPLE, rate))
        else {
            return false;
        };
        let long = sample.length();
        // What is being said, or can no longer be called back, is said again in the order.
        self.sample = self.sample.filter(|begin| *begin + long > now.before(BEAT));
        let over = self.sample.map(|begin| begin + long);
        let before = beats.first().map(|next| next.before(BEAT));
        let words = before.into_iter().chain(beats);
        let words = words.filter(|at| *at + BEAT > now.before(reach));
        let words = words.filter(|at| {
            self.sample.is_none_or(|begin| *at < begin) || over.is_some_and(|over| *at > over)
        });
        let mut talks: Vec<Talk> = words
            .map(|at| Talk {
                at,
                what: word.clone(),
                to,
            })
            .collect();
        if let Some(at) = self.sample {
            let what = sample;
            talks.push(Talk { at, what, to });
            talks.sort_by_key(|talk| talk.at);
        }
        self.ears.say(talks, to);
        true
    }

    fn waits(&self) -> Span {
        let flash = until_it_changes(self.clock.now());
        if self.opened == self.settings && self.ordered.is_some() {
            flash
        } else {
            flash.min(Span::from_millis(50))
        }
    }

    fn page(&self) -> SoundPage {
        let (_, since) = beat(self.clock.now());
        let lines = rows(&self.settings).into_iter().map(|row| SettingLine {
            name: row.name().into(),
            value: value(row, &self.settings),
        });
        let (state, is_trouble) = self.state();
        let mut hints = vec![
            Hint::new("↑ ↓", "choose"),
            Hint::new("← →", "change"),
            Hint::new("enter", "keep it"),
            Hint::new("esc", "leave as it was"),
        ];
        if self.row().is_of_words() && self.to().is_some() {
            hints.push(Hint::new("t", "a sample"));
        }
        SoundPage {
            lines: lines.collect(),
            chosen: self.chosen.min(rows(&self.settings).len() - 1),
            about: self.row().about().into(),
            is_lit: since < LIT,
            state,
            is_trouble,
            hints,
        }
    }

    fn state(&self) -> (String, bool) {
        if self.opened != self.settings {
            return ("…".into(), false);
        }
        if let (true, Some(to)) = (self.row().is_of_words(), self.to()) {
            let Some(maker) = &self.maker else {
                return (
                    "no speaker program was found; espeak-ng is one".into(),
                    true,
                );
            };
            if let State::Fails { why } = maker.state() {
                return (format!("no voice: {why}"), true);
            }
            if let Some(why) = self.ears.unreached(to) {
                return (format!("no voice: {why}"), true);
            }
        }
        let state = self.ears.state();
        let detail = state.detail().unwrap_or_default();
        let said = format!("{} {detail}", state.words());
        (
            said.trim_end().to_owned(),
            self.ears.is_there() == Some(false),
        )
    }
}

fn ears(clock: Clock, settings: &Settings) -> Ears {
    Ears::open(
        clock,
        settings.sound(false),
        &settings.device,
        &settings.speech,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn devices() -> Vec<String> {
        ["Hall", "Bud"].map(str::to_owned).into()
    }

    /// Whatever is set, an arrow to the right and one to the left is as it was, but at an end of a
    /// scale; and whatever can be reached can be written and is in bounds.
    #[test]
    fn an_arrow_and_its_opposite_leave_all_as_it_was() {
        let mut rng = fastrand::Rng::with_seed(11);
        let mut settings = Settings::default();
        let mut reached = std::collections::HashSet::new();
        for _ in 0..5_000 {
            let all = rows(&settings);
            let row = all[rng.usize(..all.len())];
            let up = rng.bool();
            let before = settings.clone();
            change(row, up, &mut settings, &devices());
            reached.insert((row.name(), value(row, &settings)));
            let moved = value(row, &settings) != value(row, &before);
            let mut back = settings.clone();
            change(row, !up, &mut back, &devices());
            if moved {
                assert_eq!(value(row, &back), value(row, &before), "{row:?}");
            }
            assert!(settings.sound_offset_ms.abs() <= MOST_OFFSET_MS);
            assert!(settings.volume <= 10 && settings.speech.volume <= 10);
        }
        for (row, wanted) in [
            (Row::Device, "Hall"),
            (Row::Device, "the system's default"),
            (Row::EarOn, "the right channel"),
            (Row::EarOn, "Bud"),
            (Row::To, "Room"),
            (Row::When, "Always"),
            (Row::KeepAwake, "yes"),
            (Row::Count, "Words"),
        ] {
            assert!(
                reached.contains(&(row.name(), wanted.to_owned())),
                "{wanted}"
            );
        }
    }

    /// A device that is set and not there now is not lost by passing over it.
    #[test]
    fn a_device_that_is_not_there_keeps_its_place() {
        let mut settings = Settings {
            device: "Gone".into(),
            ..Settings::default()
        };
        let mut seen = Vec::new();
        for _ in 0..4 {
            seen.push(settings.device.clone());
            change(Row::Device, true, &mut settings, &devices());
        }
        assert_eq!(seen, ["Gone", "", "Hall", "Bud"]);
    }

    /// The flash is lit from each beat on for as long as it is to be, whenever one looks.
    #[test]
    fn the_flash_comes_with_the_beat() {
        for millis in 0..5_000_u64 {
            let now = Moment::from_millis(400_000_000 + millis);
            let (last, since) = beat(now);
            assert_eq!(last + since, now);
            assert_eq!(last.millis() % BEAT.millis(), 0);
            let edge = now + until_it_changes(now);
            let lit = |at: Moment| beat(at).1 < LIT;
            let just_before = edge.before(Span::from_millis(1));
            assert_eq!(lit(just_before), lit(now), "{millis}");
            assert_ne!(lit(edge), lit(now), "{millis}");
        }
    }
}

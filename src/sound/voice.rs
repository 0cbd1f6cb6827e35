//! The one endless voice: counts its own frames and plays the score it was given.
//!
//! Its position is a place on the steady clock, in frames: the frame in which something due at
//! that moment must sound. Every onset is rounded from its absolute time, so nothing adds up, and
//! a correction for the sound card's drift is a step of the position. A tone that sounds counts for
//! itself, so a step falls into silence whenever it is taken.
//!
//! It knows no device, no thread and no clock, and in playing allocates and frees nothing.

use std::sync::Arc;

use super::Order;
use super::palette::Palette;
use super::tones::rank;
use super::units::Volume;
use crate::plan::{Signal, SignalKind};
use crate::time::{Moment, Offset, Span};

/// A signal that comes no later than this is still played, at once; an older one is left out
/// (below what is noticed at a one-second beat, about 25 ms: Friberg & Sundberg 1995).
const GRACE: i64 = 30;
/// Milliseconds in which a change of volume is carried out.
const GLIDE: u32 = 10;
/// Strikes that can wait at once.
const STRIKES: usize = 8;
/// Tones that can sound at once: one, and those that fade under it.
const NOTES: usize = 4;

/// The voice.
#[derive(Debug)]
pub struct Voice {
    palette: Palette,
    position: i64,
    reach: i64,
    run: Option<Run>,
    strikes: [Option<Strike>; STRIKES],
    notes: [Option<Sounding>; NOTES],
    level: Level,
}

#[derive(Debug)]
struct Run {
    score: Arc<[Signal]>,
    next: usize,
    from: Offset,
    at: Moment,
}

#[derive(Clone, Copy, Debug)]
struct Strike {
    kind: SignalKind,
    frame: i64,
}

#[derive(Clone, Copy, Debug)]
struct Sounding {
    kind: SignalKind,
    place: usize,
    fade: Option<usize>,
}

/// The common factor of all samples, which glides to where it was told to go.
#[derive(Debug)]
struct Level {
    volume: Volume,
    muted: bool,
    now: f32,
    step: f32,
}

impl Voice {
    /// A silent voice at the origin of the clock.
    #[must_use]
    pub fn new(palette: Palette) -> Self {
        let step = 1.0 / f32::from(u16::try_from(palette.rate().count(GLIDE)).unwrap_or(u16::MAX));
        Self {
            palette,
            position: 0,
            reach: 0,
            run: None,
            strikes: [None; STRIKES],
            notes: [None; NOTES],
            level: Level {
                volume: Volume::FULL,
                muted: false,
                now: 1.0,
                step: step.min(1.0),
            },
        }
    }

    /// Says how many milliseconds pass, at most, between an order and the earliest frame it can
    /// reach: an order for *now* is late by that much through nobody's fault.
    pub(crate) fn reach(&mut self, millis: i64) {
        self.reach = millis.max(0);
    }

    /// The frame on the steady clock that is made next.
    #[must_use]
    pub const fn position(&self) -> i64 {
        self.position
    }

    /// Whether nothing sounds.
    #[must_use]
    pub fn is_silent(&self) -> bool {
        self.notes.iter().all(Option::is_none)
    }

    /// Goes to a place on the steady clock. A sounding tone goes on untouched, what has begun does
    /// not begin again, and what was passed over is played late within the grace.
    pub(crate) fn step_to(&mut self, position: i64) {
        self.position = position;
    }

    /// Takes an order. Returns a score that is no longer needed, to be freed elsewhere.
    pub fn take(&mut self, order: Order) -> Option<Arc<[Signal]>> {
        match order {
            Order::Run { score, from, at } => return self.start(score, from, at),
            Order::Strike { kind, at } => self.put(Strike {
                kind,
                frame: self.frame(at),
            }),
            Order::Hold => return self.hold(),
            Order::Volume(step) => self.level.volume = Volume::new(step),
            Order::Mute(muted) => self.level.muted = muted,
        }
        None
    }

    fn start(&mut self, score: Arc<[Signal]>, from: Offset, at: Moment) -> Option<Arc<[Signal]>> {
        let next = score.partition_point(|signal| signal.at < from);
        let run = Run {
            score,
            next,
            from,
            at,
        };
        self.run.replace(run).map(|run| run.score)
    }

    fn put(&mut self, strike: Strike) {
        if let Some(free) = self.strikes.iter_mut().find(|slot| slot.is_none()) {
            *free = Some(strike);
        }
    }

    fn hold(&mut self) -> Option<Arc<[Signal]>> {
        self.strikes = [None; STRIKES];
        self.release();
        self.run.take().map(|run| run.score)
    }

    fn release(&mut self) {
        for note in self.notes.iter_mut().flatten() {
            note.fade.get_or_insert(0);
        }
    }

    fn frame(&self, moment: Moment) -> i64 {
        let millis = i64::try_from(moment.millis()).unwrap_or(i64::MAX);
        self.palette.rate().frames(millis)
    }

    /// Makes the next frames, one sample each.
    pub fn fill(&mut self, out: &mut [f32]) {
        out.fill(0.0);
        let mut rest = out;
        while !rest.is_empty() {
            self.begin_due();
            let (now, later) = rest.split_at_mut(self.free_run(rest.len()));
            self.mix(now);
            self.position += i64::try_from(now.len()).unwrap_or(0);
            rest = later;
        }
    }

    /// How many of the wanted frames lie before the next onset; at least one.
    fn free_run(&self, wanted: usize) -> usize {
        let due = self.next_run().into_iter().chain(self.next_strike());
        let until = due.map(|strike| strike.frame - self.position).min();
        until.map_or(wanted, |until| {
            usize::try_from(until).unwrap_or(0).clamp(1, wanted)
        })
    }

    fn next_run(&self) -> Option<Strike> {
        let run = self.run.as_ref()?;
        let signal = run.score.get(run.next)?;
        Some(Strike {
            kind: signal.kind,
            frame: self.frame(run.at + Span::from_millis(signal.at.since(run.from).millis())),
        })
    }

    fn next_strike(&self) -> Option<Strike> {
        let waiting = self.strikes.iter().flatten();
        waiting.min_by_key(|strike| strike.frame).copied()
    }

    fn begin_due(&mut self) {
        while let Some(strike) = self.next_run().filter(|s| s.frame <= self.position) {
            if let Some(run) = &mut self.run {
                run.next += 1;
            }
            self.begin(strike);
        }
        while let Some(strike) = self.next_strike().filter(|s| s.frame <= self.position) {
            if let Some(slot) = self
                .strikes
                .iter_mut()
                .find(|slot| slot.is_some_and(|s| s.frame == strike.frame && s.kind == strike.kind))
            {
                *slot = None;
            }
            self.begin(strike);
        }
    }

    /// Begins a tone, over any that sounds: that one fades. A tone that matters more is not
    /// disturbed.
    fn begin(&mut self, strike: Strike) {
        let late = self.position - strike.frame;
        let outranked = self
            .notes
            .iter()
            .flatten()
            .any(|note| note.fade.is_none() && rank(note.kind) > rank(strike.kind));
        if outranked || late > self.palette.rate().frames(GRACE + self.reach) {
            return;
        }
        self.release();
        if let Some(free) = self.notes.iter_mut().find(|slot| slot.is_none()) {
            *free = Some(Sounding {
                kind: strike.kind,
                place: 0,
                fade: None,
            });
        }
    }

    fn mix(&mut self, out: &mut [f32]) {
        if self.is_silent() {
            self.level.now = self.level.target();
            return;
        }
        for slot in &mut self.notes {
            if let Some(note) = slot
                && note.add(&self.palette, out)
            {
                *slot = None;
            }
        }
        self.level.apply(out);
    }
}

impl Sounding {
    /// Adds the note's next samples; tells whether it is over.
    fn add(&mut self, palette: &Palette, out: &mut [f32]) -> bool {
        let left = &palette.tone(self.kind)[self.place..];
        match &mut self.fade {
            None => add(out, left.iter().copied()),
            Some(done) => {
                let fade = &palette.fade()[*done..];
                add(out, left.iter().zip(fade).map(|(sample, f)| sample * f));
                *done += out.len();
                if *done >= palette.fade().len() {
                    return true;
                }
            }
        }
        self.place += out.len();
        self.place >= palette.tone(self.kind).len()
    }
}

fn add(out: &mut [f32], samples: impl Iterator<Item = f32>) {
    for (out, sample) in out.iter_mut().zip(samples) {
        *out += sample;
    }
}

impl Level {
    #[expect(clippy::cast_possible_truncation, reason = "samples are f32")]
    fn target(&self) -> f32 {
        if self.muted {
            0.0
        } else {
            self.volume.amplitude() as f32
        }
    }

    fn apply(&mut self, out: &mut [f32]) {
        let target = self.target();
        for sample in out {
            self.now += (target - self.now).clamp(-self.step, self.step);
            *sample *= self.now;
        }
    }
}

#[cfg(test)]
#[path = "voice_tests.rs"]
mod tests;

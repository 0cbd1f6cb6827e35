//! The one endless voice: counts its own frames and plays the score it was given.
//!
//! Its position is a place on the steady clock, in frames: the frame in which something due at
//! that moment must sound. Every onset is rounded from its absolute time, so nothing adds up, and
//! a correction for the sound card's drift is a step of the position. A tone that sounds counts for
//! itself, so a step falls into silence whenever it is taken.
//!
//! It remembers what it has begun, so a score may be given again at any moment: what has begun
//! does not begin again, what is still owed is played, and a tone that is no longer meant fades.
//!
//! It knows no device, no thread and no clock, and in playing allocates and frees nothing.

use super::level::Level;
use super::palette::Palette;
use super::tones::rank;
use super::units::Volume;
use crate::plan::{Score, Strike};
use crate::time::Moment;

/// A strike that a step of the position has passed over by no more than this is still played, at
/// once (about what is noticed at a one-second beat, 25 ms: Friberg & Sundberg 1995).
const GRACE: i64 = 30;
/// A strike that was already past when its score came is owed if it is no later than this and the
/// reach of the device: a key on a busy machine takes a while to become an order.
const OWED: i64 = 150;
/// Tones that can sound at once: one, and those that fade under it.
const NOTES: usize = 4;
/// Strikes that are remembered as done: far more than fit into what is owed.
const DONE: usize = 64;
/// A tone that matters more is not disturbed for so many milliseconds: what comes then is at the same
/// moment. Later on everything is heard.
const MEETING: i64 = 100;
/// Strikes no further apart than this belong to one count, in milliseconds.
const COUNT: i64 = 1_500;

/// The voice.
#[derive(Debug)]
pub struct Voice {
    palette: Palette,
    position: i64,
    reach: i64,
    score: Score,
    next: usize,
    /// Where the position was when the score came.
    taken: i64,
    /// Where the voice was set up: what was due before that nobody waits for.
    begun: i64,
    done: [Option<Strike>; DONE],
    oldest: usize,
    /// The last onset.
    struck: i64,
    notes: [Option<Sounding>; NOTES],
    level: Level,
}

#[derive(Clone, Copy, Debug)]
struct Sounding {
    strike: Strike,
    place: usize,
    fade: Option<usize>,
}

impl Voice {
    /// A silent voice at the origin of the clock.
    #[must_use]
    pub fn new(palette: Palette) -> Self {
        Self {
            level: Level::new(palette.rate()),
            palette,
            position: 0,
            reach: 0,
            score: Score::silence(),
            next: 0,
            taken: 0,
            begun: i64::MIN,
            done: [None; DONE],
            oldest: 0,
            struck: i64::MIN / 2,
            notes: [None; NOTES],
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

    /// Whether the last strike and the next one are beats of one count, between which the position
    /// must not be moved.
    pub(crate) fn is_counting(&self) -> bool {
        let apart = self.palette.rate().frames(COUNT);
        self.next_strike()
            .is_some_and(|(_, frame)| frame - self.struck <= apart)
    }

    /// Goes to a place on the steady clock. A sounding tone goes on untouched, what has begun does
    /// not begin again, and what was passed over is played late within the grace.
    pub(crate) fn step_to(&mut self, position: i64) {
        self.position = position;
        self.begun = self.begun.min(position);
    }

    /// Sets up at a place on the steady clock: what was due before it is not owed. A count that a new
    /// device cuts into goes on in its own gaps.
    pub(crate) fn begin_at(&mut self, position: i64) {
        (self.position, self.begun) = (position, position);
    }

    /// Says how loud to be.
    pub fn volume(&mut self, volume: Volume) {
        self.level.volume = volume;
    }

    /// Says whether to be silent whatever the volume; the score goes on unheard.
    pub fn mute(&mut self, muted: bool) {
        self.level.muted = muted;
    }

    /// Takes all that is to be heard. Returns the score before, to be freed elsewhere.
    pub fn take(&mut self, score: Score) -> Score {
        let owed = self.owed();
        self.next = score
            .strikes()
            .partition_point(|strike| self.frame(strike.at) < owed);
        self.taken = self.position;
        for note in self.notes.iter_mut().flatten() {
            if !score.has(note.strike) {
                note.fade.get_or_insert(0);
            }
        }
        std::mem::replace(&mut self.score, score)
    }

    /// The frame from which on what has not been played is owed.
    fn owed(&self) -> i64 {
        let owed = self.palette.rate().frames(OWED + self.reach);
        (self.position - owed).max(self.begun)
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
        let until = self.next_strike().map(|(_, frame)| frame - self.position);
        until.map_or(wanted, |until| {
            usize::try_from(until).unwrap_or(0).clamp(1, wanted)
        })
    }

    /// The next strike that has not begun, and its frame.
    fn next_strike(&self) -> Option<(Strike, i64)> {
        let left = self.score.strikes().get(self.next..).unwrap_or(&[]);
        let listed = left.iter().find(|strike| !self.is_done(**strike)).copied();
        let next = listed.into_iter().chain(self.next_recurring());
        let next = next.min_by_key(|strike| strike.at)?;
        Some((next, self.frame(next.at)))
    }

    fn next_recurring(&self) -> Option<Strike> {
        let owed = self.owed();
        let first = self.score.recurs(self.palette.rate().moment(owed))?;
        if self.is_done(first) || self.frame(first.at) < owed {
            self.score
                .recurs(Moment::from_millis(first.at.millis() + 1))
        } else {
            Some(first)
        }
    }

    fn is_done(&self, strike: Strike) -> bool {
        self.done.contains(&Some(strike))
    }

    fn begin_due(&mut self) {
        while let Some((strike, frame)) = self
            .next_strike()
            .filter(|(_, frame)| *frame <= self.position)
        {
            self.done[self.oldest] = Some(strike);
            self.oldest = (self.oldest + 1) % DONE;
            let left = self.score.strikes().get(self.next..).unwrap_or(&[]);
            self.next += left.iter().take_while(|s| self.is_done(**s)).count();
            self.begin(strike, frame);
        }
    }

    /// Begins a tone, over any that sounds: that one fades. A tone that matters more and has just
    /// begun is not disturbed.
    fn begin(&mut self, strike: Strike, frame: i64) {
        let was_owed = frame < self.taken;
        let is_late = self.position - frame > self.palette.rate().frames(GRACE);
        let meeting =
            usize::try_from(self.palette.rate().frames(MEETING)).map_or(1, |frames| frames.max(1));
        let outranked = self
            .notes
            .iter()
            .flatten()
            .filter(|note| note.fade.is_none() && note.place < meeting)
            .any(|note| rank(note.strike.kind) > rank(strike.kind));
        if outranked || (is_late && !was_owed) {
            return;
        }
        self.struck = self.position;
        for note in self.notes.iter_mut().flatten() {
            note.fade.get_or_insert(0);
        }
        if let Some(free) = self.notes.iter_mut().find(|slot| slot.is_none()) {
            *free = Some(Sounding {
                strike,
                place: 0,
                fade: None,
            });
        }
    }

    fn mix(&mut self, out: &mut [f32]) {
        if self.is_silent() {
            self.level.settle();
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
        let left = &palette.tone(self.strike.kind)[self.place..];
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
        self.place >= palette.tone(self.strike.kind).len()
    }
}

fn add(out: &mut [f32], samples: impl Iterator<Item = f32>) {
    for (out, sample) in out.iter_mut().zip(samples) {
        *out += sample;
    }
}

#[cfg(test)]
#[path = "voice_tests.rs"]
mod tests;

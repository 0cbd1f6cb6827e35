//! The voice of the words, beside the voice of the tones: begins each of them in its frame, one at a
//! time, and leaves out what it could only begin late.
//!
//! A list may be given again at any moment: what has begun does not begin again, and words that sound
//! but are no longer meant fade. Where words for the room meet a tone they step back, so that the tone
//! is heard as it is. In playing it allocates and frees nothing.

use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering};

use super::level::Level;
use super::talk::{Talk, Talks, To};
use super::units::{SampleRate, Volume};
use crate::time::Moment;

/// Milliseconds by which words may begin late; later they are left out.
const GRACE: i64 = 8;
/// Milliseconds in which words that are no longer meant fade.
const FADE: u32 = 30;
/// Milliseconds in which words step back before a tone, as fast as a tone rises.
const STEP_BACK: u32 = 5;
/// What is left of them beside a tone: with a tone at its highest (-1.5 dB) and words at theirs (-1 dB)
/// the sum stays below full scale.
const BESIDE: f32 = 0.17;
/// Words that are remembered as begun or left out.
const DONE: usize = 32;

/// The voice of the words.
#[derive(Debug)]
pub(crate) struct Talker {
    rate: SampleRate,
    talks: Talks,
    sounding: Option<Sounding>,
    fading: Option<(Sounding, f32)>,
    done: [Option<(Moment, To)>; DONE],
    oldest: usize,
    ear: Level,
    room: Level,
    /// How far words for the room stand back, 1 being not at all.
    beside: f32,
    left_out: Arc<AtomicU32>,
}

#[derive(Debug)]
struct Sounding {
    talks: Talks,
    which: usize,
    place: usize,
}

impl Talker {
    /// A silent one for a device of that rate; tells how many words it left out.
    pub(crate) fn new(rate: SampleRate, left_out: Arc<AtomicU32>) -> Self {
        Self {
            rate,
            talks: Arc::new([]),
            sounding: None,
            fading: None,
            done: [None; DONE],
            oldest: 0,
            ear: Level::new(rate),
            room: Level::new(rate),
            beside: 1.0,
            left_out,
        }
    }

    /// Takes all that is to be said. The sender keeps a reference, so nothing is freed here.
    pub(crate) fn take(&mut self, talks: Talks) {
        if let Some(now) = self.sounding.take() {
            let said = now.talk();
            if talks.iter().any(|t| t.at == said.at && t.to == said.to) {
                self.sounding = Some(now);
            } else {
                self.fading = Some((now, 1.0));
            }
        }
        self.talks = talks;
    }

    /// How loud the words are for whoever hears them.
    pub(crate) fn volume(&mut self, volume: Volume) {
        (self.ear.volume, self.room.volume) = (volume, volume);
    }

    /// Whether the words are silent; they go on unheard.
    pub(crate) fn mute(&mut self, muted: bool) {
        (self.ear.muted, self.room.muted) = (muted, muted);
    }

    /// Whether nothing is said.
    pub(crate) const fn is_silent(&self) -> bool {
        self.sounding.is_none() && self.fading.is_none()
    }

    /// Adds the words of the frames from `position` on: to the room, where the tones already are, and
    /// to the ear, which has been silent.
    pub(crate) fn fill(&mut self, position: i64, tones: bool, room: &mut [f32], ear: &mut [f32]) {
        let mut done = 0;
        while done < room.len() {
            let here = position + i64::try_from(done).unwrap_or(0);
            self.begin_due(here);
            let left = room.len() - done;
            let next = self.next_due().map_or(left, |frame| {
                usize::try_from(frame - here).unwrap_or(0).clamp(1, left)
            });
            let now = done..done + next;
            self.mix(tones, &mut room[now.clone()], &mut ear[now]);
            done += next;
        }
    }

    fn frame(&self, moment: Moment) -> i64 {
        let millis = i64::try_from(moment.millis()).unwrap_or(i64::MAX);
        self.rate.frames(millis)
    }

    fn next(&self) -> Option<usize> {
        self.talks
            .iter()
            .position(|talk| !self.done.contains(&Some((talk.at, talk.to))))
    }

    fn next_due(&self) -> Option<i64> {
        Some(self.frame(self.talks[self.next()?].at))
    }

    fn begin_due(&mut self, position: i64) {
        while let Some(which) = self.next() {
            let talk = &self.talks[which];
            let late = position - self.frame(talk.at);
            if late < 0 {
                return;
            }
            self.done[self.oldest] = Some((talk.at, talk.to));
            self.oldest = (self.oldest + 1) % DONE;
            let is_late = late > self.rate.frames(GRACE);
            if is_late || talk.what.rate != self.rate || self.sounding.is_some() {
                self.left_out.fetch_add(1, Ordering::Relaxed);
                continue;
            }
            self.sounding = Some(Sounding {
                talks: Arc::clone(&self.talks),
                which,
                place: 0,
            });
        }
    }

    fn mix(&mut self, tones: bool, room: &mut [f32], ear: &mut [f32]) {
        if self.is_silent() {
            self.beside = 1.0;
            self.ear.settle();
            self.room.settle();
            return;
        }
        let step = 1.0 / frames_of(self.rate, STEP_BACK);
        let fade = 1.0 / frames_of(self.rate, FADE);
        let wanted = if tones { BESIDE } else { 1.0 };
        for (room, ear) in room.iter_mut().zip(ear) {
            self.beside += (wanted - self.beside).clamp(-step, step);
            let mut said = [0.0; 2];
            if let Some(now) = &mut self.sounding {
                now.add(1.0, &mut said);
            }
            if let Some((now, factor)) = &mut self.fading {
                *factor -= fade;
                now.add(factor.max(0.0), &mut said);
            }
            *ear += self.ear.applied(said[0]);
            *room += self.room.applied(said[1] * self.beside);
        }
        self.sounding.take_if(|now| now.is_over());
        self.fading
            .take_if(|(now, factor)| *factor <= 0.0 || now.is_over());
    }
}

fn frames_of(rate: SampleRate, millis: u32) -> f32 {
    f32::from(u16::try_from(rate.count(millis)).unwrap_or(u16::MAX)).max(1.0)
}

impl Sounding {
    fn talk(&self) -> &Talk {
        &self.talks[self.which]
    }

    /// Adds the next sample for the ear or the room.
    fn add(&mut self, factor: f32, said: &mut [f32; 2]) {
        let talk = &self.talks[self.which];
        let sample = talk.what.samples.get(self.place).copied();
        let to = usize::from(talk.to == To::Room);
        said[to] += sample.unwrap_or(0.0) * factor;
        self.place += 1;
    }

    fn is_over(&self) -> bool {
        self.place >= self.talk().what.samples.len()
    }
}

#[cfg(test)]
#[path = "talker_tests.rs"]
mod tests;

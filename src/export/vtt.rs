//! WebVTT: chapters and captions for a recording of a class.
//!
//! By the W3C's WebVTT: The Web Video Text Tracks Format. Cues are in order and do not overlap;
//! what lies before the recording began is cut off, since a track has no negative times.

use std::fmt::Write as _;

use super::chapters::Chapter;
use crate::record::{Wall, wall};

/// Words with the stretch of time in which they were to be said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Caption {
    /// When it begins.
    pub from: Wall,
    /// When it ends.
    pub to: Wall,
    /// The words.
    pub say: String,
}

/// A track of chapters for a recording that began at `recording`.
#[must_use]
pub fn vtt_chapters(chapters: &[Chapter], recording: Wall) -> String {
    track(
        chapters
            .iter()
            .map(|one| (one.from, one.to, one.title.as_str())),
        recording,
    )
}

/// A track of captions for a recording that began at `recording`.
#[must_use]
pub fn vtt_captions(captions: &[Caption], recording: Wall) -> String {
    track(
        captions
            .iter()
            .map(|one| (one.from, one.to, one.say.as_str())),
        recording,
    )
}

fn track<'a>(cues: impl Iterator<Item = (Wall, Wall, &'a str)>, recording: Wall) -> String {
    let millis = |wall| u64::try_from(wall::millis_between(recording, wall)).unwrap_or(0);
    let mut cues: Vec<(u64, u64, String)> = cues
        .map(|(from, to, words)| (millis(from), millis(to), escaped(words)))
        .filter(|(from, to, words)| from < to && !words.is_empty())
        .collect();
    cues.sort_by_key(|cue| cue.0);
    let ends: Vec<u64> = cues
        .iter()
        .skip(1)
        .map(|next| next.0)
        .chain([u64::MAX])
        .collect();
    let mut out = String::from("WEBVTT\n\n");
    let mut number = 0;
    for ((from, to, words), next) in cues.iter().zip(ends) {
        let to = (*to).min(next);
        if *from < to {
            let gap = if number == 0 { "" } else { "\n" };
            number += 1;
            let (from, to) = (stamp(*from), stamp(to));
            let _ = write!(out, "{gap}{number}\n{from} --> {to}\n{words}\n");
        }
    }
    out
}

/// `hh:mm:ss.ttt`; the hours have two digits or more.
fn stamp(millis: u64) -> String {
    let secs = millis / 1000;
    format!(
        "{:02}:{:02}:{:02}.{:03}",
        secs / 3600,
        secs / 60 % 60,
        secs % 60,
        millis % 1000
    )
}

/// Words as cue text: one line, and nothing in it that could be read as a tag or an arrow.
fn escaped(words: &str) -> String {
    let mut out = String::new();
    for word in words.split(|letter: char| letter.is_whitespace() || letter.is_control()) {
        if word.is_empty() {
            continue;
        }
        if !out.is_empty() {
            out.push(' ');
        }
        for letter in word.chars() {
            match letter {
                '&' => out.push_str("&amp;"),
                '<' => out.push_str("&lt;"),
                '>' => out.push_str("&gt;"),
                _ => out.push(letter),
            }
        }
    }
    out
}

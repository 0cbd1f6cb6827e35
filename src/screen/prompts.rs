//! What to say now, large enough to be read from the mat.
//!
//! Words to be said stand beside a rail, so that they are known by shape; the rail goes down as
//! the time to say them goes. Words for somebody who must spare something have a double rail. What
//! is too long for the room comes in whole phrases one after another, as the time to say it goes.

use std::rc::Rc;

use ratatui::layout::Rect;
use ratatui::style::Modifier;

use super::face::{Fit, Set};
use super::memo::Memo;
use super::pen::{Pen, right_of, width, wrap};
use super::ribbon::EIGHTHS;
use super::theme::Role;
use super::zones::Zones;
use crate::live::PromptView;

/// The rail and the space beside it.
pub(super) const RAIL: u16 = 3;

/// Twelfths of the time to say a prompt.
const TWELFTHS: usize = 12;

thread_local! {
    static PARTED: Memo<(Fit, String), Rc<Phrases>> = Memo::new();
}

/// Words set for a room, phrase by phrase where they are too long for it.
pub(super) struct Phrases {
    all: Vec<(Set, String)>,
}

impl Phrases {
    /// The words in as few phrases as their zone allows.
    pub(super) fn of(words: &str, zone: Rect, zones: &Zones) -> Rc<Self> {
        let large = Fit {
            least: (3 * zones.name).div_ceil(4),
            ..Fit::upto(right_of(zone, RAIL), zones.words)
        };
        let part = |(large, words): &(Fit, String)| Rc::new(Self::set(words, *large));
        PARTED.with(|all| all.get((large, words.to_owned()), part))
    }

    fn set(words: &str, large: Fit) -> Self {
        let room = large.room;
        if let Some(set) = large.large(words) {
            let all = vec![(set, words.to_owned())];
            return Self { all };
        }
        let all: Vec<&str> = words.split_whitespace().collect();
        let enlarged = parted(&all, &large.phrases(&all));
        let parts = enlarged.or_else(|| parted(&all, &plain(&all, room)));
        let parts = parts.unwrap_or_default();
        let set = |part: String| {
            let plain = Set::Plain(wrap(&part, room.width));
            (large.large(&part).unwrap_or(plain), part)
        };
        let all = parts.into_iter().map(set).collect();
        Self { all }
    }

    /// Which phrase is read while so many twelfths of the time are left.
    pub(super) fn at(&self, left: u8) -> usize {
        let gone = TWELFTHS - usize::from(left).clamp(1, TWELFTHS);
        gone * self.all.len() / TWELFTHS
    }

    /// What comes after a phrase.
    pub(super) fn after(&self, n: usize) -> String {
        let rest = self.all.iter().skip(n + 1).map(|(_, part)| part.as_str());
        rest.collect::<Vec<_>>().join(" ")
    }

    /// Draws a phrase, with no rail yet; gives the lines used.
    pub(super) fn draw(&self, pen: &mut Pen, zone: Rect, n: usize, role: Role) -> u16 {
        let Some((set, _)) = self.all.get(n) else {
            return 0;
        };
        let style = pen.theme.style(role).add_modifier(Modifier::BOLD);
        set.draw(pen, right_of(zone, RAIL), style).min(zone.height)
    }
}

/// Up to which word a phrase from each of these words has room in ordinary cells.
fn plain(all: &[&str], room: Rect) -> Vec<usize> {
    let fits = |from: usize, to: usize| {
        let lines = wrap(&all[from..to].join(" "), room.width);
        lines.len() <= usize::from(room.height)
    };
    (0..all.len())
        .map(|from| {
            (from + 1..=all.len())
                .take_while(|to| fits(from, *to))
                .last()
                .unwrap_or(from)
        })
        .collect()
}

/// A text in as few whole phrases as have room, broken behind commas and stops rather than within
/// a clause; nothing where a single word has no room. `upto` says for each word up to which other
/// a phrase from it has room.
fn parted(all: &[&str], upto: &[usize]) -> Option<Vec<String>> {
    let mut needed = 0;
    let mut at = 0;
    while at < all.len() {
        at = upto.get(at).copied().filter(|to| *to > at)?;
        needed += 1;
    }
    if needed == 0 {
        return None;
    }
    let ways = [needed, needed + 1].map(|phrases| best(all, upto, phrases));
    let more = [0, MORE].into_iter().zip(ways);
    let all_ways = more.filter_map(|(more, way)| way.map(|(cost, breaks)| (cost + more, breaks)));
    let (_, breaks) = all_ways.min_by_key(|(cost, _)| *cost)?;
    let ends = breaks.iter().copied().chain([all.len()]);
    let starts = std::iter::once(0).chain(breaks.iter().copied());
    Some(
        starts
            .zip(ends)
            .map(|(from, to)| all[from..to].join(" "))
            .collect(),
    )
}

/// What a break within a clause costs, beside the squares of the room that phrases leave.
const WITHIN: usize = 8_000;
/// What another phrase costs.
const MORE: usize = 4_000;
/// What a last phrase of hardly a word costs, and up to how many letters it is one.
const ORPHAN: (usize, usize) = (2_000, 8);

/// The best places to break so many words into so many phrases.
fn best(all: &[&str], upto: &[usize], phrases: usize) -> Option<(usize, Vec<usize>)> {
    let long = |from: usize, to: usize| {
        all[from..to]
            .iter()
            .map(|word| word.len() + 1)
            .sum::<usize>()
    };
    let is_clause = |to: usize| all[to - 1].ends_with([',', '.', ';', ':', '!', '?']);
    let mut ways: Vec<Option<(usize, Vec<usize>)>> = vec![None; all.len() + 1];
    ways[0] = Some((0, Vec::new()));
    for _ in 0..phrases {
        let mut next: Vec<Option<(usize, Vec<usize>)>> = vec![None; all.len() + 1];
        for from in 0..all.len() {
            let Some((cost, breaks)) = &ways[from] else {
                continue;
            };
            let last = upto[from];
            for (to, other) in next.iter_mut().enumerate().take(last + 1).skip(from + 1) {
                let within = if to == all.len() || is_clause(to) {
                    0
                } else {
                    WITHIN
                };
                let left = match to == all.len() {
                    true if long(from, to) <= ORPHAN.1 => ORPHAN.0,
                    true => 0,
                    false => (long(from, last) - long(from, to)).pow(2),
                };
                let cost = cost + left + within;
                if other.as_ref().is_none_or(|(least, _)| cost < *least) {
                    let mut breaks = breaks.clone();
                    breaks.extend((to < all.len()).then_some(to));
                    *other = Some((cost, breaks));
                }
            }
        }
        ways = next;
    }
    ways.pop()?
}

/// The rail, as high as time to say the words is left.
pub(super) fn rail(pen: &mut Pen, rect: Rect, say: &PromptView, role: Role) {
    let left = u16::from(say.left.min(12));
    let eighths = (rect.height.saturating_mul(8) * left).div_ceil(12);
    let wide = 1 + u16::from(say.marked);
    for line in 0..rect.height {
        let under = (rect.height - 1 - line) * 8;
        let filled = eighths.saturating_sub(under).min(8);
        let (symbol, role) = match filled {
            0 => ("╎", Role::Mark),
            _ => (EIGHTHS[usize::from(filled)], role),
        };
        let style = pen.theme.shape(role);
        for x in 0..wide {
            pen.put(rect.x + x, rect.y + line, symbol, style);
        }
    }
}

/// As many of these texts on each line of a room as have room whole; a text too long for a line is
/// wrapped where lines are left for all of it.
pub(super) fn small(pen: &mut Pen, room: Rect, texts: &[(Role, String)]) {
    let (mut line, mut used) = (0, 0);
    for (role, text) in texts.iter().filter(|(_, text)| !text.is_empty()) {
        let gap = if used == 0 { 0 } else { 3 };
        if used > 0 && used + gap + width(text) > room.width {
            (line, used) = (line + 1, 0);
        }
        let lines = wrap(text, room.width);
        let fits = line + u16::try_from(lines.len()).unwrap_or(u16::MAX) <= room.height;
        if !fits {
            continue;
        }
        let style = pen.theme.style(*role);
        if used > 0 {
            let quiet = pen.theme.style(Role::Quiet);
            used += pen.text(right_of(room, used), line, " · ", quiet);
        }
        for (n, part) in lines.iter().enumerate() {
            if n > 0 {
                (line, used) = (line + 1, 0);
            }
            used += pen.text(right_of(room, used), line, part, style);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_parted_in_whole_phrases() {
        let part = |text: &str| {
            let all: Vec<&str> = text.split_whitespace().collect();
            parted(&all, &plain(&all, Rect::new(0, 0, 20, 1))).unwrap_or_default()
        };
        assert_eq!(part("heels down"), ["heels down"]);
        assert_eq!(
            part("plank taps next, mat down, band in reach"),
            ["plank taps next,", "mat down,", "band in reach"]
        );
        assert_eq!(
            part("one two three four five six"),
            ["one two three four", "five six"]
        );
        assert_eq!(
            part("Water. Next block is on the floor, then rest"),
            ["Water. Next block", "is on the floor,", "then rest"]
        );
        assert!(part("").is_empty());
    }

    #[test]
    fn every_phrase_has_its_time_and_the_last_has_the_last() {
        let zones = Zones::of(Rect::new(0, 0, 80, 24)).expect("large enough");
        let words =
            "long line from head to heels, hands under shoulders, and breathe out as you press";
        let phrases = Phrases::of(words, zones.say, &zones);
        let shown: Vec<usize> = (1..=12).rev().map(|left| phrases.at(left)).collect();
        assert!(shown.is_sorted() && shown[0] == 0, "{shown:?}");
        assert_eq!(shown[11], phrases.all.len() - 1);
        let read: Vec<&str> = phrases.all.iter().map(|(_, part)| part.as_str()).collect();
        assert_eq!(read.join(" "), words);
        assert_eq!(format!("{} {}", read[0], phrases.after(0)), words);
    }
}

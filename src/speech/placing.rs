//! Which words are spoken when: pure working out, the same for a class that runs and for a file.
//!
//! A voice in the ear begins a second before the words are to be said, as people repeat while they
//! listen. Nothing is ever spoken over a count or over other words, and nothing late: what cannot be
//! over by the time by which it is to have been said is left out.

use crate::plan::{Score, SignalKind};
use crate::time::{Moment, Span};

/// Between the end of something and the next words.
pub(super) const BREATH: Span = Span::from_millis(60);
/// Beats no further apart are one count; nothing is said between them.
const COUNT: Span = Span::from_millis(1_500);
/// How long the beeps of a count and its end sound (see the tones).
const BEAT: Span = Span::from_millis(120);
const LAST: Span = Span::from_millis(420);

/// Words that are to be said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Word {
    /// When.
    pub at: Moment,
    /// When they are to have been said.
    pub until: Moment,
    /// How long they last as they are spoken.
    pub length: Span,
}

/// A stretch in which nothing is spoken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wall {
    /// Its beginning.
    pub from: Moment,
    /// Its end.
    pub to: Moment,
}

/// When words begin to be spoken, if they are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Placed {
    /// At this moment.
    At(Moment),
    /// Nowhere: it would be too late, or over something else.
    Nowhere,
}

/// The counts of a score up to a moment, with the tones that end them.
#[must_use]
pub fn walls(score: &Score, from: Moment, until: Moment) -> Vec<Wall> {
    let mut walls: Vec<Wall> = Vec::new();
    let strikes = score.strikes();
    let first = strikes.partition_point(|strike| strike.at < from.before(COUNT * 2));
    for strike in strikes[first..].iter().take_while(|s| s.at <= until) {
        let long = match strike.kind {
            SignalKind::Count => BEAT,
            SignalKind::Go | SignalKind::Stop | SignalKind::End => LAST,
            SignalKind::Half | SignalKind::Switch | SignalKind::Warn => continue,
        };
        let to = strike.at + long;
        match walls
            .last_mut()
            .filter(|wall| strike.at.since(wall.to) < COUNT)
        {
            Some(wall) => wall.to = to,
            None => walls.push(Wall {
                from: strike.at,
                to,
            }),
        }
    }
    walls
}

/// Places words, in order of time, so much ahead of their time where there is room for it, and none
/// before `earliest`.
#[must_use]
pub fn place(words: &[Word], walls: &[Wall], ahead: Span, earliest: Moment) -> Vec<Placed> {
    let mut free = earliest;
    let placed = words.iter().map(|word| {
        let begin = after_walls(word, walls, word.at.before(ahead).max(free));
        let end = begin + word.length;
        let is_late = end > word.until.max(word.at + word.length);
        let is_over = walls.iter().any(|w| w.from < end + BREATH && begin < w.to);
        if is_late || is_over {
            return Placed::Nowhere;
        }
        free = end + BREATH;
        Placed::At(begin)
    });
    placed.collect()
}

/// Where a count that is over before the words are due stands in the way, they wait for its end.
fn after_walls(word: &Word, walls: &[Wall], begin: Moment) -> Moment {
    let before = walls.iter().filter(|wall| wall.from <= word.at);
    let ends = before.map(|wall| wall.to + BREATH);
    begin.max(ends.max().unwrap_or(Moment::ZERO))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Strike;

    fn at(millis: u64) -> Moment {
        Moment::from_millis(millis)
    }

    fn word(from: u64, until: u64, length: u64) -> Word {
        Word {
            at: at(from),
            until: at(until),
            length: Span::from_millis(length),
        }
    }

    fn strikes(list: &[(u64, SignalKind)]) -> Score {
        Score::of(list.iter().map(|(millis, kind)| Strike {
            at: at(*millis),
            kind: *kind,
        }))
    }

    use SignalKind::{Count, Go, Half, Stop};

    #[test]
    fn a_count_and_its_end_are_one_wall() {
        let score = strikes(&[
            (7_000, Count),
            (8_000, Count),
            (9_000, Count),
            (10_000, Go),
            (25_000, Half),
            (40_000, Stop),
        ]);
        let wall = |from, to| Wall {
            from: at(from),
            to: at(to),
        };
        let expected = [wall(7_000, 10_420), wall(40_000, 40_420)];
        assert_eq!(walls(&score, at(0), at(60_000)), expected);
        assert_eq!(walls(&score, at(9_500), at(30_000)), expected[..1]);
    }

    /// Worked by hand.
    #[test]
    fn words_begin_ahead_wait_for_a_count_and_are_left_out_rather_than_late() {
        let score = strikes(&[
            (9_000, Count),
            (10_000, Go),
            (30_000, Count),
            (31_000, Stop),
        ]);
        let walls = walls(&score, at(0), at(60_000));
        let second = Span::from_secs(1);
        for (words, ahead, earliest, placed) in [
            // A second ahead; and just at its time for a room.
            (
                vec![word(15_000, 17_000, 1_500)],
                second,
                0,
                vec![Some(14_000)],
            ),
            (
                vec![word(15_000, 17_000, 1_500)],
                Span::ZERO,
                0,
                vec![Some(15_000)],
            ),
            // After the count rather than over it.
            (
                vec![word(10_500, 13_000, 1_500)],
                second,
                0,
                vec![Some(10_480)],
            ),
            // The second waits for the first, and a third that has no room goes.
            (
                vec![word(15_000, 17_000, 3_000), word(17_000, 19_000, 1_500)],
                second,
                0,
                vec![Some(14_000), Some(17_060)],
            ),
            (
                vec![word(15_000, 16_000, 2_900), word(16_000, 17_000, 1_600)],
                second,
                0,
                vec![Some(14_000), None],
            ),
            // Before the count there is room for it, or there is none.
            (
                vec![word(27_000, 29_500, 2_900)],
                second,
                0,
                vec![Some(26_000)],
            ),
            (vec![word(27_000, 29_500, 4_000)], second, 0, vec![None]),
            (vec![word(28_000, 29_900, 1_960)], Span::ZERO, 0, vec![None]),
            // A key has just asked for it: a little late it still fits, later not.
            (
                vec![word(15_000, 17_500, 1_500)],
                second,
                15_900,
                vec![Some(15_900)],
            ),
            (
                vec![word(15_000, 17_500, 1_500)],
                second,
                16_100,
                vec![None],
            ),
        ] {
            let found = place(&words, &walls, ahead, at(earliest));
            let wanted: Vec<Placed> = placed
                .iter()
                .map(|p| p.map_or(Placed::Nowhere, |m| Placed::At(at(m))))
                .collect();
            assert_eq!(found, wanted, "{words:?}");
        }
    }

    /// Whatever is to be said and counted: never two at once, never over a count, never late.
    #[test]
    fn nothing_meets_and_nothing_is_late() {
        let mut random = fastrand::Rng::with_seed(5);
        let mut spoken = 0;
        for _ in 0..500 {
            let mut now = 0;
            let list: Vec<(u64, SignalKind)> = (0..30)
                .map(|_| {
                    now += random.u64(200..6_000);
                    (now, [Count, Go, Stop, Half][random.usize(..4)])
                })
                .collect();
            let mut next = 0;
            let words: Vec<Word> = (0..20)
                .map(|_| {
                    let from = next + random.u64(0..5_000);
                    next = from + random.u64(500..4_000);
                    word(from, next, random.u64(300..4_000))
                })
                .collect();
            let walls = walls(&strikes(&list), at(0), at(1_000_000));
            let ahead = Span::from_millis(random.u64(0..1_500));
            let earliest = at(random.u64(0..20_000));
            let mut free = earliest;
            for (word, placed) in words.iter().zip(place(&words, &walls, ahead, earliest)) {
                let Placed::At(begin) = placed else { continue };
                let end = begin + word.length;
                spoken += 1;
                assert!(begin >= free && begin >= word.at.before(ahead));
                assert!(end <= word.until.max(word.at + word.length));
                assert!(!walls.iter().any(|w| w.from < end && begin < w.to));
                free = end;
            }
        }
        assert!(spoken > 1_000, "{spoken}");
    }
}

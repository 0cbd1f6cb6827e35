//! The shape of a block that is wished: how many moves, how they lie in time, where people are.
//!
//! It is written in a few words, `4 moves 3x40/20 floor`, and read by the same rules.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::session::{Pattern, Position, Use};
use crate::time::Span;

/// Where people are in a block, so that nobody goes up and down in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Ground {
    /// On the feet, at the wall too.
    Standing,
    /// Sitting on a chair, or standing at it.
    Chair,
    /// On the mat.
    Floor,
}

impl Ground {
    /// The word as a shape has it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Standing => "standing",
            Self::Chair => "chair",
            Self::Floor => "floor",
        }
    }

    /// Where a move in its version is done.
    pub(super) fn of(turn: &Use) -> Self {
        let version = turn.version();
        let has_chair = version.equipment().contains(&"chair");
        match version.position() {
            _ if has_chair => Self::Chair,
            Position::Standing | Position::Wall => Self::Standing,
            // A large ball is sat on as a chair is.
            Position::Seated if !version.equipment().contains(&"mat") => Self::Chair,
            _ => Self::Floor,
        }
    }
}

/// A block that is wished.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct BlockWish {
    /// How many moves.
    pub moves: usize,
    /// How work and rest follow one another.
    pub pattern: Pattern,
    /// How many repetitions each move has, where they are counted.
    pub reps: Option<u32>,
    /// Where people are; found by the place of the block in the class where nothing is said.
    pub ground: Option<Ground>,
    /// Whether the moves are stations, done at once.
    pub stations: bool,
    /// Whether all rounds of a move come before the next move.
    pub by_move: bool,
}

/// How a shape is written, for whoever wrote something else.
pub const WAYS: &str = "write it as in `4 moves 3x40/20` (3 rounds of 40 s work, 20 s rest), `6 stations 2x45/15`, \
     `4 moves 50,40,30/25,20,15` (a round each), `4 moves emom 12x40`, `4 moves amrap 8:00` or \
     `4 moves reps 3x12/20`; behind it `standing`, `chair` or `floor`, and `by-move`";

/// The most moves that a block of a draft may have, and the fewest.
const MOVES: std::ops::RangeInclusive<usize> = 2..=12;
/// The most rounds or windows.
const MOST_ROUNDS: u32 = 60;
/// Works and rests of a draft: bouts of 5 s to 8 min (ACSM information sheet on interval training),
/// and rests in which a next move can be announced and counted in.
const WORK: std::ops::RangeInclusive<u64> = 5..=480;
const REST: std::ops::RangeInclusive<u64> = 10..=300;

impl FromStr for BlockWish {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let words: Vec<String> = text.split_whitespace().map(str::to_lowercase).collect();
        let [count, noun, rest @ ..] = words.as_slice() else {
            return Err(WAYS.to_owned());
        };
        let stations = match noun.as_str() {
            "moves" | "move" => false,
            "stations" | "station" => true,
            _ => return Err(WAYS.to_owned()),
        };
        let mut wish = Self {
            moves: number(count)?,
            pattern: Pattern::Amrap { time: Span::ZERO },
            reps: None,
            ground: None,
            stations,
            by_move: false,
        };
        let mut pattern = None;
        let mut kind = "";
        for word in rest {
            match word.as_str() {
                "standing" | "chair" | "floor" if wish.ground.is_some() => {
                    return Err(WAYS.to_owned());
                }
                "emom" | "amrap" | "reps" if pattern.is_some() || !kind.is_empty() => {
                    return Err(WAYS.to_owned());
                }
                "standing" => wish.ground = Some(Ground::Standing),
                "chair" => wish.ground = Some(Ground::Chair),
                "floor" => wish.ground = Some(Ground::Floor),
                "by-move" => wish.by_move = true,
                "emom" | "amrap" | "reps" => kind = word,
                times if pattern.is_none() => pattern = Some(read(kind, times, &mut wish.reps)?),
                _ => return Err(WAYS.to_owned()),
            }
        }
        wish.pattern = pattern.ok_or_else(|| WAYS.to_owned())?;
        wish.checked()
    }
}

/// The pattern of a kind in its times.
fn read(kind: &str, text: &str, reps: &mut Option<u32>) -> Result<Pattern, String> {
    if kind == "amrap" {
        return Ok(Pattern::Amrap { time: time(text)? });
    }
    if let Some((rounds, times)) = text.split_once('x') {
        let rounds = number(rounds)?;
        if kind == "emom" {
            let (every, work) = (Pattern::MINUTE, Some(time(times)?));
            return Ok(Pattern::Emom {
                times: rounds,
                every,
                work,
            });
        }
        let (work, rest) = times.split_once('/').ok_or(WAYS)?;
        let rest = time(rest)?;
        if kind == "reps" {
            *reps = Some(number(work)?);
            // A repetition in three seconds: common practice, no source.
            let pace = Span::from_secs(3);
            return Ok(Pattern::Reps {
                rounds,
                rest,
                pace,
                cap: None,
            });
        }
        return Ok(Pattern::Same {
            rounds,
            work: time(work)?,
            rest,
        });
    }
    let (work, rest) = text
        .split_once('/')
        .filter(|_| kind.is_empty())
        .ok_or(WAYS)?;
    let times = |list: &str| {
        list.split(',')
            .map(time)
            .collect::<Result<Vec<Span>, String>>()
    };
    let (work, mut rest) = (times(work)?, times(rest)?);
    if let [all] = rest[..] {
        rest = vec![all; work.len()];
    }
    Ok(Pattern::Rounds { work, rest })
}

fn number<N: FromStr>(text: &str) -> Result<N, String> {
    text.parse().map_err(|_| WAYS.to_owned())
}

fn time(text: &str) -> Result<Span, String> {
    let seconds = text.parse::<u64>().ok().map(Span::from_secs);
    let read = seconds.or_else(|| Span::parse_clock(text).ok());
    read.ok_or_else(|| WAYS.to_owned())
}

impl BlockWish {
    /// So many moves in rounds that are alike.
    #[must_use]
    pub const fn same(moves: usize, rounds: u32, work: u64, rest: u64) -> Self {
        Self {
            moves,
            pattern: Pattern::Same {
                rounds,
                work: Span::from_secs(work),
                rest: Span::from_secs(rest),
            },
            reps: None,
            ground: None,
            stations: false,
            by_move: false,
        }
    }

    /// The shape itself, where a class can be made in it.
    ///
    /// # Errors
    /// What cannot be done, in words for whoever wrote it.
    pub fn checked(self) -> Result<Self, String> {
        let within =
            |range: &std::ops::RangeInclusive<u64>, span: &Span| range.contains(&span.secs_floor());
        let (works, rests) = self.times();
        if !MOVES.contains(&self.moves) {
            return Err(format!(
                "a block of a draft has {} to {} moves",
                MOVES.start(),
                MOVES.end()
            ));
        }
        if !(1..=MOST_ROUNDS).contains(&self.rounds()) {
            return Err(format!("a block of a draft has 1 to {MOST_ROUNDS} rounds"));
        }
        if !works.iter().all(|span| within(&WORK, span)) {
            return Err(format!(
                "works last from {} s to {} s",
                WORK.start(),
                WORK.end()
            ));
        }
        if !rests.iter().all(|span| within(&REST, span)) {
            let (least, most) = (REST.start(), REST.end());
            return Err(format!(
                "rests last from {least} s, in which a move can be announced, to {most} s"
            ));
        }
        if let Pattern::Rounds { work, rest } = &self.pattern
            && work.len() != rest.len()
        {
            return Err("there are as many rests as works, or one for all".to_owned());
        }
        if let Pattern::Amrap { time } = self.pattern
            && !(60..=1800).contains(&time.secs_floor())
        {
            return Err("a window lasts from 1:00 to 30:00".to_owned());
        }
        if self.reps.is_some_and(|reps| !(1..=100).contains(&reps)) {
            return Err("a move has 1 to 100 repetitions".to_owned());
        }
        let one_by_one = matches!(self.pattern, Pattern::Amrap { .. } | Pattern::Emom { .. });
        if (self.stations || self.by_move) && one_by_one || self.stations && self.by_move {
            return Err("stations and `by-move` go with rounds".to_owned());
        }
        if self.stations && self.reps.is_some() {
            return Err("stations are timed, as nobody waits for another".to_owned());
        }
        Ok(self)
    }

    /// Its works and its rests.
    fn times(&self) -> (Vec<Span>, Vec<Span>) {
        match &self.pattern {
            Pattern::Same { work, rest, .. } => (vec![*work], vec![*rest]),
            Pattern::Rounds { work, rest } => (work.clone(), rest.clone()),
            Pattern::Reps { rest, .. } => (Vec::new(), vec![*rest]),
            Pattern::Emom { every, work, .. } => {
                let work = work.unwrap_or(*every);
                (vec![work], vec![every.saturating_sub(work)])
            }
            Pattern::Amrap { .. } => (Vec::new(), Vec::new()),
        }
    }

    /// How often each move comes.
    pub(super) fn rounds(&self) -> u32 {
        match &self.pattern {
            Pattern::Emom { times, .. } => *times,
            pattern => u32::try_from(pattern.rounds(self.moves)).unwrap_or(u32::MAX),
        }
    }

    /// The shortest work of a move; of counted ones at the pace that is planned.
    pub(super) fn shortest_work(&self) -> Span {
        match &self.pattern {
            Pattern::Reps { pace, .. } => *pace * u64::from(self.reps.unwrap_or(10)),
            Pattern::Amrap { .. } => Span::from_secs(30),
            _ => self.times().0.into_iter().min().unwrap_or_default(),
        }
    }

    /// The longest work of a move.
    pub(super) fn longest_work(&self) -> Span {
        let longest = self.times().0.into_iter().max();
        longest.unwrap_or_else(|| self.shortest_work())
    }

    /// The work that each move has in all of the block.
    pub(super) fn work_of_a_move(&self) -> Span {
        let moves = self.moves.max(1) as u64;
        match &self.pattern {
            Pattern::Same { rounds, work, .. } => *work * u64::from(*rounds),
            Pattern::Rounds { work, .. } => work.iter().copied().sum(),
            Pattern::Reps { rounds, .. } => self.shortest_work() * u64::from(*rounds),
            Pattern::Emom { times, every, work } => {
                Span::from_millis(work.unwrap_or(*every).millis() * u64::from(*times) / moves)
            }
            Pattern::Amrap { time } => Span::from_millis(time.millis() / moves),
        }
    }

    /// The same block with a round more or less, if it can have that; an EMOM goes once more through
    /// its moves, a window is a minute longer.
    pub(super) fn with_rounds(&self, more: bool) -> Option<Self> {
        let mut other = self.clone();
        match &mut other.pattern {
            Pattern::Same { rounds, .. } | Pattern::Reps { rounds, .. } => {
                *rounds = if more {
                    *rounds + 1
                } else {
                    rounds.checked_sub(1)?
                };
            }
            Pattern::Rounds { work, rest } if more => {
                work.push(*work.last()?);
                rest.push(*rest.last()?);
            }
            Pattern::Rounds { work, rest } => {
                work.pop();
                rest.pop();
            }
            Pattern::Emom { times, .. } => {
                let moves = u32::try_from(self.moves).ok()?;
                *times = if more {
                    *times + moves
                } else {
                    times.checked_sub(moves)?
                };
            }
            Pattern::Amrap { time } if more => *time += Span::from_secs(60),
            Pattern::Amrap { time } => *time = time.saturating_sub(Span::from_secs(60)),
        }
        other.checked().ok()
    }
}

impl fmt::Display for BlockWish {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let noun = if self.stations { "stations" } else { "moves" };
        let secs = |spans: &[Span]| {
            let all: Vec<String> = spans
                .iter()
                .map(|span| span.secs_floor().to_string())
                .collect();
            all.join(",")
        };
        write!(f, "{} {noun} ", self.moves)?;
        let (works, rests) = self.times();
        match &self.pattern {
            Pattern::Same { rounds, .. } => write!(f, "{rounds}x{}/{}", secs(&works), secs(&rests)),
            Pattern::Rounds { .. } => write!(f, "{}/{}", secs(&works), secs(&rests)),
            Pattern::Reps { rounds, .. } => {
                let reps = self.reps.unwrap_or(10);
                write!(f, "reps {rounds}x{reps}/{}", secs(&rests))
            }
            Pattern::Emom { times, .. } => write!(f, "emom {times}x{}", secs(&works)),
            Pattern::Amrap { time } => write!(f, "amrap {time}"),
        }?;
        if let Some(ground) = self.ground {
            write!(f, " {}", ground.word())?;
        }
        if self.by_move {
            f.write_str(" by-move")?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_is_read_and_written_so_again() {
        for text in [
            "4 moves 3x40/20",
            "6 stations 2x45/15 standing",
            "4 moves 50,40,30/25,20,15 floor",
            "3 moves emom 12x40",
            "5 moves amrap 8:00 chair",
            "4 moves reps 3x12/20 by-move",
        ] {
            let read: BlockWish = text.parse().unwrap_or_else(|why| panic!("{text}: {why}"));
            assert_eq!(read.to_string(), text);
        }
        let one_rest: BlockWish = "4 moves 50,40/20".parse().expect("a shape");
        assert_eq!(one_rest.to_string(), "4 moves 50,40/20,20");
    }

    /// What cannot be taught is refused with what can.
    #[test]
    fn what_makes_no_class_is_refused_in_words() {
        for text in [
            "",
            "4",
            "4 moves",
            "moves 4 3x40/20",
            "4 moves 3x40",
            "4 moves 3x40/20 ceiling",
            "1 moves 3x40/20",
            "13 moves 3x40/20",
            "4 moves 0x40/20",
            "4 moves 3x4/20",
            "4 moves 3x40/5",
            "4 moves emom 12x55",
            "4 stations emom 12x40",
            "4 moves amrap 0:10",
            "4 moves 50,40/20,10,5",
            "4 moves reps 3x0/20",
            "4 moves 3x40/20 3x40/20",
            "4 moves 3x40/20 emom",
            "4 moves emom amrap 8:00",
            "4 moves 3x40/20 floor standing",
        ] {
            let refused = text.parse::<BlockWish>().err();
            let refused = refused.unwrap_or_else(|| panic!("`{text}` was read"));
            assert!(refused.len() > 20, "{text}: {refused}");
        }
    }

    #[test]
    fn each_move_has_the_work_that_its_shape_gives() {
        for (text, secs) in [
            ("4 moves 3x40/20", 120),
            ("4 moves 50,40,30/20", 120),
            ("4 moves emom 12x40", 120),
            ("4 moves amrap 8:00", 120),
            ("4 moves reps 3x10/20", 90),
        ] {
            let wish: BlockWish = text.parse().expect(text);
            assert_eq!(wish.work_of_a_move(), Span::from_secs(secs), "{text}");
        }
    }
}

//! The bounds of a class that was not read from a session file: the same numbers that a file is held
//! to, so that nothing is expanded that no memory holds.

use std::ops::RangeInclusive;
use std::sync::Arc;

use super::super::model::{Block, Cueing, Part, Pattern, Session};
use super::super::moves::Use;
use super::super::together::{Doing, Together};
use super::class::{MOST_GROUPS, MOST_PEOPLE, MOST_THINGS};
use super::extent::{self, Extent};
use super::together::{MOST_STATIONS, broken_off, windows};
use super::turns::EFFORT;
use super::values::{HIGHEST, LONGEST};
use crate::time::Span;

/// What of a class is past what is counted.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct OutOfBounds(String);

type Within = Result<(), OutOfBounds>;

impl Session {
    /// Whether the numbers of the class are such as a session file may have.
    ///
    /// # Errors
    /// The first that is not, in words.
    pub fn is_within_bounds(&self) -> Within {
        cueing(&self.cueing)?;
        self.slot.map_or(Ok(()), |slot| some("the slot", slot))?;
        self.people
            .map_or(Ok(()), |people| count("`people`", people, 1..=MOST_PEOPLE))?;
        require(self.groups.len() <= MOST_GROUPS, || {
            format!("there are more than {MOST_GROUPS} groups")
        })?;
        for (thing, many) in &self.stock {
            count(&format!("`stock` of {thing}"), *many, 0..=MOST_THINGS)?;
        }
        let mut sum = Extent::default();
        for (place, part) in (1..).zip(&self.parts) {
            let within = of_part(part, 0).and_then(|()| {
                if let Part::Until { mark, .. } = part {
                    require(*mark >= sum.time, || "its mark has passed".into())?;
                }
                sum = sum.and(Extent::of(part));
                in_all(sum)
            });
            within.map_err(|OutOfBounds(what)| OutOfBounds(format!("part {place}: {what}")))?;
        }
        require(!sum.time.is_zero(), || {
            "no part of the class takes any time".into()
        })
    }
}

fn require(holds: bool, what: impl FnOnce() -> String) -> Within {
    if holds {
        Ok(())
    } else {
        Err(OutOfBounds(what()))
    }
}

fn in_all(sum: Extent) -> Within {
    require(sum.intervals <= extent::MOST, || {
        format!("the class has more than {} intervals", extent::MOST)
    })?;
    require(sum.parts <= extent::MOST, || {
        format!("the class has more than {} parts", extent::MOST)
    })?;
    require(sum.time <= LONGEST, || {
        format!("the class takes {}, at most {LONGEST} is counted", sum.time)
    })
}

fn time(what: &str, span: Span) -> Within {
    require(span <= LONGEST, || {
        format!("{what} is longer than any class")
    })
}

fn some(what: &str, span: Span) -> Within {
    require(!span.is_zero(), || format!("{what} is no time at all"))?;
    time(what, span)
}

fn in_window(what: &str, span: Span, every: Span) -> Within {
    some(what, span)?;
    require(span < every, || {
        let whole = if every == Pattern::MINUTE {
            "minute"
        } else {
            "window"
        };
        format!("{what} takes the whole {whole} or more")
    })
}

fn count(what: &str, number: u32, within: RangeInclusive<u32>) -> Within {
    require(within.contains(&number), || {
        let (least, most) = (within.start(), within.end());
        format!("{what} is {number}, it must be from {least} to {most}")
    })
}

fn cueing(cueing: &Cueing) -> Within {
    count(
        "`words_per_minute`",
        cueing.words_per_minute,
        Cueing::WORDS_PER_MINUTE,
    )?;
    count("`count`", cueing.count, Cueing::COUNT)?;
    [
        ("`warn`", cueing.warn),
        ("`lead`", cueing.lead),
        ("`change`", cueing.change),
        ("`shift`", cueing.shift),
        ("`fetch`", cueing.fetch),
        ("`move_on`", cueing.move_on),
    ]
    .into_iter()
    .try_for_each(|(what, span)| time(what, span))
}

fn of_part(part: &Part, depth: usize) -> Within {
    match part {
        Part::Talk { time: span, .. }
        | Part::Ready { time: span }
        | Part::Free { time: span, .. } => time("its time", *span),
        Part::Repeat {
            times,
            parts,
            between,
        } => {
            count("`times`", *times, 1..=HIGHEST)?;
            require(depth < 3, || "repeats stand too deep in one another".into())?;
            require(!parts.is_empty(), || "a `Repeat` without parts".into())?;
            (parts.iter().chain(between.as_deref())).try_for_each(|part| of_part(part, depth + 1))
        }
        Part::Until { part, .. } => {
            let may_last = matches!(
                **part,
                Part::Talk { .. } | Part::Ready { .. } | Part::Recover { .. } | Part::Free { .. }
            );
            require(may_last && depth == 0, || "a mark where none can be".into())?;
            of_part(part, depth)
        }
        Part::Recover {
            time: span, turn, ..
        } => {
            turn.as_ref().map_or(Ok(()), of_use)?;
            time("its time", *span)
        }
        Part::WarmUp(steps) | Part::CoolDown(steps) => steps.iter().try_for_each(|step| {
            time("the time of a step", step.length())?;
            require(step.time.is_some() || step.turn.reps.is_some(), || {
                format!("`{}` has neither a time nor `reps`", step.turn.of.id)
            })?;
            of_use(&step.turn)
        }),
        Part::Block(block) => of_block(block),
    }
}

fn of_block(block: &Block) -> Within {
    require(!block.moves.is_empty(), || "a block without moves".into())?;
    pattern(&block.pattern)?;
    (block.recovery).map_or(Ok(()), |span| time("`recovery`", span))?;
    block.between.as_ref().map_or(Ok(()), of_use)?;
    let rounds = block.pattern.rounds(block.works_a_round());
    for doing in &block.moves {
        match doing {
            Doing::One(turn) => turn
                .each()
                .try_for_each(|turn| of_place(&block.pattern, turn))?,
            Doing::Together(together) => of_together(&block.pattern, together)?,
        }
        for turn in doing.moves() {
            require(turn.rounds.len() <= rounds, || {
                format!("`{}` differs in more rounds than there are", turn.of.id)
            })?;
        }
    }
    let broken = windows(&block.pattern).and_then(|n| broken_off(&block.moves, n));
    require(broken.is_none(), || "a rotation that does not end".into())?;
    block.over_cap().map_or(Ok(()), |(cap, needed)| {
        let what = format!("`cap` is {cap}, and the block takes {needed} at the least");
        Err(OutOfBounds(what))
    })
}

fn of_together(pattern: &Pattern, together: &Together) -> Within {
    let stations = u32::try_from(together.stations.len()).unwrap_or(u32::MAX);
    count("the number of stations", stations, 2..=MOST_STATIONS)?;
    (together.work).map_or(Ok(()), |span| some("`work` of a move", span))?;
    (together.rest).map_or(Ok(()), |span| time("`rest` of a move", span))?;
    (together.swap).map_or(Ok(()), |span| time("`swap`", span))?;
    let mut each = together.stations.iter().flat_map(Use::each);
    each.try_for_each(|turn| {
        require(turn.work.is_none() && turn.rest.is_none(), || {
            format!(
                "`{}` has a time of its own among several at once",
                turn.of.id
            )
        })?;
        of_use(turn)
    })?;
    let counted = together.stations.iter().any(|turn| turn.reps.is_some());
    match (pattern, together.work, counted) {
        (Pattern::Emom { every, .. }, Some(work), _) => in_window("`work` of a move", work, *every),
        (Pattern::Emom { work: None, .. } | Pattern::Reps { .. }, None, false) => {
            Err(OutOfBounds("several at once need `reps` or `work`".into()))
        }
        (Pattern::Amrap { .. }, ..) => Err(OutOfBounds("several at once in an `Amrap`".into())),
        _ => Ok(()),
    }
}

fn of_place(pattern: &Pattern, turn: &Arc<Use>) -> Within {
    of_use(turn)?;
    let needs = |what: &str| {
        let what = format!("`{}` needs {what}", turn.of.id);
        Err(OutOfBounds(what))
    };
    match (pattern, turn.work, turn.reps) {
        (Pattern::Emom { every, .. }, Some(work), _) => in_window("`work` of a move", work, *every),
        (Pattern::Emom { work: None, .. }, None, None) => needs("`reps` or `work`"),
        (Pattern::Reps { .. }, None, None) => needs("`reps` in a block of `Reps`"),
        _ => Ok(()),
    }
}

fn of_use(turn: &Arc<Use>) -> Within {
    (turn.work).map_or(Ok(()), |span| some("`work` of a move", span))?;
    (turn.rest).map_or(Ok(()), |span| time("`rest` of a move", span))?;
    (turn.reps).map_or(Ok(()), |reps| count("`reps`", reps, 1..=HIGHEST))?;
    (turn.effort).map_or(Ok(()), |effort| count("`effort`", effort.into(), EFFORT))?;
    require(turn.pick.is_none() || turn.option().is_some(), || {
        format!("`{}` has no such option as is chosen", turn.of.id)
    })
}

fn pattern(pattern: &Pattern) -> Within {
    match pattern {
        Pattern::Rounds { work, rest } => {
            require(!work.is_empty() && work.len() == rest.len(), || {
                "`work` and `rest` are not a pair for each round".into()
            })?;
            (work.iter()).try_for_each(|span| some("`work`", *span))?;
            rest.iter().try_for_each(|span| time("`rest`", *span))
        }
        Pattern::Same { rounds, work, rest } => {
            count("`rounds`", *rounds, 1..=HIGHEST)?;
            some("`work`", *work)?;
            time("`rest`", *rest)
        }
        Pattern::Emom { times, every, work } => {
            count("`minutes`, or `times`,", *times, 1..=HIGHEST)?;
            some("`every`", *every)?;
            work.map_or(Ok(()), |work| in_window("`work`", work, *every))
        }
        Pattern::Amrap { time: window } => some("the window", *window),
        Pattern::Reps {
            rounds,
            rest,
            pace,
            cap,
        } => {
            count("`rounds`", *rounds, 1..=HIGHEST)?;
            time("`rest`", *rest)?;
            cap.map_or(Ok(()), |cap| some("`cap`", cap))?;
            some("`pace`", *pace)
        }
    }
}

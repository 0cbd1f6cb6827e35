//! Works that come round by round, or set by set, as one block.

use super::blocks::Block;
use super::shared::shared;
use super::turn::by_round;
use super::works::{Meanwhile, Work};
use crate::plan::Shape;
use crate::session::{Ron, Written};
use crate::time::Span;

/// How a block is to be written.
pub(super) struct Rule {
    pub(super) shape: Shape,
    /// Whether its works are counted, if they have no time of their own.
    pub(super) counted: bool,
    /// Whether the pause after the last work is a rest of the block.
    pub(super) last_rest: bool,
    /// After which time it ends by itself.
    pub(super) cap: Option<Span>,
}

/// Passes as a table of rounds and places.
struct Table<'a> {
    passes: &'a [&'a [Work]],
    sets: bool,
    rounds: usize,
    places: usize,
}

impl<'a> Table<'a> {
    /// A single move in several sets is a round each.
    const fn of(passes: &'a [&'a [Work]], sets: bool) -> Self {
        let (passes_many, each) = (passes.len(), passes[0].len());
        let (rounds, places) = if sets {
            (each, passes_many)
        } else {
            (passes_many, each)
        };
        Self {
            passes,
            sets,
            rounds,
            places,
        }
    }

    const fn at(&self, round: usize, place: usize) -> &'a Work {
        if self.sets {
            &self.passes[place][round]
        } else {
            &self.passes[round][place]
        }
    }

    const fn ends_pass(&self, round: usize, place: usize) -> bool {
        if self.sets {
            round + 1 == self.rounds
        } else {
            place + 1 == self.places
        }
    }

    const fn is_last(&self, round: usize, place: usize) -> bool {
        round + 1 == self.rounds && place + 1 == self.places
    }

    fn cells(&self, cell: impl Fn(usize, usize) -> Option<Span>) -> Vec<Vec<Option<Span>>> {
        let row = |round| (0..self.places).map(|place| cell(round, place)).collect();
        (0..self.rounds).map(row).collect()
    }

    fn column(&self, place: usize) -> impl Iterator<Item = &'a Work> {
        (0..self.rounds).map(move |round| self.at(round, place))
    }
}

/// The pauses of a block: its rests by rounds and places, what stands between its passes, and what
/// is done in the rests.
struct Pauses<'a> {
    rows: Vec<Span>,
    columns: Vec<Option<Span>>,
    recovery: Option<Span>,
    meanwhile: Meanwhile<'a>,
}

/// These passes as one block, if one can hold them. What comes after the last work is no part of
/// it, unless the rule says so.
pub(super) fn fitted(passes: &[&[Work]], rule: &Rule) -> Option<Block> {
    let sets = rule.shape == Shape::Sets;
    let by_move = sets && passes.len() > 1;
    if passes.iter().any(|pass| pass.len() != passes[0].len()) {
        return None;
    }
    let table = Table::of(passes, sets);
    let pauses = pauses(&table, rule)?;
    let between = match pauses.meanwhile {
        Meanwhile::Several => return None,
        Meanwhile::NoPause => None,
        Meanwhile::One(turn) => turn,
    };
    let own_rest = |place: usize| pauses.columns.get(place).copied().flatten();
    let all = 0..table.places;
    let (moves, (pattern, has_cap)) = if rule.counted {
        let moves = all.map(|nth| counted(&table, nth, own_rest(nth)));
        (moves.collect(), reps(&table, &pauses, rule.cap))
    } else {
        let work = shared(&table.cells(|r, p| Some(table.at(r, p).ran)), false)?;
        let own = |nth: usize| work.columns.get(nth).copied().flatten();
        let moves = all.map(|nth| place(&table, nth, own(nth), own_rest(nth)));
        let pattern = timed(&filled(&work.rows), &pauses.rows);
        (moves.collect(), (pattern, false))
    };
    let moves: Option<Vec<Ron>> = moves;
    Some(Block {
        moves: moves?,
        pattern,
        recovery: pauses.recovery,
        by_move,
        between: between.map(|turn| turn.written(None, None)),
        last_rest: rule.last_rest,
        has_cap,
    })
}

fn pauses<'a>(table: &Table<'a>, rule: &Rule) -> Option<Pauses<'a>> {
    let passes = table.passes;
    let ends: Vec<&Work> = passes[..passes.len() - 1]
        .iter()
        .filter_map(|pass| pass.last())
        .collect();
    let within = passes.iter().flat_map(|pass| &pass[..pass.len() - 1]);
    let last = passes.last().and_then(|pass| pass.last());
    let last = last.filter(|_| rule.last_rest);
    if last.is_some_and(|work| work.recovers() || work.pauses.is_empty()) {
        return None;
    }
    let together = |works: &mut dyn Iterator<Item = &'a Work>| {
        works
            .map(Work::meanwhile)
            .fold(Meanwhile::NoPause, Meanwhile::and)
    };
    let within = together(&mut within.chain(last));
    let at_ends = together(&mut ends.iter().copied());
    let even = ends.windows(2).all(|pair| pair[0].gap() == pair[1].gap());
    let stands_still = matches!(at_ends, Meanwhile::NoPause | Meanwhile::One(None));
    let recovery = ends.first().filter(|_| even && stands_still);
    let recovery = recovery.map(|work| work.gap());
    let recovers = ends.iter().any(|work| work.recovers());
    let rests = |with_ends: bool, recovery: Option<Span>, meanwhile| {
        let cell = |round, place| {
            let counts = if table.is_last(round, place) {
                rule.last_rest
            } else {
                with_ends || !table.ends_pass(round, place)
            };
            counts.then(|| table.at(round, place).gap())
        };
        let rests = shared(&table.cells(cell), rule.counted)?;
        Some(Pauses {
            rows: filled(&rests.rows),
            columns: rests.columns,
            recovery,
            meanwhile,
        })
    };
    let plain = || {
        let all = within.and(at_ends);
        let fits = all != Meanwhile::Several;
        fits.then(|| rests(true, None, all)).flatten()
    };
    let apart = || rests(false, Some(recovery?), within);
    if recovers {
        apart().or_else(plain)
    } else {
        plain().or_else(apart)
    }
}

/// A place among counted ones: counted, or where it was timed, with its time; none where it was
/// timed now and then, or for other times.
fn counted(table: &Table, nth: usize, rest: Option<Span>) -> Option<Ron> {
    let own = |work: &Work| (!work.untimed).then_some(work.ran);
    let first = own(table.at(0, nth));
    let even = table.column(nth).all(|work| own(work) == first);
    even.then(|| place(table, nth, first, rest)).flatten()
}

fn place(table: &Table, nth: usize, work: Option<Span>, rest: Option<Span>) -> Option<Ron> {
    let turns: Vec<_> = table.column(nth).map(|work| &work.turn).collect();
    by_round(&turns, work, rest)
}

/// A time for each row; a row that no cell needs has that of another.
fn filled(rows: &[Option<Span>]) -> Vec<Span> {
    let some = rows.iter().copied().flatten().next().unwrap_or_default();
    rows.iter().map(|row| row.unwrap_or(some)).collect()
}

fn timed(work: &[Span], rest: &[Span]) -> Ron {
    let even = |rows: &[Span]| rows.windows(2).all(|pair| pair[0] == pair[1]);
    let list = |rows: &[Span]| Ron::List(rows.iter().copied().map(Ron::time).collect());
    let fields = Written::default();
    if even(work) && even(rest) {
        return fields
            .with("rounds", Ron::word(work.len()))
            .with("work", Ron::time(work[0]))
            .with("rest", Ron::time(rest[0]))
            .group("Same");
    }
    let rest = if even(rest) { &rest[..1] } else { rest };
    fields
        .with("work", list(work))
        .with("rest", list(rest))
        .group("Rounds")
}

/// Counted works at the pace at which they were done, and whether the cap of the block still holds.
fn reps(table: &Table, pauses: &Pauses, cap: Option<Span>) -> (Ron, bool) {
    let all = || table.passes.iter().flat_map(|pass| pass.iter());
    let counted = || all().filter(|work| work.untimed);
    let ran: Span = counted().map(|work| work.ran).sum();
    let many: u64 = counted()
        .map(|work| u64::from(work.turn.reps.unwrap_or(1)))
        .sum();
    let pace = (many > 0).then(|| Span::from_millis((ran.millis() / many).max(1)));
    let rests: Span = all().map(Work::gap).sum();
    let took: Span = all().map(|work| work.ran).sum::<Span>() + rests;
    let cap = cap.filter(|cap| took <= *cap);
    let pattern = Written::default()
        .with("rounds", Ron::word(table.rounds))
        .with("rest", Ron::time(pauses.rows[0]))
        .maybe("pace", pace.map(Ron::time))
        .maybe("cap", cap.map(Ron::time));
    (pattern.group("Reps"), cap.is_some())
}

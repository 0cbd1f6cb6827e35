//! Works that began each so often.

use super::blocks::Block;
use super::shared::shared;
use super::turn::by_round;
use super::works::{Meanwhile, Work};
use crate::session::{Pattern, Ron, Written};
use crate::time::Span;

/// Works that began each so often, the moves taken in turn, the last window whole; none where they
/// did not.
pub(super) fn windows(works: &[Work], places: usize, every: Span) -> Option<Block> {
    let places = places.min(works.len());
    // A work that fills its window is one that has something to count.
    let fits = |work: &Work| {
        let counts = work.turn.reps.is_some();
        work.ran + work.gap() == every && (work.ran < every || work.ran == every && counts)
    };
    if places == 0 || !works.iter().all(fits) {
        return None;
    }
    let pauses = works.iter().map(Work::meanwhile);
    let between = match pauses.fold(Meanwhile::NoPause, Meanwhile::and) {
        Meanwhile::Several => return None,
        Meanwhile::NoPause => None,
        Meanwhile::One(turn) => turn,
    };
    let fills = |work: &Work| work.ran == every;
    let some_fill = works.iter().any(fills);
    let (work, own) = if some_fill {
        (None, own_times(works, places, every)?)
    } else {
        let cells: Vec<Vec<Option<Span>>> = works
            .chunks(places)
            .map(|round| round.iter().map(|work| Some(work.ran)).collect())
            .collect();
        let times = shared(&cells, true)?;
        let own = (0..places).map(|nth| times.columns.get(nth).copied().flatten());
        (Some(times.rows.first().copied().flatten()?), own.collect())
    };
    let rounds = works.len().div_ceil(places);
    let moves: Option<Vec<Ron>> = (0..places)
        .map(|place| {
            let mut turns: Vec<_> = works.iter().skip(place).step_by(places).collect();
            // A list has an entry for the last round, to which this place may not come.
            turns.extend(turns.last().copied().filter(|_| turns.len() < rounds));
            let turns: Vec<_> = turns.iter().map(|work| &work.turn).collect();
            by_round(&turns, own[place], None)
        })
        .collect();
    let windows = Ron::word(works.len());
    let pattern = if every == Pattern::MINUTE {
        Written::default().with("minutes", windows)
    } else {
        Written::default()
            .with("every", Ron::time(every))
            .with("times", windows)
    };
    Some(Block {
        moves: moves?,
        pattern: pattern.maybe("work", work.map(Ron::time)).group("Emom"),
        between: between.map(|turn| turn.written(None, None)),
        ..Block::default()
    })
}

/// The time of each place where some fill their windows; none where a place has several.
fn own_times(works: &[Work], places: usize, every: Span) -> Option<Vec<Option<Span>>> {
    (0..places)
        .map(|place| {
            let mut times = works.iter().skip(place).step_by(places).map(|one| one.ran);
            let first = times.next()?;
            let even = times.all(|time| time == first);
            even.then(|| (first < every).then_some(first))
        })
        .collect()
}

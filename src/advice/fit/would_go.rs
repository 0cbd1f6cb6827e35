//! What would have to go, or could come, where timings alone do not fill the slot.

use super::super::names;
use super::{shortest, signed};
use crate::plan::Timeline;
use crate::session::{Block, Part, Pattern, Session};
use crate::time::Span;

/// How many ways out are told.
const TOLD: usize = 4;

/// A class with something left out, and what that was.
struct Without {
    session: Session,
    what: String,
    shortest: i64,
}

/// What could be left out so that the class ends on time, the smallest first.
pub(super) fn shorter(session: &Session, slot: Span) -> Vec<String> {
    let mut ways: Vec<Without> = removals(session)
        .into_iter()
        .filter(|way| way.shortest <= signed(slot))
        .collect();
    // The one that leaves most of the class.
    ways.sort_by_key(|way| std::cmp::Reverse(way.shortest));
    if ways.is_empty() {
        return several(session, slot).into_iter().collect();
    }
    ways.into_iter()
        .take(TOLD)
        .map(|way| format!("without {}", way.what))
        .collect()
}

/// Where no single one does: one after the other, each time what leaves most of the class.
fn several(session: &Session, slot: Span) -> Option<String> {
    let (mut now, mut gone) = (session.clone(), Vec::new());
    while shortest(&now) > signed(slot) {
        let ways = removals(&now).into_iter();
        let next = ways.min_by_key(|way| way.shortest)?;
        gone.push(next.what);
        now = next.session;
    }
    Some(format!("without {}", gone.join(", and then ")))
}

/// Every class with one round or one part less.
fn removals(session: &Session) -> Vec<Without> {
    let mut found = Vec::new();
    for n in 0..session.parts.len() {
        let mut fewer = session.clone();
        if let Part::Block(block) = &mut fewer.parts[n]
            && one_round_less(block)
        {
            let what = format!("a round of {}", names::of_part(session, n));
            found.push(without(fewer.clone(), what));
        }
        if let Part::Repeat { times, .. } = &mut fewer.parts[n]
            && *times > 1
        {
            *times -= 1;
            let what = format!("a go of {}", names::of_part(session, n));
            found.push(without(fewer, what));
        }
        let may_go = matches!(
            session.parts[n],
            Part::Block(_)
                | Part::Talk { .. }
                | Part::Recover { .. }
                | Part::Free { .. }
                | Part::Repeat { .. }
        );
        if may_go && session.parts.len() > 1 {
            let mut fewer = session.clone();
            fewer.parts.remove(n);
            found.push(without(fewer, names::of_part(session, n)));
        }
    }
    found
}

fn without(session: Session, what: String) -> Without {
    Without {
        shortest: shortest(&session),
        session,
        what,
    }
}

fn one_round_less(block: &mut Block) -> bool {
    let moves = u32::try_from(block.moves.len()).unwrap_or(u32::MAX);
    match &mut block.pattern {
        Pattern::Rounds { work, rest } if work.len() > 1 => {
            work.pop();
            rest.pop();
            true
        }
        Pattern::Same { rounds, .. } | Pattern::Reps { rounds, .. } if *rounds > 1 => {
            *rounds -= 1;
            true
        }
        Pattern::Emom { times, .. } if *times > moves => {
            *times -= moves;
            true
        }
        _ => false,
    }
}

/// One more round of each block, and how much that adds.
pub(super) fn longer(session: &Session) -> Vec<String> {
    let total = Timeline::of(session).total();
    let mut ways = Vec::new();
    for n in 0..session.parts.len() {
        let mut more = session.clone();
        let Part::Block(block) = &mut more.parts[n] else {
            continue;
        };
        match &mut block.pattern {
            Pattern::Rounds { work, rest } => {
                work.extend(work.last().copied());
                rest.extend(rest.last().copied());
            }
            Pattern::Same { rounds, .. } | Pattern::Reps { rounds, .. } => *rounds += 1,
            Pattern::Emom { times, .. } => {
                *times += u32::try_from(block.moves.len()).unwrap_or(1);
            }
            Pattern::Amrap { .. } => continue,
        }
        let by = Timeline::of(&more).total().saturating_sub(total);
        ways.push(format!(
            "one more round of {} adds {by}",
            names::of_part(session, n)
        ));
    }
    ways.truncate(TOLD);
    ways
}

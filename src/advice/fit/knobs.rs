//! The times of a session that can be changed, each with its bounds and how often it counts.

use crate::plan::{Placed, Timeline, leaves_mat, need, own_floors};
use crate::session::edit::{Role, TimeAt, set_times, times};
use crate::session::{Part, Session};
use crate::time::Span;

/// A time of the file that can be changed.
#[derive(Clone, Debug)]
pub(super) struct Knob {
    /// Where it stands, and what it is.
    pub(super) at: TimeAt,
    /// How many intervals last so long, for each entry.
    pub(super) times: Vec<u64>,
    /// The shortest that each entry may become.
    pub(super) floors: Vec<Span>,
    /// The longest.
    pub(super) ceilings: Vec<Span>,
}

impl Knob {
    pub(super) fn with(&self, spans: &[Span]) -> TimeAt {
        TimeAt {
            spans: spans.to_vec(),
            ..self.at.clone()
        }
    }
}

/// The times that can be changed: those on which intervals hang. Which these are is found by
/// asking the timeline: each entry is made longer by a number of milliseconds of its own.
pub(super) fn knobs(session: &Session) -> Vec<Knob> {
    let (plan, mut all) = (Timeline::of(session), times(session));
    // Up to the last mark the class lasts as long as the mark says.
    let is_mark = |part: &Part| matches!(part, Part::Until { .. });
    let marked = session.parts.iter().rposition(is_mark);
    all.retain(|at| marked.is_none_or(|marked| at.part > marked));
    let mut marked = all.clone();
    let mut mark = 0;
    let entries = marked.iter_mut().flat_map(|at| at.spans.iter_mut());
    for span in entries {
        mark += 1;
        // No time at all is no interval, and stays so.
        if !span.is_zero() {
            *span += Span::from_millis(mark);
        }
    }
    let grown = Timeline::of(&set_times(session, &marked));
    let floors = floors(&plan, session);
    let pairs = plan.intervals().iter().zip(grown.intervals());
    let mut of_mark: Vec<(u64, Span)> =
        vec![(0, Span::ZERO); usize::try_from(mark).unwrap_or(0) + 1];
    for ((before, after), floor) in pairs.zip(floors) {
        let by = usize::try_from(after.span().saturating_sub(before.span()).millis()).unwrap_or(0);
        if let Some((count, least)) = of_mark.get_mut(by).filter(|_| by > 0) {
            *count += 1;
            *least = floor.max(*least);
        }
    }
    let mut next = 1;
    let knobs = all.into_iter().map(|at| {
        let mine = &of_mark[next..next + at.spans.len()];
        next += at.spans.len();
        Knob {
            times: mine.iter().map(|(count, _)| *count).collect(),
            floors: mine.iter().map(|(_, floor)| *floor).collect(),
            ceilings: at
                .spans
                .iter()
                .map(|span| ceiling(at.role, *span))
                .collect(),
            at,
        }
    });
    knobs
        .filter(|knob| knob.times.iter().any(|count| *count > 0))
        .collect()
}

/// The longest that a time may become: works by half, the others twice (common practice, no
/// source).
fn ceiling(role: Role, span: Span) -> Span {
    match role {
        Role::Work | Role::Window | Role::Talk => span + span.half(),
        _ => span * 2,
    }
}

/// The floor of each interval: its own, as in a landing, and what the change to the move behind a
/// pause needs.
fn floors(plan: &Timeline, session: &Session) -> Vec<Span> {
    let (all, cueing) = (plan.intervals(), &session.cueing);
    let mut floors: Vec<Span> = all.iter().map(|one| own_floors(one, cueing).hard).collect();
    let (mut from, mut mat_lies): (Option<usize>, bool) = (None, false);
    for (to, next) in all
        .iter()
        .enumerate()
        .filter(|(_, one)| one.kind.is_moving())
    {
        let before = from.map(|n| &**all[n].interval());
        let owed = need(cueing, before, next, mat_lies);
        settle(&mut floors, all, from.map_or(0, |n| n + 1)..to, owed);
        mat_lies |= leaves_mat(next);
        from = Some(to);
    }
    floors
}

/// Of a pause of several intervals the last keeps the time to change first.
fn settle(floors: &mut [Span], all: &[Placed], pause: std::ops::Range<usize>, mut owed: Span) {
    for n in pause.rev() {
        floors[n] = floors[n].max(owed.min(all[n].span()));
        owed = owed.saturating_sub(floors[n]);
    }
}

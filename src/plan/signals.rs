//! The signals: which tone falls at which offset.
//!
//! One rule for each boundary, so that the printed outline, the loudspeaker and the screen's flash
//! cannot disagree. How a signal sounds is not known here.

use serde::{Deserialize, Serialize};

use super::timeline::{Interval, Kind, Timeline};
use crate::session::{Cueing, Sides};
use crate::time::{Offset, Span};

/// What a signal tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SignalKind {
    /// One of the equal beeps before a start or a stop.
    Count,
    /// Work starts on the onset of this tone.
    Go,
    /// Work stops on the onset of this tone.
    Stop,
    /// Half of the work is done.
    Half,
    /// Change sides, or on to the next move of a warm-up or cool-down.
    Switch,
    /// The last seconds of work.
    Warn,
    /// The class is over.
    End,
}

/// A tone and its place in the class.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Signal {
    /// The onset of the tone.
    pub at: Offset,
    /// What it tells.
    pub kind: SignalKind,
}

/// The shortest work whose half is called (common practice, no source).
const HALF_FROM: Span = Span::from_secs(30);

/// Every signal of the timeline from the interval `first` on, in order of time; worked out as they
/// are asked for.
pub fn signals<'a>(
    timeline: &'a Timeline,
    first: usize,
    cueing: &'a Cueing,
) -> impl Iterator<Item = Signal> + 'a {
    let intervals = timeline.intervals();
    let end = (intervals.len() > first).then(|| Signal {
        at: Offset::ZERO + timeline.total(),
        kind: SignalKind::End,
    });
    (first..intervals.len())
        .flat_map(move |n| signals_of(intervals, n, cueing))
        .chain(end)
}

fn signals_of(intervals: &[Interval], n: usize, cueing: &Cueing) -> Vec<Signal> {
    let (interval, before) = (&intervals[n], n.checked_sub(1).map(|b| &intervals[b]));
    let entry = entry(before, interval).map(|kind| Signal {
        at: interval.start,
        kind,
    });
    let mut out: Vec<Signal> = entry.into_iter().collect();
    out.append(&mut within(interval, cueing));
    if is_counted_out(interval, intervals.get(n + 1)) {
        out.extend(count(interval, cueing));
    }
    out.sort_by_key(|signal| signal.at);
    out
}

fn entry(before: Option<&Interval>, interval: &Interval) -> Option<SignalKind> {
    match (before.map(|b| b.kind), interval.kind) {
        (_, Kind::Work) => Some(SignalKind::Go),
        (Some(Kind::Work), _) => Some(SignalKind::Stop),
        (_, Kind::WarmUp | Kind::CoolDown) => Some(SignalKind::Switch),
        _ => None,
    }
}

/// Whether the end of an interval is counted aloud: the stop of work, and the start of work.
#[must_use]
pub fn is_counted_out(interval: &Interval, next: Option<&Interval>) -> bool {
    let leads_to_work = next.is_some_and(|next| next.kind == Kind::Work);
    !interval.untimed && (interval.kind == Kind::Work || leads_to_work)
}

fn count<'a>(interval: &'a Interval, cueing: &Cueing) -> impl Iterator<Item = Signal> + use<'a> {
    (1..=u64::from(cueing.count))
        .rev()
        .map(Span::from_secs)
        .filter(|&left| left < interval.length)
        .map(|left| Signal {
            at: interval.end().before(left),
            kind: SignalKind::Count,
        })
}

pub(super) fn within(interval: &Interval, cueing: &Cueing) -> Vec<Signal> {
    let mut out = Vec::new();
    if interval.untimed || !interval.kind.is_moving() {
        return out;
    }
    let mut mark = |after: Span, kind| {
        out.push(Signal {
            at: interval.start + after,
            kind,
        });
    };
    let half = interval.length.half();
    let each = interval.moves.len() == 1
        && interval
            .turn()
            .is_some_and(|turn| turn.of.sides == Sides::Each);
    if each {
        mark(half, SignalKind::Switch);
    } else if interval.kind == Kind::Work && interval.length >= HALF_FROM {
        mark(half, SignalKind::Half);
    }
    if interval.kind == Kind::Work && has_warning(interval.length, cueing) {
        mark(interval.length.less(cueing.warn), SignalKind::Warn);
    }
    out
}

/// A warning is worth its sound where more work lies before it than after, and the count comes
/// later.
fn has_warning(length: Span, cueing: &Cueing) -> bool {
    cueing.warn > cueing.count_span() && length > cueing.warn * 2
}

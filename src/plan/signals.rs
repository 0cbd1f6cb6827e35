//! The signals: which tone falls at which offset.
//!
//! One rule for each boundary, so that the printed outline, the loudspeaker and the screen's flash
//! cannot disagree. How a signal sounds is not known here.

use serde::{Deserialize, Serialize};

use super::interval::{Interval, Kind};
use super::timeline::{Placed, Timeline};
use crate::session::Cueing;
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

/// Every signal of the timeline from the interval `first` on, in order of time; worked out as they
/// are asked for.
pub fn signals<'a>(
    timeline: &'a Timeline,
    first: usize,
    cueing: &'a Cueing,
) -> impl Iterator<Item = Signal> + 'a {
    let intervals = timeline.intervals();
    let end = (intervals.len() > first).then(|| Signal {
        at: timeline.end(),
        kind: SignalKind::End,
    });
    (first..intervals.len())
        .flat_map(move |n| signals_of(intervals, n, cueing))
        .chain(end)
}

fn signals_of(intervals: &[Placed], n: usize, cueing: &Cueing) -> Vec<Signal> {
    let (interval, before) = (&intervals[n], n.checked_sub(1).map(|b| &intervals[b]));
    let entry = entry(before.map(|b| b.kind), interval.kind).map(|kind| Signal {
        at: interval.start,
        kind,
    });
    let mut out: Vec<Signal> = entry.into_iter().collect();
    out.append(&mut within(interval, cueing));
    if is_counted_out(interval, intervals.get(n + 1).map(|next| &**next)) {
        out.extend(count(interval, cueing));
    }
    out.sort_by_key(|signal| signal.at);
    out
}

const fn entry(before: Option<Kind>, kind: Kind) -> Option<SignalKind> {
    match (before, kind) {
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

fn count<'a>(interval: &'a Placed, cueing: &Cueing) -> impl Iterator<Item = Signal> + use<'a> {
    (1..=u64::from(cueing.count))
        .rev()
        .map(Span::from_secs)
        .filter(|&left| left < interval.span())
        .map(|left| Signal {
            at: interval.end.before(left),
            kind: SignalKind::Count,
        })
}

/// The signals within an interval, but for its count.
pub(super) fn within(interval: &Placed, cueing: &Cueing) -> Vec<Signal> {
    if interval.untimed || !interval.kind.is_moving() && interval.kind != Kind::Free {
        return Vec::new();
    }
    let long = interval.span().max(interval.length);
    let warned = interval.kind == Kind::Work && has_warning(long, cueing);
    let warn_at =
        Some(interval.end.before(cueing.warn)).filter(|&at| warned && at > interval.start);
    [
        (interval.switch_at, SignalKind::Switch),
        (interval.half_at, SignalKind::Half),
        (warn_at, SignalKind::Warn),
    ]
    .into_iter()
    .filter_map(|(at, kind)| at.map(|at| Signal { at, kind }))
    .collect()
}

/// A warning is worth its sound where more work lies before it than after, and the count comes
/// later.
fn has_warning(length: Span, cueing: &Cueing) -> bool {
    cueing.warn > cueing.count_span() && length > cueing.warn * 2
}

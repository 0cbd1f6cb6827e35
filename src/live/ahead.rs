//! What the seconds lead to, for whoever looks at the screen: the pause or move behind them, the
//! version that somebody needs, how long nothing need be said.

use super::course::Running;
use super::machine::{Live, State};
use super::view::{MoveView, NextView, Stance, ThenView, VersionView};
use crate::plan::{Kind, Nth, is_counted_out};
use crate::time::{Offset, Span};

/// A pause from which on the next move does not lead straight away: sent to the floor or to fetch
/// things before it, people would be sent too early.
const LONG_PAUSE: Span = Span::from_secs(30);

impl Live {
    /// What comes after the running interval.
    pub(super) fn then(&self) -> Option<ThenView> {
        self.course.now()?;
        let after = self.course.left.ahead.next();
        Some(match after {
            None => ThenView::End,
            Some(after) if after.kind.is_moving() => ThenView::Move,
            Some(after) => {
                let length = after.length.ceil_secs();
                let is_long =
                    !matches!(after.kind, Kind::Rest | Kind::Ready) || length >= LONG_PAUSE;
                ThenView::Pause {
                    kind: after.kind,
                    length,
                    is_long,
                }
            }
        })
    }

    /// The minute of a block whose moves start each minute, and of how many.
    pub(super) fn minute(&self) -> Option<Nth> {
        let running = self.course.now()?;
        let window = running.place.as_ref()?.window;
        running.grid().map(|_| window)
    }

    /// How long nothing need be said or counted, in the seconds that the figures count; nothing where
    /// words or a count are due, or no words come any more. The end of what runs ends it: there
    /// people need her.
    pub(super) fn free(&self, here: Offset) -> Option<Span> {
        let running = self
            .course
            .running()
            .filter(|_| matches!(self.state, State::Running { .. }))?;
        let prompts = &self.cues.prompts;
        let next = prompts.partition_point(|prompt| prompt.until <= here);
        let next = prompts.get(next)?.at.min(self.counted_from(running));
        (next > here).then(|| until(running, here, next))
    }

    /// Where the count to the end of what runs begins, or the end where nobody counts to it.
    fn counted_from(&self, running: &Running) -> Offset {
        let next = self.course.left.ahead.next().map(|next| &**next);
        if running.interval.untimed {
            return Offset::from_millis(u64::MAX);
        }
        let end = running.end();
        if is_counted_out(&running.interval, next) {
            end.before(self.session.cueing.count_span())
        } else {
            end
        }
    }
}

/// From here to a place, so that it falls by one when the figures change.
fn until(running: &Running, here: Offset, at: Offset) -> Span {
    if running.interval.untimed {
        let since = |place: Offset| place.since(running.start).floor_secs();
        return since(at).saturating_sub(since(here));
    }
    let end = running.end();
    let left = end.since(here).ceil_secs();
    if at >= end {
        left + at.since(end).floor_secs()
    } else {
        left.saturating_sub(end.since(at).ceil_secs())
    }
}

/// The versions to have ready: for tonight's limits, else what everyone does now, else the easier
/// one; of the move that comes where it comes soon, else of the one that is done. The name beside
/// them is that of the move that comes, so that those of the other say so.
pub(super) fn version(
    stance: Stance,
    then: Option<ThenView>,
    now: Option<&MoveView>,
    next: Option<&NextView>,
) -> Vec<VersionView> {
    let is_far = matches!(then, Some(ThenView::Pause { is_long: true, .. }));
    let coming = next.map(|next| &next.is);
    let of = match stance {
        Stance::Turning if !is_far => coming.or(now),
        _ => now.or(coming),
    };
    let Some(of) = of else { return Vec::new() };
    let is_coming = coming.is_some_and(|coming| std::ptr::eq(coming, of));
    let whose = if is_coming || coming.is_none() {
        ""
    } else {
        "now "
    };
    let marked = |words: &String| VersionView {
        words: format!("{whose}{words}"),
        marked: true,
    };
    if !of.spare.is_empty() {
        return of.spare.iter().map(marked).collect();
    }
    let in_force = of.option.as_ref().map(|call| format!("everyone: {call}"));
    let easier = of.easier.first().map(|call| format!("easier: {call}"));
    let words = in_force.or(easier);
    words
        .into_iter()
        .map(|words| VersionView {
            words: format!("{whose}{words}"),
            marked: false,
        })
        .collect()
}

//! Why something is not said, and how much time it lacks.
//!
//! What could be done about it is not known here; that is the review's.

use super::draft::{Announced, Draft};
use super::prompt::{PromptKind, Unplaced};
use super::stations::explaining;
use super::topics::{Importance, Topic};
use super::window::{Item, Lack, Missed, Selection};
use crate::time::Span;

/// What was not chosen, with the reason in words.
pub(super) fn named(draft: &Draft, missed: &Missed) -> Unplaced {
    let line = draft.words(missed.item);
    let long = draft.context.saying(&line.say);
    let (open, why) = match &missed.why {
        _ if line.topic.kind == PromptKind::Preview => preview(draft, missed, long),
        Lack::Needed(_) => (
            Span::ZERO,
            "the words before it have no room either".to_owned(),
        ),
        Lack::Nowhere => (
            Span::ZERO,
            "there is no pause in which to say it".to_owned(),
        ),
        Lack::Room(opening) => {
            let interval = draft.context.interval(draft.stretches[opening.stretch]);
            let (kind, length) = (interval.kind.label(), interval.span());
            let (left, long) = (opening.room().secs(), long.secs());
            let why = if opening.is_over_budget() && interval.kind.is_moving() {
                format!(
                    "no more than half of the {kind} of {length} may be speech: {left:.1} s are left, and it takes {long:.1} s"
                )
            } else {
                format!(
                    "the {kind} of {length} leaves {left:.1} s for it, and it takes {long:.1} s"
                )
            };
            (opening.room(), why)
        }
    };
    Unplaced {
        about: line.about,
        kind: line.topic.kind,
        say: line.say.clone(),
        marked: line.topic.marked,
        short: long.saturating_sub(open),
        why,
    }
}

fn preview(draft: &Draft, missed: &Missed, long: Span) -> (Span, String) {
    let open = match missed.why {
        Lack::Room(opening) => opening
            .room()
            .min(long.saturating_sub(Span::from_millis(1))),
        _ => Span::ZERO,
    };
    let Some(next) = &draft.segment.next else {
        return (open, String::new());
    };
    let lead = next.lead(draft.context.cueing);
    if draft.segment.begin() == next.interval.start {
        return (open, "the class begins with it".to_owned());
    }
    let (left, takes, lead) = (open.secs(), long.secs(), lead.secs());
    let why = format!(
        "ahead of its lead of {lead:.1} s {left:.1} s are open since the move before began, and it takes {takes:.1} s"
    );
    (open, why)
}

/// That not all stations are explained before the start, where some had to be left for later.
pub(super) fn unexplained(draft: &Draft, left: &[Topic]) -> Option<Unplaced> {
    let next = draft.segment.next.as_ref()?;
    let is_station = |topic: &&Topic| topic.importance == Importance::Stations;
    let missing: Vec<&Topic> = left.iter().filter(is_station).collect();
    if missing.is_empty() {
        return None;
    }
    let lacking: Span = missing
        .iter()
        .map(|topic| draft.context.saying(&topic.say))
        .sum();
    let takes = explaining(next.interval, draft.context.cueing);
    let why = format!(
        "explaining all {} takes {:.0} s, and there is too little time for it before the start: {} are left for the work itself",
        next.interval.moves.len(),
        takes.secs(),
        missing.len()
    );
    Some(Unplaced {
        about: next.at,
        kind: PromptKind::Setup,
        say: missing[0].say.clone(),
        marked: false,
        short: lacking,
        why,
    })
}

/// The preview, where it is said without its lead.
pub(super) fn late(
    draft: &Draft,
    announced: Option<Announced>,
    chosen: &Selection,
) -> Option<Unplaced> {
    let Some(Announced::Asked(preview)) = announced else {
        return None;
    };
    let next = draft.segment.next.as_ref()?;
    let said = chosen.said.iter().find(|said| match said.item {
        Item::Ask { ask, .. } => ask == preview,
        Item::Call(_) => false,
    })?;
    let lead = next.lead(draft.context.cueing);
    let late = lead.saturating_sub(next.interval.start - said.until);
    let line = draft.words(said.item);
    let why = format!(
        "it is said {:.1} s short of its lead of {:.1} s, for it has no room before",
        late.secs(),
        lead.secs()
    );
    (!late.is_zero()).then(|| Unplaced {
        about: next.at,
        kind: PromptKind::Preview,
        say: line.say.clone(),
        marked: false,
        short: late,
        why,
    })
}

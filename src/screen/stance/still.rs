//! A class that does not run: before it begins, while it is held, when it is over.

use super::shown::{Shown, Wording};
use super::words;
use crate::live::{HeldView, HoldReason, SlotView, Stance, View};
use crate::screen::around::Around;
use crate::screen::theme::Role;
use crate::time::Span;

/// What is shown of it.
pub(super) fn of(view: &View, around: &Around) -> Shown {
    let out = Shown {
        version: view
            .version
            .iter()
            .map(|version| version.words.clone())
            .collect(),
        is_marked: view.version.iter().any(|version| version.marked),
        instead: key(around),
        ..Shown::default()
    };
    match view.stance {
        Stance::Waiting => waiting(view, out),
        Stance::Ended => ended(view, out),
        _ => held(view, out),
    }
}

/// What the first key does: it begins the class, or goes on with it.
fn key(around: &Around) -> Option<(Role, Vec<String>)> {
    let hint = around.hints.first()?;
    Some((Role::Now, vec![format!("{}: {}", hint.key, hint.action)]))
}

fn waiting(view: &View, out: Shown) -> Shown {
    let first = view
        .now
        .as_ref()
        .or(view.next.as_ref().map(|next| &next.is));
    Shown {
        first: Wording::quiet(vec![format!("{} in all", view.total)]),
        head: Wording::loud(first.map(words::names).unwrap_or_default()),
        small: vec![(Role::Quiet, view.brief.to_string())],
        ..out
    }
}

fn held(view: &View, out: Shown) -> Shown {
    let next = view.next.as_ref();
    let now = view.now.as_ref().map(|now| words::names(now).remove(0));
    let what = now.unwrap_or_else(|| view.kind.label().to_owned());
    let small = vec![
        (Role::Now, why(view)),
        (Role::Quiet, format!("goes on with {what}")),
    ];
    let doing = view.held.as_ref().and_then(|held| held.doing.as_ref());
    let out = match doing {
        // Whoever reads the version aloud now, says what keeps them moving.
        Some(doing) => Shown {
            version: vec![format!("say: keep moving, {doing}, easy")],
            is_marked: false,
            ..out
        },
        None => out,
    };
    Shown {
        head: Wording::quiet(next.map(|next| words::names(&next.is)).unwrap_or_default()),
        length: next.map(words::length).unwrap_or_default(),
        small,
        ..out
    }
}

fn ended(view: &View, out: Shown) -> Shown {
    let done = &view.done;
    let whole = |span: Span| Span::from_secs(span.secs_floor());
    let word = if done.completed { "done" } else { "ended" };
    let taught = format!("{} of {}", whole(done.run), whole(done.planned));
    let mut small = vec![(Role::Quiet, format!("{} of work", whole(done.work)))];
    if done.skipped > 0 {
        small.push((Role::Quiet, format!("{} left out", moves(done.skipped))));
    }
    if done.holds > 0 {
        let held = format!("held {}, {} in all", times(done.holds), whole(done.held));
        small.push((Role::Quiet, held));
    }
    if done.marks > 0 {
        small.push((Role::Quiet, format!("noted {}", times(done.marks))));
    }
    let works = format!("{} of {} works", done.works, done.works_planned);
    Shown {
        first: Wording::loud(vec![word.into()]),
        second: Wording::quiet(vec![format!("{taught} taught"), taught]),
        version: Vec::new(),
        instead: Some((Role::Quiet, vec![works])),
        small,
        ..out
    }
}

/// What stands on the band of a held class.
pub(super) fn word(held: Option<&HeldView>) -> String {
    match held {
        Some(held) if held.why == HoldReason::Break => {
            format!("break {}", Span::from_secs(held.secs))
        }
        Some(HeldView {
            doing: Some(doing),
            secs,
            ..
        }) => format!("{doing} {}", Span::from_secs(*secs)),
        _ => "held".into(),
    }
}

/// What a class that is held by hand stands in, and goes on with; one in a break has that to tell.
pub(super) fn named(view: &View) -> Option<Vec<String>> {
    let held = view.held.as_ref()?;
    let by_hand = matches!(held.why, HoldReason::Hold | HoldReason::Slept);
    let names = view.now.as_ref().map(words::names);
    by_hand.then(|| names.unwrap_or_else(|| vec![view.kind.label().to_owned()]))
}

fn why(view: &View) -> String {
    let Some(held) = &view.held else {
        return "the clock of the class stands still".into();
    };
    let since = Span::from_secs(held.secs);
    match (held.why, held.gap) {
        (HoldReason::Hold, _) => format!("the class stands still, for {since}"),
        (HoldReason::Break, _) => "a break for everyone".into(),
        (HoldReason::Moving, _) => "the class stands still, they keep moving".into(),
        (HoldReason::Slept, Some(gap)) => {
            let gap = Span::from_secs(gap.secs_floor());
            format!("away for {gap}; held where it was")
        }
        (HoldReason::Slept, None) => format!("held where it was, for {since}"),
    }
}

/// For how long a full minute of a break is marked.
const MARKED: u64 = 5;

/// Whether a full minute of a break has just gone.
pub(super) fn marks_minute(view: &View) -> bool {
    let is_marked = |held: &HeldView| {
        let is_recalled = matches!(held.why, HoldReason::Break | HoldReason::Moving);
        is_recalled && held.secs >= 60 && held.secs % 60 < MARKED
    };
    view.held.as_ref().is_some_and(is_marked)
}

/// That the class has come to end after its slot while it was held: the end moves on with every
/// second, so that no more than the length of the hold can be over by it.
pub(super) fn over(view: &View) -> Option<String> {
    match (&view.held, view.slot) {
        (Some(held), Some(SlotView::Over(over))) if over.secs_ceil() <= held.secs => {
            Some(format!("now {over} over"))
        }
        _ => None,
    }
}

fn moves(count: usize) -> String {
    match count {
        1 => "1 move".into(),
        _ => format!("{count} moves"),
    }
}

fn times(count: usize) -> String {
    match count {
        1 => "once".into(),
        _ => format!("{count} times"),
    }
}

//! Moves in words: the short phrases that several stances use.

use crate::live::{Body, Digits, MoveView, NextView, View};
use crate::screen::digits;
use crate::screen::theme::Role;

/// The name as it is shown large, with its repetitions.
pub(super) fn name(is: &MoveView) -> String {
    match is.reps {
        Some(reps) => format!("{reps} {}", is.name),
        None => is.name.clone(),
    }
}

/// What the body does to get to the next move, as a shape and in words.
pub(super) const fn body(body: Body) -> Option<&'static str> {
    match body {
        Body::Same => None,
        Body::Down => Some("↓ to the floor"),
        Body::Up => Some("↑ stand up"),
        Body::Shift => Some("→ change over"),
    }
}

/// What must be fetched.
pub(super) fn fetch(next: &NextView) -> Option<String> {
    (!next.fetch.is_empty()).then(|| format!("fetch {}", next.fetch.join(", ")))
}

/// The things about a move that fit on a line.
pub(super) fn about(is: &MoveView) -> String {
    let side = match is.side {
        Some(1) => Some("first side".to_owned()),
        Some(_) => Some("second side".to_owned()),
        None => None,
    };
    let option = is.option.as_ref().map(|call| format!("everyone: {call}"));
    [
        option,
        is.note.clone(),
        side,
        Some(is.position.label().to_owned()),
    ]
    .into_iter()
    .flatten()
    .filter(|text| !text.is_empty())
    .collect::<Vec<_>>()
    .join(" · ")
}

/// What comes next, on one line.
pub(super) fn next_line(view: &View, next: &NextView) -> String {
    let mut texts = vec![name(&next.is)];
    texts.extend(body(next.body).map(str::to_owned));
    texts.extend(fetch(next));
    texts.extend(next.length.map(|length| format!("for {length}")));
    if let Some((kind, length)) = view.between {
        texts.push(format!("after {} {length}", kind.label()));
    }
    texts.join(" · ")
}

/// When the next move starts, and for how long.
pub(super) fn when(next: &NextView) -> String {
    let starts = format!(
        "in {}",
        digits::text(Digits::Left(next.starts_in.secs_up()))
    );
    let length = next
        .length
        .map_or("at your pace".into(), |l| format!("for {l}"));
    let block = next.block.as_ref().map(|title| format!("block {title}"));
    [Some(starts), Some(length), block]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join(" · ")
}

/// Who needs another version, and how it is done well: lines in order of need.
pub(super) fn versions(is: &MoveView) -> Vec<(Role, String)> {
    let mut out: Vec<(Role, String)> = Vec::new();
    out.extend(
        is.spare
            .iter()
            .map(|text| (Role::Spare, format!("◆ {text}"))),
    );
    if !is.easier.is_empty() {
        out.push((
            Role::Spare,
            format!("easier: {}", is.easier.join(", then ")),
        ));
    }
    out.extend(
        is.form
            .iter()
            .map(|text| (Role::Quiet, format!("- {text}"))),
    );
    if !is.harder.is_empty() {
        out.push((
            Role::Quiet,
            format!("harder: {}", is.harder.join(", then ")),
        ));
    }
    out
}

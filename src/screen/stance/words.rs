//! Moves in words: the short phrases that several stances use.

use crate::live::{Body, Digits, MoveView, NextView, View};
use crate::plan::Kind;
use crate::screen::digits;
use crate::screen::theme::Role;
use crate::session::Position;
use crate::time::Span;

/// The name as it is shown large, with its repetitions.
pub(super) fn name(is: &MoveView) -> String {
    match is.reps {
        Some(reps) => format!("{reps} {}", is.name),
        None => is.name.clone(),
    }
}

/// What the body does to get to the next move, as a shape and in words.
pub(super) const fn body(next: &NextView) -> Option<&'static str> {
    match next.body {
        Body::Same => None,
        Body::Up => Some(up(next.is.position)),
        Body::Down => Some(down(next.from, next.is.position)),
        Body::Shift => Some(shift(next.from, next.is.position)),
    }
}

/// The same in a word beside its shape, where there is little room.
pub(super) fn short(body: &str) -> String {
    let leads = ["to the ", "onto your ", "to your "];
    leads
        .iter()
        .fold(body.to_owned(), |text, lead| text.replace(lead, ""))
}

const fn up(to: Position) -> &'static str {
    match to {
        Position::Wall => "↑ up, to the wall",
        Position::Seated => "↑ onto your seat",
        _ => "↑ stand up",
    }
}

const fn down(from: Position, to: Position) -> &'static str {
    match (from, to) {
        (Position::Standing | Position::Wall, Position::Seated) => "↓ sit down",
        (_, Position::Supine) => "↓ onto your back",
        (_, Position::Prone) => "↓ onto your front",
        (_, Position::SideLying) => "↓ onto your side",
        (_, Position::Kneeling) => "↓ to your knees",
        _ => "↓ to the floor",
    }
}

const fn shift(from: Position, to: Position) -> &'static str {
    match (from, to) {
        (Position::Wall, Position::Standing) => "→ off the wall",
        (_, Position::Standing) => "↑ stand up",
        (_, Position::Wall) => "→ to the wall",
        (Position::Supine | Position::Prone | Position::SideLying, Position::Seated) => "↑ sit up",
        (_, Position::Seated) => "↓ sit down",
        (_, Position::Supine) => "→ onto your back",
        (_, Position::Prone) => "→ onto your front",
        (_, Position::SideLying) => "→ onto your side",
        (_, Position::Kneeling) => "→ to your knees",
        (_, Position::HandsAndKnees) => "→ hands and knees",
        (_, Position::HandsAndFeet) => "→ hands and feet",
        (_, Position::Forearms) => "→ onto forearms",
    }
}

/// A pause from which on the next move does not lead straight away.
const LONG_PAUSE: Span = Span::from_secs(30);

/// The pause that comes before the next move, where people move now and it is long: sent to the
/// floor or to fetch things now, they would be sent too early.
pub(in crate::screen) fn pause(view: &View) -> Option<String> {
    let (kind, length) = view.between.filter(|_| view.kind.is_moving())?;
    let is_long = matches!(kind, Kind::Recovery | Kind::Talk) || length >= LONG_PAUSE;
    is_long.then(|| format!("{} {length}", kind.label()))
}

/// Which side is worked, where sides change at half-time.
pub(super) fn side(is: &MoveView) -> Option<String> {
    is.side.map(|side| format!("side {side}"))
}

/// That this work is the last of something.
pub(super) fn last(view: &View) -> Option<String> {
    view.last_of.map(|of| format!("last of {of}"))
}

/// Which move or round this is, whichever changes next.
pub(super) fn place(view: &View) -> Option<String> {
    let name = |is: Option<&MoveView>| is.map(|is| is.name.clone());
    let again = name(view.now.as_ref()) == name(view.next.as_ref().map(|next| &next.is));
    let ((place, places), (round, rounds)) = (view.place, view.round);
    match (places > 1 && place > 0, rounds > 1 && round > 0) {
        (true, is_in_rounds) if !(again && is_in_rounds) => Some(format!("{place} of {places}")),
        (_, true) => Some(format!("round {round} of {rounds}")),
        _ if round > 0 && rounds == 0 => Some(format!("round {round}")),
        _ => None,
    }
}

/// What must be fetched.
pub(super) fn fetch(next: &NextView) -> Option<String> {
    (!next.fetch.is_empty()).then(|| format!("fetch {}", next.fetch.join(", ")))
}

/// The things about a move that fit on a line.
pub(super) fn about(is: &MoveView) -> String {
    let option = is.option.as_ref().map(|call| format!("everyone: {call}"));
    let is_said = |note: &&String| {
        let call = is.option.as_deref().unwrap_or_default();
        note.trim().eq_ignore_ascii_case(call.trim())
    };
    [
        option,
        is.note.as_ref().filter(|note| !is_said(note)).cloned(),
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
    let mut texts = to_it(next);
    if let Some((kind, length)) = view.between {
        texts.push(format!("after {} {length}", kind.label()));
    }
    texts.join(" · ")
}

/// What comes after a long pause, on one line.
pub(super) fn after_pause(next: &NextView) -> String {
    format!("then {}", to_it(next).join(" · "))
}

/// The move, how to get to it, and how long it is.
fn to_it(next: &NextView) -> Vec<String> {
    let mut texts = vec![name(&next.is)];
    texts.extend(body(next).map(str::to_owned));
    texts.extend(fetch(next));
    texts.extend(next.length.map(|length| format!("for {length}")));
    texts
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

//! Moves in words: the short phrases that several stances use, in several wordings where room may
//! be scarce, the fullest first.

use crate::live::{Digits, MoveView, NextView, PositionChange, ThenView, View};
use crate::screen::around::Around;
use crate::screen::digits;
use crate::session::Position;

/// The name as it is shown large, with its repetitions; then what it is called in class.
pub(super) fn names(is: &MoveView) -> Vec<String> {
    let counted = |name: &str| match is.reps {
        Some(reps) => format!("{reps} {name}"),
        None => name.to_owned(),
    };
    let mut out = vec![counted(&is.name)];
    if !is.call.is_empty() && !is.call.eq_ignore_ascii_case(&is.name) {
        out.push(counted(&is.call));
    }
    out
}

/// What the body does to get to the next move, as a shape and in words.
const fn body(next: &NextView) -> Option<&'static str> {
    match next.change {
        PositionChange::Same => None,
        PositionChange::Up => Some(up(next.is.position)),
        PositionChange::Down => Some(down(next.from, next.is.position)),
        PositionChange::Shift => Some(shift(next.from, next.is.position)),
    }
}

/// The same in a word beside its shape, where there is little room.
fn short(body: &str) -> String {
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

/// The change of position and what must be fetched for it, in ever fewer words; empty where nobody
/// moves and nothing is fetched.
pub(super) fn change(next: &NextView) -> Vec<String> {
    let things = next.fetch.join(", ");
    let fetch = if things.is_empty() {
        String::new()
    } else {
        format!("get {things}")
    };
    let body = body(next).map(str::to_owned).unwrap_or_default();
    let brief = short(&body);
    let both = |body: &str, fetch: &str| {
        let parts: Vec<&str> = [body, fetch]
            .into_iter()
            .filter(|text| !text.is_empty())
            .collect();
        parts.join(" · ")
    };
    let mut out = vec![
        both(&body, &fetch),
        both(&brief, &fetch),
        both(&brief, &things),
    ];
    out.dedup();
    out.retain(|text| !text.is_empty());
    out
}

/// The change of position and what must be fetched, apart.
pub(super) fn change_apart(next: &NextView) -> Option<[String; 2]> {
    let body = body(next)?;
    (!next.fetch.is_empty()).then(|| [body.to_owned(), format!("get {}", next.fetch.join(", "))])
}

/// What the running seconds lead to.
pub(super) fn then(view: &View) -> Vec<String> {
    match view.then {
        Some(ThenView::Pause { kind, length, .. }) => {
            let pause = format!("{} {length}", kind.label());
            vec![format!("then {pause}"), pause]
        }
        Some(ThenView::Move) => straight(view.next.as_ref()),
        Some(ThenView::End) => vec!["then the end".into(), "the end".into()],
        None => Vec::new(),
    }
}

/// What the body does at once, where no pause comes first.
fn straight(next: Option<&NextView>) -> Vec<String> {
    let change = next.map(change).unwrap_or_default();
    match change.first() {
        Some(first) => {
            let first = format!("then {first}");
            std::iter::once(first).chain(change).collect()
        }
        None => vec!["then straight on".into(), "straight on".into()],
    }
}

/// How long the next move is going to be.
pub(super) fn length(next: &NextView) -> String {
    match next.length {
        Some(length) => format!("for {length}"),
        None => "at your pace".into(),
    }
}

/// Which side is worked, where sides change at half-time.
pub(super) fn side(is: &MoveView) -> Option<String> {
    is.side.map(|side| format!("side {side} of 2"))
}

/// Counted work: how long it was planned, and the key that goes on.
pub(super) fn counted(view: &View, around: &Around) -> Option<Vec<String>> {
    let Digits::Up(_) = view.digits else {
        return None;
    };
    let planned = format!(
        "about {}",
        digits::text(Digits::Left(view.length.secs_ceil()))
    );
    let mut keys = around.hints.iter();
    let on = keys.find(|hint| hint.action.contains("go on") || hint.action.contains("next"));
    Some(match on {
        Some(on) => vec![
            format!("{planned} · {} goes on", on.key),
            format!("{} goes on", on.key),
        ],
        None => vec![planned],
    })
}

/// What else is to be known of the running move: the planner's word, and that it is the last.
pub(super) fn asides(view: &View) -> Vec<String> {
    let note = view.now.as_ref().and_then(|now| now.note.clone());
    let is_shown = |note: &String| {
        let version = view.version.iter();
        let mut shown = version.map(|version| plain(&version.words));
        shown.any(|words| words.contains(&plain(note)))
    };
    let last = view.last_of.map(|of| format!("last move of {of}"));
    let note = note.filter(|note| !is_shown(note));
    let now = view.now.as_ref();
    let effort = now.and_then(effort);
    let aside = now.and_then(|now| now.aside.clone());
    [note, effort, last, aside].into_iter().flatten().collect()
}

/// How hard a move is meant to be.
fn effort(is: &MoveView) -> Option<String> {
    is.effort.map(|effort| format!("effort {effort}"))
}

/// What else is to be known of the next move: its block, the planner's word, how to get into it.
pub(super) fn about(next: &NextView) -> Vec<String> {
    let block = next.block.as_ref().map(|title| format!("block {title}"));
    let setup = Some(next.is.setup.clone());
    let note = next.is.note.clone();
    let all = [block, note, effort(&next.is), setup, next.is.aside.clone()];
    let all = all.into_iter().flatten();
    all.filter(|text| !text.is_empty()).collect()
}

/// A text without its signs and capitals, to tell whether two say the same.
pub(super) fn plain(text: &str) -> String {
    let letters = text.chars().filter(|c| c.is_alphanumeric() || *c == ' ');
    let text: String = letters.flat_map(char::to_lowercase).collect();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

//! The three ordinary lines: where in the class we are, how it stands, and the keys.
//!
//! They are read at the laptop. Whatever has no room is left out whole, the least important first;
//! half a word would only be a riddle.

use ratatui::layout::Rect;
use ratatui::style::Modifier;

use super::around::{Around, Hint, SpeechState};
use super::pen::{Pen, right_of, width};
use super::theme::Role;
use crate::live::{Asked, Nth, SlotView, Stance, View};

/// The alarm that nothing more is kept.
const NOT_RECORDED: &str = "not recorded";

/// Between two things on a line.
const DOT: &str = " · ";

/// Where we are: title, block, round, move; at the right the hour.
pub(super) fn status(pen: &mut Pen, rect: Rect, view: &View, around: &Around) {
    let bold = pen.theme.style(Role::Now).add_modifier(Modifier::BOLD);
    let quiet = pen.theme.style(Role::Quiet);
    let clock = pen.text_right(rect, 0, &clock(&around.clock), bold);
    let before = Rect {
        width: rect.width.saturating_sub(clock + 2),
        ..rect
    };
    let items = here(view);
    let used = parts(pen, before, &items);
    let title = right_of(before, used);
    if width(&view.title) + 3 <= title.width && !view.title.is_empty() {
        pen.text(title, 0, &format!("{DOT}{}", view.title), quiet);
    }
}

/// The hour, said to be one: a bare time might as well be a length.
pub(super) fn clock(hour: &str) -> String {
    match hour {
        "" => String::new(),
        hour => format!("clock {hour}"),
    }
}

/// What goes on, and where in the class; nothing goes on any more where it is over.
fn here(view: &View) -> Vec<(Role, String)> {
    if view.stance == Stance::Ended {
        return vec![(Role::Now, "finished".into())];
    }
    let mut items = vec![(Role::Now, view.kind.label().to_owned())];
    items.extend(place(view).into_iter().map(|text| (Role::Quiet, text)));
    items
}

fn place(view: &View) -> Vec<String> {
    let of = |what: &str, Nth { nth, of }: Nth| {
        (nth > 0).then(|| match of {
            0 => format!("{what} {nth}"),
            _ => format!("{what} {nth} of {of}"),
        })
    };
    let title = view.block_title.as_deref().filter(|t| !t.is_empty());
    let is_circuit = view.circuit.len() > 1;
    let at_once = view.together.as_ref().filter(|at_once| at_once.turn.of > 1);
    let of_how_many = at_once.map(|at_once| at_once.turn);
    let of_how_many = of_how_many.and_then(|turn| of("turn", turn));
    let steps = match view.minute {
        Some(minute) => [of("minute", minute), None],
        None if is_circuit => [Some("as many rounds as you can".to_owned()), None],
        None => [
            of("move", view.place).filter(|_| view.place.of != 1),
            of("round", view.round).filter(|_| view.round.of != 1),
        ],
    };
    let block = of("block", view.block).filter(|_| view.block.of != 1);
    let rest = [block, title.map(str::to_owned)];
    let steps = of_how_many.into_iter().map(Some).chain(steps);
    steps.chain(rest).flatten().collect()
}

/// How the class stands: time left, its end, the slot, the loudspeaker, the record. What the alarm
/// says already is not said here again, but why it is so.
pub(super) fn class(pen: &mut Pen, rect: Rect, view: &View, around: &Around, alarm: Option<&str>) {
    let mut texts = vec![left(view)];
    let trouble = around.record.trouble();
    if trouble.is_some() && alarm.is_none() {
        texts.push((Role::Trouble, around.record.words()));
    }
    texts.extend(view.slot.map(slot));
    let sound = around.sound.words();
    let detail = around.sound.detail().map(ToOwned::to_owned);
    let kept = match trouble {
        Some(why) => (Role::Trouble, why.to_owned()),
        None => (Role::Quiet, around.record.words()),
    };
    if around.sound.is_trouble() {
        if matches!(alarm, None | Some(NOT_RECORDED)) {
            texts.push((Role::Trouble, sound.clone()));
        }
        texts.push(kept.clone());
        texts.extend(detail.clone().map(|detail| (Role::Trouble, detail)));
    }
    if !around.ends.is_empty() {
        texts.push((Role::Quiet, format!("ends {}", around.ends)));
    }
    if !around.sound.is_trouble() {
        texts.push((Role::Quiet, sound));
    }
    match &around.speech {
        SpeechState::Off => {}
        SpeechState::Speaks(words) => texts.push((Role::Quiet, words.clone())),
        SpeechState::Silent(why) => texts.push((Role::Trouble, why.clone())),
    }
    if !around.sound.is_trouble() {
        texts.push(kept);
    }
    if !around.note.is_empty() {
        texts.push((Role::Quiet, around.note.clone()));
    }
    if !around.sound.is_trouble() {
        texts.extend(detail.map(|detail| (Role::Quiet, detail)));
    }
    parts(pen, rect, &texts);
}

/// What must be seen from the mat as long as it lasts.
pub(super) fn alarm(around: &Around) -> Option<&'static str> {
    match (around.record.trouble(), around.sound.is_trouble()) {
        // Both would leave no room for the keys; the sound is missed without being told.
        (Some(_), _) => Some(NOT_RECORDED),
        (None, true) => Some("no sound"),
        (None, false) => None,
    }
}

fn left(view: &View) -> (Role, String) {
    let about = if view.estimated { "about " } else { "" };
    (Role::Now, format!("{about}{} left", view.left))
}

/// How a class stands against the slot, in words.
pub(super) fn slot(slot: SlotView) -> (Role, String) {
    match slot {
        SlotView::Over(span) => (Role::Trouble, format!("{span} over")),
        SlotView::InHand(span) if span.is_zero() => (Role::Quiet, "on time".into()),
        SlotView::InHand(span) => (Role::Quiet, format!("{span} in hand")),
    }
}

/// Writes texts one after another as long as each has room whole; gives the cells used.
pub(super) fn parts(pen: &mut Pen, rect: Rect, texts: &[(Role, String)]) -> u16 {
    let mut used = 0;
    for (role, text) in texts {
        let gap = if used == 0 { "" } else { DOT };
        if used + width(gap) + width(text) > rect.width {
            continue;
        }
        let (quiet, style) = (pen.theme.style(Role::Quiet), pen.theme.style(*role));
        used += pen.text(right_of(rect, used), 0, gap, quiet);
        used += pen.text(right_of(rect, used), 0, text, style);
    }
    used
}

/// The last line: what is asked, what was just done, or the keys.
pub(super) fn footer(pen: &mut Pen, rect: Rect, view: &View, around: &Around) {
    let told = match (view.asked, &view.notice) {
        (Some(asked), _) => Some(asked_in(asked, rect.width)),
        (None, notice) => notice
            .as_ref()
            .map(|notice| with_end(notice, view, around, rect.width)),
    };
    match told {
        Some(text) => {
            let style = pen.theme.band(Role::Now);
            pen.fill(rect, " ", style);
            pen.text(rect, 0, &format!(" {text}"), style);
        }
        None if view.stance == Stance::Ended => {
            pen.text(rect, 0, "summary follows", pen.theme.style(Role::Quiet));
        }
        None => hints(pen, rect, &around.hints),
    }
}

/// The question, as far as there is room, and how it is answered.
fn asked_in(asked: Asked, room: u16) -> String {
    let answer = match asked {
        Asked::End => "The same key again ends it.",
        Asked::Window { .. } => "The same key again does it.",
    };
    let whole = format!("{} {answer}", asked.question());
    if width(&whole) + 2 <= room {
        whole
    } else {
        answer.to_owned()
    }
}

/// What was just done, and behind a change when the class now ends.
fn with_end(notice: &str, view: &View, around: &Around, room: u16) -> String {
    let end = match view.slot.map(slot) {
        _ if !view.is_changed => None,
        Some((_, words)) => Some(words),
        None if around.ends.is_empty() => None,
        None => Some(format!("ends {}", around.ends)),
    };
    let whole = end.map(|end| format!("{notice}{DOT}{end}"));
    let fits = whole.filter(|whole| width(whole) + 2 <= room);
    fits.unwrap_or_else(|| notice.to_owned())
}

/// Keys with what they do, as many as have room whole.
pub(super) fn hints(pen: &mut Pen, rect: Rect, hints: &[Hint]) {
    let key = pen.theme.style(Role::Now).add_modifier(Modifier::BOLD);
    let action = pen.theme.style(Role::Quiet);
    let mut used = 0;
    for hint in hints {
        let gap = if used == 0 { 0 } else { 3 };
        let needs = gap + width(&hint.key) + 1 + width(&hint.action);
        // A long one must not hide those behind it.
        if used + needs > rect.width {
            continue;
        }
        used += gap;
        used += pen.text(right_of(rect, used), 0, &hint.key, key) + 1;
        used += pen.text(right_of(rect, used), 0, &hint.action, action);
    }
}

//! Open: a long recovery or a briefing. Room for words, and the shape of what comes.
//!
//! The next move is small here: it takes the first place when the interval turns, and until then
//! nobody is sent to it.

use ratatui::layout::Rect;

use super::super::pen::below;
use super::super::theme::Role;
use super::super::{prompts, status};
use super::{Frame, words};
use crate::live::{NextView, PromptView, View};
use crate::plan::PromptKind;

pub(super) fn draw(frame: &mut Frame) {
    panel(frame);
    let view = frame.view;
    let brief = brief(&view.brief);
    let words = view.say.as_ref().or(brief.as_ref());
    let words = words.filter(|_| frame.around.prompts);
    let middle = frame.middle();
    let for_words = Rect {
        height: middle.height - 1,
        ..middle
    };
    let used = words.map_or(0, |say| {
        let step = prompts::step(frame.zones.step);
        let say = frame.stilled(say);
        prompts::now(&mut frame.pen, for_words, &say, step)
    });
    coming(frame, below(middle, used), words);
}

/// What comes, in smaller letters where there is room, and what else is to be known.
fn coming(frame: &mut Frame, room: Rect, words: Option<&PromptView>) {
    let view = frame.view;
    let mut texts = Vec::new();
    let mut room = room;
    if let Some(next) = &view.next {
        let step = prompts::step(frame.zones.step);
        if room.height >= 4 {
            room = below(room, u16::from(words.is_some() && room.height > 9));
            let high = Rect {
                height: (room.height - 1).min(2 * step),
                ..room
            };
            let name = words::name(&next.is);
            room = below(
                room,
                frame.labelled(high, ("next", &name), step, Role::Next),
            );
            texts.push((Role::Next, how(next)));
        } else {
            let name = words::name(&next.is);
            texts.push((Role::Next, format!("next: {name} · {}", how(next))));
        }
    }
    texts.extend(then(view, words));
    let versions = view.next.as_ref().map(|next| words::versions(&next.is));
    texts.extend(versions.into_iter().flatten());
    texts.extend(view.slot.map(status::slot));
    frame.lines(room, &texts);
}

fn how(next: &NextView) -> String {
    let change = words::body(next).map(str::to_owned);
    let parts = [Some(words::when(next)), change, words::fetch(next)];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    parts.join(" · ")
}

/// What is to be said then, unless it is read already.
fn then(view: &View, words: Option<&PromptView>) -> Option<(Role, String)> {
    let plain = |text: &str| text.trim_end_matches(['.', '!']).to_lowercase();
    let then = view.say_next.as_ref()?;
    let is_read = words.is_some_and(|words| plain(&words.say).contains(&plain(&then.say)));
    let is_new = words.is_some() && !is_read;
    is_new.then(|| (Role::Quiet, format!("then say: {}", then.say)))
}

/// What goes on in large letters; under it what to fetch, for which there is time now, or how the
/// class stands.
fn panel(frame: &mut Frame) {
    let view = frame.view;
    let upper = frame.upper();
    let used = frame.panel_line(view.kind.label(), upper, Role::Quiet);
    let room = below(frame.panel, used.max(upper.height));
    let fetch = view.next.as_ref().and_then(words::fetch);
    let fetch = fetch.map(|fetch| (Role::Next, fetch));
    if let Some((role, text)) = fetch.or_else(|| view.slot.map(status::slot)) {
        frame.panel_line(&text, room, role);
    }
}

/// What the planner wrote, as words to say.
fn brief(text: &str) -> Option<PromptView> {
    (!text.is_empty()).then(|| PromptView {
        say: text.to_owned(),
        kind: PromptKind::Brief,
        marked: false,
        left: 12,
    })
}

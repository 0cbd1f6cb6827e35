//! Open: a long recovery or a briefing. The shape of what comes, and room for words.

use ratatui::layout::Rect;

use super::super::pen::{below, row_of};
use super::super::status;
use super::super::theme::Role;
use super::{Frame, words};
use crate::live::PromptView;
use crate::plan::PromptKind;

pub(super) fn draw(frame: &mut Frame) {
    panel(frame);
    let view = frame.view;
    let head = view.next.as_ref().map(|next| words::name(&next.is));
    let room = frame.head(&head.unwrap_or_default(), Role::Next);
    let mut texts: Vec<(Role, String)> = view.slot.map(status::slot).into_iter().collect();
    if let Some(next) = &view.next {
        let change = words::body(next.body).map_or(String::new(), |body| format!(" · {body}"));
        texts.push((Role::Next, words::when(next) + &change));
        texts.extend(words::versions(&next.is));
    }
    let brief = brief(&view.brief);
    frame.lines_and_say(room, &texts, view.say.as_ref().or(brief.as_ref()));
}

/// What goes on in large letters; under it where the body goes and what to fetch.
fn panel(frame: &mut Frame) {
    let view = frame.view;
    let half = Rect {
        height: frame.panel.height.div_ceil(2),
        ..frame.panel
    };
    let used = frame.panel_line(view.kind.label(), half, Role::Quiet);
    let room = below(frame.panel, used.max(half.height));
    let Some(next) = &view.next else { return };
    let change = words::fetch(next).or_else(|| words::body(next.body).map(str::to_owned));
    match change {
        Some(change) => {
            frame.panel_line(&change, room, Role::Next);
        }
        None => frame.lines(
            row_of(room, 0),
            &[(Role::Quiet, format!("then {}", next.is.position.label()))],
        ),
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

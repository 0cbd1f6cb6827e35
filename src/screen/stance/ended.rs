//! Ended: what was done, beside what was planned.

use super::super::theme::Role;
use super::Frame;
use crate::time::Span;

pub(super) fn draw(frame: &mut Frame) {
    let (view, panel) = (frame.view, frame.panel);
    let word = if view.done.completed { "done" } else { "ended" };
    frame.panel_line(word, panel, Role::Now);
    let room = frame.head(&view.title, Role::Now);
    let done = &view.done;
    let whole = |span: Span| Span::from_secs(span.secs_down());
    let mut texts = vec![(
        Role::Now,
        format!(
            "{} taught of {} planned · {} of work",
            whole(done.run),
            whole(done.planned),
            whole(done.work)
        ),
    )];
    let mut more = vec![format!("{} of {} works", done.works, done.works_planned)];
    if done.skipped > 0 {
        more.push(format!("{} left out", moves(done.skipped)));
    }
    if done.holds > 0 {
        let held = whole(done.held);
        more.push(format!("held {}, {held} in all", times(done.holds)));
    }
    if done.marks > 0 {
        more.push(format!("noted {}", times(done.marks)));
    }
    texts.push((Role::Quiet, more.join(" · ")));
    frame.lines(room, &texts[..1]);
    frame.lines(frame.zones.say, &texts[1..]);
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

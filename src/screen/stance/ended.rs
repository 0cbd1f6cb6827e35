//! Ended: what was done, beside what was planned.

use super::super::theme::Role;
use super::Frame;

pub(super) fn draw(frame: &mut Frame) {
    let (view, panel) = (frame.view, frame.panel);
    let word = if view.done.completed { "done" } else { "ended" };
    frame.panel_line(word, panel, Role::Now);
    let room = frame.head(&view.title, Role::Now);
    let done = &view.done;
    let mut texts = vec![(
        Role::Now,
        format!(
            "{} taught of {} planned · {} of work",
            done.run, done.planned, done.work
        ),
    )];
    let mut more = vec![format!("{} of {} works", done.works, done.works_planned)];
    if done.skipped > 0 {
        more.push(format!("{} left out", done.skipped));
    }
    if done.holds > 0 {
        more.push(format!("held {}, {} in all", times(done.holds), done.held));
    }
    if done.marks > 0 {
        more.push(format!("noted {}", times(done.marks)));
    }
    texts.push((Role::Quiet, more.join(" · ")));
    frame.lines(room, &texts[..1]);
    frame.lines(frame.zones.say, &texts[1..]);
}

fn times(count: usize) -> String {
    match count {
        1 => "once".into(),
        _ => format!("{count} times"),
    }
}

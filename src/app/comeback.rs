//! Coming back: a class that broke off is offered where it stopped, where the clock says it would
//! be, or to be closed.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::clock::{self, Wall};
use super::hints;
use super::keys::Key;
use super::shell::{Page, Shell};
use super::wires::Signal;
use crate::live::{Ending, Fact, What};
use crate::record::wall;
use crate::screen::Theme;
use crate::screen::pages::{Choice, Comeback, Page as _};
use crate::store::{Recorder, Shelf, Unfinished};
use crate::time::{Moment, Offset, Span};

/// A class older than this is not offered to be gone on with; it is left for `records`.
const STILL_TODAY: Span = Span::from_secs(12 * 3600);

/// What is to become of a class that broke off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Answer {
    /// Go on where it stopped.
    WhereItStopped,
    /// Go on where the clock says it would be.
    WhereTheClockSays,
    /// It is over.
    Close,
    /// Leave it as it is for now.
    Later,
}

/// The class that broke off last, if that was today.
pub(super) fn broken_off(shelf: &Shelf, now: Wall) -> Option<Unfinished> {
    let mut all = shelf.unfinished().ok()?;
    all.retain(|class| wall::since(now, class.summary.started) <= STILL_TODAY);
    all.into_iter().max_by_key(|class| class.summary.started)
}

impl Page for Comeback {
    fn paint(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        self.draw(area, buf, theme);
    }
}

/// Asks what is to become of the class.
pub(super) fn ask(shell: &mut Shell, class: &Unfinished) -> Answer {
    const ANSWERS: [Answer; 3] = [
        Answer::WhereItStopped,
        Answer::WhereTheClockSays,
        Answer::Close,
    ];
    let (mut chosen, mut last) = (0_usize, None);
    while !shell.is_leaving() {
        shell.show(&page(class, chosen), &mut last);
        let Some(Signal::Key(event)) = shell.next(super::LOOK) else {
            continue;
        };
        match Key::of(event).name().as_str() {
            "enter" | "space" => return ANSWERS[chosen],
            "up" | "left" | "pageup" => chosen = chosen.saturating_sub(1),
            "down" | "right" | "pagedown" | "tab" => chosen = (chosen + 1).min(2),
            "esc" | "ctrl-c" | "q" => return Answer::Later,
            "ctrl-z" => shell.stop(),
            _ => {}
        }
    }
    Answer::Later
}

fn page(class: &Unfinished, chosen: usize) -> Comeback {
    let now = clock::wall();
    let (seen, gone) = last_seen(class, now);
    let minutes = gone.secs() / 60.0;
    let ago = if gone < Span::from_secs(90) {
        format!("{} s ago", gone.secs_down())
    } else {
        format!("{minutes:.0} minutes ago")
    };
    let at = |offset: Offset| offset.span().whole();
    let choice = |title: &str, about: String| Choice {
        title: title.to_owned(),
        about,
    };
    Comeback {
        title: class.summary.title.clone(),
        what: format!(
            "Begun {}, broken off at {} of class time, {ago}.",
            class.summary.started.format("%H:%M"),
            at(seen)
        ),
        choices: vec![
            choice(
                "where it stopped",
                format!("held at {}; one key goes on", at(seen)),
            ),
            choice(
                "where the clock says",
                format!("at {}, as if nothing had happened", at(seen + gone)),
            ),
            choice(
                "close it",
                "keeps what was taught; the class is over".into(),
            ),
        ],
        chosen,
        clock: now.format("%H:%M").to_string(),
        hints: hints(&[("enter", "do it"), ("↑ ↓", "choose"), ("esc", "later")]),
    }
}

/// Where the class was last seen, and how long ago.
fn last_seen(class: &Unfinished, now: Wall) -> (Offset, Span) {
    if let Some(pulse) = class.pulse {
        return (pulse.offset, wall::since(now, pulse.wall));
    }
    let (run, held) = (class.summary.taught.run, class.summary.held);
    let last = class.summary.started + super::opening::delta(run + held);
    (Offset::ZERO + run, wall::since(now, last))
}

/// Ends the record of a class that is not gone on with.
pub(super) fn close(recorder: Recorder, at: Moment, offset: Offset) {
    let what = What::Ended(Ending::Broken);
    recorder.entry(clock::wall(), Fact { at, offset, what });
    // A record that cannot be closed stays open, and is offered again.
    let _ = recorder.finish(super::FINISH);
}

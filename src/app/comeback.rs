//! Coming back: a class that broke off is offered where it stopped, where the clock says it would
//! be, or to be closed.

use std::sync::Arc;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::clock::{self, Both, Wall};
use super::footer;
use super::hands::Nature;
use super::hours::SlotEnds;
use super::run::Answer;
use super::shell::{NO_PASTE, Painted, Shell, Told};
use super::strokes::Stroke;
use crate::live::{Act, Ending, Fact, Input, Live, SlotView, What};
use crate::record::{Header, SlotKind, wall};
use crate::screen::Theme;
use crate::screen::pages::{Choice, Comeback, Page as _};
use crate::store::{Recorder, Shelf, Unfinished};
use crate::time::{Moment, Offset, Span};

/// A class older than this is not offered to be gone on with; it is left for `records`.
pub(crate) const STILL_TODAY: Span = Span::from_secs(12 * 3600);

/// A class that broke off.
pub(super) struct BrokenOff {
    pub(super) class: Unfinished,
    /// The class as its record left it, and when the steady clock last saw it.
    left: Option<(Live, Header, Moment)>,
}

/// The class that broke off last, if that was today.
pub(crate) fn broken_off(shelf: &Shelf, now: Wall) -> Option<Unfinished> {
    let mut all = shelf.unfinished().ok()?;
    all.retain(|class| wall::since(now, class.summary.started) <= STILL_TODAY);
    all.into_iter().max_by_key(|class| class.summary.started)
}

/// The class that broke off last, as its record left it.
pub(super) fn looked_up(shelf: &Shelf, now: Wall) -> Option<BrokenOff> {
    let class = broken_off(shelf, now)?;
    let record = shelf.read(&class.name).ok();
    let left = record.map(|record| {
        let session = Arc::new(record.header.session.clone());
        let last = record.facts().next_back().map(|fact| fact.at);
        let last = last.unwrap_or(Moment::ZERO);
        let seen = class.pulse.map_or(last, |pulse| pulse.at.max(last));
        let live = Live::replay(session, record.facts());
        (live, record.header, seen)
    });
    Some(BrokenOff { class, left })
}

impl BrokenOff {
    /// What was done where it broke off: the move, or what was waited in.
    fn doing(&self) -> Option<String> {
        let (live, header, seen) = self.left.as_ref()?;
        let mut live = live.clone();
        wake(&mut live, header, *seen, *seen, Span::ZERO);
        let all = live.plan().intervals();
        let here = all.get(live.running())?;
        let label = here.kind.label();
        let turn = here.turn().filter(|_| here.kind.is_moving());
        if let Some(turn) = turn {
            return Some(turn.of.name.clone());
        }
        let mut ahead = all[live.running()..].iter();
        let next = ahead.find_map(|interval| interval.turn().filter(|_| interval.kind.is_moving()));
        Some(match next {
            Some(next) => format!("{label} before {}", next.of.name),
            None => label.to_owned(),
        })
    }

    /// When the class would end if it were gone on with now, and how it would stand against the
    /// slot: where it stopped, or where the clock says.
    fn would_end(&self, gone: Span, now: Wall, is_caught_up: bool) -> Option<String> {
        let (live, header, seen) = self.left.as_ref()?;
        let (mut live, here) = (live.clone(), *seen + gone);
        wake(&mut live, header, *seen, here, gone);
        let act = if is_caught_up {
            Act::CatchUp
        } else {
            Act::Resume
        };
        // What would end the class asks first.
        live.handle(here, &Input::Act(act.clone()));
        live.handle(here, &Input::Act(act));
        if live.is_over() {
            return Some("the class would be over".into());
        }
        let end = now + wall::delta(live.projected_end(here).since(here));
        let about = if live.view(here).estimated {
            "about "
        } else {
            ""
        };
        let ends = format!("ends {about}{}", end.format("%H:%M"));
        Some(match live.view(here).slot {
            Some(SlotView::Over(over)) => format!("{ends}, {over} over"),
            Some(SlotView::InHand(left)) if left.is_zero() => format!("{ends}, on time"),
            Some(SlotView::InHand(left)) => format!("{ends}, {left} in hand"),
            None => ends,
        })
    }
}

impl Painted for Comeback {
    fn paint(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        self.draw(area, buf, theme);
    }
}

/// Asks what is to become of the class; nothing where the program is left. What was `lost` beside it
/// is told.
pub(super) fn ask(shell: &mut Shell, class: &BrokenOff, lost: &str) -> Option<Answer> {
    const ANSWERS: [Answer; 3] = [
        Answer::WhereItStopped,
        Answer::WhereTheClockSays,
        Answer::Close,
    ];
    let (mut chosen, mut last) = (0_usize, None);
    while !shell.is_leaving() {
        let mut page = page(class, clock::wall(), (chosen, lost));
        page.hints = shell.or_word(page.hints);
        shell.show(&page, &mut last);
        let stroke = match shell.next(super::waits::LOOK, nature) {
            Some(Told::Key(stroke)) => stroke,
            Some(Told::Paste(_)) => {
                shell.say(NO_PASTE);
                continue;
            }
            None => continue,
        };
        match stroke.command().name().as_str() {
            "enter" | "space" => return Some(ANSWERS[chosen]),
            "up" | "left" | "pageup" => chosen = chosen.saturating_sub(1),
            "down" | "right" | "pagedown" | "tab" => chosen = (chosen + 1).min(2),
            "esc" | "q" => return Some(Answer::Later),
            "ctrl-c" => return None,
            _ => shell.say_unbound(stroke.key),
        }
    }
    None
}

/// A key that is still held must not decide about the class.
pub(super) fn nature(stroke: Stroke) -> Nature {
    match stroke.command().name().as_str() {
        "enter" | "space" => Nature::Begin,
        "up" | "left" | "pageup" | "down" | "right" | "pagedown" | "tab" => Nature::Step,
        _ => Nature::Turn,
    }
}

fn page(broken: &BrokenOff, now: Wall, (chosen, lost): (usize, &str)) -> Comeback {
    let class = &broken.class;
    let (seen, gone) = last_seen(class, now);
    let ends = |is_caught_up: bool| {
        let ends = broken.would_end(gone, now, is_caught_up);
        ends.map_or_else(String::new, |ends| format!("; {ends}"))
    };
    let minutes = gone.secs() / 60.0;
    let ago = if gone < Span::from_secs(90) {
        format!("{} s ago", gone.secs_floor())
    } else {
        format!("{minutes:.0} minutes ago")
    };
    let at = |offset: Offset| offset.span().floor_secs();
    let doing = broken
        .doing()
        .map_or_else(String::new, |doing| format!(", {doing}"));
    let choice = |title: &str, about: String| Choice {
        title: title.to_owned(),
        about,
    };
    Comeback {
        title: class.summary.title.clone(),
        what: format!(
            "Begun {}, broken off at {} of class time{doing}, {ago}.{lost}",
            class.summary.started.format("%H:%M"),
            at(seen)
        ),
        choices: vec![
            choice(
                "where it stopped",
                format!("held at {}; one key goes on{}", at(seen), ends(false)),
            ),
            choice(
                "where the clock says",
                format!(
                    "at {}, as if nothing had happened{}",
                    at(seen + gone),
                    ends(true)
                ),
            ),
            choice(
                "close it",
                "keeps what was taught; the class is over".into(),
            ),
        ],
        chosen,
        clock: now.format("%H:%M").to_string(),
        hints: footer::of_page(&[("enter", "do it"), ("↑ ↓", "choose"), ("esc", "later")]),
    }
}

/// Where the class was last seen, and how long ago.
fn last_seen(class: &Unfinished, now: Wall) -> (Offset, Span) {
    if let Some(pulse) = class.pulse {
        return (pulse.offset, wall::since(now, pulse.wall));
    }
    let (run, held) = (class.summary.taught.run, class.summary.held);
    let last = class.summary.started + wall::delta(run + held);
    (Offset::ZERO + run, wall::since(now, last))
}

/// Holds a class that is taken up where it was last seen. One whose record was cut short before it
/// tells of the beginning has begun all the same: a record is not made sooner.
pub(super) fn wake(live: &mut Live, header: &Header, seen: Moment, now: Moment, gap: Span) {
    if !live.has_begun() {
        if live.limits() != header.limits {
            let limits = Act::Limits(header.limits.clone());
            live.handle(seen, &Input::Act(limits));
        }
        live.handle(seen, &Input::Act(Act::Begin));
    }
    live.handle(seen, &Input::Wake);
    let gap = gap.max(Span::from_millis(1));
    let slept = Act::Slept { from: seen, gap };
    live.handle(now, &Input::Act(slept));
}

/// The end of the slot of a class that is taken up; its first line tells it where no fact does.
pub(super) fn slot_ends(header: &Header, live: &Live, seen: Both) -> Option<SlotEnds> {
    let end = header.slot_end;
    if let Some(hour) = end.filter(|_| header.slot_kind == Some(SlotKind::Hour)) {
        return Some(SlotEnds::Hour(hour));
    }
    let length = end.map(|end| seen.now + wall::since(end, seen.wall));
    live.ends_at().or(length).map(SlotEnds::After)
}

/// Ends the record of a class that is not gone on with.
///
/// It ended when it was last seen, not when somebody came to close it.
pub(super) fn close(recorder: Recorder, seen: Both, offset: Offset) {
    let (at, what) = (seen.now, What::Ended(Ending::Broken));
    recorder.entry(seen.wall, Fact { at, offset, what });
    // A record that cannot be closed stays open, and is offered again.
    let _ = recorder.finish(super::waits::FINISH);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::live::Output;
    use crate::record::{Pulse, Summary, Taught};
    use crate::session::{Library, Load, Session};

    const CLASS: &str = r#"(title: "Tide", slot: "5:00", parts: [
        Talk(time: 10, say: "Welcome."),
        Block(moves: ["squat"], pattern: Same(rounds: 4, work: 30, rest: 10)),
    ])"#;

    /// A class of which 25 s were recorded before its program was killed, on a shelf of its own.
    fn broken(shelf: &Shelf, seen: Both) -> String {
        let session = Session::read("tide", CLASS, &Library::builtin()).expect("a class");
        let began = seen.wall - wall::delta(Span::from_secs(25));
        let begun = shelf.begin(&Header::new(session.clone(), began));
        let begun = begun.expect("a record");
        let mut live = Live::new(Arc::new(session));
        let start = seen.now.before(Span::from_secs(25));
        live.handle(start, &Input::EndsAt(Some(start + Span::from_secs(300))));
        live.handle(start, &Input::Act(Act::Begin));
        live.handle(seen.now, &Input::Wake);
        while let Some(output) = live.poll_output() {
            if let Output::Fact(fact) = output {
                begun.recorder.entry(seen.wall_at(fact.at), fact);
            }
        }
        begun.recorder.beat(Pulse {
            offset: live.offset(seen.now),
            at: seen.now,
            wall: seen.wall,
        });
        let finished = begun.recorder.finish(super::super::waits::FINISH);
        finished.expect("recorded");
        begun.name
    }

    fn seen() -> Both {
        let wall = chrono::DateTime::parse_from_rfc3339("2026-03-04T18:30:25+01:00");
        Both {
            now: Moment::ZERO + Span::from_secs(100),
            wall: wall.expect("a date"),
        }
    }

    #[test]
    fn a_class_that_is_closed_ended_when_it_was_last_seen() {
        let folder = tempfile::tempdir().expect("a folder");
        let shelf = Shelf::at(folder.path());
        let name = broken(&shelf, seen());
        let taken = shelf.take_up(&name).expect("taken up");
        close(taken.recorder, seen(), Offset::ZERO + Span::from_secs(25));
        let record = shelf.read(&name).expect("read");
        let taught = Taught::of(&record.header, record.facts_on_the_wall());
        assert_eq!(taught.ended, Some((Ending::Broken, seen().wall)));
        assert_eq!(taught.late_ms, Some(-275_000));
        let last = taught.pieces.last().expect("a piece");
        assert_eq!((last.to, last.ran), (seen().wall, Span::from_secs(15)));
        let run = Summary::of(&record).taught.run;
        assert_eq!(run, Span::from_secs(25));
    }

    /// Offered for twelve hours and not longer, from where the pulse last saw it.
    #[test]
    fn a_class_of_today_is_offered_where_it_was_last_seen() {
        let folder = tempfile::tempdir().expect("a folder");
        let shelf = Shelf::at(folder.path());
        let name = broken(&shelf, seen());
        for (hours, offered) in [(0, true), (11, true), (13, false)] {
            let now = seen().wall + wall::delta(Span::from_secs(3600 * hours));
            let class = broken_off(&shelf, now);
            assert_eq!(class.is_some(), offered, "{hours}");
            let Some(class) = class else { continue };
            assert_eq!(class.name, name);
            let gone = Span::from_secs(3600 * hours);
            let place = Offset::ZERO + Span::from_secs(25);
            assert_eq!(last_seen(&class, now), (place, gone));
        }
    }

    /// The class has 160 s, of which 25 s were taught, in a slot of 5 minutes: gone on with so much
    /// later it ends so much later and a count-in of 3 s; caught up it ends as it would have, since
    /// the count-in is left out too.
    #[test]
    fn each_way_to_go_on_tells_when_the_class_would_end() {
        let folder = tempfile::tempdir().expect("a folder");
        let shelf = Shelf::at(folder.path());
        broken(&shelf, seen());
        for (gone, stopped, caught_up) in [
            (0, "ends 18:32, 2:17 in hand", "ends 18:32, 2:20 in hand"),
            (45, "ends 18:33, 1:32 in hand", "ends 18:32, 2:20 in hand"),
            (137, "ends 18:35, on time", "the class would be over"),
            (180, "ends 18:35, 0:43 over", "the class would be over"),
        ] {
            let now = seen().wall + wall::delta(Span::from_secs(gone));
            let class = looked_up(&shelf, now).expect("a class");
            let choices = page(&class, now, (0, "")).choices;
            assert!(
                choices[0].about.ends_with(stopped),
                "{gone}: {}",
                choices[0].about
            );
            assert!(
                choices[1].about.ends_with(caught_up),
                "{gone}: {}",
                choices[1].about
            );
        }
    }

    /// A record may be cut short behind any of its lines, the first one too.
    #[test]
    fn a_class_whose_record_was_cut_short_anywhere_goes_on_to_its_end() {
        let folder = tempfile::tempdir().expect("a folder");
        let shelf = Shelf::at(folder.path());
        let record = shelf.read(&broken(&shelf, seen())).expect("read");
        let facts: Vec<&Fact> = record.facts().collect();
        let header = record.header.clone().limits(vec![Load::Knee]);
        let began = seen().now.before(Span::from_secs(25));
        for cut in 0..=facts.len() {
            let session = Arc::new(header.session.clone());
            let mut live = Live::replay(session, facts[..cut].iter().copied());
            let last = facts[..cut].last().map_or(began, |fact| fact.at);
            let was_begun = live.has_begun();
            let back = last + Span::from_secs(60);
            wake(&mut live, &header, last, back, Span::from_secs(60));
            assert!(live.has_begun() && live.is_held(), "cut behind {cut}");
            if !was_begun {
                assert_eq!(live.offset(back), Offset::ZERO, "cut behind {cut}");
                assert_eq!(live.limits(), header.limits, "cut behind {cut}");
            }
            live.handle(back, &Input::Act(Act::Resume));
            let mut now = back;
            while let Some(next) = live.next_wakeup(now) {
                now = next.at;
                live.handle(now, &Input::Wake);
            }
            assert!(live.is_over(), "cut behind {cut}");
        }
        assert!(!Live::replay(Arc::new(header.session), facts[..1].iter().copied()).has_begun());
    }

    #[test]
    fn the_slot_of_a_class_is_known_from_the_first_line_of_its_record() {
        let length = Span::from_secs(300);
        let session = Session::read("tide", CLASS, &Library::builtin()).expect("a class");
        let live = Live::new(Arc::new(session.clone()));
        let open = Header::new(session, seen().wall);
        let until = open.clone().ends_at(seen().wall + wall::delta(length));
        for (header, ends) in [
            (open, None),
            (
                until.clone().slot_kind(SlotKind::Length),
                Some(SlotEnds::After(seen().now + length)),
            ),
            (
                until.clone().slot_kind(SlotKind::Hour),
                until.slot_end.map(SlotEnds::Hour),
            ),
        ] {
            assert_eq!(slot_ends(&header, &live, seen()), ends);
        }
    }
}

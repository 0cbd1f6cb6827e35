//! A drafted class as its file: read from top to bottom, with the reason of each move behind it.

use std::fmt::Write as _;

use super::in_class::For;
use super::score::Score;
use super::words::CAUTIONS;
use crate::session::{Block, Doing, Order, Part, Pattern, Pick, Ron, Session, Step, Use};
use crate::time::Span;

/// Why a move is where it is.
pub(super) type Why<'a> = &'a dyn Fn(&Use, For) -> String;

/// Columns up to which a reason stands behind its move; beyond it stands on a line of its own before.
const WIDE: usize = 118;

/// The text of the file.
pub(super) fn file(
    session: &Session,
    wishes: &[String],
    score: &Score,
    why: Why,
    [adjusted, told, unused]: [&[String]; 3],
) -> String {
    let mut text = CAUTIONS.to_owned();
    text.push_str("//\n");
    for line in wishes {
        let _ = writeln!(text, "// {line}");
    }
    let _ = writeln!(text, "// {}", score.said());
    if !adjusted.is_empty() {
        let _ = writeln!(
            text,
            "// So that the slot is filled: {}.",
            adjusted.join("; ")
        );
    }
    for line in told {
        let _ = writeln!(text, "// Not as wished: {line}.");
    }
    if !unused.is_empty() {
        let _ = writeln!(
            text,
            "// Stays where it is, as no move here needs it: {}.",
            unused.join(", ")
        );
    }
    text.push_str("Session(\n");
    field(&mut text, "title", &Ron::text(&session.title));
    if let Some(slot) = session.slot {
        field(&mut text, "slot", &Ron::clock(slot));
    }
    field(&mut text, "brief", &Ron::text(&session.brief));
    if !session.limits.is_empty() {
        field(
            &mut text,
            "limits",
            &Ron::words(session.limits.iter().map(|load| load.word())),
        );
    }
    if let Some(people) = session.people {
        field(&mut text, "people", &Ron::word(people));
    }
    field(&mut text, "equipment", &Ron::texts(&session.equipment));
    if !session.stock.is_empty() {
        let pair = |(thing, many): &(String, u32)| {
            Ron::Plain(format!("({}, {many})", flat(&Ron::text(thing))))
        };
        field(
            &mut text,
            "stock",
            &Ron::List(session.stock.iter().map(pair).collect()),
        );
    }
    text.push_str("    parts: [\n");
    for part in &session.parts {
        put_part(&mut text, part, why);
    }
    text.push_str("    ],\n)\n");
    text
}

fn field(text: &mut String, name: &str, value: &Ron) {
    let _ = writeln!(text, "    {name}: {},", flat(value));
}

/// A value on one line.
fn flat(value: &Ron) -> String {
    match value {
        Ron::Plain(text) => text.clone(),
        Ron::List(values) => format!(
            "[{}]",
            values.iter().map(flat).collect::<Vec<_>>().join(", ")
        ),
        other => other.file().trim_end().to_owned(),
    }
}

fn put_part(text: &mut String, part: &Part, why: Why) {
    let time = |span: &Span| flat(&Ron::time(*span));
    let _ = match part {
        Part::Talk { time: span, say } => {
            writeln!(
                text,
                "        Talk(time: {}, say: {}),",
                time(span),
                flat(&Ron::text(say))
            )
        }
        Part::Ready { time: span } => writeln!(text, "        Ready(time: {}),", time(span)),
        Part::Recover {
            time: span, say, ..
        } => {
            writeln!(
                text,
                "        Recover(time: {}, say: {}),",
                time(span),
                flat(&Ron::text(say))
            )
        }
        Part::WarmUp(steps) => {
            put_steps(text, "WarmUp", steps, |turn| why(turn, For::WarmUp));
            Ok(())
        }
        Part::CoolDown(steps) => {
            put_steps(text, "CoolDown", steps, |turn| why(turn, For::CoolDown));
            Ok(())
        }
        Part::Block(of) => writeln!(text, "{},", block(of, why, 8)),
        // A draft makes no others.
        Part::Free { .. } | Part::Repeat { .. } | Part::Until { .. } => Ok(()),
    };
}

fn put_steps(text: &mut String, name: &str, steps: &[Step], why: impl Fn(&Use) -> String) {
    let _ = writeln!(text, "        {name}([");
    for step in steps {
        let time = flat(&Ron::time(step.length()));
        let line = format!("({}, {time}),", used(&step.turn));
        put_line(text, 12, &line, &why(&step.turn));
    }
    text.push_str("        ]),\n");
}

/// A line with its reason.
fn put_line(text: &mut String, margin: usize, line: &str, why: &str) {
    let space = " ".repeat(margin);
    let _ = if margin + line.len().max(32) + why.len() + 4 <= WIDE {
        writeln!(text, "{space}{line:<32} // {why}")
    } else {
        writeln!(text, "{space}// {why}\n{space}{line}")
    };
}

/// A block from its name to its last bracket, set in by `margin`.
pub(super) fn block(of: &Block, why: Why, margin: usize) -> String {
    let (outer, inner) = (" ".repeat(margin), " ".repeat(margin + 4));
    let mut text = format!("{outer}Block(\n");
    if let Some(title) = &of.title {
        let _ = writeln!(text, "{inner}title: {},", flat(&Ron::text(title)));
    }
    let _ = writeln!(text, "{inner}moves: [");
    for turn in of.moves.iter().flat_map(Doing::moves) {
        put_line(
            &mut text,
            margin + 8,
            &format!("{},", used(turn)),
            &why(turn, For::Work),
        );
    }
    let _ = writeln!(text, "{inner}],");
    let _ = writeln!(text, "{inner}pattern: {},", pattern(&of.pattern));
    if let Some(recovery) = of.recovery {
        let _ = writeln!(text, "{inner}recovery: {},", flat(&Ron::time(recovery)));
    }
    let together = of
        .moves
        .iter()
        .any(|doing| matches!(doing, Doing::Together(_)));
    if together {
        let _ = writeln!(text, "{inner}order: Stations,");
    } else if of.order == Order::ByMove {
        let _ = writeln!(text, "{inner}order: ByMove,");
    }
    text.push_str(&outer);
    text.push(')');
    text
}

/// A move as a file names it.
pub(super) fn used(turn: &Use) -> String {
    let id = flat(&Ron::text(&turn.of.id));
    let pick = turn.pick.map(|pick| match pick {
        Pick::Easier(n) => format!("easier: {}", n + 1),
        Pick::Harder(n) => format!("harder: {}", n + 1),
        Pick::Instead(n) => format!("instead: {}", n + 1),
    });
    let reps = turn.reps.map(|reps| format!("reps: {reps}"));
    let more: Vec<String> = reps.into_iter().chain(pick).collect();
    if more.is_empty() {
        id
    } else {
        format!("Use(move: {id}, {})", more.join(", "))
    }
}

fn pattern(of: &Pattern) -> String {
    let time = |span: &Span| flat(&Ron::time(*span));
    let list = |spans: &[Span]| spans.iter().map(time).collect::<Vec<_>>().join(", ");
    match of {
        Pattern::Rounds { work, rest } => {
            format!("Rounds(work: [{}], rest: [{}])", list(work), list(rest))
        }
        Pattern::Same { rounds, work, rest } => {
            format!(
                "Same(rounds: {rounds}, work: {}, rest: {})",
                time(work),
                time(rest)
            )
        }
        Pattern::Emom { times, every, work } => {
            let work = work.map_or_else(String::new, |work| format!(", work: {}", time(&work)));
            if *every == Pattern::MINUTE {
                format!("Emom(minutes: {times}{work})")
            } else {
                format!("Emom(every: {}, times: {times}{work})", time(every))
            }
        }
        Pattern::Amrap { time: span } => format!("Amrap(time: {})", time(span)),
        Pattern::Reps {
            rounds, rest, pace, ..
        } => {
            format!(
                "Reps(rounds: {rounds}, rest: {}, pace: {})",
                time(rest),
                time(pace)
            )
        }
    }
}

//! The outline of a class: a page one can teach from, and the same for other programs.

use std::fmt::Write as _;

use serde::Serialize;

use crate::plan::{
    CuePlan, Interval, Kind, Prompt, PromptKind, Signal, SignalKind, Timeline, signals,
};
use crate::session::Session;
use crate::time::{Offset, Span};

/// A class laid out on paper: intervals, prompts and signals.
#[derive(Debug)]
pub struct Outline<'a> {
    session: &'a Session,
    timeline: Timeline,
    cues: CuePlan,
    signals: Vec<Signal>,
}

impl<'a> Outline<'a> {
    /// The outline of a session.
    #[must_use]
    pub fn of(session: &'a Session) -> Self {
        let timeline = Timeline::of(session);
        Self {
            cues: CuePlan::of(&timeline, &session.cueing, &session.limits),
            signals: signals(&timeline, 0, &session.cueing).collect(),
            session,
            timeline,
        }
    }

    /// A page one can teach from, no wider than `width` columns where words allow it.
    #[must_use]
    pub fn text(&self, width: usize) -> String {
        let mut page = String::new();
        self.head(&mut page, width);
        let mut prompts = self.cues.prompts.iter().peekable();
        let mut block = 0;
        let all = self.timeline.intervals();
        for (n, interval) in all.iter().enumerate() {
            let here = interval.place.as_ref().map_or(0, |place| place.block);
            if here != block {
                block = here;
                self.block_head(&mut page, interval);
            }
            line(&mut page, interval, width);
            while let Some(prompt) = prompts.next_if(|prompt| prompt.interval <= n) {
                let told = all
                    .get(prompt.about)
                    .is_some_and(|about| about.say.contains(&prompt.say));
                if !told {
                    said(&mut page, prompt, width);
                }
            }
        }
        self.foot(&mut page, width);
        page
    }

    fn head(&self, page: &mut String, width: usize) {
        let total = self.timeline.total();
        let about = if self.timeline.is_estimated() {
            "about "
        } else {
            ""
        };
        let _ = writeln!(page, "{}: {about}{total}", self.session.title);
        if let Some(slot) = self.session.slot {
            let _ = writeln!(page, "Slot {slot}, {}", against(total, slot));
        }
        paragraph(page, &self.session.brief, "", width);
        if !self.session.equipment.is_empty() {
            paragraph(
                page,
                &format!("Bring: {}", self.session.equipment.join(", ")),
                "",
                width,
            );
        }
        if !self.session.limits.is_empty() {
            let limits: Vec<_> = self.session.limits.iter().map(|l| l.label()).collect();
            paragraph(
                page,
                &format!("Someone in the room spares: {}", limits.join(", ")),
                "",
                width,
            );
        }
        let work = self.timeline.time_in(Kind::Work);
        let _ = writeln!(page, "Work {work} of {total}\n");
    }

    fn block_head(&self, page: &mut String, interval: &Interval) {
        let _ = writeln!(page);
        let Some(place) = interval.place.as_ref() else {
            return;
        };
        let title = place.title.as_deref().unwrap_or("Block");
        let blocks = self.timeline.intervals().iter();
        let count = blocks
            .filter_map(|i| i.place.as_ref())
            .map(|p| p.block)
            .max();
        let _ = writeln!(
            page,
            "{title} (block {} of {}, {} of {})",
            place.block,
            count.unwrap_or(1),
            counted(place.rounds, "round"),
            counted(place.places, "move"),
        );
    }

    fn foot(&self, page: &mut String, width: usize) {
        let _ = writeln!(page, "\n{:>8}  the end", self.timeline.total().to_string());
        if self.cues.unplaced.is_empty() {
            return;
        }
        let _ = writeln!(page, "\nNot said, for want of time");
        for miss in &self.cues.unplaced {
            let about = &self.timeline.intervals()[miss.about];
            let text = format!(
                "{} {}: \"{}\" lacks {:.1} s, {}",
                about.start,
                name(about),
                miss.say,
                miss.short.secs(),
                miss.why
            );
            paragraph(page, &text, "  ", width);
        }
        paragraph(
            page,
            "Longer rests make room, and so does saying it in the briefing.",
            "",
            width,
        );
    }

    /// The outline for other programs; see the README for the fields.
    #[must_use]
    pub fn json(&self) -> String {
        let all = self.timeline.intervals();
        let page = Page {
            title: &self.session.title,
            total_s: self.timeline.total().secs(),
            estimated: self.timeline.is_estimated(),
            intervals: all
                .iter()
                .enumerate()
                .map(|(n, i)| IntervalRow::of(all, n, i))
                .collect(),
            prompts: self.cues.prompts.iter().map(PromptRow::of).collect(),
            unplaced: self
                .cues
                .unplaced
                .iter()
                .map(|miss| UnplacedRow {
                    about: miss.about,
                    kind: miss.kind,
                    say: &miss.say,
                    short_s: miss.short.secs(),
                    why: &miss.why,
                })
                .collect(),
            signals: self
                .signals
                .iter()
                .map(|signal| SignalRow {
                    at_s: signal.at.secs(),
                    kind: signal.kind,
                })
                .collect(),
        };
        let mut text =
            serde_json::to_string_pretty(&page).expect("an outline is plain numbers and strings");
        text.push('\n');
        text
    }

    /// The intervals as a table, a row each, by RFC 4180.
    #[must_use]
    pub fn csv(&self) -> String {
        let mut table = String::from(
            "n,kind,start_s,length_s,block,round,rounds,place,places,move,option,next,untimed\r\n",
        );
        let all = self.timeline.intervals();
        for (n, interval) in all.iter().enumerate() {
            let row = IntervalRow::of(all, n, interval);
            let number = |n: Option<usize>| n.map_or_else(String::new, |n| n.to_string());
            let fields = [
                n.to_string(),
                interval.kind.word().to_owned(),
                row.start_s.to_string(),
                row.length_s.to_string(),
                number(row.block),
                number(row.round),
                number(row.rounds),
                number(row.place),
                number(row.places),
                quoted(row.is.unwrap_or("")),
                quoted(row.option.unwrap_or("")),
                quoted(row.next.unwrap_or("")),
                row.untimed.to_string(),
            ];
            table.push_str(&fields.join(","));
            table.push_str("\r\n");
        }
        table
    }
}

#[derive(Serialize)]
struct Page<'a> {
    title: &'a str,
    total_s: f64,
    estimated: bool,
    intervals: Vec<IntervalRow<'a>>,
    prompts: Vec<PromptRow<'a>>,
    unplaced: Vec<UnplacedRow<'a>>,
    signals: Vec<SignalRow>,
}

#[derive(Serialize)]
struct IntervalRow<'a> {
    n: usize,
    kind: Kind,
    start_s: f64,
    length_s: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    block: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    round: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    rounds: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    place: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    places: Option<usize>,
    #[serde(rename = "move", skip_serializing_if = "Option::is_none")]
    is: Option<&'a str>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    moves: Vec<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    option: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reps: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    next: Option<&'a str>,
    untimed: bool,
}

impl<'a> IntervalRow<'a> {
    fn of(all: &'a [Interval], n: usize, interval: &'a Interval) -> Self {
        let place = interval.place.as_deref();
        let turn = interval.turn();
        let circuit = interval.moves.len() > 1;
        let next = all[n + 1..].iter().find(|next| next.kind.is_moving());
        Self {
            n,
            kind: interval.kind,
            start_s: interval.start.secs(),
            length_s: interval.length.secs(),
            block: place.map(|place| place.block),
            round: place.map(|place| place.round),
            rounds: place.map(|place| place.rounds),
            place: place.map(|place| place.place),
            places: place.map(|place| place.places),
            is: turn.map(|turn| turn.of.id.as_str()),
            moves: interval
                .moves
                .iter()
                .filter(|_| circuit)
                .map(|turn| turn.of.id.as_str())
                .collect(),
            option: turn.and_then(|turn| turn.option()).map(|o| o.call.as_str()),
            reps: turn.and_then(|turn| turn.reps),
            next: next
                .and_then(|next| next.turn())
                .map(|turn| turn.of.id.as_str()),
            untimed: interval.untimed,
        }
    }
}

#[derive(Serialize)]
struct PromptRow<'a> {
    at_s: f64,
    until_s: f64,
    kind: PromptKind,
    say: &'a str,
    interval: usize,
    #[serde(rename = "for")]
    about: usize,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    limit: bool,
}

impl<'a> PromptRow<'a> {
    fn of(prompt: &'a Prompt) -> Self {
        Self {
            at_s: prompt.at.secs(),
            until_s: prompt.until.secs(),
            kind: prompt.kind,
            say: &prompt.say,
            interval: prompt.interval,
            about: prompt.about,
            limit: prompt.marked,
        }
    }
}

#[derive(Serialize)]
struct UnplacedRow<'a> {
    #[serde(rename = "for")]
    about: usize,
    kind: PromptKind,
    say: &'a str,
    short_s: f64,
    why: &'a str,
}

#[derive(Serialize)]
struct SignalRow {
    at_s: f64,
    kind: SignalKind,
}

/// A field by RFC 4180: quoted where it must be, quotes doubled.
fn quoted(field: &str) -> String {
    if field.contains(['"', ',', '\r', '\n']) {
        format!("\"{}\"", field.replace('"', "\"\""))
    } else {
        field.to_owned()
    }
}

fn against(total: Span, slot: Span) -> String {
    if total > slot {
        format!("{} over", total.less(slot))
    } else {
        format!("{} in hand", slot.less(total))
    }
}

fn counted(count: usize, noun: &str) -> String {
    if count == 1 {
        format!("1 {noun}")
    } else {
        format!("{count} {noun}s")
    }
}

fn name(interval: &Interval) -> String {
    match interval.turn() {
        None => interval.kind.label().to_owned(),
        Some(_) if interval.moves.len() > 1 => {
            let names = interval.moves.iter().map(|turn| {
                let reps = turn
                    .reps
                    .map_or_else(String::new, |reps| format!("{reps} "));
                format!("{reps}{}", turn.of.name)
            });
            names.collect::<Vec<_>>().join(", ")
        }
        Some(turn) => {
            let reps = turn
                .reps
                .map_or_else(String::new, |reps| format!("{reps} "));
            let option = turn
                .option()
                .map_or_else(String::new, |option| format!(", {}", option.call));
            let note = turn
                .note
                .as_ref()
                .map_or_else(String::new, |note| format!(" ({note})"));
            format!("{reps}{}{option}{note}", turn.of.name)
        }
    }
}

fn line(page: &mut String, interval: &Interval, width: usize) {
    let about = if interval.untimed { "~" } else { "" };
    let head = format!(
        "{:>8}  {:<10}{:>7}  ",
        clock(interval.start),
        interval.kind.label(),
        format!("{about}{}", interval.length),
    );
    let what = match interval.turn() {
        Some(_) => name(interval),
        None => interval.say.to_string(),
    };
    paragraph_after(page, &head, &what, width);
}

fn said(page: &mut String, prompt: &Prompt, width: usize) {
    let mark = if prompt.marked { "! " } else { "" };
    let head = format!("{:>18}  say  ", clock(prompt.at));
    paragraph_after(page, &head, &format!("{mark}{}", prompt.say), width);
}

fn clock(at: Offset) -> String {
    at.span().whole().to_string()
}

fn paragraph(page: &mut String, text: &str, indent: &str, width: usize) {
    if !text.is_empty() {
        paragraph_after(page, indent, text, width);
    }
}

/// `text` behind `head`, its further lines under its first word.
fn paragraph_after(page: &mut String, head: &str, text: &str, width: usize) {
    let indent = head.chars().count();
    let room = width.saturating_sub(indent).max(20);
    let mut used = 0;
    let mut out = head.to_owned();
    for word in text.split_whitespace() {
        let length = word.chars().count();
        if used > 0 && used + 1 + length > room {
            let _ = writeln!(page, "{}", out.trim_end());
            out = " ".repeat(indent);
            used = 0;
        }
        if used > 0 {
            out.push(' ');
            used += 1;
        }
        out.push_str(word);
        used += length;
    }
    let _ = writeln!(page, "{}", out.trim_end());
}

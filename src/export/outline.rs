//! The outline of a class: a page one can teach from. How other programs get it is told in `rows`.

use std::fmt::Write as _;
use std::sync::Arc;

use unicode_width::UnicodeWidthStr as _;

use super::fit::{broken, counted};
use crate::plan::{
    CuePlan, Interval, Kind, LONG_TO_EXPLAIN, Placed, Prompt, Signal, Timeline, before_class,
    explaining, head_count, pause_before, signals,
};
use crate::session::{Library, Session, Use};
use crate::time::{Offset, Span};

/// A class laid out on paper: intervals, prompts and signals.
#[derive(Debug)]
pub struct Outline<'a> {
    pub(super) session: &'a Session,
    pub(super) timeline: Timeline,
    pub(super) cues: CuePlan,
    pub(super) signals: Vec<Signal>,
    /// How many blocks the class has.
    pub(super) blocks: usize,
    remarks: Vec<String>,
}

impl<'a> Outline<'a> {
    /// The outline of a session.
    #[must_use]
    pub fn of(session: &'a Session) -> Self {
        let timeline = Timeline::of(session);
        let mut blocks = timeline.intervals().iter().rev();
        let last = blocks.find_map(|interval| interval.place.as_ref());
        Self {
            blocks: last.map_or(0, |place| place.block),
            cues: CuePlan::of(&timeline, &session.cueing, &session.limits),
            signals: signals(&timeline, 0, &session.cueing).collect(),
            session,
            timeline,
            remarks: Vec::new(),
        }
    }

    /// The same with what the plan leaves to be mended for the room, by what the library has.
    #[must_use]
    pub fn with_remarks(mut self, library: &Library) -> Self {
        self.remarks = before_class(&self.timeline, &self.session.limits, library);
        self
    }

    /// What the plan leaves to be mended for the room, a sentence each.
    #[must_use]
    pub fn remarks(&self) -> &[String] {
        &self.remarks
    }

    /// How long the class is, and how that stands against its slot.
    #[must_use]
    pub fn stands(&self) -> String {
        let total = self.timeline.total();
        let about = if self.timeline.is_estimated() {
            "about "
        } else {
            ""
        };
        let slot = self.session.slot.map_or_else(String::new, |slot| {
            format!(" of {slot}, {}", against(total, slot))
        });
        format!("{about}{total}{slot}")
    }

    /// For how many prompts there is no time.
    #[must_use]
    pub const fn unplaced(&self) -> usize {
        self.cues.unplaced.len()
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
            self.who(&mut page, n, width);
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

    pub(super) fn head(&self, page: &mut String, width: usize) {
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
        for line in head_count(&self.timeline).iter().chain(&self.remarks) {
            paragraph(page, line, "", width);
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
        let _ = writeln!(
            page,
            "{title} (block {} of {}, {} of {}{})",
            place.block,
            self.blocks,
            counted(place.round.of, "round"),
            match place.rotation.as_ref().filter(|_| place.place.of == 1) {
                Some(rotation) if rotation.is_walked() => counted(rotation.stations, "station"),
                Some(rotation) => format!("{} at once", counted(rotation.stations, "move")),
                None => counted(place.place.of, "move"),
            },
            place
                .cap
                .map_or_else(String::new, |cap| format!(", {cap} at the most")),
        );
        if interval.go.of > 1 {
            let _ = writeln!(page, "Go {} of {}", interval.go.nth, interval.go.of);
        }
    }

    /// Before several moves at once: how long they take to explain, and how long there is for it.
    fn who(&self, page: &mut String, n: usize, width: usize) {
        let all = self.timeline.intervals();
        let is_new = all[n].together().is_some()
            && !all[..n].iter().any(|was| was.block() == all[n].block());
        if !is_new {
            return;
        }
        let takes = explaining(&all[n], &self.session.cueing);
        let pause = pause_before(all, n);
        let is_much = takes > pause || takes > LONG_TO_EXPLAIN;
        let much = if is_much {
            ": too much to explain before stations"
        } else {
            ""
        };
        let text = format!(
            "Explained in {}, {pause} before the start{much}",
            takes.ceil_secs()
        );
        paragraph(page, &text, "          ", width);
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
}

fn against(total: Span, slot: Span) -> String {
    if total > slot {
        format!("{} over", total.saturating_sub(slot))
    } else {
        format!("{} in hand", slot.saturating_sub(total))
    }
}

pub(super) fn name(interval: &Interval) -> String {
    match interval.turn() {
        None => interval.kind.label().to_owned(),
        Some(_) if interval.together().is_some() => at_once(interval),
        Some(_) if interval.moves.len() > 1 => {
            let names = interval.moves.iter().map(|turn| turn.counted_name());
            names.collect::<Vec<_>>().join(", ")
        }
        Some(turn) => described(turn),
    }
}

/// A place as the instructor reads it: with what is shown and never said.
pub(super) fn described(turn: &Use) -> String {
    match &turn.aside {
        Some(aside) => format!("{} [{aside}]", place(turn)),
        None => place(turn),
    }
}

/// A place as everybody may read it: what is done, how often, in which version, how hard.
pub(super) fn place(turn: &Use) -> String {
    let option = turn
        .option()
        .map_or_else(String::new, |option| format!(", {}", option.call));
    let effort = turn
        .effort
        .map_or_else(String::new, |effort| format!(", effort {effort}"));
    let note = turn
        .note
        .as_ref()
        .map_or_else(String::new, |note| format!(" ({note})"));
    format!("{}{option}{effort}{note}", turn.counted_name())
}

/// Several moves at once, each with who does it.
fn at_once(interval: &Interval) -> String {
    let Some(rotation) = interval.together() else {
        return String::new();
    };
    let station = |(n, turn): (usize, &Arc<Use>)| {
        let names: Vec<&str> = (rotation.groups_at(n))
            .filter_map(|group| rotation.name_of(group))
            .collect();
        let lead = match (rotation.is_walked(), &names[..]) {
            (_, []) if !rotation.groups.is_empty() => format!("{} (free) ", n + 1),
            (true, names) | (false, names @ []) => {
                let number = (n + 1).to_string();
                let lead: Vec<&str> = [number.as_str()]
                    .into_iter()
                    .chain(names.iter().copied())
                    .collect();
                format!("{} ", lead.join(" "))
            }
            (false, names) => format!("{} ", names.join(", ")),
        };
        format!("{lead}{}", described(turn))
    };
    let stations: Vec<String> = interval.moves.iter().enumerate().map(station).collect();
    stations.join(" · ")
}

fn line(page: &mut String, interval: &Placed, width: usize) {
    let about = if interval.untimed { "~" } else { "" };
    let head = format!(
        "{:>8}  {:<10}{:>7}  ",
        clock(interval.start),
        interval.kind.label(),
        format!("{about}{}", interval.span()),
    );
    let what = match interval.turn() {
        Some(_) if interval.say.is_empty() => name(interval),
        Some(_) => format!("{}: {}", name(interval), interval.say),
        None => interval.say.to_string(),
    };
    paragraph_after(page, &head, &what, width);
}

fn said(page: &mut String, prompt: &Prompt, width: usize) {
    let mark = if prompt.marked { "! " } else { "" };
    let head = format!("{:>18}  say  ", clock(prompt.at));
    paragraph_after(page, &head, &format!("{mark}{}", prompt.say), width);
}

pub(super) fn clock(at: Offset) -> String {
    at.span().floor_secs().to_string()
}

fn paragraph(page: &mut String, text: &str, indent: &str, width: usize) {
    if !text.is_empty() {
        paragraph_after(page, indent, text, width);
    }
}

/// `text` behind `head`, its further lines under its first word.
fn paragraph_after(page: &mut String, head: &str, text: &str, width: usize) {
    let further = " ".repeat(head.width());
    let width = width.max(further.len() + 20);
    page.push_str(&broken(head, &further, text.split_whitespace(), width));
}

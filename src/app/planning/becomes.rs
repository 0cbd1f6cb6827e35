//! What a class becomes as it stands: laid out in time, with its words and what a colleague says.

use std::collections::BTreeSet;
use std::ops::Range;
use std::sync::Arc;

use super::here::here;
use super::lines::{Line, field, to};
use crate::advice::{Remark, Review, Weight};
use crate::live::Ribbon;
use crate::plan::{CuePlan, Placed, Timeline};
use crate::screen::Role;
use crate::screen::pages::Said;
use crate::session::edit::{Path, Step};
use crate::session::manuscript::RowKind as Kind;
use crate::session::{Library, Part, Session};
use crate::time::{Offset, Span};

/// A class laid out, derived once for each change of the text.
#[derive(Clone, Debug)]
pub(super) struct Becomes {
    pub(super) timeline: Timeline,
    pub(super) cues: CuePlan,
    pub(super) review: Review,
    pub(super) ribbon: Arc<Ribbon>,
    slot: Option<Span>,
    /// What the file lists, and what moves need besides.
    bring: [Vec<String>; 2],
    /// Where in the file each part stands as it is taught, and which intervals it has.
    parts: Vec<(Path, Range<usize>)>,
}

impl Becomes {
    pub(super) fn of(session: &Session, library: &Library) -> Self {
        let timeline = Timeline::of(session);
        let cues = CuePlan::of(&timeline, &session.cueing, &session.limits);
        let review = Review::of_laid(session, (&timeline, &cues), library);
        Self {
            ribbon: Arc::new(Ribbon::of_plan(&timeline)),
            slot: session.slot,
            bring: bring(session, &timeline),
            parts: parts(session, &timeline),
            timeline,
            cues,
            review,
        }
    }

    /// How long it is against the slot, and whether that must not stay so.
    pub(super) fn total(&self) -> (String, bool) {
        let total = self.timeline.total();
        let about = if self.timeline.is_estimated() {
            "about "
        } else {
            ""
        };
        let all = format!("{about}{}", total.ceil_secs());
        match self.slot {
            None => (format!("{all}, no slot"), false),
            Some(slot) if total > slot => {
                let over = total.saturating_sub(slot).ceil_secs();
                (format!("{all} of {slot} · {over} over"), true)
            }
            Some(slot) => {
                let left = slot.saturating_sub(total).floor_secs();
                let left = if left.is_zero() {
                    "on time".to_owned()
                } else {
                    format!("{left} in hand")
                };
                (format!("{all} of {slot} · {left}"), false)
            }
        }
    }

    /// The intervals in which a line comes, however often what is around it is repeated.
    pub(super) fn intervals(&self, line: &Line) -> Vec<usize> {
        let Some(path) = line.path.as_deref() else {
            return Vec::new();
        };
        // What is set in a part stands so many steps within it.
        let within = match line.kind {
            Kind::OwnMove | Kind::Faulty => return Vec::new(),
            Kind::Step | Kind::Move | Kind::Together => 2,
            Kind::Station => 4,
            _ => 0,
        };
        let holder = &path[..path.len().saturating_sub(within)];
        let parts = self.parts.iter().filter(|(at, _)| at.starts_with(holder));
        let comings = parts.flat_map(|(_, run)| match line.kind {
            Kind::Step => {
                let place = line.place().unwrap_or_default();
                run.clone().skip(place).take(1).collect()
            }
            Kind::Move | Kind::Together | Kind::Station => {
                let all = self.timeline.intervals();
                let comes = |n: &usize| comes(&all[*n], line);
                run.clone().filter(comes).collect::<Vec<_>>()
            }
            _ => run.clone().collect(),
        });
        comings.collect()
    }

    /// Where a line begins.
    pub(super) fn start(&self, line: &Line) -> Option<Offset> {
        let first = self.intervals(line).first().copied();
        // A part that lasts no time lies where the next one begins.
        let first = first.or_else(|| {
            let path = line.path.as_deref()?;
            let (_, run) = self.parts.iter().find(|(at, _)| at == path)?;
            Some(run.start)
        });
        let next = self.timeline.intervals().get(first?);
        Some(next.map_or(self.timeline.end(), |next| next.start))
    }

    /// How long a part lasts each time it comes.
    pub(super) fn lasts(&self, line: &Line) -> Span {
        let path = line.path.as_deref().unwrap_or_default();
        let run = self.parts.iter().find(|(at, _)| at == path);
        let run = run.map_or(0..0, |(_, run)| run.clone());
        let all = &self.timeline.intervals()[run];
        all.iter().map(Placed::span).sum()
    }

    /// The remarks that touch a line, the weightiest first.
    pub(super) fn remarks<'a>(&'a self, line: &'a Line) -> impl Iterator<Item = &'a Remark> + 'a {
        let within = self.intervals(line);
        let all = self.timeline.intervals();
        let remarks = self.review.remarks.iter();
        remarks.filter(move |remark| {
            let at = &remark.at;
            let (Some(part), Some(own)) = (at.part, line.part()) else {
                return line.kind == Kind::Class && at.part.is_none();
            };
            let is_during = |at: Offset| {
                within
                    .iter()
                    .any(|&n| all[n].start <= at && at < all[n].end)
            };
            part == own + 1
                && match line.kind {
                    Kind::Step | Kind::Move | Kind::Together | Kind::Station => {
                        match (at.place, line.place()) {
                            (Some(place), Some(own)) if line.kind == Kind::Move => place == own + 1,
                            _ => at.at.is_some_and(is_during),
                        }
                    }
                    _ => true,
                }
        })
    }

    /// What is told of a line beside the class: what is said in it comes before what could be said
    /// about it, of which there are so many remarks at the most.
    pub(super) fn beside(&self, line: &Line, most: usize) -> Vec<Said> {
        let mut says = Vec::new();
        if line.kind == Kind::Class {
            self.whole(&mut says);
        } else {
            self.span_of(line, &mut says);
        }
        for fault in &line.faults {
            says.extend(faults(fault));
        }
        if matches!(
            line.kind,
            Kind::Step | Kind::Move | Kind::Together | Kind::Station
        ) {
            self.script(line, &mut says);
        }
        let remarks: Vec<&Remark> = self.remarks(line).collect();
        if !remarks.is_empty() {
            says.push(Said::head("A colleague would say"));
        }
        for remark in remarks.iter().take(most) {
            let role = match remark.weight {
                Weight::MustMend => Role::Trouble,
                Weight::ThinkAgain => Role::Now,
                Weight::Note => Role::Quiet,
            };
            let weight = remark.weight.label();
            let what = here(&remark.what);
            says.push(Said::line(role, format!("{weight}: {what}")));
            if remark.weight != Weight::Note && !remark.advice.is_empty() {
                says.push(Said::line(Role::Quiet, here(&remark.advice)));
            }
        }
        if remarks.len() > most {
            let more = remarks.len() - most;
            says.push(Said::line(
                Role::Quiet,
                format!("and {more} more: v has all of them"),
            ));
        }
        says
    }

    /// What everyone needs.
    pub(super) fn bring(&self) -> Vec<Said> {
        let [listed, besides] = &self.bring;
        let bring = match &listed[..] {
            [] => "nothing is listed".to_owned(),
            listed => listed.join(", "),
        };
        let mut says = vec![Said::head("Bring"), Said::line(Role::Next, bring)];
        if !besides.is_empty() {
            let besides = format!("needed, and not listed: {}", besides.join(", "));
            says.push(Said::line(Role::Trouble, besides));
        }
        says
    }

    fn whole(&self, says: &mut Vec<Said>) {
        says.extend(self.bring());
        let [must, think, notes] = Weight::ALL.map(|weight| self.review.count(weight));
        let (said, left) = (self.cues.prompts.len(), self.cues.unplaced.len());
        let unsaid = match left {
            0 => String::new(),
            left => format!(", {left} without time"),
        };
        says.push(Said::line(
            Role::Quiet,
            format!(
                "{said} prompts{unsaid}. {must} to mend, {think} to think again, {notes} noted."
            ),
        ));
    }

    /// When a line comes, how often and how long.
    fn span_of(&self, line: &Line, says: &mut Vec<Said>) {
        let all = self.timeline.intervals();
        let within = self.intervals(line);
        says.push(Said::head(line.name.clone()));
        let (Some(&first), Some(&last)) = (within.first(), within.last()) else {
            return says.push(Said::line(Role::Quiet, "It takes no time of the class."));
        };
        let lasts: Span = within.iter().map(|&n| all[n].span()).sum();
        let clock = |at: Offset| at.span().floor_secs();
        let mut told = format!("{} to {}", clock(all[first].start), clock(all[last].end));
        if within.len() > 1 && line.id.is_some() {
            told = format!(
                "{} times from {} to {}, {} in all",
                within.len(),
                clock(all[first].start),
                clock(all[last].end),
                lasts.ceil_secs()
            );
        } else if line.id.is_none() {
            told = format!("{told}, {} long", lasts.ceil_secs());
        }
        says.push(Said::line(Role::Quiet, told));
    }

    /// What is said of a move at its first and last coming.
    fn script(&self, line: &Line, says: &mut Vec<Said>) {
        let within = self.intervals(line);
        let (Some(&first), Some(&last)) = (within.first(), within.last()) else {
            return;
        };
        self.coming("Said the first time", first, says);
        if last != first {
            self.coming("Said the last time", last, says);
        }
    }

    fn coming(&self, head: &str, n: usize, says: &mut Vec<Said>) {
        let start = self.timeline.intervals()[n].start;
        says.push(Said::head(format!(
            "{head}, at {}",
            start.span().floor_secs()
        )));
        let about = |prompt: &&crate::plan::Prompt| prompt.about == n || prompt.interval == n;
        let mut is_empty = true;
        for prompt in self.cues.prompts.iter().filter(about) {
            is_empty = false;
            let when = if prompt.at < start {
                format!("{} before", start.since(prompt.at).ceil_secs())
            } else {
                format!("{} in", prompt.at.since(start).floor_secs())
            };
            let role = if prompt.marked {
                Role::Spare
            } else {
                Role::Say
            };
            says.push(Said::line(role, format!("{when}: {}", prompt.say)));
        }
        for left in self.cues.unplaced.iter().filter(|left| left.about == n) {
            is_empty = false;
            let short = left.short.ceil_secs();
            says.push(Said::line(
                Role::Trouble,
                format!("no time, {short} short: {}", left.say),
            ));
        }
        if is_empty {
            says.push(Said::line(Role::Quiet, "nothing"));
        }
    }
}

/// A fault as the page tells it: its line with the caret under it, and the words.
pub(super) fn faults(fault: &crate::session::Fault) -> Vec<Said> {
    let report = fault.to_string();
    let mut lines = report.lines();
    let head = format!("Line {}: {}", fault.line, fault.message);
    lines.next();
    let mut says = vec![Said::line(Role::Trouble, head)];
    says.extend(lines.map(|line| Said::line(Role::Quiet, line.trim_start_matches("    "))));
    says
}

/// Whether a place of a block comes in an interval of that block.
fn comes(interval: &Placed, line: &Line) -> bool {
    let Some(at) = interval.place.as_ref().map(|at| at.place) else {
        return false;
    };
    let place = match line.kind {
        Kind::Station => super::lines::above(line),
        _ => line.place(),
    };
    // Of a window all moves are there; and of a block that is stations too, which is one place.
    let is_stations = line.kind == Kind::Move && interval.together().is_some() && at.of == 1;
    let is_shared = interval.is_window() || is_stations;
    interval.kind.is_moving() && (is_shared || Some(at.nth) == place.map(|place| place + 1))
}

/// Where in the file each part stands as it is taught, and which intervals it has.
fn parts(session: &Session, timeline: &Timeline) -> Vec<(Path, Range<usize>)> {
    let mut paths = Vec::new();
    let list = [Step::Field("parts")];
    for (n, part) in session.parts.iter().enumerate() {
        lay(part, to(&list, Step::Item(n)), &mut paths);
    }
    let all = timeline.intervals();
    let run = |nth: usize| {
        let from = all.partition_point(|interval| interval.part < nth);
        from..all.partition_point(|interval| interval.part <= nth)
    };
    let paths = paths.into_iter().enumerate();
    paths.map(|(nth, path)| (path, run(nth))).collect()
}

/// The parts that one is taught as, in the order in which the class lays them.
fn lay(part: &Part, path: Path, out: &mut Vec<Path>) {
    match part {
        Part::Until { part, .. } => lay(part, path, out),
        Part::Repeat {
            times,
            parts,
            between,
        } => {
            let list = field(&path, "parts");
            for go in 1..=*times {
                for (n, part) in parts.iter().enumerate() {
                    lay(part, to(&list, Step::Item(n)), out);
                }
                if let Some(between) = between.as_deref().filter(|_| go < *times) {
                    lay(between, field(&path, "between"), out);
                }
            }
        }
        _ => out.push(path),
    }
}

/// What everyone needs: what the session lists, and what its moves ask for.
fn bring(session: &Session, timeline: &Timeline) -> [Vec<String>; 2] {
    let mut listed = session.equipment.clone();
    for (thing, _) in &session.stock {
        if !listed.contains(thing) {
            listed.push(thing.clone());
        }
    }
    let mut besides: Vec<String> = Vec::new();
    let used: BTreeSet<&str> = (timeline.intervals().iter())
        .flat_map(|interval| interval.moves.iter())
        .flat_map(|turn| turn.equipment())
        .collect();
    for thing in used {
        if !listed.iter().chain(&besides).any(|known| known == thing) {
            besides.push(thing.to_owned());
        }
    }
    [listed, besides]
}

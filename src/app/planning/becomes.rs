//! What a class becomes as it stands: laid out in time, with its words and what a colleague says.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::here::here;
use super::lines::Line;
use crate::advice::{Remark, Review, Weight};
use crate::live::Ribbon;
use crate::plan::{CuePlan, Placed, Timeline};
use crate::screen::Role;
use crate::screen::pages::Said;
use crate::session::manuscript::RowKind as Kind;
use crate::session::{Library, Session};
use crate::time::{Offset, Span};

/// A class laid out, derived once for each change of the text.
#[derive(Clone, Debug)]
pub(super) struct Becomes {
    pub(super) timeline: Timeline,
    pub(super) cues: CuePlan,
    pub(super) review: Review,
    pub(super) ribbon: Arc<Ribbon>,
    slot: Option<Span>,
    bring: Vec<String>,
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

    /// The intervals in which a line comes.
    pub(super) fn intervals(&self, line: &Line) -> Vec<usize> {
        let all = self.timeline.intervals();
        let Some(part) = line.part() else {
            return (0..all.len())
                .filter(|_| line.kind == Kind::Class)
                .collect();
        };
        let of_part: Vec<usize> = (0..all.len()).filter(|&n| all[n].part == part).collect();
        if line.is_repeated() {
            return of_part
                .into_iter()
                .filter(|&n| line.id.is_some() && has(&all[n], line))
                .collect();
        }
        match line.kind {
            Kind::Step => {
                let place = line.place().unwrap_or_default();
                of_part.get(place).copied().into_iter().collect()
            }
            Kind::Move | Kind::Together | Kind::Station => {
                let place = match line.kind {
                    Kind::Station => super::lines::above(line),
                    _ => line.place(),
                };
                of_part
                    .into_iter()
                    .filter(|&n| comes(&all[n], place, line))
                    .collect()
            }
            _ => of_part,
        }
    }

    /// Where a line begins.
    pub(super) fn start(&self, line: &Line) -> Option<Offset> {
        let first = *self.intervals(line).first()?;
        Some(self.timeline.intervals()[first].start)
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

    /// What is told of a line beside the class.
    pub(super) fn beside(&self, line: &Line) -> Vec<Said> {
        let mut says = Vec::new();
        if line.kind == Kind::Class {
            self.whole(&mut says);
        } else {
            self.span_of(line, &mut says);
        }
        for fault in &line.faults {
            says.extend(faults(fault));
        }
        let remarks: Vec<&Remark> = self.remarks(line).collect();
        if !remarks.is_empty() {
            says.push(Said::head("A colleague would say"));
        }
        let shown = if line.kind == Kind::Class { 6 } else { 4 };
        for remark in remarks.iter().take(shown) {
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
        if remarks.len() > shown {
            let more = remarks.len() - shown;
            says.push(Said::line(
                Role::Quiet,
                format!("and {more} more: v has all of them"),
            ));
        }
        if matches!(
            line.kind,
            Kind::Step | Kind::Move | Kind::Together | Kind::Station
        ) {
            self.script(line, &mut says);
        }
        says
    }

    fn whole(&self, says: &mut Vec<Said>) {
        let bring = match &self.bring[..] {
            [] => "nothing".to_owned(),
            bring => bring.join(", "),
        };
        says.push(Said::head("Bring"));
        says.push(Said::line(Role::Next, bring));
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
        let (Some(&first), Some(&last)) = (within.first(), within.last()) else {
            return;
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
        says.push(Said::head(line.name.clone()));
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

/// Whether the move of a line is done in an interval.
fn has(interval: &Placed, line: &Line) -> bool {
    interval.kind.is_moving()
        && (interval.moves.iter()).any(|turn| Some(&turn.of.id) == line.id.as_ref())
}

/// Whether a place of a block comes in an interval.
fn comes(interval: &Placed, place: Option<usize>, line: &Line) -> bool {
    let at = interval.place.as_ref().map(|at| at.place.nth);
    // Of a window all moves are there, and of a block that is stations too.
    let is_stations = line.kind == Kind::Move && interval.together().is_some();
    let is_shared = interval.is_circuit() || is_stations;
    let is_there = is_shared || at == place.map(|place| place + 1);
    let is_it = line.kind == Kind::Together || line.kind == Kind::Move && !is_shared;
    interval.kind.is_moving() && is_there && (is_it || has(interval, line))
}

/// What everyone needs: what the session lists, and what its moves ask for.
fn bring(session: &Session, timeline: &Timeline) -> Vec<String> {
    let mut bring = session.equipment.clone();
    let used: BTreeSet<&str> = (timeline.intervals().iter())
        .flat_map(|interval| interval.moves.iter())
        .flat_map(|turn| turn.equipment())
        .collect();
    for thing in used {
        if !bring.iter().any(|known| known == thing) {
            bring.push(thing.to_owned());
        }
    }
    bring
}

//! The curve of effort over the class, as a drawing measures it.

use std::fmt::Write as _;

use crate::advice::{Effort, Stretch};
use crate::plan::{Kind, PositionChange, Timeline, Transition, leaves_mat};
use crate::time::{Offset, Span};

/// The drawing's width, and where its ground lies.
const WIDE: f64 = 1000.0;
const GROUND: f64 = 150.0;
/// Units of height a MET: 14 MET reach the top, more than any code of the library.
const A_MET: f64 = 10.0;

/// A bar of the drawing, in its units.
pub(super) struct Bar {
    pub(super) class: &'static str,
    pub(super) x: String,
    pub(super) y: String,
    pub(super) wide: String,
    pub(super) high: String,
}

/// The curve: a bar for each interval, a line where people are on the floor, marks of time.
pub(super) struct Curve {
    pub(super) bars: Vec<Bar>,
    pub(super) floor: Vec<Bar>,
    pub(super) minutes: Vec<(String, String)>,
    /// The drawing in words.
    pub(super) words: String,
    /// The changes between standing and the floor in words.
    pub(super) changes: String,
}

impl Curve {
    pub(super) fn of(timeline: &Timeline) -> Self {
        let total = timeline.total();
        let effort = Effort::of(timeline);
        let changes = changes(timeline);
        Self {
            bars: effort.stretches.iter().map(|one| bar(one, total)).collect(),
            floor: floor(&changes, timeline.end()),
            minutes: minutes(total),
            words: words(&effort, total),
            changes: changes_in_words(&changes),
        }
    }

    /// Marks at the ends of the drawing stay inside it.
    #[expect(clippy::unused_self, reason = "asked by the template")]
    pub(super) fn anchor(&self, x: &str) -> &'static str {
        match x {
            "0" => "start",
            _ if x.len() > 3 => "end",
            _ => "middle",
        }
    }
}

fn across(at: Span, total: Span) -> f64 {
    WIDE * at.secs() / total.secs().max(0.001)
}

fn number(of: f64) -> String {
    let text = format!("{of:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

fn bar(one: &Stretch, total: Span) -> Bar {
    let (from, to) = (
        across(one.start.span(), total),
        across(one.end.span(), total),
    );
    let high = (one.met * A_MET).min(GROUND - 5.0);
    Bar {
        class: match one.kind {
            Kind::Work => "work",
            Kind::WarmUp | Kind::CoolDown => "frame",
            _ => "rest",
        },
        x: number(from),
        y: number(GROUND - high),
        wide: number((to - from).max(0.1)),
        high: number(high),
    }
}

/// Where everybody goes to the floor, or up.
fn changes(timeline: &Timeline) -> Vec<(Offset, PositionChange)> {
    let (mut found, mut mat_lies) = (Vec::new(), false);
    let mut before = None;
    for next in timeline
        .intervals()
        .iter()
        .filter(|one| one.kind.is_moving())
    {
        let change = Transition::of(before, next, mat_lies).change;
        if matches!(change, PositionChange::Down | PositionChange::Up) {
            found.push((next.start, change));
        }
        mat_lies |= leaves_mat(next);
        before = Some(&**next.interval());
    }
    found
}

fn floor(changes: &[(Offset, PositionChange)], end: Offset) -> Vec<Bar> {
    let (mut bars, mut from) = (Vec::new(), None);
    for &(at, change) in changes.iter().chain([&(end, PositionChange::Up)]) {
        match change {
            PositionChange::Down => from = Some(at),
            _ => bars.extend(from.take().map(|from| (from, at))),
        }
    }
    let bar = |(from, to): (Offset, Offset)| {
        let (x, until) = (
            across(from.span(), end.span()),
            across(to.span(), end.span()),
        );
        Bar {
            class: "floor",
            x: number(x),
            y: String::new(),
            wide: number(until - x),
            high: String::new(),
        }
    };
    bars.into_iter().map(bar).collect()
}

/// A mark each five minutes, or further apart in a long class.
fn minutes(total: Span) -> Vec<(String, String)> {
    let whole = total.secs_floor() / 60;
    let step = [5, 10, 15, 30, 60]
        .into_iter()
        .find(|step| whole / step <= 14)
        .unwrap_or(60);
    let marks = (0..=whole / step).map(|n| n * step);
    let marks = marks.map(|minute| {
        let x = across(Span::from_secs(minute * 60), total);
        (number(x), format!("{minute} min"))
    });
    marks.collect()
}

fn words(effort: &Effort, total: Span) -> String {
    let step = if total > Span::from_secs(40 * 60) {
        10
    } else {
        5
    };
    let mut words = format!("Mean effort in MET, by {step} minutes:");
    for met in effort.curve(Span::from_secs(step * 60)) {
        let _ = write!(words, " {met:.1}");
    }
    words.push('.');
    words
}

fn changes_in_words(changes: &[(Offset, PositionChange)]) -> String {
    if changes.is_empty() {
        return "Nobody goes to the floor.".to_owned();
    }
    let told: Vec<String> = changes
        .iter()
        .map(|(at, change)| {
            let way = if *change == PositionChange::Down {
                "down"
            } else {
                "up"
            };
            format!("{way} {}", at.span().floor_secs())
        })
        .collect();
    format!("Changes: {}.", told.join(", "))
}

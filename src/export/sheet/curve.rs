//! The curve of effort over the class, as a drawing measures it.

use std::fmt::Write as _;

use unicode_width::UnicodeWidthStr as _;

use crate::advice::{Effort, MODERATE, Stretch, VIGOROUS};
use crate::plan::{Kind, PositionChange, Timeline, Transition, leaves_mat};
use crate::time::{Offset, Span};

/// The drawing's width, and where its ground lies.
const WIDE: f64 = 1000.0;
const GROUND: f64 = 140.0;
/// What stands above the bars: the names of the parts.
const ABOVE: f64 = 22.0;
/// The least effort for which there is height: a calm class is drawn as calm.
const TOP: f64 = 8.0;
/// What a letter of a part's name takes of the width.
const A_LETTER: f64 = 8.5;

/// A bar of the drawing, in its units.
pub(super) struct Bar {
    pub(super) class: &'static str,
    pub(super) x: String,
    pub(super) y: String,
    pub(super) wide: String,
    pub(super) high: String,
}

/// A mark of time below the drawing.
pub(super) struct Mark {
    pub(super) x: String,
    pub(super) label: String,
    /// How its words stand to it: at the ends of the drawing they stay inside.
    pub(super) anchor: &'static str,
}

/// The curve: a bar for each interval, a line where people are on the floor, marks of time.
pub(super) struct Curve {
    pub(super) bars: Vec<Bar>,
    pub(super) floor: Vec<Bar>,
    pub(super) minutes: Vec<Mark>,
    /// The names of the parts where they begin, where there is room for them.
    pub(super) names: Vec<(String, String)>,
    /// Lines at which effort is called moderate and vigorous: their height, and the MET.
    pub(super) levels: Vec<(String, String)>,
    /// The drawing in words.
    pub(super) words: String,
    /// The changes between standing and the floor in words.
    pub(super) changes: String,
}

impl Curve {
    /// The curve of a class, with the names of its parts.
    pub(super) fn of(timeline: &Timeline, parts: &[(Offset, String)]) -> Self {
        let total = timeline.total();
        let effort = Effort::of(timeline);
        let changes = changes(timeline);
        let highest = effort.stretches.iter().map(|one| one.met);
        let a_met = (GROUND - ABOVE) / highest.fold(TOP, f64::max);
        let bars = effort.stretches.iter().map(|one| bar(one, total, a_met));
        let level = |met: f64| (number(GROUND - met * a_met), format!("{met:.0} MET"));
        Self {
            bars: bars.collect(),
            floor: floor(&changes, timeline.end()),
            minutes: minutes(total),
            names: names(parts, total),
            levels: vec![level(MODERATE), level(VIGOROUS)],
            words: words(&effort, total),
            changes: changes_in_words(&changes),
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

fn bar(one: &Stretch, total: Span, a_met: f64) -> Bar {
    let (from, to) = (
        across(one.start.span(), total),
        across(one.end.span(), total),
    );
    let high = one.met * a_met;
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
fn minutes(total: Span) -> Vec<Mark> {
    let whole = total.secs_floor() / 60;
    let step = [5, 10, 15, 30, 60]
        .into_iter()
        .find(|step| whole / step <= 14)
        .unwrap_or(60);
    let marks = (0..=whole / step).map(|n| n * step);
    let marks = marks.map(|minute| {
        let x = across(Span::from_secs(minute * 60), total);
        let (label, anchor) = match minute {
            0 => ("0 min".to_owned(), "start"),
            _ if x > WIDE - 20.0 => (minute.to_string(), "end"),
            _ => (minute.to_string(), "middle"),
        };
        Mark {
            x: number(x),
            label,
            anchor,
        }
    });
    marks.collect()
}

/// The names of the parts that are long enough for them.
fn names(parts: &[(Offset, String)], total: Span) -> Vec<(String, String)> {
    let ends = parts.iter().skip(1).map(|(start, _)| start.span());
    let ends = ends.chain([total]);
    let fits = parts.iter().zip(ends).filter(|((start, name), end)| {
        let room = across(*end, total) - across(start.span(), total);
        #[expect(clippy::cast_precision_loss, reason = "a name")]
        let wide = name.width() as f64 * A_LETTER;
        wide <= room
    });
    let placed = fits.map(|((start, name), _)| (number(across(start.span(), total)), name.clone()));
    placed.collect()
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

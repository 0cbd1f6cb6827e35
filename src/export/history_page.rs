//! Many classes as a page with a small chart. Plain text; nothing depends on colour.

use std::fmt::Write as _;

use chrono::NaiveDate;

use super::fit::{counted, padded, wrapped};
use crate::record::{Differences, History, MoveUse, WEEKLY_AMOUNTS, Week};
use crate::session::{Muscle, Region};
use crate::time::Span;

/// A move is called long unused after so many days; four weeks (our choice, no source).
pub const LONG_UNUSED_DAYS: u64 = 28;

/// The eighths of a column.
const EIGHTHS: [char; 9] = ['·', '▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];
/// Columns of a week's figures before its bar.
const FIGURES: usize = 38;
/// Columns of a name and its sum before the chart.
const NAMES: usize = 24;

/// The history as a page, as it stands on the day `today`.
#[must_use]
pub fn history_page(history: &History, today: NaiveDate, width: usize) -> String {
    let mut out = String::new();
    let [first, .., last] = &history.weeks[..] else {
        return one_week_or_none(history, today, width);
    };
    let _ = writeln!(
        out,
        "{} from {} to {}\n",
        counted(history.classes, "class"),
        first.name(),
        last.name()
    );
    body(&mut out, history, today, width);
    wrapped(&out, width)
}

fn one_week_or_none(history: &History, today: NaiveDate, width: usize) -> String {
    let mut out = String::new();
    match history.weeks.first() {
        None => out.push_str("no classes\n"),
        Some(week) => {
            let _ = writeln!(
                out,
                "{} in {}\n",
                counted(history.classes, "class"),
                week.name()
            );
            body(&mut out, history, today, width);
        }
    }
    wrapped(&out, width)
}

fn body(out: &mut String, history: &History, today: NaiveDate, width: usize) {
    weeks(out, &history.weeks, width);
    let shown = shown(&history.weeks, width);
    let _ = writeln!(
        out,
        "\nWork by region and muscle, a column a week up to the last"
    );
    for &region in Region::ALL {
        line(out, region.label(), shown, |week| week.regions.get(&region));
    }
    for &muscle in Muscle::ALL {
        line(out, muscle.label(), shown, |week| week.muscles.get(&muscle));
    }
    let _ = writeln!(
        out,
        "A move counts in full for each region and muscle it names."
    );
    moves(out, history, today);
    differences(out, &history.differences);
    amounts(out, &history.weeks);
}

/// The last weeks for which there is room.
fn shown(weeks: &[Week], width: usize) -> &[Week] {
    let room = width.saturating_sub(NAMES).max(1);
    &weeks[weeks.len().saturating_sub(room)..]
}

fn weeks(out: &mut String, weeks: &[Week], width: usize) {
    let shown = &weeks[weeks.len().saturating_sub(26)..];
    let most = shown.iter().map(|week| week.work).max().unwrap_or_default();
    let room = width.saturating_sub(FIGURES).min(40);
    let _ = writeln!(out, "week      classes     class      work");
    for week in shown {
        let _ = writeln!(
            out,
            "{}  {:>7}  {:>8}  {:>8}  {}",
            week.name(),
            week.classes,
            week.run.floor_secs().to_string(),
            week.work.floor_secs().to_string(),
            bar(week.work, most, room),
        );
    }
}

/// A bar in whole columns; anything at all shows.
fn bar(value: Span, most: Span, room: usize) -> String {
    let columns = scaled(value, most, room as u64);
    "█".repeat(usize::try_from(columns).unwrap_or(room))
}

/// The value on a scale from 0 to `top`, rounded up, so that only nothing is 0.
fn scaled(value: Span, most: Span, top: u64) -> u64 {
    let most = u128::from(most.millis().max(1));
    let scaled = (u128::from(value.millis()) * u128::from(top)).div_ceil(most);
    u64::try_from(scaled).unwrap_or(top).min(top)
}

fn line(out: &mut String, label: &str, weeks: &[Week], of: impl Fn(&Week) -> Option<&Span>) {
    let spans: Vec<Span> = weeks
        .iter()
        .map(|week| of(week).copied().unwrap_or_default())
        .collect();
    let total: Span = spans.iter().copied().sum();
    if total.is_zero() {
        return;
    }
    let most = spans.iter().copied().max().unwrap_or_default();
    let eighth = |span: &Span| EIGHTHS[usize::try_from(scaled(*span, most, 8)).unwrap_or(8)];
    let chart: String = spans.iter().map(eighth).collect();
    let _ = writeln!(
        out,
        "  {} {:>7} {chart}",
        padded(label, 12),
        total.floor_secs().to_string()
    );
}

fn moves(out: &mut String, history: &History, today: NaiveDate) {
    let unused = history.unused_for(LONG_UNUSED_DAYS, today);
    if !unused.is_empty() {
        let weeks = LONG_UNUSED_DAYS / 7;
        let _ = writeln!(
            out,
            "\nNot used for more than {weeks} weeks, by the day of the last use"
        );
    }
    for day in unused.chunk_by(|one, next| one.last == next.last) {
        let _ = writeln!(out, "  {}  {}", day[0].last, names(day));
    }
    let always = history.at_every_class();
    if !always.is_empty() {
        let _ = writeln!(out, "\nUsed at every class\n  {}", names(always));
    }
    let uneven = history.uneven();
    if !uneven.is_empty() {
        let _ = writeln!(out, "\nOne side had more, all in all");
    }
    for one in uneven {
        let (first, second) = (one.first_side.floor_secs(), one.second_side.floor_secs());
        let _ = writeln!(
            out,
            "  {}: first side {first}, second side {second}",
            one.name
        );
    }
}

fn names<'a>(moves: impl IntoIterator<Item = &'a MoveUse>) -> String {
    let names: Vec<&str> = moves.into_iter().map(|one| one.name.as_str()).collect();
    names.join(", ")
}

fn differences(out: &mut String, told: &Differences) {
    if told.classes == 0 {
        return;
    }
    let ended = counted(told.classes, "class");
    let _ = writeln!(
        out,
        "\nTaught against planned, on average ({ended} taught to the end)"
    );
    let _ = writeln!(out, "  class   {:>10}", signed(told.run_s));
    let _ = writeln!(out, "  work    {:>10}", signed(told.work_s));
    let _ = writeln!(out, "  works   {:>+10.1}", told.works);
    let _ = writeln!(out, "  held    {:>10}", signed(told.held_s));
    if let Some(late) = told.late_s {
        let _ = writeln!(out, "  end     {:>10} against the slot", signed(late));
    }
}

/// A difference in time with its sign, to the second: `-0:25`.
fn signed(secs: f64) -> String {
    let span = Span::parse_secs(secs.abs().round()).unwrap_or_default();
    match secs {
        _ if span.is_zero() => "0:00".to_owned(),
        0.0.. => format!("+{span}"),
        _ => format!("-{span}"),
    }
}

fn amounts(out: &mut String, weeks: &[Week]) {
    let amounts = WEEKLY_AMOUNTS;
    let reach = |minutes: u32| {
        let least = Span::from_secs(u64::from(minutes) * 60);
        weeks.iter().filter(|week| week.run >= least).count()
    };
    let ((moderate, most), (vigorous, hard)) = (amounts.moderate, amounts.vigorous);
    let _ = writeln!(
        out,
        "\nClass time beside the published weekly amounts of activity"
    );
    let _ = writeln!(
        out,
        "  {moderate} to {most} min moderate: {} of {} weeks had {moderate} min of class or more",
        reach(moderate),
        weeks.len()
    );
    let _ = writeln!(
        out,
        "  {vigorous} to {hard} min vigorous: {} of {} weeks had {vigorous} min of class or more",
        reach(vigorous),
        weeks.len()
    );
    let _ = writeln!(out, "  {}", amounts.source);
    let _ = writeln!(out, "  {}", amounts.caution);
}

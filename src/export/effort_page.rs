//! The estimate of effort: a page, and the same for other programs.

use std::fmt::Write as _;

use serde_json::{Value, json};
use unicode_width::UnicodeWidthStr as _;

use super::fit::broken;
use crate::advice::{Effort, Energy, Intensity, MoveEffort, PAUSE, UNKNOWN};
use crate::session::{Edition, edition, met};
use crate::time::Span;

/// Rows of the curve at most.
const ROWS: u64 = 24;
/// The longest name of a move in its column.
const NAME: usize = 34;

/// The estimate on a page, for a body of so many kilograms.
#[must_use]
pub fn effort_page(title: &str, effort: &Effort, kilograms: f64, width: usize) -> String {
    let mut page = format!("{title}: an estimate from published averages\n\n");
    totals(&mut page, effort, kilograms);
    let _ = writeln!(
        page,
        "\nMoves: time, MET, code and edition of the Compendium, kcal, intensity"
    );
    for of in &effort.moves {
        move_row(&mut page, of, kilograms);
    }
    curve(&mut page, effort);
    page.push('\n');
    let note = notes(effort);
    page.push_str(&broken("", "", note.split(' '), width));
    page
}

fn totals(page: &mut String, effort: &Effort, kilograms: f64) {
    let met_minutes = effort.met_minutes();
    let energy = Energy::of(met_minutes, kilograms);
    let _ = writeln!(page, "About {met_minutes:.0} MET-minutes");
    let (least, most) = (round(energy.least), round(energy.most));
    let _ = writeln!(
        page,
        "About {least:.0} to {most:.0} kcal for a body of {kilograms} kg"
    );
    let total = effort
        .stretches
        .last()
        .map_or(Span::ZERO, |last| last.end.span());
    for intensity in Intensity::ALL {
        let time = effort.time_at(intensity);
        let share = 100.0 * time.secs() / total.secs().max(1.0);
        let row = format!(
            "{:<10}{:>8}",
            intensity.word(),
            time.floor_secs().to_string()
        );
        let _ = writeln!(page, "  {row} {share:>4.0} %");
    }
    let density = effort.density() * 100.0;
    let _ = match effort.work_to_rest() {
        Some(ratio) => writeln!(
            page,
            "Work to rest {ratio:.1} : 1; {density:.0} % of the main part is work"
        ),
        None => writeln!(
            page,
            "{density:.0} % of the main part is work, without a rest"
        ),
    };
}

/// To tens: more would claim to be exact.
fn round(kcal: f64) -> f64 {
    (kcal / 10.0).round() * 10.0
}

fn move_row(page: &mut String, of: &MoveEffort, kilograms: f64) {
    let (met, code, year) = (of.met, &of.code, of.edition.year());
    let known = if of.is_known {
        ""
    } else {
        "  (has no code of its own)"
    };
    // A name that is too long for its column has a line of its own.
    let (name, space) = if of.name.width() < NAME {
        (of.name.clone(), " ".repeat(NAME - of.name.width()))
    } else {
        (format!("{}\n  ", of.name), " ".repeat(NAME))
    };
    let (time, minutes) = (of.time.floor_secs().to_string(), of.met_minutes());
    let planned = of
        .planned
        .map_or_else(String::new, |n| format!(", planned {n} of 10"));
    let word = Intensity::of(met).word();
    let own = Energy::of(minutes, kilograms);
    let (least, most) = (own.least.round(), own.most.round());
    let kcal = if least < most {
        format!("{least:.0}-{most:.0}")
    } else {
        format!("{most:.0}")
    };
    let _ = writeln!(
        page,
        "  {name}{space}{time:>6} {met:>5.1}  {code} {year} {kcal:>8}  {word}{planned}{known}"
    );
}

fn curve(page: &mut String, effort: &Effort) {
    let total = effort
        .stretches
        .last()
        .map_or(Span::ZERO, |last| last.end.span());
    let minutes = total.secs_ceil().div_ceil(60);
    let steps = [1, 2, 3, 5, 10, 15, 30].into_iter();
    let step = steps
        .into_iter()
        .find(|step| minutes.div_ceil(*step) <= ROWS)
        .unwrap_or(60);
    let _ = writeln!(page, "\nOver the class, MET");
    for (n, met) in (0..).zip(effort.curve(Span::from_secs(step * 60))) {
        let at = Span::from_secs(n * step * 60).to_string();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "0 to 23 MET"
        )]
        let bar = "#".repeat((met * 3.0).round() as usize);
        let _ = writeln!(page, "  {at:>7} {met:>5.1}  {bar}");
    }
}

fn notes(effort: &Effort) -> String {
    let pause = met(PAUSE).unwrap_or_default();
    let year = edition(PAUSE).map_or(0, Edition::year);
    let mut notes = format!(
        "Costs are averages of adults from 19 to 59 (2024 Adult Compendium, Herrmann et al.; 2011 where it says so, \
         Ainsworth et al.). Pauses count as standing quietly, {pause} MET ({PAUSE}, {year}). \
         The energy runs from one MET as it was measured at rest (0.84 kcal per kg and hour, Byrne et al. 2005) \
         to the convention (3.5 ml of oxygen). Light is 2.0 to 2.9, moderate 3.0 to 5.9, vigorous 6.0 MET and more. \
         One person may well differ by a third."
    );
    if effort.moves.iter().any(|of| !of.is_known) {
        let usual = met(UNKNOWN).unwrap_or_default();
        let _ = write!(
            notes,
            " Moves without a code count {usual} MET ({UNKNOWN})."
        );
    }
    notes
}

/// The estimate as JSON.
#[must_use]
pub fn effort_json(effort: &Effort, kilograms: f64) -> String {
    let met_minutes = effort.met_minutes();
    let energy = Energy::of(met_minutes, kilograms);
    let of_move = |of: &MoveEffort| {
        let own = Energy::of(of.met_minutes(), kilograms);
        json!({
            "move": of.name, "met": of.met, "code": of.code, "edition": of.edition.year(),
            "own_code": of.is_known, "time_s": of.time.secs(), "met_minutes": of.met_minutes(),
            "kcal": [own.least, own.most], "planned": of.planned, "intensity": Intensity::of(of.met).word(),
        })
    };
    let time_at = Intensity::ALL.map(|at| (at.word().to_owned(), json!(effort.time_at(at).secs())));
    let all = json!({
        "version": 1, "estimate": true, "kilograms": kilograms, "met_minutes": met_minutes,
        "kcal": [energy.least, energy.most],
        "time_s": time_at.into_iter().collect::<serde_json::Map<String, Value>>(),
        "work_s": effort.work.secs(), "rest_s": effort.rest.secs(), "main_s": effort.main.secs(),
        "work_to_rest": effort.work_to_rest(), "density": effort.density(),
        "moves": effort.moves.iter().map(of_move).collect::<Vec<_>>(),
        "curve": effort.curve(Span::from_secs(60)),
    });
    format!("{all:#}\n")
}

//! Ten thousand sequences of changes to plans, by seed: the text loads or names its faults, what was
//! said of it stays, the class is the one that is meant, and the way back leads to the first byte.

mod comments;
mod model;

use std::collections::BTreeMap;
use std::fs;
use std::ops::Range;
use std::path::Path;

use comments::comments;
use fastrand::Rng;
use matside::session::edit::Step;
use matside::session::manuscript::{Change, Manuscript, Row, RowKind};
use matside::session::{Library, Session};

const SEQUENCES: u64 = 10_000;
/// Changes of one sequence at the most.
const LONG: usize = 6;

fn samples() -> Vec<(String, String)> {
    let mut all = Vec::new();
    for folder in ["sessions", "tests/published"] {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        for entry in fs::read_dir(folder).expect("the folder") {
            let path = entry.expect("an entry").path();
            if path.extension().is_some_and(|end| end == "ron") {
                let name = path.file_name().expect("a name").display().to_string();
                all.push((name, fs::read_to_string(&path).expect("text")));
            }
        }
    }
    all.sort();
    // As an editor of another system leaves it.
    let again: Vec<_> = all.iter().take(6).cloned().collect();
    all.extend(again.into_iter().map(|(name, text)| {
        let text = format!("\u{feff}{}", text.replace('\n', "\r\n"));
        (format!("{name} with CRLF"), text)
    }));
    assert!(all.len() > 50);
    all
}

/// Comments, each with how often it is there.
type Said = BTreeMap<String, usize>;

fn said(of: impl IntoIterator<Item = String>) -> Said {
    let mut said = Said::new();
    for comment in of {
        *said.entry(comment).or_default() += 1;
    }
    said
}

fn said_in(text: &str) -> Said {
    said(comments(text).into_iter().map(|(_, comment)| comment))
}

/// Whether all of these are among those, as often.
fn within(few: &Said, many: &Said) -> bool {
    few.iter()
        .all(|(comment, n)| many.get(comment).is_some_and(|m| m >= n))
}

fn less(many: &Said, few: &Said) -> Said {
    let rest = many.iter().map(|(comment, n)| {
        (
            comment.clone(),
            n.saturating_sub(few.get(comment).copied().unwrap_or(0)),
        )
    });
    rest.filter(|(_, n)| *n > 0).collect()
}

/// What is said of lines of a text: in them, and on lines right above them.
fn said_of(text: &str, lines: Range<usize>) -> Said {
    let all: Vec<&str> = text.lines().map(str::trim).collect();
    let is_above = |line: &&usize| {
        let line = all[**line - 1];
        line.is_empty() || line.starts_with("//") || line.starts_with("/*")
    };
    let above: Vec<usize> = (1..lines.start).rev().collect();
    let above = above.iter().take_while(is_above).count();
    let lines = lines.start - above..lines.end;
    let here = comments(text)
        .into_iter()
        .filter(|(line, _)| lines.contains(line));
    said(here.map(|(_, comment)| comment))
}

/// A change at random, most of them such as a person makes.
fn change(rng: &mut Rng, plan: &Manuscript) -> Option<Change> {
    let rows = plan.rows();
    let row = &rows[rng.usize(..rows.len())];
    let path = row.path.clone();
    Some(match rng.u8(..16) {
        0 | 1 => Change::Delete(path?),
        2 | 3 => Change::Copy(path?),
        4..=6 => {
            let alike: Vec<&Row> = rows.iter().filter(|other| is_alike(row, other)).collect();
            let to = alike.get(rng.usize(..alike.len().max(1)))?;
            Change::Move {
                from: path?,
                to: to.path.clone()?,
            }
        }
        7 | 8 => Change::Insert {
            at: path?,
            text: new_value(rng, row),
        },
        9 | 10 => {
            let (field, text) = [
                ("note", "\"slowly // now\""),
                ("effort", "7"),
                ("reps", "12"),
                ("easier", "1"),
            ][rng.usize(..4)];
            Change::Put {
                at: row.turn.clone()?,
                field,
                text: text.into(),
            }
        }
        11 => {
            let at = row.turn.clone().or(path)?;
            let known = [
                "note", "effort", "rest", "work", "say", "title", "recovery", "slot", "brief",
            ];
            let there = plan.fields(&at);
            let known: Vec<_> = (known.iter())
                .filter(|known| there.iter().any(|(name, _)| name == *known))
                .collect();
            let field = known.get(rng.usize(..known.len().max(1)))?;
            Change::Unset { at, field }
        }
        12 | 13 => {
            let mut at = path?;
            at.push(Step::Field("time"));
            Change::Set {
                at,
                text: ["45", "\"1:15\"", "7.5"][rng.usize(..3)].into(),
            }
        }
        14 => Change::Lines {
            lines: row.lines.clone(),
            text: "// all of it away".into(),
        },
        _ => Change::Replace(damaged(rng, plan.text())),
    })
}

fn is_alike(row: &Row, other: &Row) -> bool {
    let class = |kind| match kind {
        RowKind::Move | RowKind::Together => 0,
        RowKind::Step => 1,
        RowKind::Station => 2,
        RowKind::OwnMove | RowKind::Class => 3,
        _ => 4,
    };
    class(row.kind) == class(other.kind)
}

fn new_value(rng: &mut Rng, row: &Row) -> String {
    let n = rng.u16(..);
    match row.kind {
        RowKind::Step => "(\"march\", 30)".into(),
        RowKind::Move | RowKind::Together | RowKind::Station => match n % 3 {
            0 => "\"squat\"".into(),
            1 => format!("// put in {n}\nUse(\n    move: \"squat\",\n    reps: 8,\n) // why {n}"),
            _ => "Use(move: \"plank\", reps: 8)".into(),
        },
        _ if n.is_multiple_of(2) => format!("Talk(time: 5, say: \"Well done.\") // talk {n}"),
        _ => "Block(\n    moves: [\"squat\"], // one\n    pattern: Same(rounds: 2, work: 30, rest: 10),\n)".into(),
    }
}

/// A text as it is in the middle of somebody's typing.
fn damaged(rng: &mut Rng, text: &str) -> String {
    let places: Vec<usize> = text
        .match_indices([',', ')', ']', '"', '('])
        .map(|(at, _)| at)
        .collect();
    let mut text = text.to_owned();
    if let Some(at) = places.get(rng.usize(..places.len().max(1))) {
        match rng.u8(..3) {
            0 => drop(text.remove(*at)),
            1 => text.insert(
                *at,
                ['x', '(', ',', '"', '\u{dc}', '\u{201c}'][rng.usize(..6)],
            ),
            _ => text.insert_str(*at, " 5 "),
        }
    }
    text
}

struct Run<'l> {
    library: &'l Library,
    plan: Manuscript,
    seen: Seen,
}

/// What came of it all, so that the test cannot pass without having tried.
#[derive(Default)]
struct Seen {
    made: usize,
    refused: usize,
    compared: usize,
    faulty: usize,
    with_comments: usize,
}

impl Run<'_> {
    /// Makes a change and looks at all that must be true then.
    fn step(&mut self, change: &Change, told: &str) {
        let before = self.plan.text().to_owned();
        let meant = self
            .plan
            .reading()
            .ok()
            .and_then(|session| model::after(session, change));
        let rows = self.plan.rows().to_vec();
        let was_whole = self.plan.reading().is_ok();
        if let Err(why) = self.plan.apply(change.clone()) {
            assert_eq!(self.plan.text(), before, "{told}");
            assert!(!why.to_string().is_empty(), "{told}");
            self.seen.refused += 1;
            return;
        }
        self.seen.made += 1;
        self.reads_as_it_stands(told);
        let is_whole = self.plan.reading().is_ok();
        assert!(
            is_whole || !was_whole || matches!(change, Change::Replace(_)),
            "{told}"
        );
        if was_whole && is_whole {
            self.comments_are_there(change, &before, &rows, told);
            if let Some(meant) = meant {
                assert_eq!(self.plan.reading().ok(), Some(&meant), "{told}");
                self.seen.compared += 1;
            }
        }
    }

    /// The text loads or names its faults, each in a row; the rows are where they say.
    fn reads_as_it_stands(&mut self, told: &str) {
        let fresh = Session::read("plan", self.plan.text(), self.library);
        assert_eq!(
            self.plan.reading().cloned(),
            fresh.as_ref().cloned(),
            "{told}"
        );
        let in_rows: usize = self.plan.rows().iter().map(|row| row.faults.len()).sum();
        assert_eq!(in_rows, self.plan.faults().len(), "{told}");
        if let Err(faults) = fresh {
            assert!(faults.count() > 0 && in_rows > 0, "{told}");
            self.seen.faulty += 1;
        }
        for row in self.plan.rows() {
            if let Some(path) = &row.path {
                assert_eq!(
                    self.plan.line_of(path),
                    Some(row.lines.start),
                    "{told}: {row:?}"
                );
            }
        }
    }

    fn comments_are_there(&mut self, change: &Change, before: &str, rows: &[Row], told: &str) {
        let (old, new) = (said_in(before), said_in(self.plan.text()));
        let (lost, gained) = (less(&old, &new), less(&new, &old));
        let of_row = |path: &[Step]| {
            let row = rows.iter().find(|row| row.path.as_deref() == Some(path));
            said_of(before, row.expect("a row").lines.clone())
        };
        let none = Said::new();
        let (may_go, may_come) = match change {
            Change::Delete(path) => (of_row(path), none),
            Change::Copy(path) => (none, of_row(path)),
            Change::Insert { text, .. } => (none, said_in(text)),
            Change::Unset { at, .. } => (of_row_or_all(at, rows, before), none),
            Change::Lines { .. } | Change::Replace(_) => return,
            _ => (none.clone(), none),
        };
        assert!(
            within(&lost, &may_go),
            "{told}\nlost: {lost:?}\nof {may_go:?}"
        );
        assert!(within(&gained, &may_come), "{told}\ngained: {gained:?}");
        if let Change::Insert { .. } = change {
            assert_eq!(gained, may_come, "{told}");
        }
        self.seen.with_comments += usize::from(!old.is_empty());
    }
}

/// What may be said of a field of the group at a path.
fn of_row_or_all(at: &[Step], rows: &[Row], text: &str) -> Said {
    let mut inside = rows
        .iter()
        .filter(|row| row.path.as_ref().is_some_and(|path| at.starts_with(path)));
    let row = inside.next_back().expect("the class");
    said_of(text, row.lines.clone())
}

#[test]
fn ten_thousand_sequences_of_changes() {
    let library = Library::builtin();
    let samples = samples();
    let mut seen = Seen::default();
    for seed in 0..SEQUENCES {
        let mut rng = Rng::with_seed(seed);
        let (name, text) = &samples[rng.usize(..samples.len())];
        let mut run = Run {
            library: &library,
            plan: Manuscript::of("plan", text, &library),
            seen,
        };
        let mut made = Vec::new();
        for _ in 0..rng.usize(1..=LONG) {
            let Some(change) = change(&mut rng, &run.plan) else {
                continue;
            };
            let told = format!("seed {seed} of {name}: {change:?}\n{}", run.plan.text());
            run.step(&change, &told);
            if made.last().map(String::as_str) != Some(run.plan.text()) {
                made.push(run.plan.text().to_owned());
            }
        }
        let last = run.plan.text().to_owned();
        while run.plan.undo().is_some() {}
        assert_eq!(run.plan.text(), text, "seed {seed} of {name}");
        assert!(!run.plan.is_changed());
        while run.plan.redo().is_some() {}
        assert_eq!(run.plan.text(), last, "seed {seed} of {name}");
        seen = run.seen;
    }
    let told = format!(
        "{} made, {} refused, {} beside the model, {} faulty, {} with comments",
        seen.made, seen.refused, seen.compared, seen.faulty, seen.with_comments
    );
    println!("{told}");
    let enough = seen.made > 10_000 && seen.refused > 1_000 && seen.compared > 2_000;
    assert!(
        enough && seen.faulty > 500 && seen.with_comments > 5_000,
        "{told}"
    );
}

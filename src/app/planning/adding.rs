//! What can be put into a class: its parts as they begin, and moves where they may stand.

use super::finding::named;
use super::lines::{Line, field, to};
use super::typed::{Takes, shown};
use crate::session::edit::{Path, Step};
use crate::session::manuscript::{Change, Manuscript, Row, RowKind as Kind};

/// A part that can be put in.
pub(super) struct New {
    /// What it is called.
    pub(super) name: &'static str,
    /// What it is for.
    pub(super) about: &'static str,
    /// As the file says it; `{move}` stands for its first move.
    pub(super) text: &'static str,
}

/// The talk that is put into a class which has one to begin with.
const CLOSING: &str = "Talk(time: 30, say: \"That is it, well done. Rise slowly, drink something, and put everything away.\")";

/// The part that is drafted.
pub(super) const DRAFTED: &str = "Block, drafted";

/// The parts that can be put in, in the order of a class. The times are those of the class to start
/// from: common practice, no source.
pub(super) const PARTS: [New; 13] = [
    New {
        name: "Talk",
        about: "a welcome, a word, the end",
        text: "Talk(time: \"1:00\", say: \"Welcome. Take the easier versions I call, and stop if anything hurts.\")",
    },
    New {
        name: "Warm-up",
        about: "moves back to back, each with its time",
        text: "WarmUp([\n    ({move}, 45),\n])",
    },
    New {
        name: "Get ready",
        about: "time to show the first move; it is counted in",
        text: "Ready(time: 20)",
    },
    New {
        name: "Block, rounds all alike",
        about: "so many rounds of work and rest",
        text: "Block(\n    title: \"{title}\",\n    moves: [\n        {move},\n    ],\n    pattern: Same(rounds: 3, work: 40, rest: 20),\n    recovery: 60,\n)",
    },
    New {
        name: "Block, rounds that change",
        about: "a ladder or a pyramid: work and rest of each round",
        text: "Block(\n    title: \"{title}\",\n    moves: [\n        {move},\n    ],\n    pattern: Rounds(work: [40, 35, 30], rest: [20]),\n    recovery: 60,\n)",
    },
    New {
        name: "Block, a start each minute",
        about: "what is left of the minute is rest",
        text: "Block(\n    title: \"{title}\",\n    moves: [\n        {move},\n    ],\n    pattern: Emom(minutes: 8, work: 40),\n)",
    },
    New {
        name: "Block, as many as you can",
        about: "one window for all its moves",
        text: "Block(\n    title: \"{title}\",\n    moves: [\n        {move},\n    ],\n    pattern: Amrap(time: \"8:00\"),\n)",
    },
    New {
        name: "Block, counted",
        about: "so many of each; you go on by key",
        text: "Block(\n    title: \"{title}\",\n    moves: [\n        Use(move: {move}, reps: 10),\n    ],\n    pattern: Reps(rounds: 3, rest: 20),\n)",
    },
    New {
        name: "Recovery",
        about: "a long pause: water, another position",
        text: "Recover(time: \"1:00\", say: \"Have a drink.\")",
    },
    New {
        name: "Cool-down",
        about: "moves back to back to end with",
        text: "CoolDown([\n    ({move}, \"1:00\"),\n])",
    },
    New {
        name: "Free window",
        about: "practice, a game: halfway and minutes are called",
        text: "Free(time: \"5:00\", title: \"Practice\")",
    },
    New {
        name: DRAFTED,
        about: "moves that the class has not yet, chosen for what it lacks: you decide",
        text: "",
    },
    New {
        name: "Repeat the chosen part",
        about: "the part that is chosen, and what is put beside it, several times",
        text: "",
    },
];

/// Where a part is put: behind the one that the line is of, or at the end of the class.
pub(super) fn part_place(of: &Manuscript, line: &Line) -> Path {
    let path = line.path.clone().unwrap_or_default();
    let is_parts = |step: &Step| *step == Step::Field("parts");
    match path
        .iter()
        .rposition(is_parts)
        .and_then(|at| Some((at, path.get(at + 1)?)))
    {
        Some((at, Step::Item(n))) => to(&path[..=at], Step::Item(n + 1)),
        _ => at_the_end(of, &[Step::Field("parts")]),
    }
}

/// A part as it is put in at a place, with its first move where it has one.
pub(super) fn part(of: &Manuscript, at: &[Step], text: &str, id: &str) -> Change {
    let blocks = blocks(of).count();
    let title = free_title(of, (blocks + 1..).map(|n| format!("Block {n}")));
    let is_said = of.rows().iter().any(|row| row.kind == Kind::Talk);
    let text = if is_said && text == PARTS[0].text {
        CLOSING
    } else {
        text
    };
    let text = text
        .replace("{move}", &named(id))
        .replace("{title}", &title);
    Change::Insert {
        at: at.to_vec(),
        text,
    }
}

fn blocks(of: &Manuscript) -> impl Iterator<Item = &Row> {
    of.rows().iter().filter(|row| row.kind == Kind::Block)
}

/// The first of some titles that no block of the class has.
pub(super) fn free_title(of: &Manuscript, titles: impl IntoIterator<Item = String>) -> String {
    let title = |row: &Row| of.value(&field(row.path.as_deref()?, "title"));
    let taken: Vec<String> = (blocks(of).filter_map(title))
        .map(|raw| shown(Takes::Text, raw))
        .collect();
    let mut titles = titles.into_iter();
    let free = titles.find(|title| !taken.contains(title));
    free.unwrap_or_default()
}

/// The part that a line is of becomes one that comes twice.
pub(super) fn repeated(of: &Manuscript, line: &Line) -> Option<Vec<Change>> {
    line.part()?;
    let parts = part_place(of, line);
    let (Step::Item(behind), list) = parts.split_last()? else {
        return None;
    };
    let n = behind.checked_sub(1)?;
    let (around, part) = (to(list, Step::Item(n)), to(list, Step::Item(*behind)));
    let inside = to(&field(&around, "parts"), Step::Item(0));
    let text = "Repeat(\n    times: 2,\n    parts: [\n    ],\n)".to_owned();
    Some(vec![
        Change::Insert { at: around, text },
        Change::Move {
            from: part,
            to: inside,
        },
    ])
}

/// A move put where the line says: behind it, or at the end of what it holds.
///
/// # Errors
/// Why it has no place there.
pub(super) fn a_move(of: &Manuscript, line: &Line, id: &str) -> Result<Change, &'static str> {
    let no_place = "a move stands in a block, a warm-up or a cool-down: p makes one";
    let path = line
        .path
        .clone()
        .ok_or("what cannot be read has to be mended first")?;
    let behind = |at: Path| {
        let (Some(Step::Item(n)), list) = (at.last().copied(), &at[..at.len().saturating_sub(1)])
        else {
            return at;
        };
        to(list, Step::Item(n + 1))
    };
    let at = match line.kind {
        Kind::Step | Kind::Move | Kind::Station => behind(path),
        Kind::Together | Kind::Block => at_the_end(of, &field(&path, "moves")),
        Kind::WarmUp | Kind::CoolDown => at_the_end(of, &to(&path, Step::Item(0))),
        _ => return Err(no_place),
    };
    let is_step = matches!(line.kind, Kind::Step | Kind::WarmUp | Kind::CoolDown);
    let text = if is_step {
        stepped(of, &at, id)
    } else {
        counted(of, &at, id)
    };
    Ok(Change::Insert { at, text })
}

fn at_the_end(of: &Manuscript, list: &[Step]) -> Path {
    to(list, Step::Item(of.items(list)))
}

/// The value before the place at which another is put.
fn before(at: &[Step]) -> Option<Path> {
    let (Step::Item(n), list) = at.split_last()? else {
        return None;
    };
    Some(to(list, Step::Item(n.checked_sub(1)?)))
}

/// A step as long as the one before it.
fn stepped(of: &Manuscript, at: &[Step], id: &str) -> String {
    let time = before(at).and_then(|before| of.value(&to(&before, Step::Item(1))));
    format!("({}, {})", named(id), time.unwrap_or("45"))
}

/// A move; in a block that is counted as often as the one before it.
fn counted(of: &Manuscript, at: &[Step], id: &str) -> String {
    let moves = at.iter().position(|step| *step == Step::Field("moves"));
    let pattern = moves.map(|moves| field(&at[..moves], "pattern"));
    let is_counted = pattern.is_some_and(|pattern| of.name_of(&pattern) == Some("Reps"));
    if !is_counted {
        return named(id);
    }
    let reps = before(at).and_then(|before| of.value(&field(&before, "reps")));
    format!("Use(move: {}, reps: {})", named(id), reps.unwrap_or("10"))
}

/// The chosen move and the one behind it, done at once; or several at once one after another. What
/// is to be done, and what there is to say of it.
///
/// # Errors
/// Why it cannot be.
pub(super) fn at_once(of: &Manuscript, line: &Line) -> Result<(Vec<Change>, String), &'static str> {
    let (Some(path), Some(list), Some(n)) = (line.path.clone(), line.list(), line.place()) else {
        return Err("choose a move of a block");
    };
    match line.kind {
        Kind::Together => Ok((apart(of, path, &list, n), gone(of, line))),
        Kind::Move => {
            let next = to(&list, Step::Item(n + 1));
            let (Some(one), Some(_)) = (of.value(&path), of.value(&next)) else {
                return Err("there is no move behind this one to do it at once with");
            };
            let second = to(&field(&path, "moves"), Step::Item(1));
            let text = format!("Together(moves: [{one}])");
            let changes = vec![
                Change::Set { at: path, text },
                Change::Move {
                    from: next,
                    to: second,
                },
            ];
            Ok((changes, "at once; g again turns it back".to_owned()))
        }
        _ => Err("choose a move of a block, and the one behind it is done at the same time"),
    }
}

/// Several at once become one after another: what is said around them stays with the first.
fn apart(of: &Manuscript, path: Path, list: &[Step], n: usize) -> Vec<Change> {
    let moves = field(&path, "moves");
    let behind = to(list, Step::Item(n + 1));
    let out = |k: usize| Change::Move {
        from: to(&moves, Step::Item(k)),
        to: behind.clone(),
    };
    let mut changes: Vec<Change> = (1..of.items(&moves)).rev().map(out).collect();
    let is_bare = |text: &&str| !["//", "/*"].iter().any(|mark| text.contains(mark));
    let first = of.value(&to(&moves, Step::Item(0)));
    let around = of.value(&path).filter(is_bare);
    if let Some(first) = first.filter(|_| around.is_some()) {
        changes.push(Change::Set {
            text: first.to_owned(),
            at: path,
        });
    } else {
        // A comment of its own goes where it goes.
        changes.push(out(0));
        changes.push(Change::Delete(path));
    }
    changes
}

/// What several at once have of their own, and one after another have not.
fn gone(of: &Manuscript, line: &Line) -> String {
    let path = line.path.as_deref().unwrap_or_default();
    let own = of.fields(path).into_iter().map(|(name, _)| name);
    let own: Vec<&str> = own.filter(|name| *name != "moves").collect();
    match &own[..] {
        [] => "one after another; g again turns it back".to_owned(),
        own => format!(
            "one after another, without {}: u takes it back",
            own.join(", ")
        ),
    }
}

//! `matside moves`: the library, searched, listed and shown.

use std::fmt::Write as _;
use std::sync::Arc;

use unicode_width::UnicodeWidthStr;

use super::args::Moves;
use super::load::Own;
use super::report::Failure;
use super::{load, moves_page};
use crate::session::Move;

pub(super) fn moves(asked: &Moves, own: Own) -> Result<(), Failure> {
    let library = load::library(own)?;
    if let Some(id) = &asked.show {
        let found = library.get(id).ok_or_else(|| no_such_move(id))?;
        return super::result(&moves_page::page(found));
    }
    let words = words_of(&asked.words.join(" "));
    let found: Vec<&Arc<Move>> = library.iter().filter(|of| fits(of, &words)).collect();
    match found[..] {
        [] => Err(nothing(&asked.words)),
        [only] if !words.is_empty() => super::result(&moves_page::page(only)),
        _ if asked.full => {
            let pages: Vec<String> = found.iter().map(|of| moves_page::page(of)).collect();
            super::result(&pages.join("\n"))
        }
        _ => super::result(&list(&found)),
    }
}

fn no_such_move(id: &str) -> Failure {
    Failure::NotFound(format!(
        "no move has the id `{id}`; `matside moves WORDS` searches them"
    ))
}

fn nothing(words: &[String]) -> Failure {
    Failure::NotFound(format!(
        "no move fits `{}`; fewer words find more, `matside moves` lists all",
        words.join(" ")
    ))
}

/// Whether every word begins one of the words that tell about the move.
fn fits(of: &Move, words: &[String]) -> bool {
    let told = told(of);
    words
        .iter()
        .all(|word| told.iter().any(|there| there.starts_with(word)))
}

/// The words that tell about a move: names, position, regions, muscles, loads, equipment.
fn told(of: &Move) -> Vec<String> {
    let mut texts = vec![of.id.as_str(), &of.name, &of.call];
    texts.extend([of.position.word(), of.position.label()]);
    texts.extend(of.regions.iter().flat_map(|r| [r.word(), r.label()]));
    texts.extend(of.muscles.iter().flat_map(|m| [m.word(), m.label()]));
    texts.extend(of.loads.iter().flat_map(|l| [l.word(), l.label()]));
    texts.extend(of.equipment.iter().map(String::as_str));
    texts.into_iter().flat_map(words_of).collect()
}

/// The words of a text, in small letters.
fn words_of(text: &str) -> Vec<String> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect()
}

/// A line a move: id, name, position, regions, loads.
fn list(moves: &[&Arc<Move>]) -> String {
    let rows: Vec<[String; 5]> = moves.iter().map(|of| row(of)).collect();
    let mut page = String::new();
    for row in &rows {
        let mut line = String::new();
        for (n, cell) in row.iter().enumerate() {
            let widest = rows.iter().map(|row| row[n].width()).max().unwrap_or(0);
            line.push_str(cell);
            line.push_str(&" ".repeat(widest - cell.width() + 2));
        }
        let _ = writeln!(page, "{}", line.trim_end());
    }
    page
}

fn row(of: &Move) -> [String; 5] {
    let regions: Vec<&str> = of.regions.iter().map(|region| region.label()).collect();
    let loads: Vec<&str> = of.loads.iter().map(|load| load.label()).collect();
    [
        of.id.clone(),
        of.name.clone(),
        of.position.label().into(),
        regions.join(", "),
        loads.join(", "),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::{Library, Load, Muscle, Position, Region};

    fn found(words: &str) -> Vec<String> {
        let words = words_of(words);
        let library = Library::builtin();
        let fitting = library.iter().filter(|of| fits(of, &words));
        fitting.map(|of| of.id.clone()).collect()
    }

    /// The library itself tells what must be found: no list of names that could grow stale.
    #[test]
    fn a_search_finds_what_has_the_word_in_any_field_and_nothing_else() {
        let library = Library::builtin();
        let with = |has: &dyn Fn(&Move) -> bool| -> Vec<String> {
            let having = library.iter().filter(|of| has(of));
            having.map(|of| of.id.clone()).collect()
        };
        for (words, expected) in [
            (
                "handsandknees",
                with(&|m| m.position == Position::HandsAndKnees),
            ),
            (
                "PelvicFloor",
                with(&|m| {
                    m.loads.contains(&Load::PelvicFloor) || m.muscles.contains(&Muscle::PelvicFloor)
                }),
            ),
            (
                "pelvic floor",
                with(&|m| {
                    m.loads.contains(&Load::PelvicFloor) || m.muscles.contains(&Muscle::PelvicFloor)
                }),
            ),
            ("lats", with(&|m| m.muscles.contains(&Muscle::Lats))),
            (
                "lats whole",
                with(&|m| m.muscles.contains(&Muscle::Lats) && m.regions.contains(&Region::Total)),
            ),
            ("", with(&|_| true)),
            ("lats xyzzy", Vec::new()),
        ] {
            assert_eq!(found(words), expected, "{words}");
        }
        assert!(found("side-pl").contains(&"side-plank".to_owned()));
        assert!(found("band").contains(&"row-band".to_owned()));
    }

    #[test]
    fn a_list_is_aligned_and_has_a_line_a_move() {
        let library = Library::builtin();
        let all: Vec<&Arc<Move>> = library.iter().collect();
        let text = list(&all);
        assert_eq!(text.lines().count(), library.len());
        let column = 2 + all.iter().map(|of| of.id.len()).max().unwrap_or(0);
        for (line, of) in text.lines().zip(&all) {
            assert!(line.starts_with(&format!("{} ", of.id)), "{line}");
            assert!(line[column..].starts_with(&of.name), "{line}");
        }
    }
}

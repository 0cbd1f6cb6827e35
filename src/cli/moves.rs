//! `matside moves`: the library, searched, listed and shown.

use std::sync::Arc;

use super::args::Moves;
use super::load::Own;
use super::report::Failure;
use super::{load, moves_page, print, spelling};
use crate::session::{Library, Move, search};

pub(super) fn moves(asked: &Moves, own: Own) -> Result<(), Failure> {
    if asked.spelling {
        return print::result(&spelling::page());
    }
    let library = load::library(own)?;
    if let Some(name) = &asked.show {
        let found = library.named(name);
        let found = found.ok_or_else(|| no_such_move(name, &library))?;
        return print::result(&moves_page::page(&found));
    }
    let words = asked.words.join(" ");
    let found: Vec<&Arc<Move>> = search(&library, &words).iter().map(|(_, of)| *of).collect();
    match found[..] {
        [] => Err(nothing(&words, &library)),
        [only] if !words.is_empty() => print::result(&moves_page::page(only)),
        _ if asked.full => {
            let pages: Vec<String> = found.iter().map(|of| moves_page::page(of)).collect();
            print::result(&pages.join("\n"))
        }
        _ => print::result(&list(&found)),
    }
}

/// What is told of a name that no move has.
pub(super) fn no_such_move(name: &str, library: &Library) -> Failure {
    Failure::NotFound(format!(
        "no move has the id or name `{name}`; {}",
        meant(name, library).unwrap_or("`matside moves WORDS` searches them".into())
    ))
}

fn nothing(words: &str, library: &Library) -> Failure {
    Failure::NotFound(format!(
        "no move fits `{words}`; {}",
        meant(words, library).unwrap_or("fewer words find more, `matside moves` lists all".into())
    ))
}

fn meant(name: &str, library: &Library) -> Option<String> {
    let near = library.nearest(name)?;
    Some(format!("did you mean `{}`?", near.id))
}

/// A line a move: id, name, position, regions, loads.
fn list(moves: &[&Arc<Move>]) -> String {
    let rows: Vec<[String; 5]> = moves.iter().map(|of| row(of)).collect();
    print::columns(&rows)
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
    use crate::session::Library;

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

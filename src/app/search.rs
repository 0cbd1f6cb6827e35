//! Another move in place of the one that is meant: found by what is typed, and chosen.

use std::sync::Arc;

use super::did::Did;
use super::footer;
use super::keys::Key;
use crate::live::{Act, Input, Live};
use crate::screen::pages::{Field, FoundLine, SwapPage};
use crate::session::{Library, Load, Move, Use, search};

/// The most letters that are searched for.
const MOST_LETTERS: usize = 30;

/// What was typed, and which of the moves found is chosen.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Search {
    words: String,
    chosen: usize,
}

impl Search {
    /// Whether a key writes. The space is left to the class: a hold cannot wait.
    pub(super) fn writes(key: Key) -> bool {
        let is_word = |letter: char| letter.is_alphanumeric() || letter == '-';
        key.letter().is_some_and(is_word) || key.name() == "backspace"
    }

    /// What a key does to the page.
    pub(super) fn press(&self, key: Key, live: &Live, library: &Library) -> Did<Self> {
        let found = found(live, library, &self.words);
        let last = found.len().saturating_sub(1);
        let at = |chosen: usize| {
            let chosen = chosen.min(last);
            Did::Page(Self {
                chosen,
                ..self.clone()
            })
        };
        match key.name().as_str() {
            "up" | "left" | "pageup" => at(self.chosen.saturating_sub(1)),
            "down" | "right" | "pagedown" | "tab" => at(self.chosen.saturating_add(1)),
            "enter" => match found.get(self.chosen) {
                Some(of) => Did::Say(Input::Act(Act::Swap((*of).clone()))),
                None => at(0),
            },
            _ if Self::writes(key) => Did::Page(self.typed(key)),
            _ => Did::Nothing,
        }
    }

    fn typed(&self, key: Key) -> Self {
        let mut words = self.words.clone();
        match key.letter() {
            Some(letter) if words.chars().count() < MOST_LETTERS => words.push(letter),
            Some(_) => {}
            None => drop(words.pop()),
        }
        Self { words, chosen: 0 }
    }

    /// Writes pasted text as if it were typed.
    pub(super) fn paste(&mut self, text: &str) {
        let left = MOST_LETTERS.saturating_sub(self.words.chars().count());
        let letters = text.chars().filter(|letter| !letter.is_control());
        self.words.extend(letters.take(left));
        self.chosen = 0;
    }

    /// The page as it is drawn.
    pub(super) fn page(&self, live: &Live, library: &Library) -> SwapPage {
        let lines: Vec<FoundLine> = found(live, library, &self.words)
            .into_iter()
            .map(|of| line(of, live.limits()))
            .collect();
        let instead_of = live.meant_move().map(|turn| turn.of.name.clone());
        SwapPage {
            instead_of: instead_of.unwrap_or_default(),
            field: Field {
                label: "find".into(),
                text: self.words.clone(),
                is_focused: true,
                hint: String::new(),
            },
            chosen: self.chosen.min(lines.len().saturating_sub(1)),
            lines,
            hints: footer::of_page(&[
                ("enter", "do this move"),
                ("↑ ↓", "choose"),
                ("esc", "leave it"),
                ("space", "still holds"),
            ]),
        }
    }
}

/// What must be known of a move before it is chosen.
pub(super) fn line(of: &Move, limits: &[Load]) -> FoundLine {
    let turn = Use::plain(Arc::new(of.clone()));
    let loaded: Vec<&str> = limits
        .iter()
        .filter(|limit| turn.loads().contains(limit) && turn.sparing(**limit).is_none())
        .map(|limit| limit.label())
        .collect();
    let mut about = vec![of.position.label().to_owned()];
    about.extend(of.equipment.iter().cloned());
    if !loaded.is_empty() {
        about.push(format!("loads {}", loaded.join(", ")));
    }
    FoundLine {
        name: of.name.clone(),
        about: about.join(" · "),
        is_marked: !loaded.is_empty(),
    }
}

/// The moves that fit, the best first, and of equals those most like the one they stand in for.
fn found<'a>(live: &Live, library: &'a Library, words: &str) -> Vec<&'a Arc<Move>> {
    let this = live.meant_move();
    let mut found = search(library, words);
    found.retain(|(_, of)| this.is_none_or(|this| this.of.id != of.id));
    let unlike = |of: &Move| this.map_or(0, |this| unlike(of, this, live.limits()));
    found.sort_by_key(|(close, of)| (*close, unlike(of)));
    found.into_iter().map(|(_, of)| of).collect()
}

/// How unlike two moves are in what a class feels: a limit loaded, something to fetch, another
/// place of the body, other regions.
pub(super) fn unlike(of: &Move, this: &Use, limits: &[Load]) -> usize {
    let loads = limits.iter().filter(|limit| of.loads.contains(limit));
    let fetch = of.equipment.iter();
    let fetch = fetch.filter(|thing| !this.equipment().contains(&thing.as_str()));
    let regions = of.regions.iter();
    let regions = regions.filter(|region| !this.of.regions.contains(region));
    8 * loads.count()
        + 4 * fetch.count()
        + 3 * usize::from(of.position != this.position())
        + 2 * usize::from(of.regions.first() != this.of.regions.first())
        + regions.count()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::Session;
    use crate::time::{Moment, Span};

    const CLASS: &str = r#"(title: "Tide", limits: [Wrist], parts: [
        Block(title: "Ebb", moves: ["squat"], pattern: Same(rounds: 3, work: 40, rest: 20))])"#;

    fn running() -> Live {
        let session = Session::read("tide", CLASS, &Library::builtin()).expect("a class");
        let mut live = Live::new(Arc::new(session));
        live.handle(Moment::ZERO, &Input::Act(Act::Begin));
        live.handle(Moment::ZERO + Span::from_secs(8), &Input::Wake);
        live
    }

    /// What is like the move it stands in for comes first, and what loads a limit of the room is
    /// marked and last.
    #[test]
    fn with_nothing_typed_what_is_most_alike_comes_first() {
        let (live, library) = (running(), Library::builtin());
        let all = found(&live, &library, "");
        assert_eq!(all.len(), library.len() - 1);
        let first = &all[..5];
        let squat = library.get("squat").expect("a squat");
        assert!(
            first
                .iter()
                .all(|of| of.position == squat.position && of.equipment.is_empty())
        );
        assert!(first.iter().all(|of| !of.loads.contains(&Load::Wrist)));
        for of in &all {
            let line = line(of, live.limits());
            let spared = Use::plain((*of).clone()).sparing(Load::Wrist).is_some();
            let is_loaded = of.loads.contains(&Load::Wrist) && !spared;
            assert_eq!(line.is_marked, is_loaded, "{}", of.id);
        }
    }
}

//! The moves that sessions may name: the built-in ones, and those that are added.
//!
//! It refuses to know where files lie: texts are handed to it.

use std::collections::{HashMap, HashSet};
use std::sync::{Arc, LazyLock};

use super::fault::Faults;
use super::moves::{Move, MoveOption};
use super::read;
use super::source::Source;

/// The text of the built-in library.
const BUILT_IN: &str = include_str!("../../assets/moves.ron");

/// Moves by their ids, in a fixed order. A copy shares the moves.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Library {
    moves: Vec<Arc<Move>>,
    places: HashMap<String, usize>,
}

impl Library {
    /// The moves that come with the program.
    #[must_use]
    pub fn builtin() -> Self {
        static PARSED: LazyLock<Library> = LazyLock::new(|| {
            let moves = Library::read("moves.ron (built in)", BUILT_IN);
            Library::default().with(moves.expect("the built-in library is read by a test"))
        });
        PARSED.clone()
    }

    /// Reads a library file, which is a list of moves. `source_name` is its name in faults.
    ///
    /// # Errors
    /// All faults of the text.
    pub fn read(source_name: &str, text: &str) -> Result<Vec<Move>, Faults> {
        read::library(&Source::of(source_name, text)?, &Self::default())
    }

    /// Reads a library file as it lies on the disk.
    ///
    /// # Errors
    /// All faults of the file, bytes that are no text among them.
    pub fn read_bytes(source_name: &str, bytes: &[u8]) -> Result<Vec<Move>, Faults> {
        Self::default().read_more(source_name, bytes)
    }

    /// Reads a library file that adds to this library: its moves may name those of this one.
    ///
    /// # Errors
    /// All faults of the file, bytes that are no text among them.
    pub fn read_more(&self, source_name: &str, bytes: &[u8]) -> Result<Vec<Move>, Faults> {
        read::library(&Source::of_bytes(source_name, bytes)?, self)
    }

    /// This library with more moves: one whose id is there already takes its place, the others
    /// come at the end. Versions that are other moves are looked up anew.
    #[must_use]
    pub fn with(&self, moves: impl IntoIterator<Item = Move>) -> Self {
        let mut library = self.clone();
        let mut new = HashSet::new();
        for of in moves {
            new.insert(of.id.clone());
            library.put(Arc::new(of));
        }
        library.look_up(&new);
        library
    }

    /// Gives every version that is another move that move, where either of them is new.
    fn look_up(&mut self, new: &HashSet<String>) {
        for place in 0..self.moves.len() {
            let of = Arc::clone(&self.moves[place]);
            let is_stale = |option: &MoveOption| {
                let named = option.stand_in.as_ref();
                named.is_some_and(|named| new.contains(&of.id) || new.contains(&named.id))
            };
            if of.options().any(|(_, option)| is_stale(option)) {
                let mut of = (*of).clone();
                for option in of.options_mut() {
                    self.fill(option);
                }
                self.moves[place] = Arc::new(of);
            }
        }
    }

    /// The move that an option names, and its call where the option has no words of its own.
    fn fill(&self, option: &mut MoveOption) {
        let Some(named) = &mut option.stand_in else {
            return;
        };
        let before = named.of.take();
        named.of = self.get(&named.id).map(|of| Arc::new(of.bare()));
        let is_own = !option.call.is_empty() && before.is_none_or(|of| of.call != option.call);
        if let Some(of) = named.of.as_ref().filter(|_| !is_own) {
            option.call.clone_from(&of.call);
        }
    }

    fn put(&mut self, new: Arc<Move>) {
        if let Some(place) = self.places.get(&new.id) {
            self.moves[*place] = new;
        } else {
            self.places.insert(new.id.clone(), self.moves.len());
            self.moves.push(new);
        }
    }

    /// The move of an id.
    #[must_use]
    pub fn get(&self, id: &str) -> Option<&Arc<Move>> {
        self.places.get(id).map(|place| &self.moves[*place])
    }

    /// All moves in their order.
    pub fn iter(&self) -> std::slice::Iter<'_, Arc<Move>> {
        self.moves.iter()
    }

    /// How many moves there are.
    #[must_use]
    pub const fn len(&self) -> usize {
        self.moves.len()
    }

    /// Whether there are none.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.moves.is_empty()
    }
}

impl<'a> IntoIterator for &'a Library {
    type Item = &'a Arc<Move>;
    type IntoIter = std::slice::Iter<'a, Arc<Move>>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

//! The moves that sessions may name: the built-in ones, and those that are added.
//!
//! It refuses to know where files lie: texts are handed to it.

use std::collections::HashMap;
use std::sync::{Arc, LazyLock};

use super::fault::Faults;
use super::moves::Move;
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
        read::library(&Source::of(source_name, text)?)
    }

    /// Reads a library file as it lies on the disk.
    ///
    /// # Errors
    /// All faults of the file, bytes that are no text among them.
    pub fn read_bytes(source_name: &str, bytes: &[u8]) -> Result<Vec<Move>, Faults> {
        read::library(&Source::of_bytes(source_name, bytes)?)
    }

    /// This library with more moves: one whose id is there already takes its place, the others
    /// come at the end.
    #[must_use]
    pub fn with(&self, moves: impl IntoIterator<Item = Move>) -> Self {
        let mut library = self.clone();
        for new in moves {
            library.put(Arc::new(new));
        }
        library
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

//! The version of a move that everyone does at its place in the class, and what is true of it.

use super::super::moves::{MoveOption, Pick, Use};
use super::super::terms::{Load, Position};
use super::choice::sparing;
use super::room::Room;
use super::version::Version;

impl Use {
    /// The version that everyone does here.
    #[must_use]
    pub fn version(&self) -> Version<'_> {
        Version::of(&self.of, self.pick)
    }

    /// Where the body is, the option in force taken into account.
    #[must_use]
    pub fn position(&self) -> Position {
        self.version().position()
    }

    /// What it loads, the option in force taken into account.
    #[must_use]
    pub fn loads(&self) -> Vec<Load> {
        self.version().loads()
    }

    /// The option that is offered to somebody who must spare a load, with its place.
    #[must_use]
    pub fn sparing(&self, load: Load) -> Option<(Pick, &MoveOption)> {
        let room = Room {
            limits: &[load],
            things: &[],
        };
        let spare = sparing(self, &[load], &room)?;
        Some((spare.pick()?, spare.option()?))
    }

    /// What each person needs, the option in force taken into account.
    #[must_use]
    pub fn equipment(&self) -> Vec<&str> {
        self.version().equipment()
    }
}

//! Why no class can be drafted, in words for whoever wished.

use crate::time::Span;

/// The shortest class that a draft has room for, and the longest slot.
pub(super) const SHORTEST: Span = Span::from_secs(10 * 60);
pub(super) const LONGEST: Span = Span::from_secs(3 * 3600);

/// Why no class can be drafted.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CannotDraft {
    /// The slot is too short or too long.
    #[error(
        "a slot of `{slot}`, with `{leave}` to clear the room, leaves no time for a draft; it wants {least} of class or more, and a slot of {most} or less"
    )]
    Slot {
        /// The slot.
        slot: Span,
        /// What is left of it.
        leave: Span,
        /// The shortest class.
        least: Span,
        /// The longest slot.
        most: Span,
    },
    /// A shape that cannot be taught.
    #[error("`{shape}`: {why}")]
    Shape {
        /// The shape.
        shape: String,
        /// What is wrong with it.
        why: String,
    },
    /// A move that the library does not have.
    #[error("no move has the id `{0}`; `matside moves WORDS` searches them")]
    NoSuchMove(String),
    /// A move is wished and left out.
    #[error("`{0}` is wished and to be left out; leave one of the two away")]
    Both(String),
    /// A move that is wished meets a limit of the room in all of its versions.
    #[error("`{id}` has no version that spares {limits}; leave it away, or wish for another move")]
    Unclean {
        /// The move.
        id: String,
        /// The limits, in words.
        limits: String,
    },
    /// Too few moves suit.
    #[error(
        "too few moves suit `{shape}` with these limits, this kit and this level; wish for fewer moves, another place, or more kit"
    )]
    TooFew {
        /// The blocks.
        shape: String,
    },
    /// No steps for a warm-up or cool-down.
    #[error("no {0} can be made with these limits and what is to be left out")]
    NoFrame(&'static str),
    /// The wished shape would come too often.
    #[error(
        "`{shape}` would have to be done more than {most} times over to fill {target}, and little of what was wished would be left; name more blocks, more rounds or longer works, or a shorter slot"
    )]
    TooOften {
        /// The blocks.
        shape: String,
        /// How often it may come.
        most: u64,
        /// What was to be filled.
        target: Span,
    },
    /// A class that the review would not let pass.
    #[error(
        "the class for these wishes would have to be mended: {what}; wish for another shape, or for less"
    )]
    MustMend {
        /// What the review says.
        what: String,
    },
    /// No times fill the slot.
    #[error(
        "`{shape}` cannot be timed to {target} with the rounds that were tried; wish for another shape or another slot"
    )]
    NoTimes {
        /// The blocks.
        shape: String,
        /// What was to be filled.
        target: Span,
    },
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Twelve shapes are tried and not all there are.
    #[test]
    fn no_more_is_said_of_times_than_was_tried() {
        let said = CannotDraft::NoTimes {
            shape: "4 moves 3x40/20".into(),
            target: Span::from_secs(1_000),
        };
        let said = said.to_string();
        assert!(said.contains("with the rounds that were tried"), "{said}");
        assert!(!said.contains("whatever"), "{said}");
    }
}

//! Which of how many: a round, a place, a window, a work of a rotation.

/// Which of how many, counted from 1; none of none where nothing is counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Nth {
    /// Which.
    pub nth: usize,
    /// Of how many.
    pub of: usize,
}

impl Nth {
    /// The `nth` of `of`.
    #[must_use]
    pub const fn new(nth: usize, of: usize) -> Self {
        Self { nth, of }
    }

    /// Whether none comes after it.
    #[must_use]
    pub const fn is_last(self) -> bool {
        self.nth == self.of
    }
}

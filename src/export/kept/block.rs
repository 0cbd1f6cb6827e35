//! A block as it is to be written, without its title.

use crate::session::Ron;
use crate::time::Span;

/// A block without its title.
pub(super) struct Block {
    pub(super) moves: Vec<Ron>,
    pub(super) pattern: Ron,
    pub(super) recovery: Option<Span>,
    pub(super) by_move: bool,
    pub(super) between: Option<Ron>,
    pub(super) last_rest: bool,
    /// Whether it still ends by itself.
    pub(super) has_cap: bool,
}

impl Default for Block {
    fn default() -> Self {
        Self {
            moves: Vec::new(),
            pattern: Ron::List(Vec::new()),
            recovery: None,
            by_move: false,
            between: None,
            last_rest: false,
            has_cap: false,
        }
    }
}

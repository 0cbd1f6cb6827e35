//! `matside outline`.

use super::args::Outline as Asked;
use super::load::{self, Own};
use super::report::Failure;
use crate::export::Outline;

/// Columns of the printed page where standard output is no terminal.
const PAPER: usize = 80;
/// The widest that lines of text are read well.
const WIDEST: usize = 100;

pub(super) fn outline(asked: &Asked, own: Own) -> Result<(), Failure> {
    let library = load::library(own)?;
    let session = load::session(asked.which.session.as_deref(), &library, own)?;
    let outline = Outline::of(&session).with_remarks(&library);
    let text = if asked.json {
        outline.json()
    } else if asked.csv {
        outline.csv()
    } else if asked.short {
        outline.short(width())
    } else {
        outline.text(width())
    };
    super::result(&text)
}

/// Columns of printed pages.
pub(super) fn width() -> usize {
    use std::io::IsTerminal;
    if !std::io::stdout().is_terminal() {
        return PAPER;
    }
    crossterm::terminal::size().map_or(PAPER, |(columns, _)| usize::from(columns).clamp(40, WIDEST))
}

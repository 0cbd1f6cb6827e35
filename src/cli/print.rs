//! Results as they are printed: on standard output or into a file, in columns, as wide as the paper.

use std::io::{self, IsTerminal as _, Write as _};

use unicode_width::UnicodeWidthStr as _;

use super::args::Output;
use super::report::Failure;
use crate::store::{Present, hand_over};

/// Columns of the printed page where standard output is no terminal.
const PAPER: usize = 80;
/// The widest that lines of text are read well.
const WIDEST: usize = 100;

/// Writes a result. A reader that has had enough is no failure.
pub(super) fn result(text: &str) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            Err(anyhow::Error::new(error).context("standard output").into())
        }
        _ => Ok(()),
    }
}

/// Writes a result to where it was asked for: a file, or standard output.
pub(super) fn written(to: &Output, text: &str) -> Result<(), Failure> {
    let Some(path) = to.output.as_deref().filter(|path| path.as_os_str() != "-") else {
        return result(text);
    };
    let present = if to.force {
        Present::Replaced
    } else {
        Present::Kept
    };
    hand_over(path, text.as_bytes(), present).map_err(|error| Failure::Create {
        path: path.to_owned(),
        error,
    })
}

/// Rows in columns, two spaces apart.
pub(super) fn columns<const N: usize>(rows: &[[String; N]]) -> String {
    let mut widest = [0; N];
    for row in rows {
        for (cell, widest) in row.iter().zip(&mut widest) {
            *widest = cell.width().max(*widest);
        }
    }
    let mut page = String::new();
    for row in rows {
        let mut line = String::new();
        for (cell, widest) in row.iter().zip(widest) {
            line.push_str(cell);
            line.push_str(&" ".repeat(widest - cell.width() + 2));
        }
        page.push_str(line.trim_end());
        page.push('\n');
    }
    page
}

/// Columns of printed pages.
pub(super) fn width() -> usize {
    if !io::stdout().is_terminal() {
        return PAPER;
    }
    crossterm::terminal::size().map_or(PAPER, |(columns, _)| usize::from(columns).clamp(40, WIDEST))
}

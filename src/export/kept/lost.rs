//! What of a class a session file cannot say, said in its first lines.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use crate::time::Span;

/// Something of a class that its file does not have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Loss {
    /// A work that was left stands as a rest.
    Left,
    /// Counted works stand at one pace.
    Pace,
    /// Counted steps of a warm-up or cool-down stand with the time that they took.
    Steps,
    /// What was repeated was not alike each time.
    Repeat,
    /// Rounds were taught in another way each, and a block became several.
    Several,
    /// A block that was to end by itself after this time stands without that.
    Cap(Span),
    /// A part that was to last up to this place of the class did not.
    Mark(Span),
}

/// What was lost where a class was kept.
#[derive(Debug, Default)]
pub(super) struct Lost(BTreeSet<Loss>);

impl Lost {
    /// Notes that something is lost, where it is.
    pub(super) fn note(&mut self, loss: Option<Loss>) {
        self.0.extend(loss);
    }

    /// A line of comment for each.
    pub(super) fn lines(&self) -> String {
        let mut text = String::new();
        for loss in &self.0 {
            let _ = writeln!(text, "// {}", said(*loss));
        }
        text
    }
}

fn said(loss: Loss) -> String {
    match loss {
        Loss::Left => "A move that was left early stands as a rest.".into(),
        Loss::Pace => {
            "Counted moves stand at the pace at which they were done, one a block.".into()
        }
        Loss::Steps => "Counted moves outside blocks stand with the time that they took.".into(),
        Loss::Repeat => "What was repeated did not come out alike, and is written out.".into(),
        Loss::Several => "A block that did not come out as one stands as several.".into(),
        Loss::Cap(cap) => format!("A block with a cap of {cap} stands without it."),
        Loss::Mark(mark) => {
            format!("What was to last up to {mark} did not, and has the time that it took.")
        }
    }
}

//! The way back and forth between the texts of a plan, without end: of each change the bytes that
//! it changed are kept.

/// What was changed in a text.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Turn {
    at: usize,
    old: String,
    new: String,
    deed: &'static str,
}

impl Turn {
    fn between(old: &str, new: &str, deed: &'static str) -> Self {
        let alike = |(a, b): &(char, char)| a == b;
        let long = |pairs: usize, of: &str| of.chars().take(pairs).map(char::len_utf8).sum();
        let same = old.chars().zip(new.chars()).take_while(alike).count();
        let at: usize = long(same, old);
        let (old, new) = (&old[at..], &new[at..]);
        let back = old.chars().rev().zip(new.chars().rev());
        let end: usize = back.take_while(alike).map(|(c, _)| c.len_utf8()).sum();
        Self {
            at,
            old: old[..old.len() - end].to_owned(),
            new: new[..new.len() - end].to_owned(),
            deed,
        }
    }
}

/// The changes that were made, and those that were taken back.
#[derive(Debug, Default)]
pub(super) struct Trail {
    turns: Vec<Turn>,
    /// How many of them are made.
    made: usize,
}

impl Trail {
    /// Keeps a change. Those that were taken back before it are gone.
    pub(super) fn did(&mut self, old: &str, new: &str, deed: &'static str) {
        self.turns.truncate(self.made);
        self.turns.push(Turn::between(old, new, deed));
        self.made += 1;
    }

    /// The text before the last change, and the byte at which they differ.
    pub(super) fn undo(&mut self, text: &str) -> Option<(String, usize)> {
        let turn = self.turns.get(self.made.checked_sub(1)?)?;
        self.made -= 1;
        Some((spliced(text, turn.at, &turn.new, &turn.old), turn.at))
    }

    /// The text after the change that was taken back last, and the byte at which they differ.
    pub(super) fn redo(&mut self, text: &str) -> Option<(String, usize)> {
        let turn = self.turns.get(self.made)?;
        self.made += 1;
        Some((spliced(text, turn.at, &turn.old, &turn.new), turn.at))
    }

    pub(super) fn back(&self) -> Option<&'static str> {
        Some(self.turns.get(self.made.checked_sub(1)?)?.deed)
    }

    pub(super) fn forth(&self) -> Option<&'static str> {
        Some(self.turns.get(self.made)?.deed)
    }
}

fn spliced(text: &str, at: usize, old: &str, new: &str) -> String {
    let (before, behind) = text.split_at(at);
    debug_assert!(
        behind.starts_with(old),
        "the text is the one that was changed"
    );
    [before, new, &behind[old.len()..]].concat()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_text_comes_back_both_ways() {
        let texts = [
            "a\u{e9}b",
            "a\u{e8}b",
            "",
            "ab",
            "aab",
            "aaab",
            "b\u{feff}",
            "b",
        ];
        let mut trail = Trail::default();
        for pair in texts.windows(2) {
            trail.did(pair[0], pair[1], "changed");
        }
        let mut text = texts[texts.len() - 1].to_owned();
        for before in texts.iter().rev().skip(1) {
            text = trail.undo(&text).expect("a change").0;
            assert_eq!(text, *before);
        }
        assert_eq!((trail.undo(&text), trail.back()), (None, None));
        for after in &texts[1..] {
            text = trail.redo(&text).expect("a change").0;
            assert_eq!(text, *after);
        }
        assert_eq!((trail.redo(&text), trail.forth()), (None, None));
        trail.undo(&text);
        trail.did(texts[texts.len() - 2], "c", "moved");
        assert_eq!((trail.back(), trail.forth()), (Some("moved"), None));
    }
}

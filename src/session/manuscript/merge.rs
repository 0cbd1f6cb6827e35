//! Two texts of one plan made into one: what only one of both has changed is taken, and about the
//! rest somebody is asked.

use diffy::{ConflictStyle, MergeOptions};

/// What comes of a text that somebody else has put into the file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Merged {
    /// There is nothing to take: it is the text that was saved, or the one that stands here.
    Same,
    /// Both have changed other lines: a text with the changes of both.
    Clean(String),
    /// Both have changed the same lines, and it is to be asked which are meant.
    Both(Clashes),
}

/// The lines about which two texts don't agree, and all the lines about which they do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clashes {
    runs: Vec<Run>,
}

/// Lines that both texts changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clash {
    /// The line of our text, counted from 1, where they begin; where ours are none, the one behind
    /// them.
    pub line: usize,
    /// What stood there when it was last saved.
    pub base: String,
    /// What stands there in our text.
    pub ours: String,
    /// What stands there in theirs.
    pub theirs: String,
}

/// Which lines are meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Take {
    /// Ours.
    Ours,
    /// Theirs.
    Theirs,
    /// Ours, and theirs behind them.
    Both,
}

#[derive(Clone, Debug, PartialEq, Eq)]
enum Run {
    Agreed(String),
    Clash(Clash),
}

impl Clashes {
    /// The lines about which is to be asked, from the first to the last.
    pub fn iter(&self) -> impl Iterator<Item = &Clash> {
        self.runs.iter().filter_map(|run| match run {
            Run::Agreed(_) => None,
            Run::Clash(clash) => Some(clash),
        })
    }

    /// The text with an answer for each clash, in their order; where there is none, ours is taken.
    #[must_use]
    pub fn settled(&self, takes: &[Take]) -> String {
        let mut takes = takes.iter();
        let mut text = String::new();
        for run in &self.runs {
            match run {
                Run::Agreed(lines) => text.push_str(lines),
                Run::Clash(clash) => match takes.next().unwrap_or(&Take::Ours) {
                    Take::Ours => text.push_str(&clash.ours),
                    Take::Theirs => text.push_str(&clash.theirs),
                    Take::Both => text.extend([clash.ours.as_str(), &clash.theirs]),
                },
            }
        }
        without_sentinel(text)
    }
}

/// Merges two texts that come of a third.
pub(super) fn merged(base: &str, ours: &str, theirs: &str) -> Merged {
    if theirs == base || theirs == ours {
        return Merged::Same;
    }
    if ours == base {
        return Merged::Clean(theirs.to_owned());
    }
    // With a line more at the end of each no last line is without its break.
    let [base, ours, theirs] = [base, ours, theirs].map(|text| format!("{text}\n"));
    let mark = mark_length(&[&base, &ours, &theirs]);
    let mut options = MergeOptions::new();
    options.set_conflict_style(ConflictStyle::Diff3);
    options.set_conflict_marker_length(mark);
    match options.merge(&base, &ours, &theirs) {
        Ok(text) => Merged::Clean(without_sentinel(text)),
        Err(text) => Merged::Both(Clashes {
            runs: runs(&text, &ours, mark),
        }),
    }
}

fn without_sentinel(mut text: String) -> String {
    if text.ends_with('\n') {
        text.pop();
    }
    text
}

/// A length of marks that no line of the texts begins with.
fn mark_length(texts: &[&str]) -> usize {
    let lines = texts.iter().flat_map(|text| text.lines());
    let run = |line: &str| {
        let first = line.chars().next().filter(|c| "<|=>".contains(*c))?;
        Some(line.chars().take_while(|c| *c == first).count())
    };
    lines.filter_map(run).max().unwrap_or(0).max(7) + 1
}

/// A merged text taken apart at its marks.
fn runs(text: &str, ours: &str, mark: usize) -> Vec<Run> {
    let mut runs = Vec::new();
    let mut place = Lines::of(ours);
    let mut side = None;
    let mut clash: [String; 3] = Default::default();
    for written in text.split_inclusive('\n') {
        let first = written.chars().next().filter(|c| "<|=>".contains(*c));
        let is_mark = |c: &char| written.chars().take_while(|other| other == c).count() >= mark;
        match first.filter(is_mark) {
            Some('<') => side = Some(0),
            Some('|') => side = Some(1),
            Some('=') => side = Some(2),
            Some(_) => {
                let [ours, base, theirs] = std::mem::take(&mut clash);
                runs.push(Run::Clash(Clash {
                    line: place.passed(&ours),
                    base,
                    ours,
                    theirs,
                }));
                side = None;
            }
            None => match (side, runs.last_mut()) {
                (Some(side), _) => clash[side].push_str(written),
                (None, Some(Run::Agreed(lines))) => {
                    place.pass(written);
                    lines.push_str(written);
                }
                (None, _) => {
                    place.pass(written);
                    runs.push(Run::Agreed(written.to_owned()));
                }
            },
        }
    }
    runs
}

/// The lines of a text, and how many of them were met in a merged one. Lines of the other text are
/// not among them.
struct Lines<'t> {
    lines: Vec<&'t str>,
    met: usize,
}

impl<'t> Lines<'t> {
    fn of(text: &'t str) -> Self {
        Self {
            lines: text.split_inclusive('\n').collect(),
            met: 0,
        }
    }

    /// A line that both have now.
    fn pass(&mut self, written: &str) {
        if self.lines.get(self.met) == Some(&written) {
            self.met += 1;
        }
    }

    /// Lines that are this text's alone, and the first of them, counted from 1.
    fn passed(&mut self, ours: &str) -> usize {
        let ours: Vec<&str> = ours.split_inclusive('\n').collect();
        let left = &self.lines[self.met..];
        let at = left
            .windows(ours.len().max(1))
            .position(|some| some == ours);
        let from = self.met + at.unwrap_or(0);
        self.met = from + ours.len();
        from + 1
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const BASE: &str = "a\nb\nc\nd\ne\nf\n";

    #[test]
    fn what_only_one_has_changed_is_taken() {
        let ours = "a\nB\nc\nd\ne\nf\n";
        for (theirs, meant) in [
            (BASE, Merged::Same),
            (ours, Merged::Same),
            ("a\nb\nc\nd\ne\n", Merged::Clean("a\nB\nc\nd\ne\n".into())),
            (
                "0\na\nb\nc\nd\ne\nf",
                Merged::Clean("0\na\nB\nc\nd\ne\nf".into()),
            ),
        ] {
            assert_eq!(merged(BASE, ours, theirs), meant, "{theirs}");
        }
        let theirs = "x";
        assert_eq!(merged(BASE, BASE, theirs), Merged::Clean("x".into()));
    }

    /// Lines that look like the marks of a merge are lines like others.
    #[test]
    fn about_what_both_have_changed_is_asked() {
        let marks = "<<<<<<<< ours\n||||||||\n========\n>>>>>>>>>>> theirs\n";
        for end in ["", "\n"] {
            let text = |b: &str, f: &str| format!("{marks}a\n{b}c\nd\ne\n{f}{end}");
            let base = text("b\n", "f");
            let ours = text("=========\nb2\n", "f");
            let theirs = text("", "F");
            let Merged::Both(clashes) = merged(&base, &ours, &theirs) else {
                panic!("both changed b");
            };
            let found: Vec<&Clash> = clashes.iter().collect();
            assert_eq!(
                found,
                [&Clash {
                    line: 6,
                    base: "b\n".into(),
                    ours: "=========\nb2\n".into(),
                    theirs: String::new(),
                }]
            );
            assert_eq!(clashes.settled(&[Take::Ours]), text("=========\nb2\n", "F"));
            assert_eq!(clashes.settled(&[Take::Theirs]), text("", "F"));
            assert_eq!(clashes.settled(&[Take::Both]), clashes.settled(&[]));
            // Lines that they put in above are none of ours.
            let more = format!("1\n2\n3\n4\n{theirs}");
            let Merged::Both(clashes) = merged(&base, &ours, &more) else {
                panic!("both changed b");
            };
            assert_eq!(clashes.iter().next().map(|clash| clash.line), Some(6));
        }
    }
}

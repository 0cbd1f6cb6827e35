//! Closed sets of words, and the word that somebody probably meant.

use super::super::terms::{Action, Impact, Load, Muscle, Position, Region, Side, Sides};

/// A set of words that a file may use, most of them without quotes.
pub(crate) trait Word: Copy + 'static {
    /// What one of them is, with its article.
    const KIND: &'static str;
    /// All of them.
    const ALL: &'static [Self];
    /// The word as it is written.
    fn word(self) -> &'static str;
    /// The word as it is said.
    fn label(self) -> &'static str {
        self.word()
    }
    /// The name in quotes by which it may be written as well.
    fn quoted(self) -> Option<&'static str> {
        None
    }
}

macro_rules! word_set {
    ($($name:ident = $kind:literal),+) => {$(
        impl Word for $name {
            const KIND: &'static str = $kind;
            const ALL: &'static [Self] = Self::ALL;
            fn word(self) -> &'static str {
                self.word()
            }
            fn label(self) -> &'static str {
                self.label()
            }
        }
    )+};
}

word_set! {
    Position = "a position", Region = "a region", Load = "a load",
    Impact = "an impact", Sides = "a way to share the sides",
    Action = "an action", Side = "a side"
}

/// Muscles are written by the names of the open data set, of which some are two words.
impl Word for Muscle {
    const KIND: &'static str = "a muscle";
    const ALL: &'static [Self] = Self::ALL;
    fn word(self) -> &'static str {
        self.word()
    }
    fn quoted(self) -> Option<&'static str> {
        Some(self.label())
    }
}

/// The order of a block as it is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Arrangement {
    /// All moves once, then the next round.
    ByRound,
    /// All rounds of a move, then the next move.
    ByMove,
    /// All moves at once, each by a group.
    Stations,
}

impl Word for Arrangement {
    const KIND: &'static str = "an order";
    const ALL: &'static [Self] = &[Self::ByRound, Self::ByMove, Self::Stations];
    fn word(self) -> &'static str {
        match self {
            Self::ByRound => "ByRound",
            Self::ByMove => "ByMove",
            Self::Stations => "Stations",
        }
    }
}

/// How a work ends, as it is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ends {
    /// When its time is over.
    ByTime,
    /// When the instructor moves on.
    ByKey,
}

impl Word for Ends {
    const KIND: &'static str = "an end of work";
    const ALL: &'static [Self] = &[Self::ByTime, Self::ByKey];
    fn word(self) -> &'static str {
        match self {
            Self::ByTime => "ByTime",
            Self::ByKey => "ByKey",
        }
    }
}

/// The nearest of the known words to one that is not known, if any is near enough.
pub(crate) fn like<'a>(wrong: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let wrong = bare(wrong);
    let long = wrong.chars().count();
    if long > 64 {
        return None;
    }
    let allowed = (long / 3).clamp(1, 3);
    (known.into_iter())
        .filter(|word| word.len().abs_diff(wrong.len()) <= 8)
        .map(|word| (strsim::osa_distance(&wrong, &bare(word)), word))
        .filter(|(distance, _)| *distance <= allowed)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, word)| word)
}

impl super::Reader<'_> {
    /// The nearest of the known words, as long as looking for it is worth its time.
    pub(crate) fn like<'a>(
        &self,
        wrong: &str,
        known: impl IntoIterator<Item = &'a str>,
    ) -> Option<&'a str> {
        self.advises().then(|| like(wrong, known))?
    }
}

/// A word as it is compared: small letters, without joints.
fn bare(word: &str) -> String {
    (word.chars())
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect()
}

/// What to do about a word of a set that is not known: the one that is said so or is nearest, in the
/// spelling that a file takes, else all there are.
pub(super) fn instead_of<W: Word>(wrong: &str) -> String {
    let said = bare(wrong);
    let found = W::ALL.iter().find(|word| {
        let names = [word.word(), word.label()].map(bare);
        names
            .iter()
            .any(|name| *name == said || format!("{said}s") == *name)
    });
    let known: Vec<&str> = W::ALL.iter().map(|word| word.word()).collect();
    match found.filter(|_| !said.is_empty()) {
        Some(word) => did_you_mean(word.word()),
        None => instead(wrong, &known),
    }
}

/// What to do about a word that is not known: the one probably meant, else all there are.
pub(super) fn instead(wrong: &str, known: &[&str]) -> String {
    match like(wrong, known.iter().copied()) {
        Some(word) => did_you_mean(word),
        None => format!("possible here: {}", listed(known)),
    }
}

/// The word that was probably meant.
pub(super) fn did_you_mean(word: &str) -> String {
    format!("did you mean `{word}`?")
}

/// Words in backticks, with commas between.
pub(super) fn listed(words: &[&str]) -> String {
    let quoted: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
    quoted.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_of_the_finger_finds_its_word_and_another_word_does_not() {
        let known = [
            "squat",
            "side-plank",
            "side-lunge",
            "dead-bug",
            "work",
            "rest",
        ];
        for (wrong, expected) in [
            ("sqat", Some("squat")),
            ("Squat", Some("squat")),
            ("side plank", Some("side-plank")),
            ("side_lunges", Some("side-lunge")),
            ("owrk", Some("work")),
            ("deadbug", Some("dead-bug")),
            ("burpee", None),
            ("time", None),
            ("", None),
        ] {
            assert_eq!(like(wrong, known), expected, "{wrong}");
        }
        assert_eq!(like(&"x".repeat(100_000), known), None);
    }
}

//! Wishes as a person types them on the command line, and what is said of those that cannot be read.

use crate::advice::{Exertion, Kit, Level};
use crate::session::{Action, Load, Region, Word, nearest};

/// A region or an action that is to have more of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Focus {
    Region(Region),
    Action(Action),
}

impl Focus {
    /// The region, if it is one.
    pub(super) const fn region(self) -> Option<Region> {
        match self {
            Self::Region(region) => Some(region),
            Self::Action(_) => None,
        }
    }

    /// The action, if it is one.
    pub(super) const fn action(self) -> Option<Action> {
        match self {
            Self::Action(action) => Some(action),
            Self::Region(_) => None,
        }
    }
}

/// One of a set, as a file spells it or as it is said, capitals or not.
fn one<W: Word>(text: &str) -> Option<W> {
    let is = |word: &&W| {
        [word.word(), word.label()]
            .iter()
            .any(|known| known.eq_ignore_ascii_case(text))
    };
    W::ALL.iter().find(is).copied()
}

fn words<W: Word>() -> Vec<&'static str> {
    W::ALL.iter().map(|word| word.word()).collect()
}

/// What is told of a word that none of these is.
fn unknown(text: &str, known: &[&'static str]) -> String {
    let meant = nearest(text, known.iter().copied());
    let meant = meant.map_or_else(String::new, |near| format!("did you mean {near}? "));
    format!("{meant}It is one of {}", known.join(", "))
}

/// What somebody must spare.
pub(super) fn limit(text: &str) -> Result<Load, String> {
    let text = text.trim();
    one(text).ok_or_else(|| unknown(text, &words::<Load>()))
}

/// Actions that work can have more of.
const ACTIONS: [Action; 10] = [
    Action::Push,
    Action::Pull,
    Action::Squat,
    Action::Hinge,
    Action::Lunge,
    Action::Carry,
    Action::Rotate,
    Action::Brace,
    Action::Travel,
    Action::Balance,
];

/// A region or an action.
pub(super) fn focus(text: &str) -> Result<Focus, String> {
    let text = text.trim();
    let action = one(text).filter(|action| ACTIONS.contains(action));
    let found = one(text).map(Focus::Region).or(action.map(Focus::Action));
    found.ok_or_else(|| {
        let regions = Region::ALL.iter().map(|region| region.label());
        let known: Vec<&str> = regions.chain(ACTIONS.map(Action::label)).collect();
        unknown(text, &known)
    })
}

/// For whom.
pub(super) fn level(text: &str) -> Result<Level, String> {
    let found = Level::ALL
        .into_iter()
        .find(|level| level.word().eq_ignore_ascii_case(text.trim()));
    found.ok_or_else(|| unknown(text, &Level::ALL.map(Level::word)))
}

/// How hard.
pub(super) fn exertion(text: &str) -> Result<Exertion, String> {
    let found = Exertion::ALL
        .into_iter()
        .find(|one| one.word().eq_ignore_ascii_case(text.trim()));
    found.ok_or_else(|| unknown(text, &Exertion::ALL.map(Exertion::word)))
}

/// A thing, with how many there are behind a colon.
pub(super) fn kit(text: &str) -> Result<Kit, String> {
    let (thing, count) = match text.split_once(':') {
        None => (text, None),
        Some((thing, count)) => {
            let count = count
                .trim()
                .parse()
                .ok()
                .filter(|count| *count <= 1_000_000);
            (
                thing,
                Some(count.ok_or("write how many there are as a whole number, as in band:6")?),
            )
        }
    };
    let thing = thing.trim().to_lowercase();
    if thing.is_empty() {
        return Err("name a thing, as in band, or how many of it, as in band:6".into());
    }
    Ok(Kit { thing, count })
}

/// One of three drafts.
pub(super) fn nth_of_three(text: &str) -> Result<usize, String> {
    let read = text.trim().parse().ok().filter(|nth| (1..=3).contains(nth));
    read.ok_or_else(|| "it is 1, 2 or 3".into())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_read_as_a_file_spells_them_and_as_they_are_said() {
        assert_eq!(limit("Wrist"), Ok(Load::Wrist));
        assert_eq!(limit("low back"), Ok(Load::LowBack));
        assert_eq!(focus("legs"), Ok(Focus::Region(Region::Lower)));
        assert_eq!(focus("Upper"), Ok(Focus::Region(Region::Upper)));
        assert_eq!(focus("PULL"), Ok(Focus::Action(Action::Pull)));
        assert_eq!(level("Beginner"), Ok(Level::Beginner));
        assert_eq!(exertion("vigorous"), Ok(Exertion::Vigorous));
        assert_eq!(
            kit("band:6"),
            Ok(Kit {
                thing: "band".into(),
                count: Some(6)
            })
        );
        assert_eq!(
            kit(" Stability ball "),
            Ok(Kit {
                thing: "stability ball".into(),
                count: None
            })
        );
    }

    #[test]
    fn what_cannot_be_read_is_told_with_what_can() {
        for told in [
            limit("wrsit").err(),
            focus("stretch").err(),
            level("hard").err(),
            exertion("much").err(),
            kit("band:many").err(),
            kit(":3").err(),
            nth_of_three("4").err().filter(|told| told.len() > 10),
        ] {
            let told = told.expect("refused");
            assert!(told.len() > 10, "{told}");
        }
        assert!(limit("wrsit").is_err_and(|told| told.contains("did you mean Wrist")));
    }
}

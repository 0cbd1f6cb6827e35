//! Searching the library by words, as people type them and as the trade says them.
//!
//! A move is told by its names, and by what else the library has of it: position, regions, muscles,
//! loads, impact, equipment. Whoever types roughly types a name, so slips are forgiven there first.

use std::sync::Arc;

use nucleo_matcher::pattern::{AtomKind, CaseMatching, Normalization, Pattern};
use nucleo_matcher::{Config, Matcher, Utf32Str};

use super::library::Library;
use super::moves::Move;
use super::names::bare;

/// How well a move fits what was typed, the best first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Closeness {
    /// It is called so.
    Name,
    /// It is called so but for one letter wrong, missing, too many, or turned with its neighbour.
    Misspelt,
    /// Words of a name begin so.
    Begins,
    /// What else is told of it has all the words.
    Told,
    /// The words are slips of such, or a name has the letters in this order.
    Rough,
}

/// Other words for what the library calls otherwise: common practice, no source.
const OTHER_WORDS: &[(&str, &[&str])] = &[
    ("ab", &["abdominals"]),
    ("abs", &["abdominals"]),
    ("obliques", &["abdominals"]),
    ("tummy", &["abdominals"]),
    ("belly", &["abdominals"]),
    ("situp", &["crunch"]),
    ("situps", &["crunch"]),
    ("pressup", &["pushup"]),
    ("pressups", &["pushup"]),
    ("weight", &["dumbbells"]),
    ("weights", &["dumbbells"]),
    ("arm", &["biceps", "triceps", "arm"]),
    ("arms", &["biceps", "triceps", "arm"]),
    ("bum", &["glutes"]),
    ("butt", &["glutes", "butt"]),
    ("quads", &["quadriceps"]),
    ("hams", &["hamstrings"]),
    ("thighs", &["quadriceps", "hamstrings", "adductors"]),
    ("calf", &["calves", "calf"]),
    ("pecs", &["chest"]),
    ("delts", &["shoulders"]),
    ("back", &["lats", "middleback", "lowerback", "back"]),
    ("allfours", &["handsandknees"]),
    ("quadruped", &["handsandknees"]),
    ("tabletop", &["handsandknees"]),
    ("jump", &["jump", "jumping", "highimpact"]),
    ("jumps", &["jump", "jumping", "highimpact"]),
];

/// Two words that are one in the table above, or in the library.
const TOGETHER: &[(&str, &str)] = &[
    ("sit", "up"),
    ("sit", "ups"),
    ("press", "ups"),
    ("push", "ups"),
    ("all", "fours"),
    ("low", "impact"),
    ("no", "impact"),
    ("high", "impact"),
];

/// The moves that the words tell of, in the order of the library, each with how well it fits. Only
/// where none has all of the words, those come that fit roughly.
#[must_use]
pub fn search<'a>(library: &'a Library, words: &str) -> Vec<(Closeness, &'a Arc<Move>)> {
    let wanted = Wanted::of(words);
    let fitting = |fit: &dyn Fn(&Move) -> Option<Closeness>| -> Vec<(Closeness, &'a Arc<Move>)> {
        let all = library.iter();
        all.filter_map(|of| Some((fit(of)?, of))).collect()
    };
    let close = fitting(&|of| wanted.close(of));
    if close.is_empty() {
        let mut letters = Letters::of(&wanted.typed);
        let mut rough = Vec::new();
        for of in library {
            if wanted.is_told(of, is_slip) || letters.are_in(of) {
                rough.push((Closeness::Rough, of));
            }
        }
        return rough;
    }
    close
}

/// What was typed.
struct Wanted {
    typed: String,
    words: Vec<String>,
}

impl Wanted {
    fn of(words: &str) -> Self {
        Self {
            typed: words.trim().to_lowercase(),
            words: joined(&words_of(words)),
        }
    }

    /// How a move fits that has all of the words, or is called so but for a letter.
    fn close(&self, of: &Move) -> Option<Closeness> {
        let names = [&of.name, &of.call, &of.id].map(|name| name.to_lowercase());
        let wrong = names
            .iter()
            .map(|name| strsim::osa_distance(name, &self.typed));
        let begins = |name: &String| {
            let there = words_of(name);
            let mut words = self.words.iter();
            words.all(|word| there.iter().any(|there| there.starts_with(word.as_str())))
        };
        match wrong.min() {
            Some(0) => Some(Closeness::Name),
            Some(1) => Some(Closeness::Misspelt),
            _ if self.words.is_empty() => Some(Closeness::Told),
            _ if names.iter().any(begins) => Some(Closeness::Begins),
            _ => {
                let begins = |there: &str, word: &str| there.starts_with(word);
                self.is_told(of, begins).then_some(Closeness::Told)
            }
        }
    }

    /// Whether every word, or another for the same, fits one that tells about the move.
    fn is_told(&self, of: &Move, fits: impl Fn(&str, &str) -> bool) -> bool {
        let told = told(of);
        self.words.iter().all(|word| {
            let ways = ways(word);
            let mut ways = ways.iter();
            ways.any(|way| told.iter().any(|there| fits(there, way)))
        })
    }
}

/// Letters that a name must have in this order, whatever stands between them.
struct Letters {
    pattern: Pattern,
    matcher: Matcher,
}

impl Letters {
    fn of(typed: &str) -> Self {
        let (ignore, smart) = (CaseMatching::Ignore, Normalization::Smart);
        Self {
            pattern: Pattern::new(typed, ignore, smart, AtomKind::Fuzzy),
            matcher: Matcher::new(Config::DEFAULT),
        }
    }

    fn are_in(&mut self, of: &Move) -> bool {
        let mut letters = Vec::new();
        [&of.name, &of.call, &of.id].into_iter().any(|name| {
            let name = Utf32Str::new(name, &mut letters);
            self.pattern.score(name, &mut self.matcher).is_some()
        })
    }
}

/// A word and the library's words for the same.
fn ways(word: &str) -> Vec<&str> {
    let others = OTHER_WORDS.iter().find(|(other, _)| *other == word);
    match others {
        Some((_, ways)) => ways.to_vec(),
        None => vec![word],
    }
}

/// Whether a word was probably meant to be the other: a letter wrong, missing, too many or in the
/// wrong place, one for each four.
fn is_slip(there: &str, word: &str) -> bool {
    let long = word.chars().count();
    let allowed = if long < 4 { 0 } else { (long / 4).min(3) };
    let begin: String = there.chars().take(long).collect();
    there.starts_with(word)
        || long >= 5 && there.contains(word)
        || strsim::osa_distance(there, word) <= allowed
        || strsim::osa_distance(&begin, word) <= allowed
}

/// The words that tell about the move: names, position, regions, muscles, loads, impact, equipment.
fn told(of: &Move) -> Vec<String> {
    let mut texts = vec![of.id.as_str(), &of.name, &of.call];
    texts.extend([of.position.word(), of.position.label()]);
    texts.extend(of.regions.iter().flat_map(|r| [r.word(), r.label()]));
    texts.extend(of.muscles.iter().flat_map(|m| [m.word(), m.label()]));
    texts.extend(of.loads.iter().flat_map(|l| [l.word(), l.label()]));
    texts.extend(of.action.iter().flat_map(|a| [a.word(), a.label()]));
    texts.extend(of.equipment.iter().map(String::as_str));
    let mut told: Vec<String> = texts.into_iter().flat_map(words_of).collect();
    told.extend([&of.id, &of.name, &of.call].map(|name| bare(name)));
    told.push(bare(of.impact.label()));
    told
}

/// The words of a text, in small letters.
fn words_of(text: &str) -> Vec<String> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect()
}

/// Words that belong together as one.
fn joined(words: &[String]) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for word in words {
        match out.last_mut() {
            Some(last) if TOGETHER.contains(&(last.as_str(), word.as_str())) => last.push_str(word),
            _ => out.push(word.clone()),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::{Action, Impact, Load, Muscle, Position, Region};

    fn ids(words: &str) -> Vec<String> {
        let library = Library::builtin();
        let found = search(&library, words);
        found.into_iter().map(|(_, of)| of.id.clone()).collect()
    }

    fn with(has: impl Fn(&Move) -> bool) -> Vec<String> {
        let library = Library::builtin();
        let having = library.iter().filter(|of| has(of));
        having.map(|of| of.id.clone()).collect()
    }

    /// The library itself tells what must be found: no list of names that could grow stale.
    #[test]
    fn a_search_finds_what_has_the_word_in_any_field_and_nothing_else() {
        for (words, expected) in [
            (
                "handsandknees",
                with(|m| m.position == Position::HandsAndKnees),
            ),
            ("all fours", with(|m| m.position == Position::HandsAndKnees)),
            (
                "PelvicFloor",
                with(|m| {
                    m.loads.contains(&Load::PelvicFloor) || m.muscles.contains(&Muscle::PelvicFloor)
                }),
            ),
            (
                "pelvic floor",
                with(|m| {
                    m.loads.contains(&Load::PelvicFloor) || m.muscles.contains(&Muscle::PelvicFloor)
                }),
            ),
            ("lats", with(|m| m.muscles.contains(&Muscle::Lats))),
            (
                "lats whole",
                with(|m| m.muscles.contains(&Muscle::Lats) && m.regions.contains(&Region::Total)),
            ),
            ("abs", with(|m| m.muscles.contains(&Muscle::Abdominals))),
            ("hinge", with(|m| m.action == Some(Action::Hinge))),
            ("low impact", with(|m| m.impact == Impact::Low)),
            ("high-impact", with(|m| m.impact == Impact::High)),
            ("", with(|_| true)),
            ("lats xyzzy", Vec::new()),
        ] {
            assert_eq!(ids(words), expected, "{words}");
        }
        assert!(ids("side-pl").contains(&"side-plank".to_owned()));
        assert!(ids("band").contains(&"row-band".to_owned()));
    }

    #[test]
    fn words_of_the_trade_and_slips_of_the_finger_find_the_move() {
        for (words, id) in [
            ("sit-up", "crunch"),
            ("situps", "crunch"),
            ("press ups", "push-up"),
            ("pushups", "push-up"),
            ("dumbbell", "biceps-curl"),
            ("weights", "shoulder-press"),
            ("sqaut", "squat"),
            ("sqat", "squat"),
            ("buprees", "burpee"),
            ("plnak", "plank"),
            ("jumpingjack", "jumping-jack"),
            ("mountian climber", "mountain-climber"),
            ("birdog", "bird-dog"),
            ("birddog", "bird-dog"),
            ("quads", "squat"),
            ("bum", "bridge"),
        ] {
            assert!(
                ids(words).contains(&id.to_owned()),
                "{words}: {:?}",
                ids(words)
            );
        }
        // A slip finds few, or it finds nothing worth reading.
        for words in ["sqaut", "plnak", "buprees", "mountian climber"] {
            let most = Library::builtin().len() / 10;
            assert!(ids(words).len() <= most, "{words}: {:?}", ids(words));
        }
    }

    /// Every move of the library is found first by its name, and among the first with a letter
    /// left out, doubled, or turned with its neighbour, wherever in the name that is.
    #[test]
    fn every_move_is_found_however_roughly_its_name_is_typed() {
        let library = Library::builtin();
        let found = |typed: &str| {
            let mut found = search(&library, typed);
            found.sort_by_key(|(fit, _)| *fit);
            found
        };
        let (mut tried, mut missed) = (0, Vec::new());
        for of in &library {
            let name: Vec<char> = of.name.to_lowercase().chars().collect();
            let first = found(&name.iter().collect::<String>());
            assert_eq!(first.first().map(|(_, of)| &of.name), Some(&of.name));
            for n in 0..name.len() - 1 {
                let mut less = name.clone();
                less.remove(n);
                let mut twice = name.clone();
                twice.insert(n, name[n]);
                let mut turned = name.clone();
                turned.swap(n, n + 1);
                for typed in [less, twice, turned] {
                    let typed: String = typed.into_iter().collect();
                    tried += 1;
                    let found = found(&typed);
                    if !found.iter().take(5).any(|(_, there)| there.id == of.id) {
                        missed.push(format!("{} by {typed}", of.name));
                    }
                }
            }
        }
        assert!(
            missed.len() * 100 < tried,
            "{} of {tried}: {missed:?}",
            missed.len()
        );
    }

    /// While it is typed, and with words cut short.
    #[test]
    fn a_beginning_with_a_slip_and_a_word_cut_short_find_the_move() {
        for (words, id) in [
            ("sqau", "squat"),
            ("mntn clmb", "mountain-climber"),
            ("rev lunge", "reverse-lunge"),
        ] {
            assert!(
                ids(words).contains(&id.to_owned()),
                "{words}: {:?}",
                ids(words)
            );
        }
    }
}

//! Searching the library by words, as people type them and as the trade says them.

use std::sync::Arc;

use crate::session::{Library, Move, bare};

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

/// The moves that the words tell of, in the order of the library. Where none has all of them, those
/// of which they are slips of the finger.
pub(super) fn found<'a>(library: &'a Library, words: &str) -> Vec<&'a Arc<Move>> {
    let words = joined(&words_of(words));
    let fitting = |fits: fn(&str, &str) -> bool| -> Vec<&'a Arc<Move>> {
        let all = library.iter();
        all.filter(|of| {
            let told = told(of);
            words.iter().all(|word| {
                let ways = ways(word);
                ways.iter()
                    .any(|way| told.iter().any(|there| fits(there, way)))
            })
        })
        .collect()
    };
    let exact = fitting(|there, word| there.starts_with(word));
    if exact.is_empty() {
        fitting(is_slip)
    } else {
        exact
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
    there.starts_with(word)
        || long >= 5 && there.contains(word)
        || strsim::osa_distance(there, word) <= allowed
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
        let found = found(&library, words);
        found.into_iter().map(|of| of.id.clone()).collect()
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
}

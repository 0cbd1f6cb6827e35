//! The built-in library against what an instructor needs of it, and against the table of energy
//! costs.

use std::collections::HashMap;

use matside::session::{Library, Load, Move, Muscle, Position, Region};

/// Codes and MET values of the 2024 Adult Compendium of Physical Activities (Herrmann et al. 2024,
/// J Sport Health Sci 13(1), ages 19 to 59), taken from a secondary text. Codes moved between
/// editions: these are those of 2024.
const COMPENDIUM_2024: &[(&str, f64)] = &[
    ("02000", 7.3),  // aerobics, general
    ("02005", 4.8),  // aerobics, low impact
    ("02006", 8.0),  // aerobics, high impact
    ("02020", 7.5),  // calisthenics, vigorous
    ("02022", 3.8),  // calisthenics, moderate
    ("02024", 2.8),  // calisthenics, light
    ("02030", 3.5),  // calisthenics, general, up and down from the floor
    ("02032", 6.0),  // circuit training, body weight
    ("02034", 3.5),  // circuit training, light
    ("02035", 5.0),  // circuit training, moderate
    ("02040", 7.5),  // circuit training, vigorous
    ("02056", 3.0),  // body weight resistance, general
    ("02057", 6.5),  // body weight resistance, high intensity
    ("02062", 7.8),  // conditioning class
    ("02064", 3.8),  // home exercise
    ("02068", 11.0), // rope skipping
    ("02101", 2.3),  // stretching
    ("02103", 1.8),  // mat work
    ("02105", 2.8),  // mat work, the other of two entries
    ("02110", 6.8),  // teaching a class
    ("02150", 2.3),  // yoga
    ("02160", 4.0),  // yoga, the second of three entries
    ("02180", 3.5),  // yoga, the third
    ("02210", 7.0),  // high intensity intervals, moderate
    ("02214", 11.0), // high intensity intervals, vigorous
    ("02340", 2.8),  // sit to stand, slow
    ("02344", 4.0),  // sit to stand, fast
    ("12025", 4.8),  // jog in place
];

fn words(text: &str) -> usize {
    text.split_whitespace().count()
}

/// Tells of all the moves for which something does not hold.
fn assert_each(what: &str, holds: impl Fn(&Move) -> bool) {
    let library = Library::builtin();
    let failing: Vec<&str> = (library.iter())
        .filter(|m| !holds(m))
        .map(|m| m.id.as_str())
        .collect();
    assert!(failing.is_empty(), "{what}: {failing:?}");
}

#[test]
fn there_are_moves_enough_for_every_place_and_part() {
    let library = Library::builtin();
    assert!(library.len() >= 90, "{} moves", library.len());
    let any = |holds: &dyn Fn(&Move) -> bool| library.iter().any(|m| holds(m));
    for &position in Position::ALL {
        assert!(
            any(&|m| m.position == position),
            "no move {}",
            position.label()
        );
    }
    for &region in Region::ALL {
        assert!(
            any(&|m| m.regions.contains(&region)),
            "no move for {}",
            region.label()
        );
    }
    for &muscle in Muscle::ALL {
        assert!(
            any(&|m| m.muscles.contains(&muscle)),
            "no move for {}",
            muscle.label()
        );
    }
}

#[test]
fn names_are_different() {
    let library = Library::builtin();
    let mut ids: HashMap<String, &str> = HashMap::new();
    for known in &library {
        for name in [known.name.to_lowercase(), known.call.to_lowercase()] {
            let other = ids.insert(name.clone(), &known.id);
            assert!(
                other.is_none_or(|other| other == known.id),
                "`{name}` is said of two moves"
            );
        }
    }
}

/// The joints that an instructor is most often asked to spare (common practice, no source).
#[test]
fn what_loads_a_joint_has_an_option_that_spares_it() {
    for load in [Load::Wrist, Load::Knee, Load::Shoulder, Load::LowBack] {
        let what = format!("load the {} with no option that spares them", load.label());
        assert_each(&what, |m| {
            !m.loads.contains(&load) || m.easier.iter().any(|option| option.spares.contains(&load))
        });
    }
}

#[test]
fn an_option_spares_only_what_its_move_loads() {
    assert_each("an option spares what the move does not load", |m| {
        let options = m.easier.iter().chain(&m.harder);
        options
            .flat_map(|option| &option.spares)
            .all(|load| m.loads.contains(load))
    });
}

/// Cues short enough to be said while moving: at 140 words a minute six words take 2.6 s.
#[test]
fn what_is_said_is_short() {
    assert_each("not two or three form cues", |m| {
        (2..=3).contains(&m.form.len())
    });
    assert_each("a form cue of more than six words", |m| {
        m.form.iter().all(|cue| words(cue) <= 6)
    });
    assert_each("a call of more than three words", |m| {
        (1..=3).contains(&words(&m.call))
    });
}

#[test]
fn energy_codes_are_those_of_the_compendium() {
    assert!(
        COMPENDIUM_2024
            .iter()
            .all(|(code, met)| code.len() == 5 && (1.0..=12.0).contains(met))
    );
    assert!(
        COMPENDIUM_2024.is_sorted_by(|a, b| a.0 < b.0),
        "each code stands once, in order"
    );
    assert_each("an energy code that is not in the table", |m| {
        m.energy
            .as_deref()
            .is_some_and(|code| COMPENDIUM_2024.iter().any(|(known, _)| *known == code))
    });
}

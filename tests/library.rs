//! The built-in library against what an instructor and a physiotherapist need of it, and against
//! the table of energy costs. Rules without a source beside them are common practice.

use std::collections::HashMap;
use std::fmt::Write as _;

use matside::session::{
    Action, Edition, Impact, Library, Load, Move, Muscle, Pick, Position, Region, Room, Sides, Use,
    Version, choose, edition, is_at_hand, met,
};

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

/// The same of the 2011 edition (Ainsworth et al., MSSE 43(8):1575), from memory: lying, sitting and
/// standing quietly.
const COMPENDIUM_2011: &[(&str, f64)] = &[("07011", 1.3), ("07021", 1.3), ("07040", 1.3)];

fn words(text: &str) -> usize {
    text.split_whitespace().count()
}

/// The words of a text in small letters, without what stands around them.
fn bare(text: &str) -> Vec<String> {
    let ends = |c: char| !c.is_alphanumeric() && c != '\'';
    (text.to_lowercase().split([' ', '-']))
        .map(|word| word.trim_matches(ends).to_owned())
        .collect()
}

/// Tells of everything that does not hold, all at once.
fn assert_none(what: &str, failing: impl IntoIterator<Item = String>) {
    let failing: Vec<String> = failing.into_iter().collect();
    assert!(failing.is_empty(), "{what}:\n{}", failing.join("\n"));
}

/// Tells of all the moves for which something does not hold.
fn assert_each(what: &str, holds: impl Fn(&Move) -> bool) {
    let library = Library::builtin();
    let failing = library.iter().filter(|m| !holds(m));
    assert_none(what, failing.map(|m| m.id.clone()));
}

/// Tells of all the options for which something does not hold.
fn assert_options(what: &str, holds: impl Fn(&Move, Version) -> bool) {
    let library = Library::builtin();
    let mut failing = Vec::new();
    for of in &library {
        for (pick, option) in of.options() {
            if !holds(of, Version::of(of, Some(pick))) {
                failing.push(format!("{}: {pick:?} {}", of.id, option.call));
            }
        }
    }
    assert_none(what, failing);
}

/// Every text of a move that is said.
fn said(of: &Move) -> Vec<&str> {
    let mut texts = vec![of.call.as_str(), &of.setup];
    texts.extend(of.form.iter().map(String::as_str));
    texts.extend(of.breath.as_deref());
    texts.extend(of.fault.as_ref().map(|fault| fault.say.as_str()));
    for (_, option) in of.options() {
        texts.push(&option.call);
        texts.extend(option.setup.as_deref());
        texts.extend(option.form.iter().map(String::as_str));
    }
    texts
}

#[test]
fn there_are_moves_enough_for_every_place_and_part() {
    let library = Library::builtin();
    assert!(library.len() >= 170, "{} moves", library.len());
    let any = |what: &str, holds: &dyn Fn(&Move) -> bool| {
        assert!(library.iter().any(|m| holds(m)), "no move for {what}");
    };
    for &position in Position::ALL {
        any(position.label(), &|m| m.position == position);
    }
    for &region in Region::ALL {
        any(region.label(), &|m| m.regions.contains(&region));
    }
    for &muscle in Muscle::ALL {
        any(muscle.label(), &|m| m.muscles.contains(&muscle));
    }
    for &load in Load::ALL {
        any(load.label(), &|m| {
            Version::of(m, None).loads().contains(&load)
        });
    }
    for &action in Action::ALL {
        any(action.label(), &|m| m.action == Some(action));
    }
    assert_each("no action", |m| m.action.is_some());
    assert_each("no muscle", |m| !m.muscles.is_empty());
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

#[test]
fn an_option_never_adds_what_it_spares() {
    assert_options("it spares what the move does not load", |m, version| {
        let loads = Version::of(m, None).loads();
        let option = version.option().expect("an option");
        option.spares.iter().all(|load| loads.contains(load))
    });
    assert_options("it loads what it says it spares", |_, version| {
        let (option, loads) = (version.option().expect("an option"), version.loads());
        option.spares.iter().all(|load| !loads.contains(load))
    });
    assert_options("it says twice what it loads", |m, version| {
        let loads = Version::of(m, None).loads();
        let option = version.option().expect("an option");
        option.adds.iter().all(|load| !loads.contains(load))
    });
    assert_options("another move that was not found", |_, version| {
        let named = version.option().expect("an option").stand_in.is_some();
        named == version.stand_in().is_some() && !version.call().is_empty()
    });
}

/// Words that give away what a harder version brings.
#[test]
fn a_harder_version_says_what_it_adds() {
    let signs: [(&[&str], &[Load]); 9] = [
        (&["jump", "jumps", "hop", "hops", "jumping"], &[Load::Jump]),
        (&["overhead"], &[Load::Overhead]),
        (&["heels lifted", "toes"], &[Load::Ankle]),
        (&["one leg", "knee up"], &[Load::Balance]),
        (
            &[
                "hold up",
                "hold each",
                "hold open",
                "hold halfway",
                "hold wide",
                "pause",
                "hover",
            ],
            &[Load::Isometric],
        ),
        (
            &["squat", "sit low", "bend knees", "stay low"],
            &[Load::Knee],
        ),
        (&["push-up"], &[Load::Elbow, Load::Shoulder]),
        (&["arms out", "arms wide", "overhead"], &[Load::Shoulder]),
        (&["turn the head"], &[Load::Neck]),
    ];
    // The sign is there, and the thing is not: counted pauses of a moving leg, and the like.
    let sound = [
        ("dead-bug", "overhead"),
        ("hip-stretch", "toes"),
        ("heel-to-toe-stand", "hover"),
        ("backward-walk", "hover"),
        ("bridge", "toes"),
        ("single-leg-hinge", "knee up"),
        ("hamstring-stretch", "hold"),
        ("v-sit", "toes"),
        ("toe-tap", "toes"),
        ("prone-glute-squeeze", "one leg"),
    ];
    let library = Library::builtin();
    let mut failing = Vec::new();
    for of in &library {
        for n in 0..of.harder.len() {
            let version = Version::of(of, Some(Pick::Harder(n)));
            let call = format!(" {} ", version.call().to_lowercase().replace(',', ""));
            for (words, loads) in &signs {
                let found = words
                    .iter()
                    .find(|word| call.contains(&format!(" {word} ")));
                let Some(word) = found.filter(|word| !sound.contains(&(of.id.as_str(), word)))
                else {
                    continue;
                };
                let missing = loads.iter().find(|load| !version.loads().contains(load));
                if let Some(load) = missing {
                    failing.push(format!("{}:{call}({word}) without {load:?}", of.id));
                }
            }
        }
    }
    assert_none("a harder version that does not say what it adds", failing);
}

/// The joints and places that an instructor is most often asked to spare.
#[test]
fn what_loads_a_joint_has_a_version_that_spares_it() {
    for load in Load::ALL {
        let what = format!("no version without {}", load.label());
        assert_each(&what, |m| {
            let used = Use::plain(std::sync::Arc::new(m.clone()));
            let limits = [*load];
            let room = Room {
                limits: &limits,
                things: &[],
            };
            let choice = choose(&used, &room);
            choice.met.is_empty() || choice.spare.is_some()
        });
    }
}

/// The sets of up to three limits for which something is missing, each told once: those with a set
/// that stands in the list already are left out.
fn least(lacks: impl Fn(&[Load]) -> bool) -> Vec<Vec<Load>> {
    let mut least: Vec<Vec<Load>> = Vec::new();
    let mut sets: Vec<Vec<Load>> = vec![Vec::new()];
    for _ in 0..3 {
        let grown = sets.iter().flat_map(|set| {
            let after = Load::ALL.iter().filter(|load| Some(*load) > set.last());
            after.map(|load| [set.as_slice(), &[*load]].concat())
        });
        sets = grown
            .filter(|set| {
                !least
                    .iter()
                    .any(|l| l.iter().all(|load| set.contains(load)))
            })
            .collect();
        least.extend(sets.iter().filter(|set| lacks(set)).cloned());
    }
    least
}

/// A line for each move with the sets for which something is missing.
fn missing(lacks: impl Fn(&Use, &Room) -> bool) -> String {
    let mut list = String::new();
    for of in &Library::builtin() {
        let used = Use::plain(of.clone());
        let sets = least(|limits| {
            lacks(
                &used,
                &Room {
                    limits,
                    things: &[],
                },
            )
        });
        let words = |set: &Vec<Load>| set.iter().map(|load| load.word()).collect::<Vec<_>>();
        let sets: Vec<String> = sets.iter().map(|set| words(set).join("+")).collect();
        if !sets.is_empty() {
            writeln!(list, "{}: {}", of.id, sets.join(" ")).expect("a text");
        }
    }
    list
}

/// Compares a list with the one beside this file. `MATSIDE_BLESS=1` writes it anew; read it.
#[expect(
    clippy::disallowed_methods,
    reason = "the list is written when it is blessed"
)]
fn assert_named(name: &str, list: &str) {
    let path = format!("{}/tests/library/{name}", env!("CARGO_MANIFEST_DIR"));
    if std::env::var_os("MATSIDE_BLESS").is_some() {
        std::fs::write(&path, list).expect("written");
    }
    let named = std::fs::read_to_string(&path).expect("the list");
    assert!(list == named, "another list:\n{list}");
}

/// For every pair and triple of limits a move has a clean version, or it is named in
/// `tests/library/no-version.txt`.
#[test]
fn for_all_limits_there_is_a_clean_version_or_it_is_named() {
    let lacks = |used: &Use, room: &Room| {
        let choice = choose(used, room);
        !choice.met.is_empty() && choice.spare.is_none()
    };
    assert_named("no-version.txt", &missing(lacks));
}

/// Where the clean version asks for a thing that the move does not, nobody may have brought it:
/// those are named in `tests/library/needs-a-thing.txt`.
#[test]
fn a_clean_version_needs_nothing_or_it_is_named() {
    let lacks = |used: &Use, room: &Room| {
        let spare = choose(used, room).spare;
        spare.is_some_and(|version| !is_at_hand(version, used, room))
    };
    assert_named("needs-a-thing.txt", &missing(lacks));
}

/// The lists above tell what is missing, if anything is.
#[test]
fn what_is_missing_is_told_once() {
    let needs = |limits: &[Load]| {
        limits.contains(&Load::Wrist) || [Load::Knee, Load::Hip].iter().all(|l| limits.contains(l))
    };
    assert_eq!(
        least(needs),
        [vec![Load::Wrist], vec![Load::Hip, Load::Knee]]
    );
}

/// Easier for everybody: less effort, and the gentlest last. What only spares a joint that has
/// nothing to do with the effort stands in `instead`.
#[test]
fn a_ladder_of_ease_is_one() {
    let place_only = [
        Load::Wrist,
        Load::Neck,
        Load::Supine,
        Load::Prone,
        Load::HeadDown,
        Load::Kneeling,
    ];
    assert_options("easier for a joint alone", |_, version| {
        let spares = version.spares();
        !matches!(version.pick(), Some(Pick::Easier(_)))
            || spares.is_empty()
            || version.loads().is_empty()
            || spares.iter().any(|load| !place_only.contains(load))
    });
    let effort = |version: Version| version.energy().and_then(met).expect("an energy code");
    let library = Library::builtin();
    let mut failing = Vec::new();
    for of in &library {
        let mut above = Version::of(of, None);
        for n in 0..of.easier.len() {
            let rung = Version::of(of, Some(Pick::Easier(n)));
            let climbs = effort(rung) > effort(above)
                || (rung.impact() == Impact::High && above.impact() != Impact::High);
            let from_wall = above.position() == Position::Wall
                && !rung.position().is_upright()
                && rung.position() != Position::Seated;
            if climbs || from_wall {
                failing.push(format!("{}: {} after {}", of.id, rung.call(), above.call()));
            }
            above = rung;
        }
        for n in 0..of.harder.len() {
            let rung = Version::of(of, Some(Pick::Harder(n)));
            if effort(rung) < effort(Version::of(of, None)) {
                failing.push(format!("{}: {} is no harder", of.id, rung.call()));
            }
        }
    }
    assert_none("a ladder that goes the wrong way", failing);
}

/// Review of the texts: a body is told what to do, and the thing is called by one name.
#[test]
fn nothing_that_is_said_is_negative_or_has_two_meanings() {
    let negative = [
        "no", "not", "never", "don't", "doesn't", "avoid", "without", "cannot", "can't",
    ];
    let double = [
        "seat", "butt", "bum", "lay", "fetch", "grab", "drop", "swap",
    ];
    let library = Library::builtin();
    let mut failing = Vec::new();
    for of in &library {
        for text in said(of) {
            let bare = bare(text);
            let found = negative
                .iter()
                .chain(&double)
                .find(|word| bare.iter().any(|b| b == *word));
            if let Some(word) = found {
                failing.push(format!("{}: `{word}` in `{text}`", of.id));
            }
            if text.contains("mat down") || text.contains("put down") || !text.is_ascii() {
                failing.push(format!("{}: `{text}`", of.id));
            }
        }
    }
    assert_none("words", failing);
}

/// A held effort raises the blood pressure, the more with the breath held: the first cue is to
/// breathe.
#[test]
fn what_is_held_has_its_breath_first() {
    let breathes = |cue: &String| {
        let words = bare(cue);
        ["breath", "breathe", "breathing", "breaths", "exhale", "hum"]
            .iter()
            .any(|sign| words.iter().any(|word| word == sign))
    };
    assert_each("held, and no breath in the first cue", |m| {
        !Version::of(m, None).loads().contains(&Load::Isometric) || breathes(&m.form[0])
    });
    assert_options("held, and no breath in the first cue", |_, version| {
        let form = version.form();
        matches!(version.pick(), Some(Pick::Harder(_)))
            || !version.loads().contains(&Load::Isometric)
            || form.first().is_none_or(breathes)
    });
    assert_each("nothing said of the breath", |m| {
        m.breath.is_some() || m.form.iter().any(breathes) || m.action == Some(Action::Travel)
    });
}

/// A position or a thing of its own needs words of its own.
#[test]
fn a_version_elsewhere_says_how_to_get_there() {
    assert_options("another position or thing, and no set-up", |m, version| {
        let option = version.option().expect("an option");
        let elsewhere = option.position.is_some_and(|p| p != m.position);
        version.setup().is_some() || !elsewhere && option.equipment.is_empty()
    });
    assert_options("another position than its set-up tells", |_, version| {
        version.position() != Position::Wall
            || version.setup().is_none_or(|setup| setup.contains("wall"))
    });
}

/// What one arm or one leg does, the other does too.
#[test]
fn what_is_one_sided_has_its_other_side() {
    let signs = [
        "one arm",
        "one leg",
        "change at half",
        "from half",
        "then change",
        "roll over",
        "one foot forward",
        "one foot ahead",
        "one foot a long step",
    ];
    let is_sided = |text: &str| signs.iter().any(|sign| text.to_lowercase().contains(sign));
    assert_each("one-sided and not shared", |m| {
        m.sides != Sides::Both || !is_sided(&m.setup)
    });
    assert_options("one-sided and not shared", |_, version| {
        version.sides() != Sides::Both
            || !(is_sided(version.call()) || version.setup().is_some_and(is_sided))
    });
    // The last words of a set-up of one side say what comes at half.
    assert_each("a hold of each side that does not say so", |m| {
        let held = m.action == Some(Action::Stretch) && m.sides == Sides::Each;
        !held || is_sided(&m.setup)
    });
}

/// The thing to do and where it goes.
#[test]
fn a_set_up_says_the_action_and_its_direction() {
    let verbs = [
        "walk", "step", "lift", "spring", "fold", "rocks", "tap", "taps", "set", "cross", "march",
        "jump", "run", "sweeps", "curls", "curl", "flick", "punch", "sit", "squeeze", "bend",
        "hips", "rise", "tip", "elbow", "press", "slide", "stand", "pull", "open", "close",
        "circle", "round", "lower", "turn", "draw", "roll", "reach", "reaches", "push", "breathe",
        "hold", "steps", "swing", "hike", "up", "glide", "dip", "drive", "drives", "float", "lean",
        "tuck", "hinge", "kneel", "flutter", "tap,", "lifts", "presses", "opens", "slides", "hand",
        "sink", "catch", "clasp", "thread", "knees", "be",
    ];
    let ways = [
        "up", "down", "back", "forward", "forwards", "out", "in", "side", "sideways", "wide",
        "over", "overhead", "behind", "ahead", "across", "round", "around", "away", "apart", "to",
        "together", "off", "other", "into", "tall", "straight", "high", "low", "lower", "change",
        "return", "on", "close", "again", "front", "open", "left", "right", "hold", "long",
        "under", "raise", "returns", "behind.", "along", "at", "let", "from", "stay", "hips",
        "apart.",
    ];
    assert_each("a set-up without an action or its direction", |m| {
        let words = bare(&m.setup);
        let has = |set: &[&str]| words.iter().any(|word| set.contains(&word.as_str()));
        words.len() >= 5 && words.len() <= 17 && has(&verbs) && has(&ways)
    });
}

/// Cues short enough to be said while moving: at 140 words a minute six words take 2.6 s.
#[test]
fn what_is_said_is_short() {
    assert_each("not two or three form cues", |m| {
        (2..=3).contains(&m.form.len())
    });
    assert_each("a form cue of more than six words", |m| {
        let options = m.options().flat_map(|(_, option)| &option.form);
        m.form.iter().chain(options).all(|cue| words(cue) <= 6)
    });
    assert_each("a call of more than three words", |m| {
        (1..=3).contains(&words(&m.call))
    });
    assert_options("an offer of more than six words", |_, version| {
        (1..=6).contains(&words(version.call()))
    });
    assert_each("a breath of more than eight words", |m| {
        m.breath.as_ref().is_none_or(|breath| words(breath) <= 8)
    });
    assert_each("a mend of more than five words", |m| {
        m.fault.as_ref().is_none_or(|fault| words(&fault.say) <= 5)
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
    for (year, table) in [(2024, COMPENDIUM_2024), (2011, COMPENDIUM_2011)] {
        for (code, value) in table {
            assert_eq!(met(code), Some(*value), "{code}");
            assert_eq!(edition(code).map(Edition::year), Some(year), "{code}");
        }
    }
    let known = |code: &str| {
        let mut all = COMPENDIUM_2024.iter().chain(COMPENDIUM_2011);
        all.any(|(known, _)| *known == code)
    };
    assert_each("an energy code that is not in the table", |m| {
        m.energy.as_deref().is_some_and(known)
            && m.options()
                .all(|(_, o)| o.energy.as_deref().is_none_or(known))
    });
}

/// Measured while squatting, raising the heels and pushing up at 10 a minute (Nakagata 2022, JSCR
/// 36(5):1290): 5.4, 2.3 and 7.8 METs. The classes of the codes agree: moderate, light, vigorous.
#[test]
fn the_codes_lie_in_the_class_that_was_measured() {
    let library = Library::builtin();
    let of = |id: &str| library.get(id).and_then(|m| met(m.energy.as_deref()?));
    for (id, class) in [
        ("squat", 3.0..6.0),
        ("heel-raise", 2.0..3.0),
        ("push-up", 6.0..12.0),
    ] {
        assert!(of(id).is_some_and(|met| class.contains(&met)), "{id}");
    }
}

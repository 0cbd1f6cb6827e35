//! Keys against what stands in the file afterwards.

use super::plan::{Plan, Wish};
use super::press::press as press_key;
use crate::app::keys::Key;
use crate::session::Library;
use crate::session::manuscript::Manuscript;

mod hands;
mod keys;
mod lists;
mod suggested;
mod whole;

const CLASS: &str = r#"// mine
Session(
    title: "Tide",
    slot: "30:00", // the room
    equipment: ["mat"],
    parts: [
        Talk(time: 30, say: "Hi."),
        // to begin with
        WarmUp([
            ("march", 45),
            ("arm-circle", "1:00"), // slowly
        ]),
        Block(
            title: "Ebb",
            moves: [
                "squat", // deep
                Use(move: "plank", work: 30),
                "reverse-lunge",
            ],
            pattern: Same(rounds: 3, work: 40, rest: 20),
            recovery: 60,
        ),
        Block(title: "Slack", moves: ["bridge"], pattern: Rounds(work: [40, 35], rest: [20])),
    ],
)
"#;

/// The places of the lines of that class.
const TALK: usize = 1;
const WARM_UP: usize = 2;
const MARCH: usize = 3;
const ARMS: usize = 4;
const EBB: usize = 5;
const SQUAT: usize = 6;
const PLANK: usize = 7;
const LUNGE: usize = 8;
const SLACK: usize = 9;
const BRIDGE: usize = 10;

fn plan(text: &str) -> Plan {
    let library = Library::builtin();
    Plan::new(Manuscript::of("tide.ron", text, &library), &library, true)
}

/// Presses keys: each word is a key by its name, a word after `=` is typed letter by letter, with `_`
/// for a space.
fn press(plan: &mut Plan, keys: &str) -> Vec<Wish> {
    let mut wishes = Vec::new();
    for word in keys.split_whitespace() {
        match word.strip_prefix('=') {
            Some(typed) => {
                for letter in typed.chars() {
                    let key = match letter {
                        '_' => Key::named("space"),
                        letter => Key::named(&letter.to_string()),
                    };
                    wishes.extend(press_key(plan, key.expect("a letter")));
                }
            }
            None => wishes.extend(press_key(plan, Key::named(word).expect(word))),
        }
    }
    wishes
}

fn at(line: usize, keys: &str) -> Plan {
    let mut plan = plan(CLASS);
    plan.chosen = line;
    press(&mut plan, keys);
    plan
}

/// What stands on a line besides blanks.
fn squeezed(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The ids of the moves in the order of the file.
fn moves(plan: &Plan) -> Vec<&str> {
    plan.lines
        .iter()
        .filter_map(|line| line.id.as_deref())
        .collect()
}

/// Every sample, and the classes that have everything in them: the name and the text of each.
fn samples() -> Vec<(String, String)> {
    let root = env!("CARGO_MANIFEST_DIR");
    let files = std::fs::read_dir(format!("{root}/sessions")).expect("the samples");
    let files = files.map(|entry| entry.expect("a file").path());
    let good = ["every-part", "every-round", "together"];
    let good = good.map(|name| format!("{root}/tests/good/{name}.ron").into());
    let mut all: Vec<(String, String)> = files
        .chain(good)
        .map(|path: std::path::PathBuf| {
            let text = std::fs::read_to_string(&path).expect("a text");
            (path.display().to_string(), text)
        })
        .collect();
    all.sort();
    all
}

//! Random classes, written as session files, of every part and pattern.

use std::fmt::Write;
use std::sync::{Arc, OnceLock};

use fastrand::Rng;
use matside::session::{Library, Move, Part, Session};

/// What stands in a class.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Family {
    /// Timed rounds and sections.
    Timed,
    /// Grids.
    Grids,
    /// Counted work and windows.
    Counted,
    /// All of it.
    Mixed,
}

/// What people lie on: once fetched it lies there.
const LIE_ON: &str = "\"mat\"";

/// A move: its place, sides, things and versions.
pub(crate) type Row = (
    &'static str,
    &'static str,
    &'static str,
    [&'static [Option<&'static str>]; 3],
);

/// Seven moves, with where the body is in their easier, harder and other versions if elsewhere. A
/// towel is fetched each time.
pub(crate) const MOVES: [Row; 7] = [
    (
        "Standing",
        "Both",
        "",
        [&[None, Some("Wall")], &[None], &[]],
    ),
    (
        "Standing",
        "Each",
        "",
        [&[Some("Supine"), None], &[], &[None, Some("Wall")]],
    ),
    (
        "HandsAndFeet",
        "Both",
        LIE_ON,
        [&[Some("Standing")], &[None, None], &[]],
    ),
    (
        "Supine",
        "Each",
        LIE_ON,
        [&[], &[Some("HandsAndFeet")], &[Some("Standing"), None]],
    ),
    (
        "Standing",
        "Alternating",
        "\"band\"",
        [&[None], &[Some("Wall")], &[]],
    ),
    ("Wall", "Both", "", [&[], &[], &[]]),
    (
        "Supine",
        "Both",
        "\"towel\"",
        [&[Some("HandsAndFeet")], &[], &[]],
    ),
];

fn versions(all: &[Option<&str>]) -> String {
    let one = |(n, position): (usize, Option<&str>)| match position {
        Some(position) => format!("(call: \"way {n}\", position: {position})"),
        None => format!("(call: \"way {n}\")"),
    };
    let all: Vec<String> = all.iter().copied().enumerate().map(one).collect();
    all.join(", ")
}

/// The title and the moves.
fn head() -> String {
    let mut text = String::from("Session(title: \"Any Tide\", ");
    text.push_str("moves: [");
    for (n, (position, sides, things, ways)) in MOVES.iter().enumerate() {
        let [easier, harder, instead] = ways.map(versions);
        let _ = write!(
            text,
            "Move(id: \"m{n}\", name: \"Move {n}\", call: \"em {n}\", position: {position}, \
             regions: [Core], muscles: [Lats], loads: [], impact: Low, sides: {sides}, \
             equipment: [{things}], energy: \"02022\", setup: \"\", form: [], easier: [{easier}], \
             harder: [{harder}], instead: [{instead}]), "
        );
    }
    text
}

/// The moves themselves.
pub(crate) fn moves() -> &'static [Arc<Move>] {
    static ALL: OnceLock<Vec<Arc<Move>>> = OnceLock::new();
    ALL.get_or_init(|| {
        let steps: Vec<String> = (0..MOVES.len())
            .map(|n| format!("(\"m{n}\", 30)"))
            .collect();
        let session = read(&format!(
            "{}], parts: [WarmUp([{}])])",
            head(),
            steps.join(", ")
        ));
        let Part::WarmUp(steps) = &session.parts[0] else {
            panic!("a warm-up");
        };
        steps.iter().map(|step| step.turn.of.clone()).collect()
    })
}

/// The text of a class of a family.
pub(crate) fn class(rng: &mut Rng, family: Family) -> String {
    let mut text = head();
    text.push_str("], parts: [");
    if rng.bool() {
        let _ = write!(text, "Talk(time: {}, say: \"Hello.\"), ", rng.u32(3..40));
    }
    if rng.u8(..3) == 0 {
        let _ = write!(text, "WarmUp([{}]), ", steps(rng));
    }
    for _ in 0..rng.u32(1..4) {
        match rng.u8(..6) {
            0 => drop(write!(text, "Ready(time: {}), ", rng.u32(1..25))),
            1 => drop(write!(
                text,
                "Recover(time: {}, say: \"Water.\"), ",
                rng.u32(5..70)
            )),
            _ => {}
        }
        text.push_str(&block(rng, family));
    }
    if rng.u8(..3) == 0 {
        let _ = write!(text, "CoolDown([{}]), ", steps(rng));
    }
    text.push(']');
    if rng.u8(..4) == 0 {
        let _ = write!(text, ", cueing: Cueing(count: {})", rng.u32(0..6));
    }
    text.push(')');
    text
}

/// The class of a text.
pub(crate) fn read(text: &str) -> Arc<Session> {
    Arc::new(Session::read("random", text, &Library::builtin()).expect(text))
}

fn steps(rng: &mut Rng) -> String {
    let step = |rng: &mut Rng| format!("(\"m{}\", {})", rng.usize(..MOVES.len()), secs(rng));
    let steps: Vec<String> = (0..rng.u32(1..4)).map(|_| step(rng)).collect();
    steps.join(", ")
}

/// Seconds, now and then with a fraction.
fn secs(rng: &mut Rng) -> String {
    match rng.u8(..6) {
        0 => format!("{}.{:03}", rng.u32(1..90), rng.u32(..1000)),
        _ => rng.u32(3..70).to_string(),
    }
}

fn block(rng: &mut Rng, family: Family) -> String {
    let pattern = match (family, rng.u8(..8)) {
        (Family::Grids, 0..=5) | (Family::Mixed, 0 | 1) => "Emom",
        (Family::Counted, 0..=4) | (Family::Mixed, 2 | 3) => "Reps",
        (Family::Counted, 5 | 6) | (Family::Mixed, 4) => "Amrap",
        (_, 0 | 6) => "Rounds",
        _ => "Same",
    };
    let moves: Vec<String> = (0..rng.u32(1..4)).map(|_| place(rng, pattern)).collect();
    let rounds = rng.usize(1..4);
    let list = |rng: &mut Rng| {
        let all: Vec<String> = (0..rounds).map(|_| secs(rng)).collect();
        all.join(", ")
    };
    let rest = match rng.u8(..4) {
        0 => "0".to_owned(),
        _ => rng.u32(1..30).to_string(),
    };
    let inner = match pattern {
        "Emom" => format!("minutes: {}, work: {}", rng.u32(1..6), rng.u32(20..58)),
        "Amrap" => format!("time: {}", rng.u32(30..400)),
        "Reps" => format!("rounds: {rounds}, rest: {rest}, pace: {}", rng.u32(1..4)),
        "Rounds" if rng.bool() => format!("work: [{}], rest: [{}]", list(rng), list(rng)),
        "Rounds" => format!("work: [{}], rest: [{rest}]", list(rng)),
        _ => format!("rounds: {rounds}, work: {}, rest: {rest}", secs(rng)),
    };
    let mut text = format!(
        "Block(moves: [{}], pattern: {pattern}({inner})",
        moves.join(", ")
    );
    if !matches!(pattern, "Emom" | "Amrap") {
        if rng.u8(..3) == 0 {
            let _ = write!(
                text,
                ", recovery: {}",
                if rng.bool() { rng.u32(10..60) } else { 0 }
            );
        }
        if rng.bool() {
            text.push_str(", order: ByMove");
        }
    }
    text.push_str("), ");
    text
}

fn place(rng: &mut Rng, pattern: &str) -> String {
    let id = rng.usize(..MOVES.len());
    match pattern {
        "Reps" => format!("Use(move: \"m{id}\", reps: {})", rng.u32(3..16)),
        "Rounds" | "Same" if rng.u8(..5) == 0 => {
            format!(
                "Use(move: \"m{id}\", work: {}, rest: {})",
                secs(rng),
                rng.u32(1..20)
            )
        }
        "Emom" if rng.u8(..5) == 0 => format!("Use(move: \"m{id}\", work: {})", rng.u32(10..59)),
        _ => format!("\"m{id}\""),
    }
}

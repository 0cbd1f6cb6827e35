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
pub(crate) fn head() -> String {
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
                "Recover(time: {}, say: \"Water.\"{}), ",
                rng.u32(5..70),
                if rng.u8(..3) == 0 {
                    ", move: \"m4\""
                } else {
                    ""
                }
            )),
            _ => {}
        }
        match rng.u8(..8) {
            0 => {
                let inner = block_behind(&text, rng, family);
                let between = if rng.bool() {
                    ", between: Recover(time: 25)"
                } else {
                    ""
                };
                let _ = write!(
                    text,
                    "Repeat(times: {}, parts: [{inner}]{between}), ",
                    rng.u32(1..4)
                );
            }
            1 => drop(write!(
                text,
                "Free(time: {}, title: \"Play\"), ",
                rng.u32(5..90)
            )),
            _ => {
                let next = block_behind(&text, rng, family);
                text.push_str(&next);
            }
        }
    }
    if rng.u8(..4) == 0 {
        // A little later than all before it is planned to take.
        let so_far = matside::plan::Timeline::of(&read(&format!("{text}])"))).total();
        let mark = so_far.secs_ceil() + rng.u64(1..60);
        let _ = write!(text, "Recover(time: Until({mark})), ");
        let next = block_behind(&text, rng, family);
        text.push_str(&next);
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
    let step = |rng: &mut Rng| {
        let id = rng.usize(..MOVES.len());
        match rng.u8(..5) {
            0 => format!("Use(move: \"m{id}\", reps: {})", rng.u32(2..9)),
            _ => format!("(\"m{id}\", {})", secs(rng)),
        }
    };
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

/// A block that can stand behind a beginning: a cap may be too short for what is in it.
pub(crate) fn block_behind(text: &str, rng: &mut Rng, family: Family) -> String {
    loop {
        let block = block(rng, family);
        let whole = format!("{text}{block}])");
        if Session::read("random", &whole, &Library::builtin()).is_ok() {
            return block;
        }
    }
}

fn block(rng: &mut Rng, family: Family) -> String {
    let pattern = match (family, rng.u8(..8)) {
        (Family::Grids, 5) | (Family::Mixed, 1) => "Whole",
        (Family::Grids, 0..=4) | (Family::Mixed, 0) => "Emom",
        (Family::Counted, 0..=4) | (Family::Mixed, 2 | 3) => "Reps",
        (Family::Counted, 5 | 6) | (Family::Mixed, 4) => "Amrap",
        (_, 0 | 6) => "Rounds",
        _ => "Same",
    };
    let rounds = rng.usize(1..4);
    let count = rng.usize(1..4);
    let windows = rng.usize(1..6);
    let of = if matches!(pattern, "Emom" | "Whole") {
        windows.div_ceil(count)
    } else {
        rounds
    };
    let moves: Vec<String> = (0..count).map(|_| place(rng, pattern, of)).collect();
    let list = |rng: &mut Rng| {
        let all: Vec<String> = (0..rounds).map(|_| secs(rng)).collect();
        all.join(", ")
    };
    let rest = match rng.u8(..4) {
        0 => "0".to_owned(),
        _ => rng.u32(1..30).to_string(),
    };
    let inner = match pattern {
        "Emom" if rng.u8(..3) == 0 => {
            let every = rng.u32(59..120);
            format!(
                "times: {windows}, every: {every}, work: {}",
                rng.u32(20..58)
            )
        }
        "Emom" => format!("minutes: {windows}, work: {}", rng.u32(20..58)),
        "Whole" if rng.bool() => format!("times: {windows}, every: {}", rng.u32(60..130)),
        "Whole" => format!("minutes: {windows}"),
        "Amrap" => format!("time: {}", rng.u32(30..400)),
        "Reps" if rng.u8(..3) == 0 => {
            let cap = rng.u32(40..500);
            format!(
                "rounds: {rounds}, rest: {rest}, pace: {}, cap: {cap}",
                rng.u32(1..4)
            )
        }
        "Reps" => format!("rounds: {rounds}, rest: {rest}, pace: {}", rng.u32(1..4)),
        "Rounds" if rng.bool() => format!("work: [{}], rest: [{}]", list(rng), list(rng)),
        "Rounds" => format!("work: [{}], rest: [{rest}]", list(rng)),
        _ => format!("rounds: {rounds}, work: {}, rest: {rest}", secs(rng)),
    };
    let written = if pattern == "Whole" { "Emom" } else { pattern };
    let mut text = format!(
        "Block(moves: [{}], pattern: {written}({inner})",
        moves.join(", ")
    );
    if !matches!(written, "Emom" | "Amrap") {
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
    if pattern != "Amrap" && rng.u8(..4) == 0 {
        let _ = write!(text, ", between: \"m{}\"", rng.usize(..MOVES.len()));
    }
    if !matches!(written, "Emom" | "Amrap") && rng.u8(..4) == 0 {
        text.push_str(", last_rest: true");
    }
    text.push_str("), ");
    text
}

fn place(rng: &mut Rng, pattern: &str, rounds: usize) -> String {
    let id = rng.usize(..MOVES.len());
    let by_round = |rng: &mut Rng, from: std::ops::Range<u32>| {
        let all: Vec<String> = (0..rounds)
            .map(|_| rng.u32(from.clone()).to_string())
            .collect();
        all.join(", ")
    };
    match pattern {
        "Reps" if rng.u8(..4) == 0 => {
            let reps = by_round(rng, 3..16);
            format!("Use(move: \"m{id}\", reps: [{reps}], effort: 7)")
        }
        "Whole" if rng.bool() => format!("Use(move: \"m{id}\", work: {})", rng.u32(10..59)),
        "Reps" if rng.u8(..5) == 0 => format!("Use(move: \"m{id}\", work: {})", secs(rng)),
        "Rounds" | "Same" | "Emom" if rng.u8(..5) == 0 => {
            let (work, other) = (by_round(rng, 10..59), rng.usize(..MOVES.len()));
            let both = if rounds > 1 && rng.bool() {
                format!("[\"m{id}\", \"m{other}\"]")
            } else {
                format!("\"m{id}\"")
            };
            format!("Use(move: {both}, work: [{work}], reps: 8)")
        }
        "Reps" | "Whole" => format!("Use(move: \"m{id}\", reps: {})", rng.u32(3..16)),
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

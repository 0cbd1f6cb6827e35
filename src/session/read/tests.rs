//! Good files and what they come to; bad ones stand in `tests/bad`.

use std::fmt::Write as _;

use super::super::model::{Order, Part, Pattern};
use super::super::moves::Pick;
use super::super::terms::{Action, Impact, Load, Muscle, Position, Region, Side, Sides};
use super::super::{Cueing, Faults, Library, Session};
use super::extent::Extent;
use crate::time::Span;

/// A small library: the reader's rules do not hang on the built-in one.
const MOVES: &str = include_str!("../../../tests/good/library.ron");
/// The class of the written agreement on the file.
const TIDE: &str = include_str!("../../../tests/good/tide-line.ron");

fn library() -> Library {
    Library::default().with(Library::read("library.ron", MOVES).expect("good"))
}

fn read(text: &str) -> Result<Session, Faults> {
    Session::read("t.ron", text, &library())
}

fn good(parts: &str) -> Vec<Part> {
    let text = format!("(title: \"T\", parts: [{parts}])");
    read(&text)
        .unwrap_or_else(|faults| panic!("{faults}"))
        .parts
}

fn block(text: &str) -> super::super::model::Block {
    match good(text).pop() {
        Some(Part::Block(block)) => block,
        other => panic!("{other:?}"),
    }
}

#[test]
fn the_example_of_the_agreement_is_read_whole() {
    let tide = read(TIDE).unwrap_or_else(|faults| panic!("{faults}"));
    assert_eq!(tide.title, "Tide Line");
    assert_eq!(tide.slot, Some(Span::from_secs(45 * 60)));
    assert_eq!(tide.limits, [Load::Wrist]);
    assert_eq!(tide.equipment, ["mat"]);
    assert_eq!(tide.cueing, Cueing::default());
    assert_eq!(tide.parts.len(), 7);
    let Part::WarmUp(steps) = &tide.parts[1] else {
        panic!("a warm-up")
    };
    let times: Vec<u64> = steps.iter().map(|step| step.length().secs_ceil()).collect();
    assert_eq!(times, [60, 45, 45]);
    let Part::Block(ebb) = &tide.parts[3] else {
        panic!("a block")
    };
    assert_eq!(ebb.title.as_deref(), Some("Ebb"));
    assert_eq!(ebb.moves[2].moves()[0].note.as_deref(), Some("long steps"));
    assert_eq!(ebb.recovery, Some(Span::from_secs(45)));
    let secs = |list: &[u64]| list.iter().map(|s| Span::from_secs(*s)).collect::<Vec<_>>();
    let (work, rest) = (secs(&[50, 40, 30]), secs(&[25, 20, 15]));
    assert_eq!(ebb.pattern, Pattern::Rounds { work, rest });
    let Part::Block(flow) = &tide.parts[5] else {
        panic!("a block")
    };
    assert_eq!(flow.order, Order::ByMove);
}

#[test]
fn a_move_left_short_has_the_defaults_of_the_agreement() {
    let text = "[(id: \"a-1\", name: \"A one\", position: Seated, regions: [Core])]";
    let one = Library::read("m", text).expect("good").remove(0);
    assert_eq!((one.call.as_str(), one.sides), ("A one", Sides::Both));
    assert_eq!(one.regions, [Region::Core]);
    assert_eq!(one.impact, super::super::Impact::None);
    assert!(one.energy.is_none() && one.setup.is_empty() && one.form.is_empty());
}

#[test]
fn names_of_structs_comments_and_some_may_stand_or_not() {
    let plain = good("Ready(time: 15)");
    for text in [
        "Ready(time: \"0:15\")",
        "Ready(time: 15.0,)",
        "/* a */ Ready /* b */ ( /* c */ time /* d */ : /* e */ Some(15) /* f */ ) // g\n",
        "Ready(time: \"0:1\\u{35}\")",
        "Ready(time: r#\"0:15\"#)",
    ] {
        assert_eq!(good(text), plain, "{text}");
    }
    for text in [
        "\u{feff}Session(title: \"T\", parts: [Ready(time: 15)]) // no line break after it",
        "(parts: [Ready(time: 15)], cueing: None, slot: None, title: \"T\",)",
        "Session(title: \"T\", cueing: Cueing(), moves: [], limits: [Knee, Knee], parts: [Ready(time: 15)])",
    ] {
        assert_eq!(read(text).map(|s| s.parts).as_ref(), Ok(&plain), "{text}");
    }
}

#[test]
fn one_rest_stands_for_all_rounds() {
    let block = block("Block(moves: [\"squat\"], pattern: Rounds(work: [30, 20], rest: [10]))");
    let secs = Span::from_secs;
    let (work, rest) = (vec![secs(30), secs(20)], vec![secs(10), secs(10)]);
    assert_eq!(block.pattern, Pattern::Rounds { work, rest });
}

#[test]
fn a_use_changes_what_its_pattern_lets_it_change() {
    let timed = block(
        "Block(moves: [Use(move: \"plank\", work: 20, rest: 0, easier: 2, note: \"n\"), (move: \"squat\", harder: 1)],
               pattern: Same(rounds: 1, work: 30, rest: 10))",
    );
    assert_eq!(timed.moves[0].moves()[0].pick, Some(Pick::Easier(1)));
    assert_eq!(timed.moves[0].moves()[0].rest, Some(Span::ZERO));
    assert_eq!(timed.moves[1].moves()[0].pick, Some(Pick::Harder(0)));
    let counted =
        block("Block(moves: [Use(move: \"squat\", reps: 12)], pattern: Reps(rounds: 2, rest: 30))");
    let pace = Span::from_secs(3);
    let (rounds, rest) = (2, Span::from_secs(30));
    assert_eq!(
        counted.pattern,
        Pattern::Reps {
            rounds,
            rest,
            pace,
            cap: None
        }
    );
    assert_eq!(counted.moves[0].moves()[0].reps, Some(12));
    let amrap = block(
        "Block(moves: [Use(move: \"squat\", reps: 12), \"plank\"], pattern: Amrap(time: 600))",
    );
    assert_eq!(amrap.moves[0].moves()[0].reps, Some(12));
    let Part::WarmUp(steps) = &good("WarmUp([(Use(move: \"squat\", note: \"slow\"), 60)])")[0]
    else {
        panic!()
    };
    assert_eq!(steps[0].turn.note.as_deref(), Some("slow"));
}

#[test]
fn a_move_of_the_file_hides_the_one_of_the_library() {
    let text = "(title: \"T\", moves: [(id: \"squat\", name: \"Chair\", position: Seated, regions: [Lower])],
                 parts: [WarmUp([(\"squat\", 10)])])";
    let session = read(text).expect("good");
    let Part::WarmUp(steps) = &session.parts[0] else {
        panic!()
    };
    assert_eq!(steps[0].turn.of.name, "Chair");
    assert_eq!(
        library().get("squat").map(|m| m.name.as_str()),
        Some("Squat")
    );
}

/// Totals of published formats, rests between works only: Tabata et al. 1996 (20/10 x 7 and, as
/// Emberts et al. 2013, x 8), Helgerud et al. 2007 (4 x 4 min), Klika & Jordan 2013 (12 x 30/10,
/// and twice), the definition of EMOM in `PeerJ` 19265. The others follow from the file's rules.
/// Every field of a version, and of a move since versions have them.
#[test]
fn a_version_is_read_with_all_that_it_says() {
    let text = include_str!("../../../tests/good/versions.ron");
    let class = read(text).unwrap_or_else(|faults| panic!("{faults}"));
    assert_eq!(class.limits, [Load::Jump, Load::Kneeling, Load::Twist]);
    let Part::WarmUp(steps) = &class.parts[0] else {
        panic!("a warm-up")
    };
    let of = &steps[0].turn.of;
    assert_eq!(
        (of.action, of.lead),
        (Some(Action::Travel), Some(Side::Left))
    );
    assert_eq!(of.breath.as_deref(), Some("out as you land"));
    let fault = of.fault.as_ref().map(|f| (f.see.as_str(), f.say.as_str()));
    assert_eq!(fault, Some(("loud landings", "land softer")));
    assert_eq!(of.muscles, [Muscle::HipFlexors, Muscle::DeepCore]);
    let step = &of.easier[0];
    assert_eq!(
        (step.impact, step.energy.as_deref()),
        (Some(Impact::Low), Some("02005"))
    );
    assert_eq!(step.form, ["Roll through the foot"]);
    let one = &of.harder[0];
    assert_eq!(
        (one.adds.as_slice(), one.sides),
        (&[Load::Balance, Load::Ankle][..], Some(Sides::Each))
    );
    assert_eq!(of.easier[1].call, "March", "the call of the other move");
    assert_eq!(of.instead[1].call, "bridges, lying down");
    let Part::Block(block) = &class.parts[1] else {
        panic!("a block")
    };
    let picks: Vec<_> = block
        .moves
        .iter()
        .map(|doing| doing.moves()[0].pick)
        .collect();
    assert_eq!(picks, [Some(Pick::Instead(1)), Some(Pick::Instead(0))]);
    let lying = block.moves[0].moves()[0].version();
    assert_eq!(lying.stand_in().map(|of| of.id.as_str()), Some("bridge"));
    assert_eq!(
        (lying.position(), lying.impact()),
        (Position::Supine, Impact::None)
    );
    assert_eq!(lying.loads(), [Load::Supine], "asked by lying alone");
}

#[test]
fn the_extent_is_that_of_the_expanded_class() {
    let many = |n: usize| vec!["\"squat\""; n].join(",");
    let same = |moves: usize, rounds: u32, work: u32, rest: u32, more: &str| {
        let moves = many(moves);
        format!(
            "Block(moves: [{moves}], pattern: Same(rounds: {rounds}, work: {work}, rest: {rest}){more})"
        )
    };
    for (text, intervals, secs) in [
        (same(1, 7, 20, 10, ""), 13, 200),
        (same(1, 8, 20, 10, ""), 15, 230),
        (same(1, 4, 240, 180, ""), 7, 1500),
        (same(12, 1, 30, 10, ""), 23, 470),
        (same(12, 2, 30, 10, ""), 47, 950),
        (same(4, 8, 20, 10, ", order: ByMove, recovery: 60"), 63, 1100),
        (same(2, 3, 20, 0, ""), 6, 120),
        (same(2, 3, 20, 10, ", recovery: 0"), 9, 150),
        (same(2, 3, 20, 10, ", recovery: 40"), 11, 230),
        (format!("Block(moves: [{}], pattern: Emom(minutes: 15, work: 20))", many(3)), 30, 900),
        (format!("Block(moves: [{}], pattern: Amrap(time: 600))", many(3)), 1, 600),
        ("Block(moves: [Use(move: \"squat\", reps: 10), Use(move: \"plank\", reps: 5, rest: 20)], pattern: Reps(rounds: 2, rest: 15, pace: 2))".into(), 7, 110),
        ("Block(moves: [\"squat\"], pattern: Rounds(work: [10,20,30,20,10], rest: [10,20,30,20,10]))".into(), 9, 170),
        ("Block(moves: [\"squat\", Use(move: \"plank\", work: 5, rest: 1)], pattern: Rounds(work: [30,20], rest: [9,8]), order: ByMove)".into(), 7, 78),
        ("WarmUp([(\"squat\", 30), (\"squat\", 0)])".into(), 1, 30),
    ] {
        let sum = good(&text).iter().map(Extent::of).fold(Extent::default(), Extent::and);
        assert_eq!((sum.intervals, sum.time), (intervals, Span::from_secs(secs)), "{text}");
    }
}

#[test]
fn the_bounds_of_a_class_are_met_and_not_passed() {
    let rounds = |n: u32| {
        format!(
            "(title: \"T\", parts: [Block(moves: [\"squat\"], pattern: Same(rounds: {n}, work: 0.4, rest: 0.01))])"
        )
    };
    assert!(read(&rounds(50_000)).is_ok());
    assert!(read(&rounds(50_001)).is_err());
    assert!(read(&rounds(u32::MAX)).is_err());
    let long = |last: u32| {
        format!("(title: \"T\", parts: [Ready(time: \"11:59:30\"), Ready(time: {last})])")
    };
    assert!(read(&long(30)).is_ok());
    assert!(read(&long(31)).is_err());
}

fn first(text: &str) -> String {
    let faults = read(text).expect_err("bad");
    faults
        .iter()
        .next()
        .map(|fault| fault.message.clone())
        .unwrap_or_default()
}

/// Inputs too large or too odd to lie in a folder; each must be told of, and quickly.
#[test]
fn hostile_texts_are_faults_like_others() {
    for bracket in ["(", "[", "{", "Some(", "a(", "(a:", "/*"] {
        assert!(read(&bracket.repeat(10_000)).is_err(), "{bracket}");
    }
    let deep = format!("(title: {}1{})", "[".repeat(10_000), "]".repeat(10_000));
    assert_eq!(first(&deep), "brackets stand in brackets too deep here");
    assert!(first(&"x".repeat(50 << 20)).contains("50.0 MiB"));
    let text = format!(
        "(title: \"T\", brief: \"{}\", parts: [Ready(time: 1)])",
        "a".repeat(1 << 20)
    );
    assert_eq!(
        first(&text),
        "`brief` has 1048576 characters, at most 1000 are read"
    );
    assert!(first("(title: \"a\0\")").contains("NUL"));
    let faults = Session::read_bytes("t", b"(title: \"T\",\n  \xff)", &library()).expect_err("bad");
    let fault = faults.iter().next().expect("one");
    assert_eq!((fault.line, fault.column), (2, 3));
    let many = format!(
        "(title: \"T\", parts: [{}])",
        "WarmUp([(\"nothing\", -1)]),".repeat(10_000)
    );
    let faults = read(&many).expect_err("bad");
    assert_eq!(faults.count(), 20_000);
    assert_eq!(faults.iter().count(), super::KEPT);
    assert!(faults.to_string().ends_with("and 19950 more faults"));
    assert!(faults.to_string().len() < 50_000, "a long line is clipped");
    assert!(faults.iter().map(|f| f.span.start).is_sorted());
}

/// Long texts of the kinds that could make a reader slow: each takes its time in proportion to its
/// length, or this test does not end.
#[test]
fn long_texts_are_read_to_the_end() {
    let wide = |item: &str| item.repeat(super::super::LARGEST / 5 / item.len());
    for text in [
        format!("(title: \"T\", parts: [{}])", wide("0,")),
        format!("(title: \"T\", parts: [{}])", wide("[],")),
        format!("(title: \"T\", limits: [{}], parts: [])", wide("Knee,")),
        format!("(title: \"T\", {} parts: [])", wide("a:1,")),
        format!(
            "(title: \"T\", parts: [Block(moves: [{}], pattern: Rounds(work: [{}], rest: [1]))])",
            &wide("\"squat\",")[..400_000],
            &wide("1,")[..400_000]
        ),
    ] {
        assert!(read(&text).is_err());
    }
    let full = format!(
        "(title: \"T\", parts: [{}])",
        "WarmUp([(\"nothing\", 0)]),".repeat(20_000)
    );
    assert_eq!(read(&full).map_err(|faults| faults.count()), Err(20_000));
}

#[test]
fn a_library_has_its_bound() {
    let moves = |n: usize| {
        (0..n).fold(String::from("["), |mut text, i| {
            let _ = write!(
                text,
                "(id:\"m{i}\",name:\"M\",position:Seated,regions:[Core]),"
            );
            text
        }) + "]"
    };
    assert_eq!(
        Library::read("m", &moves(10_000)).map(|m| m.len()),
        Ok(10_000)
    );
    assert!(Library::read("m", &moves(10_001)).is_err());
}

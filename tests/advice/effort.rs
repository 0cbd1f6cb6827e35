//! The estimate of effort against worked examples and the tables it is taken from.

use matside::advice::{Effort, Energy, Intensity};
use matside::plan::Timeline;
use matside::session::{Library, Session};
use matside::time::Span;

fn effort(parts: &str) -> Effort {
    let text = format!(
        "Session(title: \"t\", moves: [{}], parts: [{parts}])",
        ["a", "b", "c", "d"].map(own).join(",")
    );
    let session = Session::read("t", &text, &Library::builtin());
    Effort::of(&Timeline::of(
        &session.unwrap_or_else(|faults| panic!("{faults}")),
    ))
}

/// A move of a known cost: 3.5, 6.0, 2.3 and 7.0 MET.
fn own(id: &str) -> String {
    let code = match id {
        "a" => "02030",
        "b" => "02032",
        "c" => "02101",
        _ => "02210",
    };
    format!(
        "Move(id: \"{id}\", name: \"{id}\", position: Standing, regions: [Total], energy: \"{code}\")"
    )
}

fn near(found: f64, told: f64) {
    assert!(
        (found - told).abs() < 0.005,
        "{found}, and it should be {told}"
    );
}

/// ACSM convention, kcal/min = MET x 3.5 x kg / 200: 7 MET and 70 kg are 8.575 kcal a minute, and
/// three times 30 minutes 630 MET-minutes and 771.75 kcal (textbook example, from memory; the
/// arithmetic is computed).
#[test]
fn the_textbook_example() {
    let week = effort("WarmUp([(\"d\", \"30:00\"), (\"d\", \"30:00\"), (\"d\", \"30:00\")])");
    near(week.met_minutes(), 630.0);
    near(Energy::of(630.0, 70.0).most, 771.75);
    near(Energy::of(7.0, 70.0).most, 8.575);
    // 1 kcal per kg and hour is lower by exactly 1/1.05; the range holds it.
    let energy = Energy::of(60.0, 1.0);
    near(energy.most, 1.05);
    assert!(energy.least < 1.0 && energy.most > 1.0);
}

/// 8 min at 3.5, 24 at 6.0, 8 at 2.3 MET, 70 kg: 190.4 MET-minutes, 233.24 kcal (computed).
#[test]
fn a_class_of_three_parts() {
    let class = effort(
        "WarmUp([(\"a\", \"8:00\")]), Block(moves: [\"b\"], pattern: Same(rounds: 1, work: \"24:00\", rest: 0)), CoolDown([(\"c\", \"8:00\")])",
    );
    near(class.met_minutes(), 190.4);
    near(Energy::of(class.met_minutes(), 70.0).most, 233.24);
    let times = Intensity::ALL.map(|at| class.time_at(at));
    assert_eq!(times, [0, 480, 480, 1440].map(Span::from_secs));
    assert_eq!(class.curve(Span::from_secs(480)), [3.5, 6.0, 6.0, 6.0, 2.3]);
    let codes: Vec<&str> = class.moves.iter().map(|of| &*of.code).collect();
    assert_eq!(codes, ["02030", "02032", "02101"]);
}

/// IPAQ 2005, 30 min on five days: walking 3.3 MET 495, moderate 4 MET 600, vigorous 8 MET 1200.
#[test]
fn met_minutes_are_met_times_minutes() {
    for (met, told) in [(3.3, 495.0), (4.0, 600.0), (8.0, 1200.0)] {
        near(Energy::of(met * 150.0, 200.0 / 3.5).most, told);
    }
}

/// ACSM: light 2.0 to 2.9, moderate 3.0 to 5.9, vigorous 6.0 MET and more.
#[test]
fn intensities_change_at_their_boundaries() {
    use Intensity::{Light, Moderate, Still, Vigorous};
    for (met, intensity) in [
        (1.3, Still),
        (1.9, Still),
        (2.0, Light),
        (2.9, Light),
        (3.0, Moderate),
        (5.9, Moderate),
        (6.0, Vigorous),
        (11.0, Vigorous),
    ] {
        assert_eq!(Intensity::of(met), intensity, "{met}");
    }
}

/// Rests are not at the work's cost: 20 s of 7 MET and 10 s of standing quietly (1.3, 2011
/// Compendium 07040, from memory), eight times with seven rests (Tabata et al. 1996: 20/10).
#[test]
fn rests_have_their_own_lower_cost() {
    let class = effort("Block(moves: [\"d\"], pattern: Same(rounds: 8, work: 20, rest: 10))");
    near(class.met_minutes(), (160.0 * 7.0 + 70.0 * 1.3) / 60.0);
    assert_eq!(
        (class.work, class.rest, class.main),
        (
            Span::from_secs(160),
            Span::from_secs(70),
            Span::from_secs(230)
        )
    );
    near(class.work_to_rest().expect("rests"), 160.0 / 70.0);
    near(class.density(), 160.0 / 230.0);
}

/// What is not known is told, and counts as something that is.
#[test]
fn a_move_without_a_code_is_told() {
    let text = "Session(title: \"t\", moves: [Move(id: \"x\", name: \"x\", position: Standing, regions: [Total])], parts: [WarmUp([(\"x\", \"1:00\")])])";
    let session = Session::read("t", text, &Library::builtin()).expect("whole");
    let class = Effort::of(&Timeline::of(&session));
    assert!(!class.moves[0].is_known);
    near(class.met_minutes(), 3.5);
}

//! Timelines against published class formats: totals and start times to the millisecond.
//!
//! Each row names its source. "Between" is our rule, rests only between works; the totals that a
//! rest after every work would give are in the sources' own tables and differ by one rest.

use matside::plan::{Kind, Placed, Timeline};
use matside::session::{Library, Session};

fn timeline(file: &str) -> Timeline {
    let path = format!("{}/tests/published/{file}.ron", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).expect(file);
    let session = Session::read(file, &text, &Library::builtin());
    Timeline::of(&session.unwrap_or_else(|faults| panic!("{faults}")))
}

fn works(timeline: &Timeline) -> impl Iterator<Item = &Placed> {
    let intervals = timeline.intervals().iter();
    intervals.filter(|interval| interval.kind == Kind::Work)
}

/// Files, their sources and their totals in seconds.
const TOTALS: &[(&str, &str, u64)] = &[
    (
        "stations-6",
        "n works of a pass with the change between: 6 x 60 + 5 x 15 (common practice, no source)",
        435,
    ),
    ("20-10-x7", "Tabata et al. 1996, MSSE 28(10):1327", 200),
    (
        "20-10-x8",
        "Emberts et al. 2013, J Sports Sci Med 12:612",
        230,
    ),
    (
        "20-10-x8-four-blocks",
        "Emberts et al. 2013, J Sports Sci Med 12:612",
        1100,
    ),
    ("4x4", "Helgerud et al. 2007, MSSE 39(4):665", 1500),
    ("4x4-whole", "Wisloff et al. 2007 (from memory)", 2280),
    (
        "10-20-30-three",
        "Gunnarsson & Bangsbo 2012, J Appl Physiol 113:16",
        1140,
    ),
    (
        "10-20-30-four",
        "Gunnarsson & Bangsbo 2012, J Appl Physiol 113:16",
        1560,
    ),
    (
        "circuit-12",
        "Klika & Jordan 2013, ACSM Health Fit J 17(3)",
        470,
    ),
    (
        "circuit-12-twice",
        "Klika & Jordan 2013, ACSM Health Fit J 17(3)",
        950,
    ),
    (
        "circuit-12-thrice",
        "Klika & Jordan 2013, ACSM Health Fit J 17(3)",
        1430,
    ),
    ("sprints-4", "Gist et al. 2014, JSCR 28(11):3033", 840),
    ("sprints-5", "Hazell et al. 2010", 1110),
    ("sprints-6", "Hazell et al. 2010", 1380),
    ("60-60-x10", "Gibala group (from memory)", 1140),
    (
        "11-minutes",
        "Archila et al. 2021, Int J Exerc Sci 14(3):93",
        660,
    ),
    ("emom-15", "definition in PeerJ 19265", 900),
    ("five-moves-45-20", "common practice, no source", 305),
    ("five-moves-30-15", "common practice, no source", 210),
    ("five-moves-20-10", "common practice, no source", 140),
    ("ladder-10-60", "common practice, no source", 260),
    ("pyramid-10-30", "common practice, no source", 170),
    ("20-10-x32", "a trainer's published plan", 960),
    ("sprints-2x3", "a school lesson's published plan", 960),
    ("five-by-three", "a trainer's published plan", 1140),
    ("cadence-pyramid", "a trainer's published ride", 3060),
    (
        "run-walk",
        "a health service's first week (from memory)",
        1800,
    ),
    ("preparation-drill", "US Army FM 7-22 (from memory)", 222),
    (
        "football-warm-up",
        "Soligard et al. 2008, BMJ 337:a2469",
        1200,
    ),
    ("minutes-by-marks", "definition in PeerJ 19265", 3600),
    ("yoga-by-marks", "Saper et al. 2009 (from memory)", 4500),
    // What is counted has no published length; these are its repetitions at the pace written
    // beside them: steady 195 + 700 + 285, sitting 30 + 205 + 75, mat 78 + 350 + 72,
    // ladder 15 + 2 x 45 x 3.
    (
        "steady-on-your-feet",
        "Campbell & Robertson, ACC 2003 (from memory)",
        1180,
    ),
    (
        "sitting-exercises",
        "a health service's page (from memory)",
        310,
    ),
    (
        "mat-counted-and-held",
        "Pilates & Miller 1945 (from memory)",
        500,
    ),
    ("ladder-21-15-9", "common practice, no source", 285),
    // A rest after each work, as published: 3 x 10 x (30 + 15).
    (
        "ten-stations-thrice",
        "Gettman & Pollock 1981, Phys Sportsmed 9(1):44 (from memory)",
        1350,
    ),
    (
        "groups-change-over",
        "a school lesson's published plan",
        180,
    ),
    // 2 x 3 x (2 + 4 + 6 + 8 + 10) of repetitions, 5 x 5 of swaps, 4 x 10 of rests.
    ("partner-ladder", "common practice, no source", 245),
];

#[test]
fn totals_are_the_published_ones() {
    for &(file, source, total_s) in TOTALS {
        let total = timeline(file).total().millis();
        assert_eq!(total, total_s * 1000, "{file}, {source}");
    }
}

#[test]
fn starts_are_the_published_ones() {
    let starts = |file: &str| -> Vec<u64> {
        works(&timeline(file))
            .map(|work| work.start.millis())
            .collect()
    };
    // Helgerud et al. 2007.
    assert_eq!(starts("4x4"), [0, 420_000, 840_000, 1_260_000]);
    // Archila et al. 2021.
    let minutes = [60_000, 180_000, 300_000, 420_000, 540_000];
    assert_eq!(starts("11-minutes"), minutes);
    // Klika & Jordan 2013: the k-th of twelve starts at 40 (k - 1) s.
    let circuit: Vec<u64> = (0..12).map(|k| 40_000 * k).collect();
    assert_eq!(starts("circuit-12"), circuit);
    // Gunnarsson & Bangsbo 2012: five times 30, 20 and 10 s, then two minutes.
    assert_eq!(starts("10-20-30-three")[15], 420_000);
    // EMOM: a move starts on every minute (definition in PeerJ 19265).
    let emom: Vec<u64> = (0..15).map(|minute| 60_000 * minute).collect();
    assert_eq!(starts("emom-15"), emom);
}

/// The starts of whole published plans, where the plan gives them.
#[test]
fn whole_plans_start_on_their_marks() {
    let starts = |file: &str, kinds: &[Kind]| -> Vec<u64> {
        let timeline = timeline(file);
        let all = timeline.intervals().iter();
        let meant = all.filter(|one| kinds.contains(&one.kind));
        meant.map(|one| one.start.span().secs_ceil()).collect()
    };
    let work = &[Kind::Work];
    // Three works a minute apart, and again after the five minutes.
    assert_eq!(starts("sprints-2x3", work), [0, 60, 120, 480, 540, 600]);
    let ride = [0, 420, 780, 1080, 1320, 1500, 1620, 1800, 2040, 2340, 2700];
    assert_eq!(starts("cadence-pyramid", work), ride);
    let runs: Vec<u64> = (0..8).map(|k| 300 + 150 * k).collect();
    assert_eq!(starts("run-walk", work), runs);
    assert_eq!(starts("five-by-three", work)[3], 240);
    let minutes = starts("minutes-by-marks", work);
    let first = (0..12).map(|k| 600 + 60 * k);
    let second = (0..12).map(|k| 1500 + 60 * k);
    let third = (0..8).map(|k| 2400 + 90 * k);
    assert_eq!(
        minutes,
        first.chain(second).chain(third).collect::<Vec<_>>()
    );
    let free = [Kind::Free];
    assert_eq!(starts("yoga-by-marks", &free)[0], 300 + 120 + 18 + 60);
    assert_eq!(starts("yoga-by-marks", &free)[1..], [2100, 3900]);
    assert_eq!(starts("football-warm-up", work).last(), Some(&1160));
    // With n stations each work and its change take equally long: the k-th starts at 45 (k - 1) s.
    let stations: Vec<u64> = (0..30).map(|k| 45 * k).collect();
    assert_eq!(starts("ten-stations-thrice", work), stations);
    let six: Vec<u64> = (0..6).map(|k| 75 * k).collect();
    assert_eq!(starts("stations-6", work), six);
    // The groups change over after 60, 60, 30 and 30 s.
    assert_eq!(starts("groups-change-over", work), [0, 60, 120, 150]);
    // The second partner begins when the first has counted, and 5 s are over.
    let ladder = [0, 11, 27, 44, 66, 89, 117, 146, 180, 215];
    assert_eq!(starts("partner-ladder", work), ladder);
}

/// What is done changes by round as the plan says, the last round as well as the first.
#[test]
fn ladders_count_down_and_up() {
    let told = |file: &str| -> Vec<(Option<u32>, Option<u8>)> {
        let of = |work: &Placed| work.turn().map(|turn| (turn.reps, turn.effort));
        works(&timeline(file)).filter_map(of).collect()
    };
    let ladder: Vec<Option<u32>> = told("ladder-21-15-9").iter().map(|one| one.0).collect();
    assert_eq!(ladder, [21, 21, 15, 15, 9, 9].map(Some));
    let efforts: Vec<Option<u8>> = told("cadence-pyramid").iter().map(|one| one.1).collect();
    assert_eq!(efforts, [4, 5, 6, 7, 8, 9, 8, 7, 6, 5, 4].map(Some));
}

#[test]
fn an_emom_rests_for_the_remainder_of_every_minute() {
    let emom = timeline("emom-15");
    assert_eq!(emom.time_in(Kind::Work).millis(), 300_000);
    assert_eq!(emom.time_in(Kind::Rest).millis(), 600_000);
}

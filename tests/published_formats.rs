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

#[test]
fn totals_are_the_published_ones() {
    for (file, source, total_s) in [
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
    ] {
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

#[test]
fn an_emom_rests_for_the_remainder_of_every_minute() {
    let emom = timeline("emom-15");
    assert_eq!(emom.time_in(Kind::Work).millis(), 300_000);
    assert_eq!(emom.time_in(Kind::Rest).millis(), 600_000);
}

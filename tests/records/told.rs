//! What is told of a class and of many: sums, loads, weeks.

use std::collections::BTreeMap;

use chrono::{Days, NaiveDate};
use matside::live::{Act, Ending, Harder, HoldReason, What};
use matside::plan::{Kind, Timeline};
use matside::record::{
    Filter, History, RATING_SCALE, Rating, Recovered, Summary, WEEKLY_AMOUNTS, read, session_load,
};
use matside::session::{Muscle, Region, Session};
use matside::time::{Moment, Span};

use crate::sample::{
    self, Telling, as_planned, bytes, entries, eventful, header, hour_class, note, short_class,
    start,
};

const fn secs(secs: u64) -> Span {
    Span::from_secs(secs)
}

fn recovered(
    session: Session,
    facts: Vec<(matside::record::Wall, matside::live::Fact)>,
) -> Recovered {
    read(&bytes(&header(session, start()), &entries(facts))).unwrap()
}

fn summary_of(told: &Telling) -> Summary {
    Summary::of(&recovered(short_class(), told.facts.clone()))
}

/// Foster et al. 2001 (J Strength Cond Res 15(1):109): a rating of 7 over 60 minutes is 420.
#[test]
fn the_session_load_is_the_published_one() {
    let rating = Rating::try_from(7).unwrap();
    assert!((session_load(rating, secs(60 * 60)) - 420.0).abs() < 1e-9);
    assert!(RATING_SCALE.contains("CR10") && RATING_SCALE.contains("Foster"));
    assert!(Rating::try_from(11).is_err());

    let mut class = Summary::of(&recovered(short_class(), eventful(start())));
    assert_eq!(class.load(), None);
    class.taught.run = secs(60 * 60);
    class.note = Some(note());
    assert_eq!(class.load(), Some(420.0));
}

#[test]
fn a_class_as_planned_is_taught_as_planned() {
    for session in [short_class(), hour_class("Long Shore", 0)] {
        let plan = Timeline::of(&session);
        let class = Summary::of(&recovered(session.clone(), as_planned(&session, start())));
        assert_eq!(class.taught, class.planned);
        assert_eq!(class.taught.run, plan.total());
        for kind in Kind::ALL {
            let told = class.by_kind.get(&kind).copied().unwrap_or_default();
            assert_eq!(told, plan.time_in(kind), "{kind:?}");
        }
        let work: Span = class.moves.iter().map(|one| one.work).sum();
        assert_eq!(work, plan.time_in(Kind::Work));
        assert_eq!((class.works_left_out, class.held), (0, Span::ZERO));
    }
}

/// Worked by hand from the story that `eventful` tells.
#[test]
fn an_eventful_class_is_told_as_it_was() {
    let mut record = recovered(short_class(), eventful(start()));
    let class = Summary::of(&record);
    assert_eq!(
        (class.planned.run, class.taught.run),
        (secs(290), secs(255))
    );
    assert_eq!(
        (class.planned.work, class.taught.work),
        (secs(120), secs(100))
    );
    assert_eq!((class.planned.works, class.taught.works), (4, 3));
    assert_eq!((class.planned.rounds, class.taught.rounds), (2, 2));
    assert_eq!(
        class.by_kind,
        BTreeMap::from([
            (Kind::Talk, secs(30)),
            (Kind::Ready, secs(10)),
            (Kind::Work, secs(100)),
            (Kind::Rest, secs(30)),
            (Kind::Recovery, secs(25)),
            (Kind::CoolDown, secs(60)),
        ])
    );
    assert_eq!(class.works_left_out, 1);
    let changes = class.changes;
    assert_eq!((changes.skips, changes.steps, changes.landings), (1, 1, 1));
    assert_eq!((class.held, class.holds.len()), (secs(20), 1));
    assert_eq!(
        (class.holds[0].why, class.holds[0].offset.secs()),
        (HoldReason::Break, 52.0)
    );
    assert_eq!(
        class.late_ms,
        Some(-25_000),
        "the slot was 300 s, the class took 275 s"
    );
    assert_eq!(class.marks[0].during, "squat");
    assert_eq!(
        (class.marks[0].offset.secs(), class.marks[0].wall),
        (127.5, sample::wall("2026-03-02T18:32:27.500+01:00"))
    );
    let moves: Vec<_> = class
        .moves
        .iter()
        .map(|one| (one.id.as_str(), one.times, one.work, one.gentle))
        .collect();
    assert_eq!(
        moves,
        [
            ("squat", 2, secs(60), Span::ZERO),
            ("reach", 2, secs(40), Span::ZERO),
            ("fold", 1, Span::ZERO, secs(60)),
        ]
    );
    let options: Vec<_> = class
        .options
        .iter()
        .map(|one| (one.of.as_str(), one.call.as_str(), one.times))
        .collect();
    assert_eq!(
        options,
        [
            ("reach", "half the depth", 2),
            ("squat", "with a pause below", 1)
        ]
    );
    assert_eq!(
        class.by_region(),
        BTreeMap::from([(Region::Lower, secs(60)), (Region::Upper, secs(40))])
    );
    assert_eq!(class.by_muscle()[&Muscle::Quadriceps], secs(60));
    assert_eq!(class.ending, Some(Ending::Completed));

    record.entries.pop();
    let open = Summary::of(&record);
    assert_eq!(
        (open.ending, open.late_ms, open.taught.run),
        (None, None, secs(195))
    );
}

#[test]
fn what_was_taken_back_is_not_counted() {
    let plan = Timeline::of(&short_class());
    let mut told = Telling::from(start());
    told.act(Act::Begin).enter(&plan.intervals()[2]).run(5_000);
    told.act(Act::Step(Harder::Easier)).act(Act::Skip);
    let counted = |told: &Telling| {
        let class = summary_of(told);
        (class.taught.works, class.changes.skips, class.changes.steps)
    };
    assert_eq!(counted(&told), (0, 1, 1));
    told.act(Act::Limits(vec![])).act(Act::Undo);
    assert_eq!(counted(&told), (0, 1, 1), "the limits");
    told.act(Act::Undo);
    assert_eq!(counted(&told), (1, 0, 1), "the last change that is left");
    told.what(What::Undid(1));
    assert_eq!(counted(&told), (1, 0, 0), "a change by its number");
}

#[test]
fn a_new_end_of_the_slot_counts_and_none_does_not() {
    let mut told = Telling::from(start());
    told.act(Act::Begin)
        .what(What::EndsAt(Some(Moment::from_millis(65_000))));
    told.run(61_500).end(Ending::Stopped);
    assert_eq!(summary_of(&told).late_ms, Some(1_500));
    let mut told = Telling::from(start());
    told.act(Act::Begin)
        .what(What::EndsAt(None))
        .end(Ending::Stopped);
    assert_eq!(summary_of(&told).late_ms, None);
}

/// The steady clock may stand while the laptop sleeps, or run on: both are one sleep of a minute.
#[test]
fn a_sleep_is_a_hold_as_long_as_the_laptop_was_away() {
    let plan = Timeline::of(&short_class());
    for steady in [0, 60_000] {
        let mut told = Telling::from(start());
        told.act(Act::Begin)
            .enter(&plan.intervals()[0])
            .run(5_000)
            .stand(steady);
        let from = Moment::from_millis(10_000);
        told.act(Act::Slept {
            from,
            gap: secs(60),
        });
        told.stand(2_000)
            .act(Act::Resume)
            .stand(3_000)
            .run(1_000)
            .end(Ending::Stopped);
        let class = summary_of(&told);
        assert_eq!(
            (class.holds.len(), class.held),
            (1, secs(65)),
            "steady {steady}"
        );
        assert_eq!(class.taught.run, secs(6));
    }
}

#[test]
fn durations_add_up_to_the_time_run_whatever_happens() {
    let mut random = fastrand::Rng::with_seed(11);
    let plan = Timeline::of(&short_class());
    for _ in 0..300 {
        let mut told = Telling::from(start());
        told.act(Act::Begin).enter(&plan.intervals()[0]);
        let (mut run, mut stood) = (0, 0);
        for _ in 0..random.usize(0..30) {
            let step = random.u64(0..40_000);
            match random.u8(0..6) {
                0 => {
                    told.act(Act::Hold(HoldReason::Hold))
                        .stand(step)
                        .act(Act::Resume);
                    stood += step;
                }
                1 => {
                    told.act([Act::Skip, Act::Undo, Act::Mark][random.usize(0..3)].clone());
                }
                2 => {
                    told.enter(&plan.intervals()[random.usize(0..plan.intervals().len())]);
                }
                _ => {
                    told.run(step);
                    run += step;
                }
            }
        }
        told.end(Ending::Stopped);
        let class = summary_of(&told);
        let millis = Span::from_millis;
        assert_eq!(class.by_kind.values().copied().sum::<Span>(), millis(run));
        assert_eq!((class.taught.run, class.held), (millis(run), millis(stood)));
        let moved: Span = class.moves.iter().map(|one| one.work + one.gentle).sum();
        let moving = [Kind::WarmUp, Kind::Work, Kind::CoolDown];
        let kinds = moving.iter().filter_map(|kind| class.by_kind.get(kind));
        assert_eq!(moved, kinds.copied().sum());
    }
}

fn taught_on(day: &str, title: &str, rating: Option<u8>) -> Summary {
    let start = sample::wall(&format!("{day}T18:30:00+01:00"));
    let mut session = short_class();
    session.title = title.into();
    let told = entries(as_planned(&session, start));
    let mut class = Summary::of(&read(&bytes(&header(session, start), &told)).unwrap());
    class.note = Some(note().rated(rating.and_then(|value| Rating::try_from(value).ok())));
    class
}

/// ISO 8601 weeks: 2026-01-01 is a Thursday, so it lies in 2026-W01, which begins on 2025-12-29;
/// 2024-12-30 lies in 2025-W01. chrono's own week number is the independent reader.
#[test]
fn weeks_are_those_of_the_standard_and_none_is_left_out() {
    let classes = [
        taught_on("2025-12-31", "Ebb", Some(5)),
        taught_on("2026-01-01", "Ebb", None),
        taught_on("2026-01-19", "Flow", Some(7)),
    ];
    let history = History::of(&classes);
    let weeks: Vec<_> = history
        .weeks
        .iter()
        .map(|week| (week.name(), week.classes))
        .collect();
    let week = |name: &str, classes| (name.to_owned(), classes);
    assert_eq!(
        weeks,
        [
            week("2026-W01", 2),
            week("2026-W02", 0),
            week("2026-W03", 0),
            week("2026-W04", 1)
        ]
    );
    for one in &history.weeks {
        assert_eq!(one.name(), one.monday.format("%G-W%V").to_string());
    }
    let first = &history.weeks[0];
    assert_eq!((first.run, first.work), (secs(580), secs(240)));
    assert_eq!(first.regions[&Region::Lower], secs(120));
    assert_eq!(first.rated, 1);
    assert!((first.load - 5.0 * 290.0 / 60.0).abs() < 1e-9);
    assert_eq!(History::of(&[]).weeks, []);
}

#[test]
fn moves_are_found_that_were_long_unused_or_always_there() {
    let mut old = taught_on("2026-01-05", "Ebb", None);
    old.moves[0].id = "crawl".into();
    let classes = [
        old,
        taught_on("2026-03-02", "Ebb", None),
        taught_on("2026-03-09", "Flow", None),
    ];
    let history = History::of(&classes);
    let today = NaiveDate::from_ymd_opt(2026, 3, 10).unwrap();
    let unused: Vec<_> = history
        .unused_for(28, today)
        .iter()
        .map(|one| one.id.as_str())
        .collect();
    assert_eq!(unused, ["crawl"]);
    assert_eq!(
        history.unused_for(64, today).len(),
        0,
        "exactly 64 days are not more than 64"
    );
    assert_eq!(
        today - Days::new(64),
        NaiveDate::from_ymd_opt(2026, 1, 5).unwrap()
    );
    let always: Vec<_> = history
        .at_every_class()
        .iter()
        .map(|one| one.id.as_str())
        .collect();
    assert_eq!(always, ["fold", "reach"]);

    let title = Filter {
        title: Some("FLO".into()),
        ..Filter::default()
    };
    let dates = Filter {
        from: NaiveDate::from_ymd_opt(2026, 1, 5),
        to: NaiveDate::from_ymd_opt(2026, 3, 2),
        title: None,
    };
    let taken = |filter: &Filter| classes.each_ref().map(|class| filter.takes(class));
    assert_eq!(taken(&title), [false, false, true]);
    assert_eq!(taken(&dates), [true, true, false]);
}

#[test]
fn planned_and_taught_differ_by_what_happened_on_average() {
    let eventful = Summary::of(&recovered(short_class(), eventful(start())));
    let classes = [eventful, taught_on("2026-03-09", "Ebb", None)];
    let told = History::of(&classes).differences;
    assert_eq!(told.classes, 2);
    assert_eq!((told.run_s, told.work_s, told.works), (-17.5, -10.0, -0.5));
    assert_eq!((told.held_s, told.late_s), (10.0, Some(-17.5)));
}

/// WHO 2020, Br J Sports Med 54:1451.
#[test]
fn the_weekly_amounts_are_the_published_ones() {
    assert_eq!(WEEKLY_AMOUNTS.moderate, (150, 300));
    assert_eq!(WEEKLY_AMOUNTS.vigorous, (75, 150));
    assert!(WEEKLY_AMOUNTS.source.contains("54:1451"));
    assert!(WEEKLY_AMOUNTS.caution.contains("healthy adults"));
}

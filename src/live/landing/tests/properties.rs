//! What holds for every landing.

use fastrand::Rng;

use super::plans::{Case, case};
use super::rules::{Floor, STEPS, What, by_id, floors, is_fixed, mat_lies, pauses, what};
use crate::live::landing::{ChangeKind, Landing};
use crate::plan::{Kind, Nth, Placed, Shape, Timeline};
use crate::session::Cueing;
use crate::time::Span;

const CASES: u64 = 10_000;

/// Lands so many random classes.
fn landed(seed: u64, blocks: usize, check: impl Fn(u64, &Case, &Landing, &Timeline)) {
    let mut rng = Rng::with_seed(seed);
    for number in 0..CASES {
        let case = case(&mut rng, blocks);
        let landing = Landing::of(&case.plan, case.n, case.at, case.room, &Cueing::default());
        let after = case.with(&landing.changes);
        check(number, &case, &landing, &after);
    }
}

fn ahead<'a>(case: &Case, plan: &'a Timeline) -> &'a [Placed] {
    &plan.intervals()[case.n + 1..]
}

#[test]
fn the_sums_are_exact_and_a_second_landing_has_nothing_to_do() {
    let counts = std::cell::Cell::new((0, 0, 0));
    landed(1, 3, |number, case, landing, after| {
        let left = case.left(after);
        assert_eq!(left + landing.in_hand, case.room + landing.over, "{number}");
        assert!(
            landing.over.is_zero() || landing.in_hand.is_zero(),
            "{number}"
        );
        assert_eq!(landing.total, case.at.span() + left, "{number}");
        let again = Landing::of(after, case.n, case.at, case.room, &Cueing::default());
        assert_eq!(
            (again.changes, again.over),
            (vec![], landing.over),
            "{number}"
        );
        let has_recovery = ahead(case, after).iter().any(|i| i.kind == Kind::Recovery);
        if !landing.changes.is_empty() && has_recovery {
            assert!(landing.in_hand.is_zero(), "{number}");
        }
        let (exact, over, in_hand) = counts.get();
        counts.set((
            exact + u32::from(left == case.room),
            over + u32::from(!landing.over.is_zero()),
            in_hand + u32::from(!landing.changes.is_empty() && !landing.in_hand.is_zero()),
        ));
    });
    let (exact, over, in_hand) = counts.get();
    assert!(exact > 3_000 && over > 300 && in_hand > 20, "{counts:?}");
}

#[test]
fn floors_hold_and_nothing_begun_is_touched() {
    landed(2, 3, |number, case, _, after| {
        let begun = |plan: &Timeline| -> Vec<_> {
            let begun = plan.intervals()[..=case.n].iter();
            begun.map(|of| (of.id, of.start, of.end)).collect()
        };
        assert_eq!(begun(&case.plan), begun(after), "{number}");
        let was = by_id(&case.plan);
        let least = floors(case, after, Floor::Last);
        for is in ahead(case, after) {
            assert!(is.length >= least[&is.id], "{number}: {is:?}");
            if is_fixed(after.intervals(), is) {
                assert_eq!(is.length, was[&is.id].length, "{number}");
            }
        }
    });
}

#[test]
fn no_move_comes_sooner_than_the_change_to_it_takes() {
    landed(3, 4, |number, case, _, after| {
        let lies = mat_lies(case);
        let was = pauses(&case.plan, lies);
        for (id, (pause, need)) in pauses(after, lies) {
            let least = need.min(was[&id].0);
            assert!(
                pause >= least,
                "{number}: {id} has {pause} of {need}, had {}",
                was[&id].0
            );
        }
    });
}

/// The length an interval had, what it lost, and the least and the most it could in a step.
struct Lost {
    length: Span,
    by: Span,
    least: Span,
    most: Span,
}

fn lost_in(case: &Case, after: &Timeline, (kinds, floor): (&[What], Floor)) -> Vec<Lost> {
    let was = by_id(&case.plan);
    let (first, this) = (
        floors(case, after, Floor::First),
        floors(case, after, floor),
    );
    let of = ahead(case, after).iter();
    of.filter(|is| kinds.contains(&what(is)))
        .map(|is| {
            let length = was[&is.id].length;
            Lost {
                length,
                by: length.saturating_sub(is.length),
                least: match floor {
                    Floor::First => Span::ZERO,
                    Floor::Last => length.saturating_sub(first[&is.id]),
                },
                most: length.saturating_sub(this[&is.id]),
            }
        })
        .collect()
}

#[test]
fn a_step_is_touched_only_when_all_before_it_are_at_their_floor() {
    let seen = std::cell::Cell::new([0; 10]);
    landed(4, 3, |number, case, _, after| {
        let steps = STEPS.map(|step| lost_in(case, after, step));
        let is_touched = |step: &Vec<Lost>| step.iter().any(|of| of.by > of.least);
        let Some(last) = steps.iter().rposition(is_touched) else {
            return;
        };
        let mut counts = seen.get();
        counts[last] += 1;
        seen.set(counts);
        for (step, of) in steps[..last].iter().enumerate() {
            let at_floor = of.iter().all(|of| of.by >= of.most);
            assert!(at_floor, "{number}: step {step} before {last}");
        }
    });
    let seen = seen.get();
    assert!(seen.iter().all(|&count| count > 20), "{seen:?}");
}

#[test]
fn who_can_has_lost_the_same_share_within_a_second() {
    let second = 1_000;
    landed(5, 3, |number, case, _, after| {
        for step in STEPS {
            let of = lost_in(case, after, step);
            let able = of.iter().filter(|of| of.by < of.most);
            for (few, many) in able.flat_map(|few| of.iter().map(move |many| (few, many))) {
                if many.by <= many.least {
                    continue;
                }
                let few_share = (few.by.millis() + second) * many.length.millis();
                let many_share = many.by.millis().saturating_sub(second) * few.length.millis();
                assert!(few_share >= many_share, "{number}: {step:?}");
            }
        }
    });
}

#[test]
fn seconds_stay_whole_but_for_one_interval_and_odd_floors() {
    landed(6, 3, |number, case, _, after| {
        let was = by_id(&case.plan);
        let floors = [Floor::First, Floor::Last].map(|floor| floors(case, after, floor));
        let odd = ahead(case, after).iter().filter(|is| {
            let length = was[&is.id].length;
            let is_odd = !length
                .saturating_sub(is.length)
                .millis()
                .is_multiple_of(1_000);
            is.length < length && is_odd && floors.iter().all(|of| of[&is.id] != is.length)
        });
        // One of a step, and those whose last floor is no whole second.
        assert!(odd.count() <= 2, "{number}");
    });
}

/// Starts, numbers and counts of what is ahead of a grid, of rounds and of sets.
#[test]
fn a_grid_stays_a_grid_and_what_is_ahead_is_counted_right() {
    landed(7, 3, |number, case, _, after| {
        let mut last: Option<(&Placed, usize)> = None;
        let works = ahead(case, after).iter().filter(|i| i.kind == Kind::Work);
        for (work, place) in works.filter_map(|i| Some((i, i.place.as_ref()?))) {
            let of_block = |i: &&Placed| i.block() == Some(place.block);
            let places = ahead(case, after).iter().filter(of_block);
            let works = places.clone().filter(|i| i.kind == Kind::Work);
            let rounds = works.filter_map(|i| Some(i.place.as_ref()?.round.nth));
            assert_eq!(Some(place.round.of), rounds.max(), "{number}");
            let counts = places.clone().filter_map(|i| Some(i.place.as_ref()?.round));
            let is_one_of = |round: Nth| round.nth <= round.of && round.of == place.round.of;
            assert!(counts.into_iter().all(is_one_of), "{number}");
            let Shape::Grid { every } = place.shape else {
                continue;
            };
            if let Some((before, _)) = last.filter(|&(_, block)| block == place.block) {
                assert_eq!(work.start - before.start, every, "{number}");
                let window = |of: &Placed| of.place.as_ref().map(|p| p.window.nth);
                assert_eq!(window(before).map(|nth| nth + 1), window(work), "{number}");
            }
            let windows = places.filter_map(|i| Some(i.place.as_ref()?.window.nth));
            assert_eq!(Some(place.window.of), windows.max(), "{number}");
            last = Some((work, place.block));
        }
    });
}

#[test]
fn the_running_interval_is_shortened_only_by_choice_and_keeps_what_it_has_run() {
    let (mut rng, cueing) = (Rng::with_seed(8), Cueing::default());
    let mut touched = 0;
    for number in 0..CASES {
        let case = case(&mut rng, 2);
        let landing = Landing::with_running(&case.plan, case.n, case.at, case.room, &cueing);
        let after = case.with(&landing.changes);
        let (was, is) = (&case.plan.intervals()[case.n], &after.intervals()[case.n]);
        let run = case.at - was.start;
        let least = was.span().min(run + Span::from_secs(5));
        assert!(is.span() >= least, "{number}");
        touched += u32::from(is.span() != was.span());
        let left = case.left(&after);
        assert_eq!(left + landing.in_hand, case.room + landing.over, "{number}");
        assert_eq!(landing.total, case.at.span() + left, "{number}");
        let lies = mat_lies(&case);
        let before = pauses(&case.plan, lies);
        for (id, (pause, need)) in pauses(&after, lies) {
            assert!(pause >= need.min(before[&id].0), "{number}: {id}");
        }
    }
    assert!(touched > 1_000, "{touched}");
}

#[test]
fn time_in_hand_is_used_to_the_millisecond_or_told() {
    let (mut rng, cueing) = (Rng::with_seed(9), Cueing::default());
    let (mut longer, mut rounds, mut windows) = (0, 0, 0);
    for number in 0..CASES {
        let mut case = case(&mut rng, 3);
        let in_hand = Span::from_millis(rng.u64(0..400_000));
        case.room = case.left(&case.plan) + in_hand;
        let choices = Landing::spare(&case.plan, case.n, case.at, case.room, &cueing);
        for landing in choices {
            let after = case.with(&landing.changes);
            let left = case.left(&after);
            assert_eq!(left + landing.in_hand, case.room, "{number}: {landing:?}");
            let recovers = |i: &Placed| i.kind == Kind::Recovery;
            let has_recovery = ahead(&case, &case.plan).iter().any(recovers);
            assert!(landing.in_hand.is_zero() || !has_recovery, "{number}");
            let copies = after.intervals().len() - case.plan.intervals().len();
            let lies = mat_lies(&case);
            let was = pauses(&case.plan, lies);
            for (id, (pause, need)) in pauses(&after, lies) {
                let least = was.get(&id).map(|&(pause, _)| pause.min(need));
                assert!(least.is_none_or(|least| pause >= least), "{number}: {id}");
            }
            let is_copy = |i: &&Placed| !was.contains_key(&i.id) && i.kind == Kind::Work;
            let is_grid = |i: &Placed| i.grid().is_some();
            let new: Vec<&Placed> = after.intervals().iter().filter(is_copy).collect();
            if new.iter().any(|i| is_grid(i)) {
                windows += u32::from(new.len() > 1);
                let all_that_fit = in_hand.secs_floor() / 60;
                let new = u64::try_from(new.len()).unwrap();
                let follows = after.intervals().last().unwrap();
                assert!(new <= all_that_fit, "{number}");
                assert!(new == all_that_fit || !is_grid(follows), "{number}");
            }
            longer += u32::from(copies == 0);
            rounds += u32::from(copies > 0);
        }
    }
    assert!(
        longer > 2_000 && rounds > 2_000 && windows > 100,
        "{longer} {rounds} {windows}"
    );
}

/// Landed once, and then a round is over: what the first landing had shortened comes back first.
#[test]
fn what_a_second_landing_gives_back_goes_to_what_the_first_had_shortened() {
    let (mut rng, cueing) = (Rng::with_seed(10), Cueing::default());
    let mut seen = 0;
    for number in 0..CASES {
        let mut case = case(&mut rng, 3);
        let landing = Landing::of(&case.plan, case.n, case.at, case.room, &cueing);
        case.plan = case.with(&landing.changes);
        case.room = case.room.saturating_sub(Span::from_secs(rng.u64(1..200)));
        let landing = Landing::of(&case.plan, case.n, case.at, case.room, &cueing);
        let after = case.with(&landing.changes);
        let was = by_id(&case.plan);
        let grew = |is: &&Placed| is.length > was[&is.id].length;
        let beyond = |is: &&Placed| is.length > is.planned && grew(is);
        let is_short = |is: &&Placed| !is_fixed(after.intervals(), is) && is.length < is.planned;
        if ahead(&case, &after).iter().any(|is| beyond(&is)) {
            assert!(
                !ahead(&case, &after).iter().any(|is| is_short(&is)),
                "{number}"
            );
        }
        let dropped = landing.changes.iter().any(|c| c.kind == ChangeKind::Drop);
        assert!(
            dropped || !ahead(&case, &after).iter().any(|is| grew(&is)),
            "{number}"
        );
        seen += u32::from(ahead(&case, &after).iter().any(|is| grew(&is)));
    }
    assert!(seen > 100, "{seen}");
}

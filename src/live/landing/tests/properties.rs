//! What holds for every landing.

use std::collections::HashMap;

use fastrand::Rng;

use super::plans::{Case, case};
use crate::live::landing::{Change, ChangeKind, Landing, apply, apply_running};
use crate::plan::{Interval, Kind, Timeline, need};
use crate::session::Cueing;
use crate::time::{Offset, Span};

const CASES: u64 = 12_000;

fn left_after(plan: &Timeline, case: &Case) -> Span {
    let all = plan.intervals();
    let running = &all[case.n];
    let after: Span = all[case.n + 1..]
        .iter()
        .map(|interval| interval.length)
        .sum();
    (running.end() - case.at) + after
}

fn applied(case: &Case, changes: &[Change]) -> Timeline {
    apply(&case.plan, case.n, changes, &mut 0)
}

/// Whether a mat has been used in what was taught or runs.
fn mat_lies(case: &Case) -> bool {
    let so_far = &case.plan.intervals()[..=case.n];
    let mut turns = so_far.iter().flat_map(|interval| interval.moves.iter());
    turns.any(|turn| turn.equipment().contains(&"mat"))
}

/// The pause before each move, by the move's number, and what the change to it needs.
fn pauses(plan: &Timeline, mat_lies: bool) -> HashMap<u32, (Span, Span)> {
    let (mut out, mut pause) = (HashMap::new(), Span::ZERO);
    let mut before: &[_] = &[];
    for interval in plan.intervals() {
        if interval.kind.is_moving() {
            let need = need(&Cueing::default(), before, &interval.moves, mat_lies);
            out.insert(interval.id, (pause, need));
            (pause, before) = (Span::ZERO, &interval.moves);
        } else {
            pause += interval.length;
        }
    }
    out
}

fn by_id(plan: &Timeline) -> HashMap<u32, &Interval> {
    plan.intervals()
        .iter()
        .map(|interval| (interval.id, interval))
        .collect()
}

#[test]
fn the_sums_are_exact_and_a_second_landing_has_nothing_to_do() {
    let (mut rng, cueing) = (Rng::with_seed(1), Cueing::default());
    let (mut exact, mut short) = (0, 0);
    for number in 0..CASES {
        let case = case(&mut rng, 3);
        let landing = Landing::of(&case.plan, case.n, case.at, case.room, &cueing);
        let after = applied(&case, &landing.changes);
        let left = left_after(&after, &case);
        assert_eq!(
            left + landing.in_hand,
            case.room + landing.over,
            "case {number}"
        );
        assert!(
            landing.over.is_zero() || landing.in_hand.is_zero(),
            "case {number}"
        );
        assert_eq!(landing.total, case.at.span() + left, "case {number}");
        let again = Landing::of(&after, case.n, case.at, case.room, &cueing);
        assert_eq!(again.changes, [], "case {number}");
        assert_eq!(again.over, landing.over, "case {number}");
        let has_recovery = after.intervals()[case.n + 1..]
            .iter()
            .any(|i| i.kind == Kind::Recovery);
        if !landing.changes.is_empty() && has_recovery {
            assert!(landing.in_hand.is_zero(), "case {number}");
        }
        exact += u32::from(left == case.room);
        short += u32::from(!landing.over.is_zero());
    }
    assert!(exact > 3_000 && short > 300, "{exact} exact, {short} over");
}

#[test]
fn floors_hold_and_nothing_begun_is_touched() {
    let (mut rng, cueing) = (Rng::with_seed(2), Cueing::default());
    for number in 0..CASES {
        let case = case(&mut rng, 3);
        let landing = Landing::of(&case.plan, case.n, case.at, case.room, &cueing);
        let after = applied(&case, &landing.changes);
        for (was, is) in case.plan.intervals()[..=case.n]
            .iter()
            .zip(after.intervals())
        {
            assert_eq!(
                (was.id, was.start, was.length),
                (is.id, is.start, is.length)
            );
        }
        let was = by_id(&case.plan);
        for is in after.intervals() {
            let was = was[&is.id];
            let least = floor(is, &case.plan).min(was.length);
            assert!(is.length >= least, "case {number}: {was:?} became {is:?}");
            if is.untimed {
                assert_eq!(is.length, was.length, "case {number}");
            }
        }
    }
}

#[test]
fn no_move_comes_sooner_than_the_change_to_it_takes() {
    let (mut rng, cueing) = (Rng::with_seed(3), Cueing::default());
    for number in 0..CASES {
        let case = case(&mut rng, 4);
        let landing = Landing::of(&case.plan, case.n, case.at, case.room, &cueing);
        let lies = mat_lies(&case);
        let was = pauses(&case.plan, lies);
        for (id, (pause, need)) in pauses(&applied(&case, &landing.changes), lies) {
            assert!(
                pause >= need.min(was[&id].0),
                "case {number}: {id} has {pause} of {need}"
            );
        }
    }
}

pub(super) const STEPS: [&[Kind]; 5] = [
    &[Kind::Recovery],
    &[Kind::Rest],
    &[Kind::Talk, Kind::Ready],
    &[Kind::Work],
    &[Kind::CoolDown],
];

/// How much each interval could still give: the rules of floors, pauses and whole minutes once
/// more, without a look at how they are programmed.
pub(super) fn could_give(case: &Case, after: &Timeline) -> HashMap<u32, Span> {
    let (cueing, all) = (Cueing::default(), after.intervals());
    let was = by_id(&case.plan);
    let mut out = HashMap::new();
    let (mut owed, mut behind): (Span, Option<&Interval>) = (Span::ZERO, None);
    for (i, is) in all.iter().enumerate().rev() {
        let before = all[..i].iter().rev().find(|b| b.kind.is_moving());
        if is.kind.is_moving() {
            behind = Some(is);
            let before = before.map_or(&[][..], |b| &b.moves);
            owed = need(&cueing, before, &is.moves, mat_lies(case));
        }
        let own = floor(is, &case.plan).max(if is.kind.is_moving() || behind.is_none() {
            Span::ZERO
        } else {
            owed
        });
        let least = own.min(was[&is.id].length);
        if !is.kind.is_moving() {
            owed = owed.less(least);
        }
        if i > case.n {
            out.insert(is.id, is.length.less(least));
        }
    }
    out
}

/// The floors of the module's rules, but for the time to change.
fn floor(of: &Interval, plan: &Timeline) -> Span {
    let planned = of.planned.millis();
    let is_whole = |block: usize| {
        let of_block = |i: &&Interval| i.place.as_ref().is_some_and(|p| p.block == block);
        let last = plan.intervals().iter().rev().find(of_block);
        last.is_some_and(|last| last.kind == Kind::Rest)
    };
    if of.untimed || of.place.as_ref().is_some_and(|place| is_whole(place.block)) {
        return of.planned;
    }
    let up = |millis: u64| Span::from_millis(millis).ceil_secs();
    match of.kind {
        Kind::Recovery => Span::from_secs(10),
        Kind::Talk => {
            // 140 words a minute, the default, and half a second of breath after the sentence.
            let words = of.say.split_whitespace().count() as u64;
            let breath = if words > 0 { 500 } else { 0 };
            up((words * 60_000).div_ceil(140) + breath).max(Span::from_secs(10))
        }
        Kind::Rest | Kind::Ready => Span::from_secs(5),
        Kind::Work => up((planned * 2).div_ceil(3)).max(Span::from_secs(5)),
        Kind::CoolDown => up(planned.div_ceil(2)),
        Kind::WarmUp => of.planned,
    }
}

#[test]
fn a_kind_is_touched_only_when_all_before_it_are_at_their_floor() {
    let (mut rng, cueing) = (Rng::with_seed(4), Cueing::default());
    let mut seen = [0; 5];
    for number in 0..CASES {
        let case = case(&mut rng, 3);
        let landing = Landing::of(&case.plan, case.n, case.at, case.room, &cueing);
        let drops = landing
            .changes
            .iter()
            .any(|change| change.kind == ChangeKind::Drop);
        if drops {
            continue;
        }
        let after = applied(&case, &landing.changes);
        let (was, is) = (by_id(&case.plan), by_id(&after));
        let touched = |kinds: &[Kind]| {
            let of = is.values().filter(|i| kinds.contains(&i.kind));
            of.filter(|i| i.length != was[&i.id].length).count()
        };
        let last = (0..5).rev().find(|&step| touched(STEPS[step]) > 0);
        let Some(last) = last else { continue };
        seen[last] += 1;
        for (id, more) in could_give(&case, &after) {
            let step = STEPS.iter().position(|kinds| kinds.contains(&is[&id].kind));
            let is_before = step.is_some_and(|step| step < last);
            assert!(!is_before || more.is_zero(), "case {number}: {id} {more}");
        }
    }
    assert!(seen.iter().all(|&count| count > 20), "{seen:?}");
}

#[test]
fn a_kind_is_shortened_evenly() {
    let (mut rng, cueing) = (Rng::with_seed(5), Cueing::default());
    let second = Span::from_secs(1);
    for number in 0..CASES {
        let case = case(&mut rng, 3);
        let landing = Landing::of(&case.plan, case.n, case.at, case.room, &cueing);
        let after = applied(&case, &landing.changes);
        let was = by_id(&case.plan);
        let could_give = could_give(&case, &after);
        for kinds in STEPS {
            let ahead = &after.intervals()[case.n + 1..];
            let of: Vec<&Interval> = ahead.iter().filter(|i| kinds.contains(&i.kind)).collect();
            let taken = |i: &Interval| was[&i.id].length.less(i.length);
            let most = of.iter().map(|i| taken(i)).max().unwrap_or_default();
            for i in &of {
                // Who gave over a second less than another has nothing more to give.
                let more = could_give[&i.id];
                assert!(
                    taken(i) + second >= most || more.is_zero(),
                    "case {number}: {i:?}"
                );
            }
        }
    }
}

#[test]
fn the_running_interval_is_shortened_only_by_choice_and_keeps_what_it_has_run() {
    let (mut rng, cueing) = (Rng::with_seed(6), Cueing::default());
    let mut touched = 0;
    for number in 0..CASES {
        let case = case(&mut rng, 2);
        let landing = Landing::with_running(&case.plan, case.n, case.at, case.room, &cueing);
        let after = apply_running(&case.plan, case.n, &landing.changes, &mut 0);
        let (was, is) = (&case.plan.intervals()[case.n], &after.intervals()[case.n]);
        let run = case.at - was.start;
        assert!(
            is.length >= was.length.min(run + Span::from_secs(5)),
            "case {number}"
        );
        touched += u32::from(is.length != was.length);
        let left = left_after(&after, &case);
        assert_eq!(
            left + landing.in_hand,
            case.room + landing.over,
            "case {number}"
        );
        assert_eq!(landing.total, case.at.span() + left, "case {number}");
    }
    assert!(touched > 1_000, "{touched}");
}

#[test]
fn time_in_hand_is_used_to_the_millisecond_or_told() {
    let (mut rng, cueing) = (Rng::with_seed(7), Cueing::default());
    let (mut longer, mut rounds) = (0, 0);
    for number in 0..CASES {
        let mut case = case(&mut rng, 3);
        let in_hand = Span::from_millis(rng.u64(0..400_000));
        case.room = left_after(&case.plan, &case) + in_hand;
        let choices = Landing::spare(&case.plan, case.n, case.at, case.room, &cueing);
        for landing in choices {
            let after = applied(&case, &landing.changes);
            let left = left_after(&after, &case);
            assert_eq!(
                left + landing.in_hand,
                case.room,
                "case {number}: {landing:?}"
            );
            let recovers = after.intervals()[case.n + 1..].iter();
            let copied = after.intervals().len() > case.plan.intervals().len();
            if !copied {
                assert!(landing.in_hand.is_zero(), "case {number}");
                assert!(recovers.clone().any(|i| i.kind == Kind::Recovery));
            }
            let lies = mat_lies(&case);
            let was = pauses(&case.plan, lies);
            for (id, (pause, need)) in pauses(&after, lies) {
                let least = was.get(&id).map_or(need, |&(pause, _)| pause.min(need));
                let is_copy = !was.contains_key(&id);
                assert!(
                    is_copy || pause >= least,
                    "case {number}: {id} has {pause} of {need}"
                );
            }
            longer += u32::from(!copied);
            rounds += u32::from(copied);
        }
    }
    assert!(longer > 2_000 && rounds > 2_000, "{longer} {rounds}");
}

#[test]
fn changes_to_what_is_not_there_or_has_begun_are_passed_over() {
    let mut rng = Rng::with_seed(8);
    for number in 0..1_000 {
        let case = case(&mut rng, 2);
        let count = u32::try_from(case.plan.intervals().len()).unwrap();
        let n = u32::try_from(case.n).unwrap();
        let change = |id: u32, kind| Change { id, kind };
        let length = Span::from_secs(1);
        let changes = [
            change(rng.u32(0..=n), ChangeKind::Length(length)),
            change(rng.u32(0..=n), ChangeKind::Drop),
            change(rng.u32(count..), ChangeKind::Drop),
            change(rng.u32(count..), ChangeKind::Copy { after: n, length }),
            change(
                0,
                ChangeKind::Copy {
                    after: u32::MAX,
                    length,
                },
            ),
            change(
                count - 1,
                ChangeKind::Copy {
                    after: n,
                    length: Span::ZERO,
                },
            ),
        ];
        let mut next = 7;
        let after = apply(&case.plan, case.n, &changes, &mut next);
        let same = |plan: &Timeline| -> Vec<_> {
            plan.intervals()
                .iter()
                .map(|i| (i.id, i.start, i.length))
                .collect()
        };
        assert_eq!(same(&after), same(&case.plan), "case {number}");
        assert_eq!(next, count.max(7), "case {number}");
    }
}

#[test]
fn an_empty_class_and_one_that_is_over_have_nothing_to_change() {
    let (mut rng, cueing) = (Rng::with_seed(10), Cueing::default());
    let over = case(&mut rng, 2).plan;
    let empty = Timeline::laid("Empty".into(), Vec::new());
    let room = Span::from_secs(60);
    for plan in [over, empty] {
        let (n, at) = (plan.intervals().len(), Offset::ZERO + plan.total());
        let landing = Landing::of(&plan, n, at, room, &cueing);
        assert_eq!((landing.changes.len(), landing.over), (0, Span::ZERO));
        assert_eq!((landing.in_hand, landing.total), (room, plan.total()));
        assert_eq!(
            Landing::with_running(&plan, n, at, Span::ZERO, &cueing).over,
            Span::ZERO
        );
        assert_eq!(Landing::spare(&plan, n, at, room, &cueing), []);
        assert_eq!(apply(&plan, n, &[], &mut 0), plan);
    }
}

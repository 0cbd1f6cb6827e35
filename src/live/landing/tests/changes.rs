//! What is done with changes that name what is not there, and what is shared where nothing is.

use std::sync::Arc;

use fastrand::Rng;

use super::plans::{Case, case};
use crate::live::landing::{Change, ChangeKind, Landing, apply, counted_with};
use crate::plan::{Interval, Placed, Timeline};
use crate::session::Cueing;
use crate::time::{Offset, Span};

fn ahead(case: &Case) -> Vec<Arc<Interval>> {
    let ahead = case.plan.intervals()[case.n + 1..].iter();
    ahead.map(|placed| placed.interval().clone()).collect()
}

fn begun(case: &Case) -> impl Iterator<Item = &Arc<Interval>> {
    case.plan.intervals()[..=case.n]
        .iter()
        .map(Placed::interval)
}

#[test]
fn changes_to_what_is_not_ahead_are_passed_over_and_all_is_shared() {
    let mut rng = Rng::with_seed(11);
    for number in 0..1_000 {
        let case = case(&mut rng, 2);
        let count = u32::try_from(case.plan.intervals().len()).unwrap();
        let n = u32::try_from(case.n).unwrap();
        let change = |id: u32, kind| Change { id, kind };
        let length = Span::from_secs(1);
        let copy = |after, length| ChangeKind::Copy { after, length };
        let changes = [
            change(rng.u32(0..=n), ChangeKind::Length(length)),
            change(rng.u32(0..=n), ChangeKind::Drop),
            change(rng.u32(count..), ChangeKind::Drop),
            change(rng.u32(count..), copy(n, length)),
            change(0, copy(u32::MAX, length)),
            change(count - 1, copy(n, Span::ZERO)),
        ];
        let (before, mut next) = (ahead(&case), 7);
        let after = apply(begun(&case), &before, &changes, &mut next);
        assert_eq!(next, count.max(7), "{number}");
        assert_eq!(before.len(), after.len(), "{number}");
        let is_shared = |(a, b): (&Arc<Interval>, &Arc<Interval>)| {
            let counted = a.place.as_ref().map(|p| p.round) != b.place.as_ref().map(|p| p.round);
            Arc::ptr_eq(a, b) || counted
        };
        assert!(before.iter().zip(&after).all(is_shared), "{number}");
    }
}

#[test]
fn copies_stand_in_their_order_behind_what_runs_or_is_ahead() {
    let mut rng = Rng::with_seed(12);
    for number in 0..1_000 {
        let case = case(&mut rng, 2);
        let before = ahead(&case);
        let after = rng.usize(0..=before.len());
        let running = case.plan.intervals()[case.n].id;
        let name = after.checked_sub(1).map_or(running, |at| before[at].id);
        let of = rng.u32(0..u32::try_from(case.plan.intervals().len()).unwrap());
        let kind = |secs| ChangeKind::Copy {
            after: name,
            length: Span::from_secs(secs),
        };
        let changes = [11, 12].map(|secs| Change {
            id: of,
            kind: kind(secs),
        });
        let mut next = 1_000_000;
        let got = apply(begun(&case), &before, &changes, &mut next);
        let lengths = got[after..after + 2].iter().map(|i| i.length.secs_floor());
        assert_eq!(lengths.collect::<Vec<_>>(), [11, 12], "{number}");
        assert_eq!((got[after].id, got[after + 1].id), (1_000_000, 1_000_001));
        assert_eq!((got.len(), next), (before.len() + 2, 1_000_002), "{number}");
    }
}

#[test]
fn what_runs_is_counted_with_what_is_ahead() {
    let mut rng = Rng::with_seed(13);
    for number in 0..1_000 {
        let case = case(&mut rng, 2);
        let running = case.plan.intervals()[case.n].interval();
        let of = |interval: &Interval| interval.place.as_ref().map(|p| p.round.of);
        assert_eq!(
            of(&counted_with(running, &ahead(&case))),
            of(running),
            "{number}"
        );
        let alone = counted_with(running, &[]);
        let nth = running.place.as_ref().map(|p| p.round.nth);
        assert_eq!(of(&alone), nth, "{number}");
    }
}

#[test]
fn an_empty_class_and_one_that_is_over_have_nothing_to_change() {
    let (mut rng, cueing) = (Rng::with_seed(14), Cueing::default());
    let over = case(&mut rng, 2).plan;
    let empty = Timeline::laid("Empty".into(), Arc::new([]), Vec::new());
    let room = Span::from_secs(60);
    for plan in [over, empty] {
        let (n, at) = (plan.intervals().len(), Offset::ZERO + plan.total());
        let landing = Landing::of(&plan, n, at, room, &cueing);
        assert_eq!((landing.changes.len(), landing.over), (0, Span::ZERO));
        assert_eq!((landing.in_hand, landing.total), (room, plan.total()));
        let none = Landing::with_running(&plan, n, at, Span::ZERO, &cueing);
        assert_eq!(none.over, Span::ZERO);
        assert_eq!(Landing::spare(&plan, n, at, room, &cueing), []);
        let case = Case { plan, n, at, room };
        assert_eq!(case.with(&[]).total(), case.plan.total());
    }
}

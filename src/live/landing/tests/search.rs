//! Every way to leave rounds out, tried one by one: a landing is one of those in which no block
//! could keep a round more, and where any of them ends in time it does.

use std::collections::BTreeMap;

use fastrand::Rng;

use super::plans::{Case, case};
use super::rules::{Floor, What, fits, floors, what};
use crate::live::landing::{Change, ChangeKind, Landing};
use crate::plan::{Kind, Placed, Shape, Timeline};
use crate::session::Cueing;
use crate::time::Span;

/// The works of the rounds of each block of which nothing has begun.
type Rounds = BTreeMap<usize, Vec<Vec<u32>>>;

fn rounds(case: &Case) -> Rounds {
    let mut works: BTreeMap<(usize, usize), Vec<u32>> = BTreeMap::new();
    let all = case.plan.intervals();
    for work in all.iter().filter(|of| of.kind == Kind::Work) {
        if let Some(place) = &work.place {
            let round = (place.block, place.round.nth);
            works.entry(round).or_default().push(work.id);
        }
    }
    let begun = |work: &u32| all[..=case.n].iter().any(|of| of.id == *work);
    let mut rounds = Rounds::new();
    for ((block, _), mut works) in works {
        let is_set = all
            .iter()
            .any(|of| of.id == works[0] && is_of(of, Shape::Sets));
        if is_set {
            works.retain(|work| !begun(work));
        }
        if !works.is_empty() && !works.iter().any(begun) {
            rounds.entry(block).or_default().push(works);
        }
    }
    rounds
}

fn is_of(of: &Placed, shape: Shape) -> bool {
    of.place.as_ref().is_some_and(|place| place.shape == shape)
}

/// The class without these works, and without the pauses of their block that lead to them.
fn without(case: &Case, works: &[u32]) -> Timeline {
    let all = case.plan.intervals();
    let mut gone = Vec::new();
    for (i, work) in all.iter().enumerate() {
        if !works.contains(&work.id) {
            continue;
        }
        gone.push(work.id);
        let before = all[case.n + 1..i].iter().rev();
        let pause = before.take_while(|of| of.kind != Kind::Work && of.block() == work.block());
        gone.extend(pause.map(|of| of.id));
    }
    let drop = |id| Change {
        id,
        kind: ChangeKind::Drop,
    };
    let drops: Vec<Change> = gone.into_iter().map(drop).collect();
    case.with(&drops)
}

/// All ways to keep some rounds of each block.
fn ways(rounds: &Rounds) -> Vec<BTreeMap<usize, usize>> {
    let mut ways = vec![BTreeMap::new()];
    for (&block, of) in rounds {
        let more = |way: &BTreeMap<usize, usize>| {
            (0..=of.len()).map({
                let way = way.clone();
                move |kept| {
                    let mut way = way.clone();
                    way.insert(block, kept);
                    way
                }
            })
        };
        ways = ways.iter().flat_map(more).collect();
    }
    ways
}

fn goes(rounds: &Rounds, way: &BTreeMap<usize, usize>) -> Vec<u32> {
    let goes = rounds
        .iter()
        .flat_map(|(block, of)| of[way[block]..].iter().flatten());
    goes.copied().collect()
}

/// How many rounds of each block a landed class keeps.
fn kept(rounds: &Rounds, after: &Timeline) -> BTreeMap<usize, usize> {
    let stays = |works: &&Vec<u32>| after.intervals().iter().any(|of| of.id == works[0]);
    let kept = rounds
        .iter()
        .map(|(&block, of)| (block, of.iter().filter(stays).count()));
    kept.collect()
}

/// The shortest that a class can become, its cool-down too.
fn shortest(case: &Case, after: &Timeline) -> Span {
    let least = floors(case, after, Floor::Last);
    let ahead = &after.intervals()[case.n + 1..];
    let running = after.intervals()[case.n].end - case.at;
    running + ahead.iter().map(|of| least[&of.id]).sum::<Span>()
}

#[test]
fn no_way_to_leave_rounds_out_keeps_more_of_a_block() {
    let mut rng = Rng::with_seed(21);
    let (mut some, mut none) = (0, 0);
    for number in 0..6_000 {
        let case = case(&mut rng, 3);
        let ahead = &case.plan.intervals()[case.n + 1..];
        // A grid goes by windows, and a window may give more than its floor.
        let is_other = |of: &Placed| of.grid().is_some() || what(of) == What::Window;
        let rounds = rounds(&case);
        if ahead.iter().any(is_other) || rounds.is_empty() || ways(&rounds).len() > 100 {
            continue;
        }
        let landing = Landing::of(&case.plan, case.n, case.at, case.room, &Cueing::default());
        let after = case.with(&landing.changes);
        let kept = kept(&rounds, &after);
        let fitting: Vec<BTreeMap<usize, usize>> = ways(&rounds)
            .into_iter()
            .filter(|way| fits(&case, &without(&case, &goes(&rounds, way))))
            .collect();
        if !fitting.is_empty() {
            assert_eq!(landing.over, Span::ZERO, "{number}");
            some += 1;
        }
        for way in &fitting {
            let is_more = way.iter().all(|(block, count)| *count >= kept[block]) && *way != kept;
            assert!(!is_more, "{number}: {kept:?} where {way:?} fits");
        }
        if !landing.over.is_zero() {
            let least = shortest(&case, &after);
            assert_eq!(landing.over, least.saturating_sub(case.room), "{number}");
            none += 1;
        }
    }
    assert!(some > 300 && none > 20, "{some} {none}");
}

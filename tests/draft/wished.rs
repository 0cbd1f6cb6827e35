//! Wishes at random, as instructors might have them.

use std::sync::Arc;

use matside::advice::{BlockWish, Exertion, Kit, LastTaught, Level, Wishes};
use matside::session::{Action, Library, Load, Region, Use};
use matside::time::Span;

const THINGS: [&str; 7] = [
    "dumbbells",
    "band",
    "kettlebell",
    "step",
    "chair",
    "ball",
    "bottle",
];

const SHAPES: [&str; 14] = [
    "4 moves 3x40/20",
    "5 moves 2x45/15 standing",
    "6 moves 2x30/15 floor",
    "4 moves 50,40,30/25,20,15",
    "3 moves 4x30/30 by-move floor",
    "4 stations 2x45/15 standing",
    "6 stations 2x40/20",
    "4 stations 3x30/20 floor",
    "4 moves emom 12x40",
    "3 moves emom 9x45 floor",
    "4 moves amrap 8:00 standing",
    "3 moves amrap 6:00 floor",
    "4 moves reps 2x12/20 standing",
    "4 moves 8x20/10",
];

/// One wish in so many has something.
fn one_in(rng: &mut fastrand::Rng, many: u8) -> bool {
    rng.u8(0..many) == 0
}

fn some<T: Copy>(rng: &mut fastrand::Rng, all: &[T], most: usize) -> Vec<T> {
    let mut all = all.to_vec();
    rng.shuffle(&mut all);
    all.truncate(rng.usize(0..=most));
    all
}

/// Wishes of every kind: a good part of them with limits, kit by count, and a history.
pub(crate) fn random(rng: &mut fastrand::Rng, library: &Library) -> Wishes {
    let people = rng.bool().then(|| rng.u32(1..41));
    let kit = some(rng, &THINGS, 4);
    let kit = kit.into_iter().map(|thing| Kit {
        thing: thing.to_owned(),
        count: people.filter(|_| one_in(rng, 3)).map(|_| rng.u32(2..30)),
    });
    let kit = kit.collect();
    let shape: Vec<BlockWish> = if rng.bool() {
        Vec::new()
    } else {
        let count = rng.usize(1..4);
        (0..count)
            .map(|_| rng.choice(SHAPES).expect("some").parse().expect("a shape"))
            .collect()
    };
    let all: Vec<String> = library.iter().map(|of| of.id.clone()).collect();
    let mut any = |most: usize| {
        let mut ids: Vec<String> = (0..rng.usize(0..=most))
            .filter_map(|_| rng.choice(&all).cloned())
            .collect();
        ids.sort_unstable();
        ids.dedup();
        ids
    };
    let (leave_out, last, older) = (any(8), any(16), any(40));
    let have: Vec<String> = any(2)
        .into_iter()
        .filter(|id| !leave_out.contains(id))
        .collect();
    let last = last.into_iter().map(|id| LastTaught {
        id,
        days: 4,
        in_last_class: true,
    });
    let older = older.into_iter().map(|id| LastTaught {
        id,
        days: 15,
        in_last_class: false,
    });
    let taught: Vec<LastTaught> = last.chain(older).collect();
    let limits = if one_in(rng, 2) {
        some(rng, Load::ALL, 3)
    } else {
        Vec::new()
    };
    // A wished move that no version of spares the limits is refused, which has a test of its own.
    let spares = |id: &String| {
        let plain = library.get(id).map(|of| Use::plain(Arc::clone(of)));
        plain.is_some_and(|plain| plain.version().meets(&limits).is_empty())
    };
    let have = have.into_iter().filter(spares).collect();
    // Half of the slots are usual ones, the others of any length.
    let usual = rng.choice([20, 30, 40, 45, 50, 60, 75]).expect("some");
    let minutes = if rng.bool() { usual } else { rng.u64(12..121) };
    Wishes {
        title: one_in(rng, 4).then(|| "Slack \"water\"".to_owned()),
        slot: Span::from_secs(minutes * 60 + if one_in(rng, 4) { rng.u64(0..60) } else { 0 }),
        leave: Span::from_secs(rng.u64(90..240)),
        shape,
        level: Level::ALL[rng.usize(0..3)],
        limits,
        kit,
        people,
        regions: if one_in(rng, 3) {
            some(rng, Region::ALL, 2)
        } else {
            Vec::new()
        },
        actions: if one_in(rng, 3) {
            some(
                rng,
                &[Action::Push, Action::Pull, Action::Squat, Action::Brace],
                2,
            )
        } else {
            Vec::new()
        },
        exertion: Exertion::ALL[rng.usize(0..3)],
        taught,
        weeks: rng.u32(1..9),
        have,
        leave_out,
        seed: rng.u64(0..4),
    }
}

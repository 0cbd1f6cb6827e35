//! What is not said is named, once, with a reason that holds.

use std::collections::HashSet;

use super::chosen::Opening;
use super::random::{self, Size, at, span};
use super::{Ask, Call, Hold, Item, Lack, Missed, Range, Rank, Stretch, Variant, Window, Worth};

fn size(rng: &mut fastrand::Rng) -> Size {
    Size {
        stretches: rng.usize(1..4),
        asks: rng.usize(1..9),
        calls: rng.usize(..4),
        length: 14,
        long: 4,
        moves: true,
    }
}

/// An ask or call, whatever the variant.
fn number(item: Item) -> (bool, usize) {
    match item {
        Item::Ask { ask, .. } => (true, ask),
        Item::Call(call) => (false, call),
    }
}

#[test]
fn everything_is_said_or_missed_once() {
    let mut rng = fastrand::Rng::with_seed(11);
    for case in 0..1500 {
        let size = size(&mut rng);
        let window = random::window(&mut rng, size);
        let chosen = window.select();
        let said = chosen.said.iter().map(|said| number(said.item));
        let all: Vec<_> = said
            .chain(chosen.missed.iter().map(|missed| number(missed.item)))
            .collect();
        let apart: HashSet<_> = all.iter().copied().collect();
        assert_eq!(all.len(), apart.len(), "case {case}: {window:?}");
        assert_eq!(
            all.len(),
            window.asks.len() + window.calls.len(),
            "case {case}"
        );
    }
}

/// Whatever would have room beside the rest would be said.
#[test]
fn what_is_missed_lacks_what_its_reason_says() {
    let mut rng = fastrand::Rng::with_seed(12);
    let (mut needed, mut nowhere, mut time, mut budget) = (0, 0, 0, 0);
    for case in 0..1500 {
        let size = size(&mut rng);
        let window = random::window(&mut rng, size);
        let chosen = window.select();
        for Missed { item, why } in &chosen.missed {
            match why {
                Lack::Needed(by) => {
                    needed += 1;
                    let missed = chosen.missed.iter().map(|missed| number(missed.item));
                    assert!(
                        missed.into_iter().any(|other| other == (true, *by)),
                        "case {case}"
                    );
                }
                Lack::Nowhere => nowhere += 1,
                Lack::Room(opening) => {
                    assert!(
                        opening.room() < opening.long,
                        "case {case}: {item:?} {why:?} {window:?}"
                    );
                    time += usize::from(!opening.is_over_budget());
                    budget += usize::from(opening.is_over_budget());
                }
            }
        }
    }
    assert!(
        needed > 100 && nowhere > 5 && time > 300 && budget > 300,
        "{needed} {nowhere} {time} {budget}"
    );
}

fn free(long: u64, order: u8, rank: usize, (from, by): (u64, u64)) -> Ask<()> {
    Ask {
        rank: Rank::below(rank),
        needs: None,
        coming: false,
        variants: vec![Variant {
            say: (),
            long: span(long),
            order,
            ranges: vec![Range {
                stretch: 0,
                from: at(from),
                by: at(by),
                hold: Hold::Early,
                bonus: Worth::NONE,
                soft_from: None,
            }],
        }],
    }
}

/// Twenty seconds, a gap of four, ten of speech; counted aloud from 17 on.
fn work(asks: Vec<Ask<()>>, calls: Vec<Call<()>>) -> Window<()> {
    Window {
        stretches: vec![Stretch {
            from: at(0),
            until: at(20),
            closed: vec![(at(17), at(20))],
            gap: span(4),
            budget: span(10),
        }],
        asks,
        calls,
    }
}

/// Counted by hand.
#[test]
fn the_room_that_is_left_is_the_longest_piece() {
    let call = |at_ms| Call {
        say: (),
        rank: Rank::below(0),
        stretch: 0,
        at: at(at_ms),
        long: span(1),
    };
    let room = |time, allowance, long| {
        Lack::Room(Opening {
            stretch: 0,
            time: span(time),
            allowance: span(allowance),
            long: span(long),
        })
    };
    for (window, missed) in [
        // Said 0 to 3, so from 7 to 17.
        (
            work(vec![free(3, 1, 1, (0, 20)), free(8, 2, 2, (0, 20))], vec![]),
            room(10, 7, 8),
        ),
        // 0 to 6 before the call at 10, 15 to 17 after it.
        (
            work(vec![free(7, 1, 2, (0, 20))], vec![call(10)]),
            room(6, 9, 7),
        ),
        // The count begins at 17.
        (work(vec![free(3, 1, 2, (15, 20))], vec![]), room(2, 10, 3)),
        // Said 9 to 12, and the other is earlier in the order: until 5.
        (
            work(vec![free(3, 2, 1, (9, 12)), free(6, 1, 2, (0, 20))], vec![]),
            room(5, 7, 6),
        ),
    ] {
        let chosen = window.select();
        let whys: Vec<&Lack> = chosen.missed.iter().map(|missed| &missed.why).collect();
        assert_eq!(whys, [&missed], "{chosen:?}");
    }
}

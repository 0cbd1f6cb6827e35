//! An independent model of the class beside the running one: small, slow, and written from the
//! README, the session format and the agreement on the keys. Where these are silent (which pause
//! grows, what of a change can still be taken back) it does as the class does, by its doc comments.
//!
//! Not modelled: which version a limit leads to, how a landing is worked out (it is only done), which
//! easy move keeps a class moving, what is said, and what sounds. Those have tests of their own.

mod at_once;
mod clock;
mod edits;
mod gate;
mod land;
mod model;
mod once_more;
mod other;
mod pieces;
mod random_class;
mod random_keys;
mod side_by_side;
mod undo;

use matside::plan::Timeline;
use matside::time::Span;
use random_class::Family;
use random_keys::presses;
use side_by_side::{drive, shortened};

const FAMILIES: [Family; 4] = [Family::Timed, Family::Grids, Family::Counted, Family::Mixed];

#[test]
fn a_session_expands_to_the_same_pieces() {
    let mut rng = fastrand::Rng::with_seed(8);
    for n in 0..400 {
        let text = random_class::class(&mut rng, FAMILIES[n % FAMILIES.len()]);
        let session = random_class::read(&text);
        let timeline = Timeline::of(&session);
        let theirs = timeline.intervals().iter().map(|i| {
            let ids: Vec<&str> = i.moves.iter().map(|of| of.of.id.as_str()).collect();
            (i.kind, i.length, ids, i.untimed, i.part, i.block())
        });
        let pieces = pieces::expand(&session);
        let ours = pieces.iter().map(|piece| {
            let ids: Vec<&str> = piece.moves.iter().map(|of| of.of.id.as_str()).collect();
            let length = Span::from_millis(piece.length);
            (
                piece.kind,
                length,
                ids,
                piece.untimed,
                piece.part,
                piece.at.map(|at| at.block),
            )
        });
        assert!(theirs.eq(ours), "{text}\n{timeline:?}\n{pieces:?}");
    }
}

/// So many inputs to random classes of a family.
fn inputs(family: Family, count: usize) {
    let mut rng = fastrand::Rng::with_seed(0xC1A5 + family as u64);
    let mut taken = 0;
    while taken < count {
        let text = random_class::class(&mut rng, family);
        let session = random_class::read(&text);
        for _ in 0..8 {
            let presses = presses(&mut rng, session.laid().len());
            match drive(&session, &presses) {
                Ok(both) => taken += both,
                Err((n, what)) => {
                    let story = shortened(&session, &presses[..=n]);
                    let class = brief(&text);
                    panic!("after {taken} inputs, in\n{class}\n{what}\nshorter:\n{story}");
                }
            }
        }
    }
}

#[test]
fn timed_rounds_and_sections() {
    inputs(Family::Timed, 250_000);
}

#[test]
fn grids() {
    inputs(Family::Grids, 250_000);
}

#[test]
fn counted_work_and_windows() {
    inputs(Family::Counted, 250_000);
}

#[test]
fn everything_mixed() {
    inputs(Family::Mixed, 250_000);
}

/// A class without its moves, which are the same in all.
fn brief(text: &str) -> &str {
    text.split_once("], parts: ")
        .map_or(text, |(_, parts)| parts)
}

//! What a move is worth at a place of the work, whatever stands beside it, in points: a hundred is a
//! move that suits in every way. The weights are judgement (common practice, no source).

use super::candidate::Candidate;
use super::shape::{BlockWish, Ground};
use super::wishes::{Level, Wishes};
use crate::advice::likeness::region;
use crate::session::{Impact, Load, Pattern, Pick, Position, Sides};
use crate::time::Span;

/// A move that suits in every way.
const SUITS: i64 = 100;
/// A move of the last class comes again only where nothing else is left, and then as few as can be.
const TOO_FRESH: i64 = 600;
/// What a move that was taught today would lose.
const JUST_TAUGHT: i64 = 70;
/// A region or action that is wished.
const WISHED: i64 = 45;
/// A MET more or less than is looked for.
const A_MET: f64 = 12.0;
/// By so many points at most classes of other seeds value a move otherwise.
const OF_SEED: u64 = 24;
/// The least work in which both sides can have their turn (common practice, no source).
const BOTH_SIDES: Span = Span::from_secs(24);
/// Held for so long, a version that moves is wanted (review: `long_hold`).
const HOLD: Span = Span::from_secs(45);

/// Whether a move can be done in a block at all.
pub(super) fn suits(one: &Candidate, wishes: &Wishes, block: &BlockWish, ground: Ground) -> bool {
    let is_each = one.sides == Sides::Each;
    let has_time = !is_each || block.shortest_work() >= BOTH_SIDES;
    let is_free = matches!(block.pattern, Pattern::Amrap { .. } | Pattern::Reps { .. });
    // Nobody calls the change of sides of counted work, and nobody counts a hold.
    let is_countable = !is_free || !is_each && !one.loads.contains(&Load::Isometric);
    let held = if is_each {
        block.longest_work().half()
    } else {
        block.longest_work()
    };
    let is_long_hold = one.loads.contains(&Load::Isometric) && held >= HOLD;
    let places = if block.stations { block.moves } else { 1 };
    let lands = one.impact == Impact::High && wishes.level == Level::Beginner;
    !one.is_gentle()
        && one.ground == ground
        && has_time
        && is_countable
        && !is_long_hold
        && !lands
        && is_in_level(one, wishes)
        && one.has_its_kit(wishes, places)
}

/// Easier versions are for everybody where people are new, or where the move itself is not clean.
fn is_in_level(one: &Candidate, wishes: &Wishes) -> bool {
    let Some(Pick::Easier(_)) = one.turn.pick else {
        return true;
    };
    let plain = crate::session::Version::of(&one.turn.of, None);
    wishes.level == Level::Beginner || !plain.meets(&wishes.limits).is_empty()
}

/// What it is worth.
pub(super) fn worth(one: &Candidate, wishes: &Wishes, ground: Ground) -> i64 {
    SUITS
        + fresh(one.id(), wishes)
        + focus(one, wishes)
        + effort(one, wishes, ground)
        + level(one, wishes)
        + words(one)
        + kit(one, wishes)
        + of_seed(one.id(), wishes.seed)
}

/// What was brought is to be used: two moves of it are worth the way to fetch it, one is not.
fn kit(one: &Candidate, wishes: &Wishes) -> i64 {
    let brought =
        |thing: &&str| *thing != "chair" && wishes.kit.iter().any(|kit| kit.thing == *thing);
    if one.things().iter().any(brought) {
        12
    } else {
        0
    }
}

/// Variety against what was taught.
pub(super) fn fresh(id: &str, wishes: &Wishes) -> i64 {
    if wishes.is_too_fresh(id) {
        return -TOO_FRESH;
    }
    let Some(last) = wishes.last_taught(id) else {
        return 0;
    };
    // The later it was taught, the less welcome it is.
    let all = wishes.weeks.max(1) * 7;
    let left = i64::from(all.saturating_sub(last.days));
    -JUST_TAUGHT * left / i64::from(all)
}

fn focus(one: &Candidate, wishes: &Wishes) -> i64 {
    let first = region(&one.turn);
    let regions = wishes.regions.iter();
    let of_region = regions.map(|&wished| match first {
        Some(first) if first == wished => WISHED,
        _ if one.works(wished) => WISHED / 2,
        _ => 0,
    });
    let of_action = one
        .action()
        .is_some_and(|action| wishes.actions.contains(&action));
    of_region.max().unwrap_or(0) + if of_action { WISHED } else { 0 }
}

/// What the work of a block is to cost: on the floor and on a chair less than on the feet, six tenths of
/// what is above rest and a little (common practice, no source).
fn target(wishes: &Wishes, ground: Ground) -> f64 {
    let met = wishes.exertion.met();
    match ground {
        Ground::Standing => met,
        Ground::Chair | Ground::Floor => 2.0 + (met - 2.0) * 0.6,
    }
}

#[expect(clippy::cast_possible_truncation, reason = "a few hundred points")]
fn effort(one: &Candidate, wishes: &Wishes, ground: Ground) -> i64 {
    -((one.met - target(wishes, ground)).abs() * A_MET).round() as i64
}

/// Whether it is a move for the people of this class.
fn level(one: &Candidate, wishes: &Wishes) -> i64 {
    let asks = |load: Load| one.loads.contains(&load);
    let has_easier = !one.turn.of.easier.is_empty();
    let version = match (wishes.level, one.turn.pick) {
        (_, None) => 0,
        (Level::Beginner, Some(Pick::Easier(0))) => -5,
        (_, Some(Pick::Easier(n))) => -20 - 10 * i64::try_from(n).unwrap_or(9),
        (_, Some(Pick::Instead(_))) => -20,
        (_, Some(Pick::Harder(0))) => 6,
        (_, Some(Pick::Harder(_))) => -10,
    };
    let lands = if one.impact == Impact::High { 30 } else { 0 };
    let body = match wishes.level {
        Level::Beginner => {
            let on_hands = one.turn.position() == Position::HandsAndFeet;
            let hard = [
                on_hands,
                asks(Load::Balance),
                asks(Load::HeadDown),
                !has_easier,
            ];
            -hard
                .into_iter()
                .map(|is| if is { 12 } else { 0 })
                .sum::<i64>()
        }
        Level::Mixed => -lands - if has_easier { 0 } else { 10 },
        Level::Advanced => -lands / 3,
    };
    version + body
}

/// A version without words of its own leaves the instructor to find them.
fn words(one: &Candidate) -> i64 {
    if one.turn.version().setup().is_some() {
        0
    } else {
        -15
    }
}

/// Another seed values moves that are about as good in another order; seed 0 leaves them as they are.
pub(super) fn of_seed(id: &str, seed: u64) -> i64 {
    if seed == 0 {
        return 0;
    }
    let mut mixed = id.bytes().fold(seed ^ 0xcbf2_9ce4_8422_2325, |sum, byte| {
        (sum ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    });
    // The finish of the SplitMix generator (Steele et al. 2014), from memory.
    mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    mixed ^= mixed >> 31;
    i64::try_from(mixed % (OF_SEED + 1)).unwrap_or(0)
}

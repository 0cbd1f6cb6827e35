//! What each act makes of what is left of the class: a value in, another one out.
//!
//! A change either bends what is to come, or jumps: what runs is left at once. What the body needs
//! between moves is kept by the gate, through which every change goes; here a change does only
//! what it is for.

use std::sync::Arc;

use super::course::{Remaining, Running};
use super::gate::{Gate, PutIn};
use super::input::Harder;
use super::rotation;
use crate::plan::{Interval, Kind, Timeline, least, need};
use crate::session::{Cueing, Pick, Room, Use, Version, choose};
use crate::time::{Offset, Span};

/// The least that `take` leaves, besides the count (common practice, no source).
const TAKE_FLOOR: Span = Span::from_secs(3);
/// The most an interval can be made to last.
const LONGEST: Span = Span::from_secs(12 * 3600);

/// What a change makes of the class.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Edit {
    pub(super) left: Remaining,
    /// Whether what ran is left at once.
    pub(super) jump: bool,
    /// What was put in already so that people get to what it leads to.
    pub(super) put_in: PutIn,
}

impl Edit {
    pub(super) fn bend(left: Remaining) -> Self {
        let (jump, put_in) = (false, PutIn::default());
        Self { left, jump, put_in }
    }

    pub(super) fn jump(left: Remaining) -> Self {
        let (jump, put_in) = (true, PutIn::default());
        Self { left, jump, put_in }
    }
}

/// Why a change cannot be made, in words for the screen.
pub(super) type Refusal = String;

/// Leaves the running interval. In a grid the rest takes what the work leaves, so that the next
/// start stays where it is.
pub(super) fn go_on(left: &Remaining, at: Offset, next_id: &mut u32) -> Option<Edit> {
    let running = left.running.as_ref()?;
    let mut after = left.clone();
    keep_grid(&mut after, running, running.left(at), next_id);
    after.begin_next(at);
    Some(Edit::jump(after))
}

/// Gives the rest of a grid what its work leaves.
fn keep_grid(left: &mut Remaining, running: &Running, spare: Span, next_id: &mut u32) {
    if running.interval.grid().is_none() || !running.interval.kind.is_moving() {
        return;
    }
    match grid_rest(left, running) {
        Some(rest) => {
            let length = rest.length + spare;
            left.ahead.replace(1, vec![with_length(&rest, length)]);
        }
        None if !spare.is_zero() => {
            let rest = Interval {
                kind: Kind::Rest,
                length: spare,
                moves: Arc::default(),
                untimed: false,
                ..running.interval.as_ref().clone()
            };
            left.ahead.push(numbered(&rest, next_id));
        }
        None => {}
    }
}

/// The rest that fills the window of the grid in which a work runs.
fn grid_rest(left: &Remaining, running: &Running) -> Option<Arc<Interval>> {
    let next = left.ahead.next()?;
    // A landing counts anew of how many windows it is, but not which one.
    let window = |of: &Interval| {
        of.place
            .as_ref()
            .map(|place| (place.block, place.window.nth))
    };
    let same = window(next) == window(&running.interval);
    (next.kind == Kind::Rest && same).then(|| next.clone())
}

/// From the start of this interval again.
pub(super) fn again(left: &Remaining, at: Offset) -> Option<Edit> {
    let now = left.running.as_ref()?.interval.clone();
    let mut after = left.clone();
    after.begin(now, at);
    Some(Edit::jump(after))
}

/// From the start of an earlier interval, and then this one again. One that is ahead as well gets a
/// number of its own: no number stands twice in a class.
pub(super) fn back_to(
    left: &Remaining,
    at: Offset,
    earlier: &Arc<Interval>,
    next_id: &mut u32,
) -> Option<Edit> {
    let now = left.running.as_ref()?.interval.clone();
    let is_left = left.intervals().any(|next| next.id == earlier.id);
    let mut after = left.clone();
    after.ahead.push(now);
    let earlier = if is_left {
        numbered(earlier, next_id)
    } else {
        earlier.clone()
    };
    after.begin(earlier, at);
    Some(Edit::jump(rotation::closed(&after, next_id)))
}

/// Whether what runs is a rest whose end is a start on a grid, that comes when it comes.
pub(super) fn waits_for_the_grid(left: &Remaining) -> bool {
    let running = left.running.as_ref().map(|of| &of.interval);
    let next = left.ahead.iter().find(|next| next.kind.is_moving());
    running.zip(next).is_some_and(|(now, next)| {
        !now.kind.is_moving() && now.grid().is_some() && now.block() == next.block()
    })
}

/// Leaves out the move being done, or between moves the coming one with its rest; tells which.
pub(super) fn skip(
    left: &Remaining,
    gate: &Gate,
    next_id: &mut u32,
) -> Option<(Edit, Arc<Interval>)> {
    let now = &left.running.as_ref()?.interval;
    if now.kind.is_moving() {
        return Some((go_on(left, gate.at, next_id)?, now.clone()));
    }
    let coming = left.ahead.iter().position(|next| next.kind.is_moving())?;
    let skipped = left.ahead.iter().nth(coming)?.clone();
    let behind = left.ahead.iter().skip(coming + 1);
    let with_it = rotation::rest_of(&skipped, behind);
    let mut rest = left.ahead.iter().skip(coming + 1 + with_it);
    let rests = rest.next().is_some_and(|next| next.kind == Kind::Rest);
    let first = left.ahead.iter().take(coming).cloned().collect();
    let mut after = left.clone();
    let gone = coming + 1 + with_it + usize::from(rests);
    after.ahead.replace(gone, first);
    gate.keep_start(&skipped, &mut after, next_id);
    Some((Edit::bend(after), skipped))
}

/// So much more time in what runs. In a grid the rest gives it.
pub(super) fn add(
    left: &Remaining,
    by: Span,
    cueing: &Cueing,
    mat_lies: bool,
) -> Result<(Edit, Span), Refusal> {
    let running = timed(left)?;
    if running.target + by > LONGEST {
        return Err(format!("nothing lasts longer than {LONGEST}"));
    }
    let mut after = left.clone();
    let mut by = match &left.cap {
        Some(cap) if running.end() + by > cap.ends => {
            return Err("the block ends at its cap".to_owned());
        }
        _ => by,
    };
    if running.interval.grid().is_some() {
        let rest = grid_rest(left, running).filter(|_| running.interval.kind.is_moving());
        let rest = rest.ok_or("the next one starts on time")?;
        let next = left.ahead.iter().find(|next| next.kind.is_moving());
        let floor = next.map_or(Span::ZERO, |next| {
            let active = Some(&rest).filter(|rest| rest.is_active_pause());
            let body = active.unwrap_or(&running.interval);
            need(cueing, Some(body), next, mat_lies)
        });
        by = by.min(rest.length.saturating_sub(floor.max(least(cueing))));
        if by.is_zero() {
            return Err("the next one starts on time, and the rest is short".to_owned());
        }
        after
            .ahead
            .replace(1, vec![with_length(&rest, rest.length.saturating_sub(by))]);
    }
    set_target(&mut after, running.target + by);
    Ok((Edit::bend(after), by))
}

/// So much less time in what runs, but the last seconds stay, and so does the second side. In a
/// grid the rest takes it.
pub(super) fn take(
    left: &Remaining,
    at: Offset,
    by: Span,
    cueing: &Cueing,
    next_id: &mut u32,
) -> Result<(Edit, Span), Refusal> {
    let running = timed(left)?;
    let moving = running.interval.kind.is_moving();
    if running.interval.grid().is_some() && !moving {
        return Err("the next one starts on time".to_owned());
    }
    let floor = TAKE_FLOOR.max(cueing.count_span());
    let elapsed = running.elapsed(at);
    let side_two = running.switch.filter(|&switch| switch > elapsed);
    let least = side_two.unwrap_or(elapsed).max(elapsed) + floor;
    let target = running
        .target
        .saturating_sub(by)
        .max(least.min(running.target));
    let by = running.target.saturating_sub(target);
    if by.is_zero() {
        return Err("already at its last seconds".to_owned());
    }
    let mut after = left.clone();
    keep_grid(&mut after, running, by, next_id);
    set_target(&mut after, target);
    Ok((Edit::bend(after), by))
}

fn timed(left: &Remaining) -> Result<&Running, Refusal> {
    let running = left.running.as_ref().ok_or("the class is over")?;
    if running.interval.untimed {
        return Err("this lasts until you go on".to_owned());
    }
    Ok(running)
}

fn set_target(left: &mut Remaining, target: Span) {
    if let Some(running) = &mut left.running {
        running.target = target;
    }
}

/// The meant move one step easier or harder, here and wherever its part still has it.
pub(super) fn step(left: &Remaining, way: Harder, room: &Room) -> Option<Edit> {
    let meant = left.meant()?.clone();
    let turn = meant.turn()?;
    let pick = stepped(turn, way, room)?;
    let alike = |interval: &Interval| {
        interval.part == meant.part
            && interval.moves.len() == meant.moves.len()
            && interval
                .turn()
                .is_some_and(|other| other.of.id == turn.of.id)
    };
    let with_pick = |interval: &Interval| {
        let mut moves = interval.moves.to_vec();
        moves[0] = Arc::new(Use {
            pick,
            ..moves[0].as_ref().clone()
        });
        Interval {
            moves: moves.into(),
            ..interval.clone()
        }
    };
    let mut after = left.clone();
    if let Some(running) = after.running.as_mut().filter(|of| alike(&of.interval)) {
        running.interval = Arc::new(with_pick(&running.interval));
    }
    after.ahead.change(alike, with_pick);
    Some(Edit::bend(after))
}

/// The move being done, or between moves the one just done, once more after itself, with the rest
/// that its block has.
pub(super) fn once_more(
    left: &Remaining,
    done: Option<&Arc<Interval>>,
    rests: impl Fn(usize) -> Option<Arc<Interval>>,
    next_id: &mut u32,
) -> Option<Edit> {
    let running = left.running.as_ref()?;
    let now = &running.interval;
    let mut after = left.clone();
    let moves = now.kind.is_moving();
    let again = rotation::to_repeat(left, done)?;
    if again.together().is_some_and(|of| of.turn.of > 1) {
        return Some(Edit::bend(rotation::once_more(left, again, next_id)));
    }
    let work = numbered(again, next_id);
    let next = left.ahead.next();
    let leads_on = next.filter(|next| next.kind == Kind::Rest && moves);
    let own = now.kind == Kind::Rest && now.block() == again.block();
    let goes_on = next.is_some_and(|next| next.kind.is_moving());
    let rest = again.block().and_then(rests);
    let rest = rest.filter(|_| moves || own || goes_on);
    let rest = rest.map(|rest| rest_after(again, &rest));
    // A work that fills its window leaves none.
    let rest = rest.filter(|rest| !rest.length.is_zero());
    let rest = rest.map(|rest| numbered(&rest, next_id));
    let (count, first) = match leads_on {
        Some(leads_on) => (
            1,
            [Some(to_next_start(running, leads_on)), Some(work), rest],
        ),
        None if moves => (0, [rest, Some(work), None]),
        None => (0, [Some(work), rest, None]),
    };
    let first = first.into_iter().flatten().collect();
    after.ahead.replace(count, first);
    Some(Edit::bend(after))
}

/// The rest behind what runs, where more is to follow it: in a grid up to the next start, though a
/// landing may have cut the last one.
fn to_next_start(running: &Running, rest: &Arc<Interval>) -> Arc<Interval> {
    let every = running.interval.grid().filter(|_| rest.grid().is_some());
    let window = every.map_or(Span::ZERO, |every| every.saturating_sub(running.target));
    if window > rest.length {
        with_length(rest, window)
    } else {
        rest.clone()
    }
}

/// A rest of its block as it follows a work: no longer than it was planned, whatever a way once
/// needed; in a grid it fills the window of the work.
fn rest_after(work: &Interval, rest: &Interval) -> Interval {
    match work.grid() {
        Some(every) => Interval {
            length: every.saturating_sub(work.length),
            place: work.place.clone(),
            ..rest.clone()
        },
        None => Interval {
            length: rest.length.min(rest.planned),
            ..rest.clone()
        },
    }
}

/// What is left of this pass left out; a recovery that ends it stays, and so does the rest that
/// someone who works now needs before the next pass. Windows of a grid go whole.
pub(super) fn drop_round(left: &Remaining, gate: &Gate, next_id: &mut u32) -> Option<Edit> {
    let now = &left.running.as_ref()?.interval;
    let here = now.pass()?;
    let ahead = left.ahead.iter();
    let pass: Vec<_> = ahead.take_while(|next| next.pass() == Some(here)).collect();
    let last_work = pass.iter().rposition(|next| next.kind == Kind::Work)?;
    let is_grid = now.grid().is_some();
    let own = usize::from(is_grid && now.kind == Kind::Work && pass[0].kind == Kind::Rest);
    let behind = pass[last_work + 1..].iter();
    let rests = behind.take_while(|next| next.kind == Kind::Rest).count();
    let end = match now.kind {
        _ if is_grid => pass.len(),
        Kind::Work => last_work + 1,
        _ => last_work + 1 + rests,
    };
    // Whoever has begun to go round the stations comes to all of them.
    let going_on = rotation::rest_of(now, pass.iter().copied());
    if going_on > last_work {
        return None;
    }
    let own = if going_on == 0 {
        own
    } else {
        going_on + usize::from(is_grid)
    };
    let kept = pass[..own].iter().map(|rest| (*rest).clone()).collect();
    let mut after = left.clone();
    let first = pass.iter().find(|next| next.kind.is_moving());
    let first = first.map(|first| (*first).clone());
    after.ahead.replace(end, kept);
    if let Some(first) = first.filter(|_| !now.kind.is_moving()) {
        gate.keep_start(&first, &mut after, next_id);
    }
    Some(Edit::bend(after))
}

/// To the first interval of a part. One ahead is as the class now stands; this one and those
/// behind begin anew as they were planned, and the parts after them stay as they now stand.
pub(super) fn go_to(
    left: &Remaining,
    at: Offset,
    part: usize,
    original: &Timeline,
) -> Option<Edit> {
    let here = left.running.as_ref()?.interval.part;
    let mut after = left.clone();
    let ahead = left.ahead.iter().position(|next| next.part == part);
    if let Some(first) = ahead.filter(|_| here != part) {
        after.ahead.replace(first, Vec::new());
    } else {
        let last = here.max(part);
        let planned = original.intervals().iter();
        let again = planned.filter(|next| (part..=last).contains(&next.part));
        let mut again: Vec<_> = again.map(|placed| placed.interval().clone()).collect();
        if again.is_empty() {
            return None;
        }
        // A block gone to begins anew.
        after.cap = None;
        // What is put in once more can stand before what is passed.
        let passed = left.ahead.iter().enumerate();
        let passed = passed.filter(|(_, next)| next.part <= last).last();
        let changed = passed.map_or(0, |(passed, _)| passed + 1);
        let stays = left.ahead.iter().take(changed);
        again.extend(stays.filter(|next| next.part > last).cloned());
        after.ahead.replace(changed, again);
    }
    after.begin_next(at);
    Some(Edit::jump(after))
}

/// This much of the class left out from `at` on, but no work that lasts until the instructor
/// moves on, and nothing after it. Nothing where such work runs.
pub(super) fn leave_out(left: &Remaining, at: Offset, gap: Span) -> Option<Edit> {
    let running = left
        .running
        .as_ref()
        .filter(|running| !running.interval.untimed)?;
    let mut after = left.clone();
    if gap < running.left(at) {
        after.running = Some(running.taken_up(at, running.elapsed(at) + gap));
        return Some(Edit::jump(after));
    }
    let mut gap = gap.saturating_sub(running.left(at));
    while let Some(next) = after.ahead.next() {
        if next.untimed || gap < next.length {
            let into = if next.untimed { Span::ZERO } else { gap };
            after.begin_next(at);
            after.running = after.running.map(|begun| begun.taken_up(at, into));
            return Some(Edit::jump(after));
        }
        gap = gap.saturating_sub(next.length);
        after.ahead.pop();
    }
    after.running = None;
    Some(Edit::jump(after))
}

/// An interval that is to be this long.
pub(super) fn with_length(interval: &Interval, length: Span) -> Arc<Interval> {
    Arc::new(Interval {
        length,
        ..interval.clone()
    })
}

fn numbered(interval: &Interval, next_id: &mut u32) -> Arc<Interval> {
    let id = *next_id;
    *next_id += 1;
    Arc::new(Interval {
        id,
        ..interval.clone()
    })
}

/// The version to which a key leads from the one in force; nothing where there is none.
#[expect(
    clippy::option_option,
    reason = "whether there is a step, and the option or the plain move it leads to"
)]
fn stepped(turn: &Use, way: Harder, room: &Room) -> Option<Option<Pick>> {
    let choice = choose(turn, room);
    let to = match way {
        Harder::Easier => choice.next_easier(),
        Harder::Harder => choice.next_harder().map(|harder| harder.version),
        Harder::Instead => choice.next_instead(),
    };
    to.map(Version::pick)
}

//! From facts to the class as it was taught, fact by fact.
//!
//! Where the steady clock went on and the offset did not, the class stood. What can be taken back
//! is kept on a stack just as the running class has it.

use std::collections::HashMap;
use std::sync::Arc;

use super::header::{Header, SlotKind};
use super::taught::{Changes, HoldTaken, MarkSet, Piece, Taught, moves_of};
use super::wall::{self, Wall};
use crate::live::{Act, Ending, Fact, HoldReason, What};
use crate::plan::Kind;
use crate::session::Move;
use crate::time::{Moment, Offset, Span};

/// The end of the slot: known by the wall at first, by the steady clock once it was set in class.
#[derive(Clone, Copy)]
enum SlotEnd {
    Wall(Wall),
    Steady(Moment),
}

/// A change as it can be taken back: its number, and which count it went into, if any.
struct Made {
    number: u32,
    count: Option<fn(&mut Changes) -> &mut u32>,
}

impl Taught {
    /// The class of a record.
    #[must_use]
    pub fn of<'a>(header: &Header, facts: impl IntoIterator<Item = (Wall, &'a Fact)>) -> Self {
        let mut fold = Fold::over(header);
        for (wall, fact) in facts {
            fold.take(wall, fact);
        }
        fold.closed()
    }
}

/// A class as far as its facts have been taken.
struct Fold<'a> {
    moves: HashMap<&'a str, &'a Arc<Move>>,
    slot_end: Option<SlotEnd>,
    slot_kind: Option<SlotKind>,
    last: Option<(Moment, Offset)>,
    is_held: bool,
    /// The pieces of the works that were skipped, by their places, and by which change.
    skipped: Vec<(usize, u32)>,
    /// The changes that were not taken back, in order.
    made: Vec<Made>,
    /// How many changes were made.
    changes: u32,
    taught: Taught,
}

impl<'a> Fold<'a> {
    fn over(header: &'a Header) -> Self {
        Self {
            moves: moves_of(&header.session),
            slot_end: header.slot_end.map(SlotEnd::Wall),
            slot_kind: header.slot_kind,
            last: None,
            is_held: false,
            skipped: Vec::new(),
            made: Vec::new(),
            changes: 0,
            taught: Taught::default(),
        }
    }

    /// What went by since the fact before: class time to the piece, standing time to the hold.
    ///
    /// Class time never goes back; an interval that is entered again after a jump was taken back
    /// may be told with the offset at which it first began.
    fn pass_time(&mut self, wall: Wall, fact: &Fact) {
        let (at, offset) = self.last.unwrap_or((fact.at, fact.offset));
        let ran = fact.offset.since(offset);
        let stood = fact
            .at
            .since(at)
            .saturating_sub(ran)
            .saturating_sub(asleep(fact));
        self.last = Some((fact.at, fact.offset.max(offset)));
        if let Some(piece) = self.taught.pieces.last_mut() {
            piece.ran += ran;
            piece.to = wall;
        }
        if let (true, Some(hold)) = (self.is_held, self.taught.holds.last_mut()) {
            hold.lasted += stood;
            self.is_held = ran.is_zero();
        }
    }

    /// The end was taken back: since then the class stood.
    fn take_up_again(&mut self, offset: Offset) {
        self.taught.ended = None;
        self.taught.late_ms = None;
        self.hold(offset, HoldReason::Hold);
    }

    /// Takes the next fact; what comes after the end is no part of the class.
    fn take(&mut self, wall: Wall, fact: &Fact) {
        if self.taught.ended.is_some() {
            match fact.what {
                What::Undid(_) => self.take_up_again(fact.offset),
                _ => return,
            }
        }
        self.pass_time(wall, fact);
        match &fact.what {
            What::Entered { .. } => self.enter(wall, &fact.what),
            What::Did(act) => self.did(wall, fact, act),
            What::Undid(change) => self.undo(Some(*change)),
            What::EndsAt(end) => self.slot_end = end.map(|end| self.slot_ends(wall, fact.at, end)),
            What::Reach(_) => {}
            What::Sound(is_back) => self.taught.sound_lost += u32::from(!is_back),
            What::Ended(ending) => self.end(*ending, wall, fact.at),
        }
    }

    /// An hour on the wall is that hour whatever becomes of the clock; a length goes by the steady
    /// clock.
    fn slot_ends(&self, wall: Wall, at: Moment, end: Moment) -> SlotEnd {
        match self.slot_kind {
            Some(SlotKind::Hour) => SlotEnd::Wall(wall::moved(wall, at, end)),
            Some(SlotKind::Length) | None => SlotEnd::Steady(end),
        }
    }

    fn enter(&mut self, wall: Wall, what: &What) {
        let What::Entered {
            id,
            kind,
            length,
            part,
            block,
            round,
            moves,
            pick,
            together,
        } = what
        else {
            return;
        };
        self.taught.began.get_or_insert(wall);
        self.taught.pieces.push(Piece {
            id: *id,
            kind: *kind,
            part: *part,
            block: *block,
            round: *round,
            moves: moves.clone(),
            pick: *pick,
            together: *together,
            length: *length,
            ran: Span::ZERO,
            from: wall,
            to: wall,
            skipped: false,
        });
    }

    fn did(&mut self, wall: Wall, fact: &Fact, act: &Act) {
        match act {
            Act::Begin | Act::Resume => {}
            Act::Limits(_) if self.taught.began.is_none() => {}
            Act::Limits(_) | Act::End => self.made(None),
            Act::Hold(why) => self.hold(fact.offset, *why),
            Act::Slept { gap, .. } => self.sleep(fact, *gap),
            Act::Mark => self.mark(wall, fact.offset),
            Act::Undo => self.undo(None),
            Act::Skip => self.skip(),
            Act::Step(_) => self.change(|changes| &mut changes.steps),
            Act::OnceMore => self.change(|changes| &mut changes.repeats),
            Act::DropRound => self.change(|changes| &mut changes.dropped_rounds),
            Act::Land(_) => self.change(|changes| &mut changes.landings),
            Act::Swap(of) => self.swap(of),
            Act::GoOn | Act::Back | Act::Add(_) | Act::Take(_) | Act::GoTo(_) | Act::CatchUp => {
                self.change(|changes| &mut changes.others);
            }
        }
    }

    /// The other move is not in the plan, and is kept with the class.
    fn swap(&mut self, of: &Arc<Move>) {
        self.change(|changes| &mut changes.others);
        self.taught.brought.push(of.clone());
    }

    /// A hold within a hold, or in the count-in after it, is the same stand.
    fn hold(&mut self, offset: Offset, why: HoldReason) {
        if !self.is_held {
            self.taught.holds.push(HoldTaken {
                offset,
                why,
                lasted: Span::ZERO,
            });
        }
        self.is_held = true;
    }

    /// Told when the laptop is awake again. Whether the steady clock went on meanwhile differs
    /// between systems; the stand lasted as long as the laptop was away.
    fn sleep(&mut self, fact: &Fact, gap: Span) {
        self.hold(fact.offset, HoldReason::Slept);
        if let Some(hold) = self.taught.holds.last_mut() {
            hold.lasted += gap.max(asleep(fact));
        }
    }

    fn mark(&mut self, wall: Wall, offset: Offset) {
        let during = self.taught.pieces.last().map_or_else(String::new, |piece| {
            let named = piece.moves.first().map(|id| self.name_of(id));
            named.unwrap_or_else(|| piece.kind.label().to_owned())
        });
        self.taught.marks.push(MarkSet {
            offset,
            wall,
            during,
        });
    }

    fn name_of(&self, id: &str) -> String {
        let mut brought = self.taught.brought.iter();
        let of = self.moves.get(id).copied();
        let of = of.or_else(|| brought.find(|of| of.id == id));
        of.map_or_else(|| id.to_owned(), |of| of.name.clone())
    }

    /// The work being done, or if none is, the coming one, which is then never entered.
    fn skip(&mut self) {
        self.change(|changes| &mut changes.skips);
        let pieces = &self.taught.pieces;
        let Some(work) = pieces.last().filter(|piece| piece.kind == Kind::Work) else {
            return;
        };
        let others = pieces.iter().rposition(|piece| piece.id != work.id);
        let left = others.map_or(0, |at| at + 1)..pieces.len();
        self.skipped.extend(left.map(|at| (at, self.changes)));
    }

    fn change(&mut self, count: fn(&mut Changes) -> &mut u32) {
        *count(&mut self.taught.changes) += 1;
        self.made(Some(count));
    }

    fn made(&mut self, count: Option<fn(&mut Changes) -> &mut u32>) {
        self.changes += 1;
        let number = self.changes;
        self.made.push(Made { number, count });
    }

    /// Takes back the change with a number. Records of version 1.0 do not tell which: the last.
    fn undo(&mut self, number: Option<u32>) {
        let is_it = |made: &Made| number.is_none_or(|number| made.number == number);
        let Some(at) = self.made.iter().rposition(is_it) else {
            return;
        };
        let Made { number, count } = self.made.remove(at);
        if let Some(count) = count {
            *count(&mut self.taught.changes) -= 1;
        }
        self.skipped.retain(|&(_, by)| by != number);
    }

    fn end(&mut self, ending: Ending, wall: Wall, at: Moment) {
        self.taught.ended = Some((ending, wall));
        self.taught.late_ms = self.slot_end.map(|end| match end {
            SlotEnd::Wall(end) => wall::millis_between(end, wall),
            SlotEnd::Steady(end) => signed(at.since(end)) - signed(end.since(at)),
        });
    }

    /// The class, when there are no more facts.
    fn closed(mut self) -> Taught {
        for (at, _) in self.skipped {
            self.taught.pieces[at].skipped = true;
        }
        self.taught
    }
}

/// How much of the steady clock's time before this fact was sleep.
fn asleep(fact: &Fact) -> Span {
    match fact.what {
        What::Did(Act::Slept { from, .. }) => fact.at.since(from),
        _ => Span::ZERO,
    }
}

fn signed(span: Span) -> i64 {
    i64::try_from(span.millis()).unwrap_or(i64::MAX)
}

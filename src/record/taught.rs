//! The class as it was taught: its pieces in order, told from the facts alone.
//!
//! Class time is the facts' offsets, time on the wall their wall time. Where the steady clock went
//! on and the offset did not, the class stood. How a change worked out is not computed here: what
//! it led to was recorded as intervals entered.

use std::collections::HashMap;
use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::header::Header;
use super::wall::{self, Wall};
use crate::live::{Act, Ending, Fact, HoldReason, What};
use crate::plan::Kind;
use crate::session::{Move, Part, Pick, Session, Use};
use crate::time::{Moment, Offset, Span};

/// An interval as it was taught, or the part of one between two changes of its option.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// The interval's own number.
    pub id: u32,
    /// What it was for.
    pub kind: Kind,
    /// The part of the session, counted from 0.
    pub part: usize,
    /// The block, counted from 1.
    pub block: Option<usize>,
    /// The round, counted from 1.
    pub round: Option<usize>,
    /// The moves, by their words in the library.
    pub moves: Vec<String>,
    /// The option in force.
    pub pick: Option<Pick>,
    /// How long it was to be when it began.
    pub length: Span,
    /// How much class time it took.
    pub ran: Span,
    /// When it began.
    pub from: Wall,
    /// When it ended; holds within it lie between.
    pub to: Wall,
    /// Whether it was a work that the instructor left.
    pub skipped: bool,
}

/// A stand of the class.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct HoldTaken {
    /// Where the class was.
    pub offset: Offset,
    /// Why it stood.
    pub why: HoldReason,
    /// For how long, the count-in after it included.
    pub lasted: Span,
}

/// A moment that the instructor marked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct MarkSet {
    /// Where the class was.
    pub offset: Offset,
    /// When, by the clock on the wall.
    #[serde(with = "wall")]
    pub wall: Wall,
    /// What was being done: a move's name, or the kind of interval.
    pub during: String,
}

/// How often the instructor changed the class, what she took back left out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Changes {
    /// Moves left out.
    pub skips: u32,
    /// Steps to an easier or harder option.
    pub steps: u32,
    /// Moves done once more.
    pub repeats: u32,
    /// Rounds cut.
    pub dropped_rounds: u32,
    /// Landings taken.
    pub landings: u32,
    /// All other changes.
    pub others: u32,
}

/// The class as it was taught.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Taught {
    /// When the first interval began.
    pub began: Option<Wall>,
    /// Its pieces in order.
    pub pieces: Vec<Piece>,
    /// Its stands in order.
    pub holds: Vec<HoldTaken>,
    /// Its marks in order.
    pub marks: Vec<MarkSet>,
    /// What was changed.
    pub changes: Changes,
    /// How often the loudspeaker was lost.
    pub sound_lost: u32,
    /// How and when it ended; none where it did not.
    pub ended: Option<(Ending, Wall)>,
    /// How many milliseconds after the slot's end it ended; before it, negative.
    pub late_ms: Option<i64>,
}

impl Taught {
    /// The class of a record.
    #[must_use]
    pub fn of<'a>(header: &Header, facts: impl IntoIterator<Item = (Wall, &'a Fact)>) -> Self {
        let mut fold = Fold::over(header);
        for (wall, fact) in facts {
            if fold.taught.ended.is_some() {
                break;
            }
            fold.pass_time(wall, fact);
            fold.take(wall, fact);
        }
        fold.closed()
    }
}

/// The moves of a plan by their words.
#[must_use]
pub fn moves_of(session: &Session) -> HashMap<&str, &Arc<Move>> {
    let uses = session.parts.iter().flat_map(|part| -> Vec<&Arc<Use>> {
        match part {
            Part::WarmUp(steps) | Part::CoolDown(steps) => {
                steps.iter().map(|step| &step.turn).collect()
            }
            Part::Block(block) => block.moves.iter().collect(),
            Part::Talk { .. } | Part::Ready { .. } | Part::Recover { .. } => Vec::new(),
        }
    });
    uses.map(|turn| (turn.of.id.as_str(), &turn.of)).collect()
}

/// The end of the slot: known by the wall at first, by the steady clock once it was set in class.
#[derive(Clone, Copy)]
enum SlotEnd {
    Wall(Wall),
    Steady(Moment),
}

/// How many changes a class can take back.
const UNDO_DEPTH: usize = 100;

/// A change as it can be taken back: which count it went into, and how many works were skipped
/// before it.
struct Done {
    count: fn(&mut Changes) -> &mut u32,
    skipped: usize,
}

struct Fold<'a> {
    moves: HashMap<&'a str, &'a Arc<Move>>,
    slot_end: Option<SlotEnd>,
    last: Option<(Moment, Offset)>,
    is_held: bool,
    skipped: Vec<u32>,
    done: Vec<Done>,
    taught: Taught,
}

impl<'a> Fold<'a> {
    fn over(header: &'a Header) -> Self {
        Self {
            moves: moves_of(&header.session),
            slot_end: header.slot_end.map(SlotEnd::Wall),
            last: None,
            is_held: false,
            skipped: Vec::new(),
            done: Vec::new(),
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
        let stood = fact.at.since(at).less(ran).less(asleep(fact));
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

    fn take(&mut self, wall: Wall, fact: &Fact) {
        match &fact.what {
            What::Entered { .. } => self.enter(wall, &fact.what),
            What::Did(act) => self.did(wall, fact, act),
            What::EndsAt(end) => self.slot_end = end.map(SlotEnd::Steady),
            What::Sound(is_back) => self.taught.sound_lost += u32::from(!is_back),
            What::Ended(ending) => self.end(*ending, wall, fact.at),
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
            length: *length,
            ran: Span::ZERO,
            from: wall,
            to: wall,
            skipped: false,
        });
    }

    fn did(&mut self, wall: Wall, fact: &Fact, act: &Act) {
        match act {
            Act::Begin | Act::End | Act::Resume | Act::Limits(_) => {}
            Act::Hold(why) => self.hold(fact.offset, *why),
            Act::Slept { gap, .. } => self.sleep(fact, *gap),
            Act::Mark => self.mark(wall, fact.offset),
            Act::Undo => self.undo(),
            Act::Skip => self.skip(),
            Act::Step(_) => self.change(|changes| &mut changes.steps),
            Act::OnceMore => self.change(|changes| &mut changes.repeats),
            Act::DropRound => self.change(|changes| &mut changes.dropped_rounds),
            Act::Land(_) => self.change(|changes| &mut changes.landings),
            Act::GoOn | Act::Back | Act::Add(_) | Act::Take(_) | Act::GoTo(_) | Act::CatchUp => {
                self.change(|changes| &mut changes.others);
            }
        }
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
        self.moves
            .get(id)
            .map_or_else(|| id.to_owned(), |of| of.name.clone())
    }

    /// The work being done, or if none is, the coming one, which is then never entered.
    fn skip(&mut self) {
        self.change(|changes| &mut changes.skips);
        let work = self
            .taught
            .pieces
            .last()
            .filter(|piece| piece.kind == Kind::Work);
        self.skipped.extend(work.map(|piece| piece.id));
    }

    fn change(&mut self, count: fn(&mut Changes) -> &mut u32) {
        *count(&mut self.taught.changes) += 1;
        if self.done.len() == UNDO_DEPTH {
            self.done.remove(0);
        }
        let skipped = self.skipped.len();
        self.done.push(Done { count, skipped });
    }

    fn undo(&mut self) {
        if let Some(Done { count, skipped }) = self.done.pop() {
            *count(&mut self.taught.changes) -= 1;
            self.skipped.truncate(skipped);
        }
    }

    fn end(&mut self, ending: Ending, wall: Wall, at: Moment) {
        self.taught.ended = Some((ending, wall));
        self.taught.late_ms = self.slot_end.map(|end| match end {
            SlotEnd::Wall(end) => wall::millis_between(end, wall),
            SlotEnd::Steady(end) => signed(at.since(end)) - signed(end.since(at)),
        });
    }

    fn closed(mut self) -> Taught {
        for piece in &mut self.taught.pieces {
            piece.skipped = self.skipped.contains(&piece.id);
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

//! One class in a page: what was planned beside what was taught.
//!
//! A fold over a record, and nothing else: whatever is here can be computed again.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use super::header::Header;
use super::note::{Note, Rating};
use super::reader::Recovered;
use super::sides::{self, SidesDone};
use super::taught::{Changes, HoldTaken, MarkSet, Piece, Taught, moves_in};
use super::wall::{self, Wall};
use crate::live::Ending;
use crate::plan::{Kind, Timeline};
use crate::session::{Load, Move, Muscle, Region};
use crate::time::Span;

/// How much of a class: planned, or taught.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Amounts {
    /// Class time, held time left out.
    pub run: Span,
    /// Time in works.
    pub work: Span,
    /// Works; of those taught, the ones begun and not skipped.
    pub works: usize,
    /// Rounds of blocks in which there was such a work.
    pub rounds: usize,
}

/// What was done of a move.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct MoveDone {
    /// Its word in the library.
    pub id: String,
    /// Its name.
    pub name: String,
    /// How many intervals it was done in.
    pub times: usize,
    /// Time in works. A circuit's time is shared evenly among its moves.
    pub work: Span,
    /// Time in warm-up and cool-down.
    pub gentle: Span,
    /// Of both, what the first side had of a one-sided move that was timed; nothing where it has no sides.
    #[serde(default)]
    pub first_side: Span,
    /// What the second side had.
    #[serde(default)]
    pub second_side: Span,
    /// What it works, as the library said then.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub regions: Vec<Region>,
    /// The muscles it works, as the library said then.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub muscles: Vec<Muscle>,
}

/// An option that everyone did.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct OptionUsed {
    /// The move's name.
    pub of: String,
    /// The option's call.
    pub call: String,
    /// In how many intervals.
    pub times: usize,
}

/// One class in a page.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Summary {
    /// What the class was called.
    pub title: String,
    /// When the record was begun.
    #[serde(with = "wall")]
    pub started: Wall,
    /// How it ended; none where it did not, or its record did not.
    pub ending: Option<Ending>,
    /// What someone in the room had to spare at the start.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub limits: Vec<Load>,
    /// What was planned.
    pub planned: Amounts,
    /// What was taught.
    pub taught: Amounts,
    /// Class time by kind of interval; adds up to the time run.
    pub by_kind: BTreeMap<Kind, Span>,
    /// Planned works that were not taught: skipped, landed away, dropped or never reached.
    pub works_left_out: usize,
    /// What the instructor changed.
    pub changes: Changes,
    /// One-sided moves of which one side had clearly more.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sides: Vec<SidesDone>,
    /// Options that everyone did.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub options: Vec<OptionUsed>,
    /// When the class stood.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub holds: Vec<HoldTaken>,
    /// How long it stood, all in all.
    pub held: Span,
    /// How many milliseconds after the slot's end it ended; before it, negative.
    pub late_ms: Option<i64>,
    /// Marked moments.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub marks: Vec<MarkSet>,
    /// What was done of each move, in the order of the class.
    pub moves: Vec<MoveDone>,
    /// How often the loudspeaker was lost.
    pub sound_lost: u32,
    /// What was added after class.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Note>,
}

/// Session load: the rating of the whole session times its minutes, in arbitrary units.
///
/// Foster et al. 2001 (J Strength Cond Res 15(1):109); the published example is 7 x 60 = 420.
#[must_use]
pub fn session_load(rating: Rating, time: Span) -> f64 {
    f64::from(rating.value()) * time.secs() / 60.0
}

impl Summary {
    /// The page of a record.
    #[must_use]
    pub fn of(record: &Recovered) -> Self {
        let taught = Taught::of(&record.header, record.facts_on_the_wall());
        Self::from_taught(&record.header, &taught, record.note().cloned())
    }

    /// The page of a class as it was taught.
    #[must_use]
    pub fn from_taught(header: &Header, taught: &Taught, note: Option<Note>) -> Self {
        let plan = Timeline::of(&header.session);
        let sides = sides::of(header, taught, &plan);
        Self {
            title: header.session.title.clone(),
            started: header.started,
            ending: taught.ended.map(|(ending, _)| ending),
            limits: header.limits.clone(),
            planned: planned(&plan),
            taught: amounts(&taught.pieces),
            by_kind: by_kind(&taught.pieces),
            works_left_out: left_out(&plan, &taught.pieces),
            changes: taught.changes,
            sides: sides::uneven(&sides),
            options: options(header, taught),
            holds: taught.holds.clone(),
            held: taught.holds.iter().map(|hold| hold.lasted).sum(),
            late_ms: taught.late_ms,
            marks: taught.marks.clone(),
            moves: moves(header, taught, &sides),
            sound_lost: taught.sound_lost,
            note,
        }
    }

    /// The session load over the class time run, breaks not counted; none without a rating.
    #[must_use]
    pub fn load(&self) -> Option<f64> {
        let rating = self.note.as_ref()?.rating?;
        Some(session_load(rating, self.taught.run))
    }

    /// Time of work by region. A move counts in full for each region it names, so these may add up
    /// to more than the time of work.
    #[must_use]
    pub fn by_region(&self) -> BTreeMap<Region, Span> {
        tally(&self.moves, |of| &of.regions)
    }

    /// Time of work by muscle; counted as for regions.
    #[must_use]
    pub fn by_muscle(&self) -> BTreeMap<Muscle, Span> {
        tally(&self.moves, |of| &of.muscles)
    }
}

fn tally<T: Copy + Ord>(moves: &[MoveDone], of: fn(&MoveDone) -> &[T]) -> BTreeMap<T, Span> {
    let mut sums = BTreeMap::new();
    for done in moves.iter().filter(|done| !done.work.is_zero()) {
        for &word in of(done) {
            *sums.entry(word).or_default() += done.work;
        }
    }
    sums
}

fn planned(plan: &Timeline) -> Amounts {
    let works = || plan.intervals().iter().filter(|one| one.kind == Kind::Work);
    let rounds: BTreeSet<_> = works()
        .filter_map(|work| work.place.as_ref())
        .map(|place| (place.block, place.round.nth))
        .collect();
    Amounts {
        run: plan.total(),
        work: plan.time_in(Kind::Work),
        works: works().count(),
        rounds: rounds.len(),
    }
}

/// Works that were begun and not skipped.
fn works(pieces: &[Piece]) -> impl Iterator<Item = &Piece> {
    pieces
        .iter()
        .filter(|piece| piece.kind == Kind::Work && !piece.skipped && !piece.ran.is_zero())
}

fn amounts(pieces: &[Piece]) -> Amounts {
    let works_done: BTreeSet<u32> = works(pieces).map(|piece| piece.id).collect();
    let rounds: BTreeSet<_> = works(pieces)
        .filter_map(|piece| Some((piece.block?, piece.round?)))
        .collect();
    Amounts {
        run: pieces.iter().map(|piece| piece.ran).sum(),
        work: by_kind(pieces).remove(&Kind::Work).unwrap_or_default(),
        works: works_done.len(),
        rounds: rounds.len(),
    }
}

fn by_kind(pieces: &[Piece]) -> BTreeMap<Kind, Span> {
    let mut sums = BTreeMap::new();
    for piece in pieces {
        *sums.entry(piece.kind).or_default() += piece.ran;
    }
    sums
}

fn left_out(plan: &Timeline, pieces: &[Piece]) -> usize {
    let done: BTreeSet<u32> = works(pieces).map(|piece| piece.id).collect();
    plan.intervals()
        .iter()
        .filter(|one| one.kind == Kind::Work && !done.contains(&one.id))
        .count()
}

fn moves(header: &Header, taught: &Taught, sides: &[(String, SidesDone)]) -> Vec<MoveDone> {
    let library = moves_in(&header.session, &taught.brought);
    let mut out: Vec<MoveDone> = Vec::new();
    let mut place = BTreeMap::new();
    let mut seen = BTreeSet::new();
    for piece in taught.pieces.iter().filter(|piece| !piece.ran.is_zero()) {
        for (id, share) in piece.moves.iter().zip(shares(piece.ran, piece.moves.len())) {
            let at = *place.entry(id.as_str()).or_insert_with(|| {
                out.push(fresh(id, library.get(id.as_str()).map(|of| &***of)));
                out.len() - 1
            });
            // Where people go from move to move, each of them comes to it once.
            let comes = piece.together.is_none_or(|work| work == 1);
            out[at].times += usize::from(comes && seen.insert((at, piece.id)));
            match piece.kind {
                Kind::Work => out[at].work += share,
                _ => out[at].gentle += share,
            }
        }
    }
    for done in &mut out {
        if let Some((_, sides)) = sides.iter().find(|(id, _)| *id == done.id) {
            (done.first_side, done.second_side) = (sides.first, sides.second);
        }
    }
    out
}

fn fresh(id: &str, of: Option<&Move>) -> MoveDone {
    MoveDone {
        id: id.to_owned(),
        name: of.map_or(id, |of| &of.name).to_owned(),
        regions: of.map(|of| of.regions.clone()).unwrap_or_default(),
        muscles: of.map(|of| of.muscles.clone()).unwrap_or_default(),
        ..MoveDone::default()
    }
}

/// A span in so many parts that differ by at most a millisecond and add up to it.
fn shares(span: Span, parts: usize) -> impl Iterator<Item = Span> {
    let parts = parts as u64;
    (0..parts).map(move |n| {
        Span::from_millis(span.millis() / parts + u64::from(n < span.millis() % parts))
    })
}

fn options(header: &Header, taught: &Taught) -> Vec<OptionUsed> {
    let library = moves_in(&header.session, &taught.brought);
    let mut out: Vec<OptionUsed> = Vec::new();
    let mut seen = BTreeSet::new();
    for piece in taught.pieces.iter().filter(|piece| !piece.ran.is_zero()) {
        let of = piece.moves.first().and_then(|id| library.get(id.as_str()));
        let option = of.zip(piece.pick).and_then(|(of, pick)| of.option(pick));
        let Some((of, option)) = of.zip(option) else {
            continue;
        };
        if !seen.insert((piece.id, &option.call)) {
            continue;
        }
        match out
            .iter_mut()
            .find(|one| one.of == of.name && one.call == option.call)
        {
            Some(one) => one.times += 1,
            None => out.push(OptionUsed {
                of: of.name.clone(),
                call: option.call.clone(),
                times: 1,
            }),
        }
    }
    out
}

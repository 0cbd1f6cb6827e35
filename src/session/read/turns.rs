//! Moves as a class uses them: the name alone, or `Use(..)` with what is different here.

use std::cell::OnceCell;
use std::collections::BTreeSet;
use std::ops::Range;
use std::sync::Arc;

use super::super::library::Library;
use super::super::model::Pattern;
use super::super::moves::{Move, Use};
use super::super::names::Names;
use super::super::source::clipped;
use super::super::tree::{Node, Shape};
use super::Reader;
use super::by_round::{ByRound, Rounds};
use super::fields::Fields;
use super::values::{HIGHEST, TEXT};
use super::words::like;
use crate::time::Span;

const USE: &[&str] = &[
    "move", "work", "rest", "reps", "effort", "easier", "harder", "instead", "note", "aside",
];
/// How hard work may be meant to be: the scale of Borg's category-ratio, 0 to 10.
pub(super) const EFFORT: std::ops::RangeInclusive<u32> = 0..=10;

/// Where the moves of a class are looked up.
pub(super) struct Known {
    /// The library, with the moves of the class's own.
    pub(super) library: Library,
    /// The same by all their names, once one is asked for that is no id.
    pub(super) names: OnceCell<Names>,
    /// Moves of the class's own that are faulty: they are there, but cannot be used.
    pub(super) broken: BTreeSet<String>,
    /// Whether the class's own moves could not be read at all, so that nobody can tell what is
    /// missing.
    pub(super) blind: bool,
}

/// Where a move stands: what may be said of it differs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Place {
    /// A step of a warm-up or cool-down, with its time beside it.
    Step,
    /// A step of a warm-up or cool-down without a time.
    CountedStep,
    /// What is done in a rest or a recovery.
    Between,
    /// A block of `Rounds` or `Same`.
    Timed,
    /// A block of `Emom`, with its window, and whether it gives a time of work.
    Emom {
        /// From one start to the next.
        every: Span,
        /// Whether its places may be without a time of their own.
        gives_work: bool,
    },
    /// A block of `Amrap`.
    Amrap,
    /// A block of `Reps`.
    Reps,
    /// One of several at once.
    Station,
    /// A block whose pattern is not known.
    Unclear,
}

impl Place {
    /// Why a field of a `Use` cannot stand here, if it cannot.
    fn refuses(self, key: &str) -> Option<(&'static str, &'static str)> {
        match (self, key) {
            (Self::Step, "work") => {
                Some(("the time of a step stands beside it", "write (Use(..), 45)"))
            }
            (Self::Station, "work" | "rest") => Some((
                "the clock is the same for all that are done at once",
                "give it to the `Together`, or to the pattern",
            )),
            (Self::CountedStep, "work") => Some((
                "the time of a step stands beside it",
                "write (Use(move: \"plank\"), 45), or leave `work` away and give `reps`",
            )),
            (Self::Step | Self::CountedStep, "rest") => {
                Some(("there is no rest between steps", "take it away"))
            }
            (Self::Between, "work" | "rest" | "reps") => Some((
                "it lasts as long as the rest in which it is done",
                "take it away",
            )),
            (Self::Emom { .. }, "rest") => Some((
                "in an `Emom` the remainder of the minute is rest",
                "take it away",
            )),
            (Self::Amrap, "work" | "rest") => {
                Some(("an `Amrap` is one window for all its moves", "take it away"))
            }
            _ => None,
        }
    }

    /// What a place lacks that has neither of the two, if it lacks anything.
    pub(super) fn lacks(self, work: bool, reps: bool) -> Option<&'static str> {
        match self {
            Self::CountedStep if !reps => Some("a time or `reps`"),
            Self::Reps if !work && !reps => Some("`reps` in a block of `Reps`"),
            Self::Emom {
                gives_work: false, ..
            } if !work && !reps => Some("`reps` or `work` in an `Emom` without `work`"),
            _ => None,
        }
    }
}

impl<'s> Reader<'s> {
    /// A move of a class, where there are so many rounds.
    pub(super) fn turn(
        &mut self,
        node: &Node<'s>,
        place: Place,
        rounds: Rounds,
        known: &Known,
    ) -> Option<Arc<Use>> {
        if let Shape::Fields(_) = node.shape {
            let fields = self.group(node, "Use", "a use of a move", USE)?;
            return self.changed(&fields, place, rounds, known);
        }
        let of = self.known_move(node, "a move of a class", known);
        if let (Some(what), Shape::Text(id)) = (place.lacks(false, false), &node.shape) {
            self.lacking(node.head(), id, what);
            return None;
        }
        Some(Arc::new(Use::plain(of?)))
    }

    pub(super) fn lacking(&mut self, at: Range<usize>, id: &str, what: &str) {
        let id = clipped(id);
        let help = format!("write Use(move: \"{id}\", reps: 12)");
        self.fault(at, format!("`{id}` needs {what}"), &help);
    }

    fn changed(
        &mut self,
        fields: &Fields<'s>,
        place: Place,
        rounds: Rounds,
        known: &Known,
    ) -> Option<Arc<Use>> {
        let fits = self.fields_fit(fields, place);
        let of = self.moves_by_round(fields, rounds, known);
        let by = |key: &'static str| (fields, key, rounds);
        let work = self.by_round(by("work"), |r, n, l| r.own_work(n, l, place));
        let rest = self.by_round(by("rest"), Self::time);
        let reps = self.by_round(by("reps"), |r, n, l| r.count(n, l, 1..=HIGHEST));
        let effort = self.by_round(by("effort"), |r, n, l| {
            let effort = r.count(n, l, EFFORT)?;
            u8::try_from(effort).ok()
        });
        let note = self.by_round(by("note"), |r, n, l| r.filled(n, l, TEXT));
        let aside = self.by_round(by("aside"), |r, n, l| r.filled(n, l, TEXT));
        let picks = self.picks(fields, of.as_ref(), rounds);
        let (of, work, rest) = (of.filter(|_| fits)?, work?, rest?);
        let (reps, effort, note, aside, picks) = (reps?, effort?, note?, aside?, picks?);
        let lists = [
            work.len(),
            rest.len(),
            reps.len(),
            effort.len(),
            note.len(),
            aside.len(),
            picks.len(),
        ];
        let in_round = |round: usize| -> Option<Use> {
            Some(Use {
                of: of.get(round)?.clone(),
                pick: picks.get(round).copied(),
                note: note.get(round).cloned(),
                work: work.get(round).copied(),
                rest: rest.get(round).copied(),
                reps: reps.get(round).copied(),
                effort: effort.get(round).copied(),
                aside: aside.get(round).cloned(),
                rounds: Vec::new(),
            })
        };
        let count = lists.into_iter().fold(of.len(), usize::max);
        let all: Vec<Use> = (0..count.max(1)).map_while(in_round).collect();
        let lacks = all.iter().find_map(|one| {
            let lack = place.lacks(one.work.is_some(), one.reps.is_some())?;
            Some((one.of.id.clone(), lack))
        });
        if let Some((id, lack)) = lacks {
            let at = fields.need(self, "move").map_or(0..0, |node| node.head());
            self.lacking(at, &id, lack);
            return None;
        }
        let first = all.first()?.clone();
        let rounds = if all.len() > 1 {
            all.into_iter().map(Arc::new).collect()
        } else {
            Vec::new()
        };
        Some(Arc::new(Use { rounds, ..first }))
    }

    /// The move, or the moves that are taken in turn.
    fn moves_by_round(
        &mut self,
        fields: &Fields<'s>,
        rounds: Rounds,
        known: &Known,
    ) -> Option<ByRound<Arc<Move>>> {
        fields.need(self, "move")?;
        let by = (fields, "move", rounds);
        let read = |r: &mut Self, n: &Node<'s>, l: &str| r.known_move(n, l, known);
        let moves = self.in_turn(by, read)?;
        (moves.len() > 0).then_some(moves)
    }

    fn fields_fit(&mut self, fields: &Fields<'s>, place: Place) -> bool {
        let mut fits = true;
        for key in ["work", "rest", "reps"] {
            if let (Some((why, help)), Some(at)) = (place.refuses(key), fields.place(self, key)) {
                self.fault(at, format!("`{key}` cannot stand here: {why}"), help);
                fits = false;
            }
        }
        fits
    }

    pub(super) fn own_work(&mut self, node: &Node<'s>, label: &str, place: Place) -> Option<Span> {
        let work = self.some_time(node, label)?;
        if let Place::Emom { every, .. } = place {
            return self.within_window(node, label, work, every);
        }
        Some(work)
    }

    /// Work that leaves some of its window.
    pub(super) fn within_window(
        &mut self,
        node: &Node<'s>,
        label: &str,
        work: Span,
        every: Span,
    ) -> Option<Span> {
        if work < every {
            return Some(work);
        }
        let (whole, start) = if every == Pattern::MINUTE {
            (
                "minute".to_owned(),
                "each minute: work for less than 60 s".to_owned(),
            )
        } else {
            (
                format!("{every}"),
                format!("every {every}: work for less than that"),
            )
        };
        let message = format!("{label} takes the whole {whole} or more");
        let help = format!("in an `Emom` a move starts {start}");
        self.fault(node.head(), message, &help);
        None
    }

    fn known_move(&mut self, node: &Node<'s>, label: &str, known: &Known) -> Option<Arc<Move>> {
        let Shape::Text(id) = &node.shape else {
            self.wrong(node, &format!("{label} takes a move's id in quotes"));
            return None;
        };
        let by_name = || {
            let names = known.names.get_or_init(|| Names::of(&known.library));
            names.get(id)
        };
        let found = known.library.get(id).or_else(by_name);
        if let Some(found) =
            found.filter(|of| !known.broken.contains(id.as_ref()) && !known.broken.contains(&of.id))
        {
            return Some(Arc::clone(found));
        }
        let is_broken = found.is_some() || known.broken.contains(id.as_ref());
        if !known.blind && !is_broken {
            self.unknown_move(node, id, known);
        }
        None
    }

    fn unknown_move(&mut self, node: &Node<'s>, id: &str, known: &Known) {
        let own = known.broken.iter().map(String::as_str);
        let near = if self.advises() {
            let of = known.library.nearest(id).map(|of| of.id.as_str());
            of.or_else(|| like(id, own))
        } else {
            None
        };
        let help = match near {
            Some(near) => format!("did you mean \"{near}\"?"),
            None => {
                "`matside moves` lists the library; a class brings its own in `moves: [..]`".into()
            }
        };
        self.fault(
            node.head(),
            format!("there is no move `{}`", clipped(id)),
            &help,
        );
    }
}

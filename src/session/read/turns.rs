//! Moves as a class uses them: the name alone, or `Use(..)` with what is different here.

use std::cell::OnceCell;
use std::collections::BTreeSet;
use std::sync::Arc;

use super::super::library::Library;
use super::super::moves::{Move, Pick, Use};
use super::super::names::Names;
use super::super::source::clipped;
use super::super::tree::{Node, Shape};
use super::Reader;
use super::fields::Fields;
use super::values::{HIGHEST, TEXT};
use super::words::like;
use crate::time::Span;

const USE: &[&str] = &[
    "move", "work", "rest", "reps", "easier", "harder", "instead", "note",
];
/// The lists of a move's versions, of which one is chosen.
const LISTS: [&str; 3] = ["easier", "harder", "instead"];
/// One minute: a move of an EMOM works for less.
pub(super) const MINUTE: Span = Span::from_secs(60);

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
    /// A block of `Rounds` or `Same`.
    Timed,
    /// A block of `Emom`.
    Emom,
    /// A block of `Amrap`.
    Amrap,
    /// A block of `Reps`.
    Reps,
    /// One of several at once; whether their works are counted.
    Station(bool),
    /// A block whose pattern is not known.
    Unclear,
}

impl Place {
    /// Why a field of a `Use` cannot stand here, if it cannot.
    fn refuses(self, key: &str) -> Option<(&'static str, &'static str)> {
        let only_counted = "only blocks of `Reps` and `Amrap` count repetitions";
        match (self, key) {
            (Self::Step, "work") => {
                Some(("the time of a step stands beside it", "write (Use(..), 45)"))
            }
            (Self::Station(_), "work" | "rest") => Some((
                "the clock is the same for all that are done at once",
                "give it to the `Together`, or to the pattern",
            )),
            (Self::Step, "rest") => Some(("there is no rest between steps", "take it away")),
            (Self::Step | Self::Timed | Self::Emom, "reps") => Some((only_counted, "take it away")),
            (Self::Emom, "rest") => Some((
                "in an `Emom` the remainder of the minute is rest",
                "take it away",
            )),
            (Self::Amrap, "work" | "rest") => {
                Some(("an `Amrap` is one window for all its moves", "take it away"))
            }
            (Self::Reps, "work") => Some((
                "in `Reps` the work is counted, not timed",
                "take it away, or choose another pattern",
            )),
            _ => None,
        }
    }
}

impl<'s> Reader<'s> {
    /// A move of a class.
    pub(super) fn turn(
        &mut self,
        node: &Node<'s>,
        place: Place,
        known: &Known,
    ) -> Option<Arc<Use>> {
        if let Shape::Fields(_) = node.shape {
            let fields = self.group(node, "Use", "a use of a move", USE)?;
            return self.changed(&fields, place, known).map(Arc::new);
        }
        let of = self.known_move(node, "a move of a class", known);
        if place == Place::Reps {
            if let Shape::Text(id) = &node.shape {
                self.uncounted(node, id);
            }
            return None;
        }
        Some(Arc::new(Use::plain(of?)))
    }

    fn uncounted(&mut self, node: &Node<'s>, id: &str) {
        let id = clipped(id);
        let help = format!("write Use(move: \"{id}\", reps: 12)");
        self.fault(
            node.head(),
            format!("`{id}` needs `reps` in a block of `Reps`"),
            &help,
        );
    }

    fn changed(&mut self, fields: &Fields<'s>, place: Place, known: &Known) -> Option<Use> {
        let fits = self.fields_fit(fields, place);
        let named = fields.need(self, "move");
        let of = named
            .as_ref()
            .and_then(|node| self.known_move(node, "`move`", known));
        let work = fields.maybe(self, "work", |r, n, l| r.own_work(n, l, place));
        let rest = fields.maybe(self, "rest", Self::time);
        let reps = fields.maybe(self, "reps", |r, n, l| r.count(n, l, 1..=HIGHEST));
        let note = fields.maybe(self, "note", |r, n, l| r.filled(n, l, TEXT));
        let pick = self.pick(fields, of.as_deref());
        if let (Place::Reps, Some(None), Some(node)) = (place, reps, &named) {
            if let Shape::Text(id) = &node.shape {
                self.uncounted(node, id);
            }
            return None;
        }
        Some(Use {
            of: of.filter(|_| fits)?,
            pick: pick?,
            note: note?,
            work: work?,
            rest: rest?,
            reps: reps?,
        })
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
        if place == Place::Emom {
            return self.within_minute(node, label, work);
        }
        Some(work)
    }

    /// Work that leaves some of its minute.
    pub(super) fn within_minute(
        &mut self,
        node: &Node<'s>,
        label: &str,
        work: Span,
    ) -> Option<Span> {
        if work < MINUTE {
            return Some(work);
        }
        let message = format!("{label} takes the whole minute or more");
        self.fault(
            node.head(),
            message,
            "in an `Emom` a move starts each minute: work for less than 60 s",
        );
        None
    }

    /// The option that is chosen; the outer `None` is a fault.
    #[expect(
        clippy::option_option,
        reason = "faulty, left out and there are three things"
    )]
    fn pick(&mut self, fields: &Fields<'s>, of: Option<&Move>) -> Option<Option<Pick>> {
        let read = |r: &mut Self, n: &Node<'s>, l: &str| {
            if let Shape::Whole(number) = n.shape {
                return Some((number, n.head()));
            }
            r.wrong(n, &format!("{l} takes the number of an option, such as 1"));
            None
        };
        let mut chosen = Vec::new();
        for which in LISTS {
            let number = fields.maybe(self, which, read)?;
            chosen.extend(number.map(|(n, at)| (which, n, at)));
        }
        match chosen.as_slice() {
            [] => Some(None),
            [(which, n, at)] => {
                let place = self.option_number(*n, at.clone(), of, which)?;
                Some(Some(match *which {
                    "easier" => Pick::Easier(place),
                    "harder" => Pick::Harder(place),
                    _ => Pick::Instead(place),
                }))
            }
            [(first, ..), .., (last, _, at)] => {
                let message = format!("`{first}` and `{last}` cannot both be chosen");
                self.fault(at.clone(), message, "take one of them away");
                None
            }
        }
    }

    /// The place of an option in its list, from its number in the file, which counts from 1.
    fn option_number(
        &mut self,
        n: i128,
        at: std::ops::Range<usize>,
        of: Option<&Move>,
        which: &str,
    ) -> Option<usize> {
        let of = of?;
        let options = match which {
            "easier" => &of.easier,
            "harder" => &of.harder,
            _ => &of.instead,
        };
        let index = usize::try_from(n).ok().and_then(|n| n.checked_sub(1));
        if let Some(index) = index.filter(|index| *index < options.len()) {
            return Some(index);
        }
        let id = clipped(&of.id);
        let kind = match which {
            "instead" => "`instead`",
            which => which,
        };
        let message = match options.len() {
            0 => format!("`{id}` has no {kind} option"),
            1 => format!("`{id}` has one {kind} option, there is no number {n}"),
            many => format!("`{id}` has {many} {kind} options, there is no number {n}"),
        };
        let calls: Vec<String> = (options.iter().enumerate())
            .map(|(i, option)| format!("{} {}", i + 1, option.call))
            .collect();
        let help = if calls.is_empty() {
            "take it away".into()
        } else {
            format!("they are: {}", calls.join(", "))
        };
        self.fault(at, message, &help);
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

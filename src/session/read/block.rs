//! Blocks and their patterns.

use std::sync::Arc;

use super::super::model::{Block, Order, Pattern};
use super::super::together::{Doing, Together};
use super::super::tree::{Node, Shape};
use super::{Reader, together};
use super::fields::Fields;
use super::turns::{Known, Place};
use super::values::{HIGHEST, NAME};
use crate::time::Span;

const PATTERNS: &[&str] = &["Rounds", "Same", "Emom", "Amrap", "Reps"];
/// Planned time of one repetition where a file says nothing: common practice, no source.
const PACE: Span = Span::from_secs(3);

/// The order of a block as it is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Arrangement {
    /// All moves once, then the next round.
    ByRound,
    /// All rounds of a move, then the next move.
    ByMove,
    /// All moves at once, each by a group.
    Stations,
}

impl<'s> Reader<'s> {
    /// A block: its pattern first, because it decides what its moves may say.
    pub(super) fn block(&mut self, node: &Node<'s>, known: &Known) -> Option<Block> {
        let keys = &["title", "moves", "pattern", "recovery", "order"];
        let fields = self.fields(node, "a `Block`", keys)?;
        let title = fields.maybe(self, "title", |r, n, l| r.filled(n, l, NAME));
        let pattern_node = fields.need(self, "pattern");
        let place = pattern_node.as_ref().map_or(Place::Unclear, place_in);
        let pattern = pattern_node.and_then(|node| self.pattern(&node));
        let order = fields.maybe(self, "order", Self::word);
        let stations = order.flatten() == Some(Arrangement::Stations);
        let fits = self.block_fits(&fields, place, order.flatten());
        let moves = fields.must(self, "moves", |r, n, l| {
            if stations && place != Place::Amrap {
                return r.all_at_once(n, l, place, known);
            }
            r.block_moves(n, l, place, known)
        });
        let recovery = fields.maybe(self, "recovery", Self::time);
        let (moves, pattern) = (moves.filter(|_| fits)?, pattern?);
        self.rotations_end(&fields, &moves, &pattern)?;
        Some(Block {
            title: title?,
            moves,
            pattern,
            recovery: recovery?,
            order: match order? {
                Some(Arrangement::ByMove) => Order::ByMove,
                _ => Order::ByRound,
            },
        })
    }

    /// All moves of a block of stations: one place at which they are done at once.
    fn all_at_once(
        &mut self,
        node: &Node<'s>,
        label: &str,
        place: Place,
        known: &Known,
    ) -> Option<Vec<Doing>> {
        let stations = self.stations(node, label, place, known)?;
        Some(vec![Doing::Together(Arc::new(Together::of(stations)))])
    }

    /// No grid ends before everybody has been everywhere.
    fn rotations_end(
        &mut self,
        fields: &Fields<'s>,
        moves: &[Doing],
        pattern: &Pattern,
    ) -> Option<()> {
        let windows = together::windows(pattern);
        let broken = windows.and_then(|n| Some((n, together::broken_off(moves, n)?)));
        let Some((windows, (works, near))) = broken else {
            return Some(());
        };
        let at = fields.place(self, "pattern")?;
        let near: Vec<String> = near.iter().map(ToString::to_string).collect();
        let message = format!("{windows} starts end within a rotation of {works}");
        let help = format!("for whole rotations take {}", near.join(" or "));
        self.fault(at, message, &help);
        None
    }

    fn block_moves(
        &mut self,
        node: &Node<'s>,
        label: &str,
        place: Place,
        known: &Known,
    ) -> Option<Vec<Doing>> {
        self.some_list(node, label, "moves", |reader, item| {
            reader.doing(item, place, known)
        })
    }

    /// Whether `recovery` and `order` mean something for the pattern.
    fn block_fits(&mut self, fields: &Fields<'s>, place: Place, order: Option<Arrangement>) -> bool {
        let (name, why) = match place {
            Place::Emom => ("Emom", "every move starts on its minute"),
            Place::Amrap => ("Amrap", "there is one window for all its moves"),
            _ => return true,
        };
        let mut fits = true;
        if let Some(at) = fields.place(self, "recovery") {
            let help = "put a `Recover` between two blocks instead";
            self.fault(
                at,
                format!("`recovery` cannot stand in an `{name}`: {why}"),
                help,
            );
            fits = false;
        }
        if let (Some(Arrangement::Stations), Place::Amrap, Some(at)) =
            (order, place, fields.place(self, "order"))
        {
            let message = "`order: Stations` cannot stand in an `Amrap`: there is one window, and nobody goes on";
            self.fault(at, message, "choose `Same` or `Rounds`");
            fits = false;
        }
        if let (Some(Arrangement::ByMove), Some(at)) = (order, fields.place(self, "order")) {
            let message = format!("`order: ByMove` cannot stand in an `{name}`: {why}");
            self.fault(at, message, "take it away: the moves are taken in turn");
            fits = false;
        }
        fits
    }

    fn pattern(&mut self, node: &Node<'s>) -> Option<Pattern> {
        match node.name {
            Some("Rounds") => self.rounds(node),
            Some("Same") => self.same(node),
            Some("Emom") => self.emom(node),
            Some("Amrap") => {
                let fields = self.fields(node, "an `Amrap`", &["time"])?;
                let time = fields.must(self, "time", Self::some_time)?;
                Some(Pattern::Amrap { time })
            }
            Some("Reps") => self.reps(node),
            Some(other) => {
                self.unknown(node, "a pattern", other, PATTERNS);
                None
            }
            None => {
                let message = format!(
                    "a pattern begins with its name, this is {}",
                    node.shape.kind()
                );
                let help = format!("possible here: {}", super::words::listed(PATTERNS));
                self.fault(node.head(), message, &help);
                None
            }
        }
    }

    fn same(&mut self, node: &Node<'s>) -> Option<Pattern> {
        let fields = self.fields(node, "a `Same`", &["rounds", "work", "rest"])?;
        let rounds = fields.must(self, "rounds", Self::at_least_one);
        let work = fields.must(self, "work", Self::some_time);
        let rest = fields.must(self, "rest", Self::time);
        let (rounds, work, rest) = (rounds?, work?, rest?);
        Some(Pattern::Same { rounds, work, rest })
    }

    fn emom(&mut self, node: &Node<'s>) -> Option<Pattern> {
        let fields = self.fields(node, "an `Emom`", &["minutes", "work"])?;
        let minutes = fields.must(self, "minutes", Self::at_least_one);
        let work = fields.must(self, "work", |r, n, l| {
            let work = r.some_time(n, l)?;
            r.within_minute(n, l, work)
        });
        let (minutes, work) = (minutes?, work?);
        Some(Pattern::Emom { minutes, work })
    }

    fn reps(&mut self, node: &Node<'s>) -> Option<Pattern> {
        let fields = self.fields(node, "a `Reps`", &["rounds", "rest", "pace"])?;
        let rounds = fields.must(self, "rounds", Self::at_least_one);
        let rest = fields.must(self, "rest", Self::time);
        let pace = fields.maybe(self, "pace", Self::some_time);
        let (rounds, rest, pace) = (rounds?, rest?, pace?.unwrap_or(PACE));
        Some(Pattern::Reps { rounds, rest, pace })
    }

    fn at_least_one(&mut self, node: &Node<'s>, label: &str) -> Option<u32> {
        self.count(node, label, 1..=HIGHEST)
    }

    fn rounds(&mut self, node: &Node<'s>) -> Option<Pattern> {
        let fields = self.fields(node, "a `Rounds`", &["work", "rest"])?;
        let work_node = fields.need(self, "work");
        let rest_node = fields.need(self, "rest");
        let lengths = work_node
            .as_ref()
            .and_then(length)
            .zip(rest_node.as_ref().and_then(length));
        let work = work_node
            .and_then(|n| self.some_list(&n, "`work`", "times", |r, n| r.some_time(n, "`work`")));
        let rest = rest_node
            .as_ref()
            .and_then(|n| self.some_list(n, "`rest`", "times", |r, n| r.time(n, "`rest`")));
        if let (Some((works, rests)), Some(node)) = (lengths, rest_node)
            && works != rests
            && rests > 1
            && works > 0
        {
            let message = format!("`rest` has {rests} entries and `work` has {works}");
            self.fault(
                node.head(),
                message,
                "give a rest for each round, or one for all",
            );
            return None;
        }
        let (work, mut rest) = (work?, rest?);
        if let [one] = rest[..] {
            rest = vec![one; work.len()];
        }
        Some(Pattern::Rounds { work, rest })
    }
}

fn place_in(pattern: &Node<'_>) -> Place {
    match pattern.name {
        Some("Rounds" | "Same") => Place::Timed,
        Some("Emom") => Place::Emom,
        Some("Amrap") => Place::Amrap,
        Some("Reps") => Place::Reps,
        _ => Place::Unclear,
    }
}

fn length(node: &Node<'_>) -> Option<usize> {
    match &node.shape {
        Shape::List(items) => Some(items.len()),
        _ => None,
    }
}

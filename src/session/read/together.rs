//! Several moves at once: `Together(..)` at a place of a block, and a block whose order is stations.

use std::sync::Arc;

use super::super::model::Pattern;
use super::super::moves::Use;
use super::super::together::{Doing, Together};
use super::super::tree::{Node, Shape};
use super::Reader;
use super::by_round::Rounds;
use super::fields::Fields;
use super::turns::{Known, Place};
use super::words::Ends;

const TOGETHER: &[&str] = &["moves", "swap", "rotate", "ends", "work", "rest"];
/// The most stations of one place.
pub(super) const MOST_STATIONS: u32 = 100;

impl<'s> Reader<'s> {
    /// What is done at a place of a block: a move, or several at once.
    pub(super) fn doing(
        &mut self,
        node: &Node<'s>,
        place: Place,
        rounds: Rounds,
        known: &Known,
    ) -> Option<Doing> {
        if node.name == Some("Together") {
            return self.together(node, place, rounds, known);
        }
        self.turn(node, place, rounds, known).map(Doing::One)
    }

    fn together(
        &mut self,
        node: &Node<'s>,
        place: Place,
        rounds: Rounds,
        known: &Known,
    ) -> Option<Doing> {
        let fields = self.fields(node, "a `Together`", TOGETHER)?;
        let fits = self.together_fits(node, &fields, place);
        let stations = fields.must(self, "moves", |r, n, l| r.stations(n, l, rounds, known));
        let swap = fields.maybe(self, "swap", Self::time);
        let rotate = fields.maybe(self, "rotate", Self::truth);
        let ends = fields.maybe(self, "ends", Self::word::<Ends>);
        let work = fields.maybe(self, "work", |r, n, l| r.own_work(n, l, place));
        let rest = fields.maybe(self, "rest", Self::time);
        let rotates = rotate?.unwrap_or(true);
        if let (false, Some(at)) = (rotates, fields.place(self, "swap")) {
            let message = "`swap` cannot stand here: with `rotate: false` nobody goes on";
            self.fault(at, message, "take one of them away");
            return None;
        }
        let (stations, work) = (stations.filter(|_| fits)?, work?);
        let counted = stations.iter().any(|turn| turn.reps.is_some());
        self.is_measured(node, place, work.is_some(), counted)?;
        Some(Doing::Together(Arc::new(Together {
            stations,
            swap: swap?,
            rotates,
            by_key: ends? == Some(Ends::ByKey),
            work,
            rest: rest?,
        })))
    }

    /// Whether something says how long several at once take, where the pattern does not.
    pub(super) fn is_measured(
        &mut self,
        node: &Node<'s>,
        place: Place,
        timed: bool,
        counted: bool,
    ) -> Option<()> {
        let Some(what) = place.lacks(timed, counted) else {
            return Some(());
        };
        let message = format!("several at once need {what}");
        let help = "give `reps` to those who set the time, such as Use(move: \"squat\", reps: 12)";
        self.fault(node.head(), message, help);
        None
    }

    /// How many works the places of a block come to in a round, as they are written.
    pub(super) fn works_written(&self, node: &Node<'s>) -> usize {
        let Shape::List(items) = &node.shape else {
            return 0;
        };
        items.iter().map(|raw| self.works_at(&self.node(raw))).sum()
    }

    fn works_at(&self, node: &Node<'s>) -> usize {
        let (Some("Together"), Shape::Fields(fields)) = (node.name, &node.shape) else {
            return 1;
        };
        let field = |key: &str| fields.iter().find(|(name, _)| *name == key);
        let field = |key: &str| field(key).map(|(_, raw)| self.node(raw));
        let stays = field("rotate").is_some_and(|node| matches!(node.shape, Shape::Bool(false)));
        match field("moves").map(|node| node.shape) {
            Some(Shape::List(stations)) if !stays => stations.len().max(1),
            _ => 1,
        }
    }

    /// Whether its fields mean something where it stands.
    fn together_fits(&mut self, node: &Node<'s>, fields: &Fields<'s>, place: Place) -> bool {
        let refused = match place {
            Place::Amrap => Some("in an `Amrap` everybody goes at their own speed"),
            _ => None,
        };
        if let Some(why) = refused {
            let message = format!("`Together` cannot stand here: {why}");
            self.fault(node.head(), message, "write its moves one by one");
            return false;
        }
        let mut fits = true;
        let is_grid = matches!(place, Place::Emom { .. });
        let keys = [
            ("swap", is_grid, "in an `Emom` each swap is the next start"),
            (
                "rest",
                is_grid,
                "in an `Emom` the remainder of the minute is rest",
            ),
            ("ends", is_grid, "in an `Emom` every work ends by its time"),
        ];
        for (key, refuses, why) in keys {
            if let (true, Some(at)) = (refuses, fields.place(self, key)) {
                let message = format!("`{key}` cannot stand here: {why}");
                self.fault(at, message, "take it away");
                fits = false;
            }
        }
        fits
    }

    /// The stations of one place, in the order in which people stand.
    pub(super) fn stations(
        &mut self,
        node: &Node<'s>,
        label: &str,
        rounds: Rounds,
        known: &Known,
    ) -> Option<Vec<Arc<Use>>> {
        let written = match &node.shape {
            Shape::List(items) => items.len(),
            _ => 0,
        };
        let stations = self.some_list(node, label, "moves", |reader, item| {
            reader.station(item, rounds, known)
        });
        let fault = match written {
            1 => Some((
                format!("{label} has one move, and nobody to do another"),
                "several at once are two moves or more",
            )),
            n if n > MOST_STATIONS as usize => Some((
                format!("{label} has {n} stations, at most {MOST_STATIONS} are read"),
                "take fewer",
            )),
            _ => None,
        };
        if let Some((message, help)) = fault {
            self.fault(node.head(), message, help);
            return None;
        }
        stations
    }

    fn station(&mut self, node: &Node<'s>, rounds: Rounds, known: &Known) -> Option<Arc<Use>> {
        if node.name == Some("Together") {
            let message = "a station is one move, this is `Together`";
            self.fault(node.head(), message, "write its moves one by one");
            return None;
        }
        self.turn(node, Place::Station, rounds, known)
    }
}

/// Where a grid of so many windows ends within a rotation: of how many works that is, and the
/// numbers of windows near by with which it comes out whole.
pub(in crate::session) fn broken_off(moves: &[Doing], windows: u32) -> Option<(usize, Vec<u32>)> {
    let each: Vec<u64> = moves.iter().map(|doing| doing.works() as u64).collect();
    let round: u64 = each.iter().sum();
    if each.iter().all(|works| *works == 1) || round == 0 {
        return None;
    }
    let ends = |windows: u64| {
        let mut left = windows % round;
        for &works in &each {
            if left < works {
                return (left != 0).then_some(works);
            }
            left -= works;
        }
        None
    };
    let windows = u64::from(windows);
    let works = ends(windows)?;
    let before = (1..windows).rev().find(|&n| ends(n).is_none());
    let after = (windows + 1..=windows + round).find(|&n| ends(n).is_none());
    let near = before.into_iter().chain(after);
    let near = near.filter_map(|n| u32::try_from(n).ok()).collect();
    Some((usize::try_from(works).unwrap_or(usize::MAX), near))
}

/// How many windows a pattern has, where its starts keep to a grid.
pub(in crate::session) const fn windows(pattern: &Pattern) -> Option<u32> {
    match pattern {
        Pattern::Emom { times, .. } => Some(*times),
        _ => None,
    }
}

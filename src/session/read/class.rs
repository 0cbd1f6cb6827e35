//! The whole class: the fields of `Session`, how cues are laid, and the bounds of it all.

use std::cell::OnceCell;
use std::collections::BTreeSet;

use super::super::fault::Faults;
use super::super::library::Library;
use super::super::model::{Cueing, Part, Session};
use super::super::source::{Source, clipped};
use super::super::tree::{Node, Shape};
use super::Reader;
use super::extent::{self, Extent};
use super::fields::Fields;
use super::parts::Spot;
use super::turns::Known;
use super::values::{LONGEST, NAME, TEXT};
use crate::session::syntax;
use crate::time::Span;

/// The longest class in minutes: a larger number can only be seconds.
const MOST_MINUTES: i128 = 12 * 60;

/// The most people in a class, as a number that is no slip.
pub(super) const MOST_PEOPLE: u32 = 1000;
/// The most things of a kind, as a number that is no slip.
pub(super) const MOST_THINGS: u32 = 1000;
/// The most groups.
pub(super) const MOST_GROUPS: usize = 100;
/// The longest name of a group, in characters: it is read from the mat.
const GROUP: usize = 40;

const SESSION: &[&str] = &[
    "title",
    "slot",
    "brief",
    "limits",
    "people",
    "groups",
    "equipment",
    "stock",
    "cueing",
    "moves",
    "parts",
];
const CUEING: &[&str] = &[
    "words_per_minute",
    "count",
    "warn",
    "lead",
    "change",
    "shift",
    "fetch",
    "move_on",
];

/// Reads a session file.
pub(in crate::session) fn session(source: &Source, library: &Library) -> Result<Session, Faults> {
    let mut reader = Reader::new(source);
    let root = reader.node(syntax::whole(source, super::CLASS)?);
    let session = reader.class(&root, library);
    reader.finish(session)
}

impl<'s> Reader<'s> {
    fn class(&mut self, node: &Node<'s>, library: &Library) -> Option<Session> {
        let fields = self.group(node, "Session", "a session", SESSION)?;
        let title = fields.must(self, "title", |r, n, l| r.filled(n, l, NAME));
        let slot = fields.maybe(self, "slot", Self::slot);
        let brief = fields.maybe(self, "brief", |r, n, l| r.text(n, l, TEXT));
        let limits = fields.maybe(self, "limits", Self::words);
        let people = fields.maybe(self, "people", |r, n, l| r.count(n, l, 1..=MOST_PEOPLE));
        let groups = fields.maybe(self, "groups", Self::groups);
        let equipment = fields.maybe(self, "equipment", |r, n, l| r.texts(n, l, NAME));
        let stock = fields.maybe(self, "stock", Self::stock);
        let cueing = fields.maybe(self, "cueing", |r, n, _| r.cueing(n));
        let known = self.known(&fields, library);
        let parts = fields.must(self, "parts", |r, n, l| r.parts(n, l, &known));
        Some(Session {
            title: title?,
            slot: slot?,
            brief: brief?.unwrap_or_default(),
            limits: limits?.unwrap_or_default(),
            people: people?,
            groups: groups?.unwrap_or_default(),
            equipment: equipment?.unwrap_or_default(),
            stock: stock?.unwrap_or_default(),
            cueing: cueing?.unwrap_or_default(),
            parts: parts?,
        })
    }

    /// The library with the class's own moves.
    fn known(&mut self, fields: &Fields<'s>, library: &Library) -> Known {
        let mut broken = BTreeSet::new();
        let before = self.blames.len();
        let own = fields.maybe(self, "moves", |r, n, l| r.moves(n, l, &mut broken));
        let unread = own.is_none() && broken.is_empty() && self.blames.len() > before;
        let blind = unread || fields.meant.contains(&"moves");
        let own = own.flatten().unwrap_or_default();
        let library = library.with(own);
        if !blind {
            self.stand_ins_hold(&library, &broken);
        }
        Known {
            library,
            names: OnceCell::new(),
            broken,
            blind,
        }
    }

    /// The names of the groups: two at the least, each once.
    fn groups(&mut self, node: &Node<'s>, label: &str) -> Option<Vec<String>> {
        let names = self.texts(node, label, GROUP)?;
        let fault = match &names[..] {
            [] => return Some(names),
            [_] => Some((
                format!("{label} has one name"),
                "one group is everybody: take it away, or name the others",
            )),
            _ if names.len() > MOST_GROUPS => Some((
                format!(
                    "{label} has {} names, at most {MOST_GROUPS} are read",
                    names.len()
                ),
                "nobody keeps more groups apart",
            )),
            names => twice(names).map(|name| {
                let name = clipped(name);
                let message = format!("{label} has `{name}` twice");
                (message, "give each group a name of its own")
            }),
        };
        if let Some((message, help)) = fault {
            self.fault(node.head(), message, help);
            return None;
        }
        Some(names)
    }

    /// How many of each thing there are, each thing once.
    fn stock(&mut self, node: &Node<'s>, label: &str) -> Option<Vec<(String, u32)>> {
        let stock = self.list(node, label, "things and their numbers", Self::stocked)?;
        let names: Vec<String> = stock.iter().map(|(thing, _)| thing.clone()).collect();
        if let Some(name) = twice(&names).map(clipped) {
            let message = format!("{label} has `{name}` twice");
            self.fault(node.head(), message, "write how many there are in all");
            return None;
        }
        Some(stock)
    }

    fn stocked(&mut self, node: &Node<'s>) -> Option<(String, u32)> {
        let Some((thing, many)) = self.pair(node) else {
            let message = "an entry of `stock` is a thing and how many of it there are";
            self.fault(node.head(), message, "such as (\"step\", 8)");
            return None;
        };
        let thing = self.filled(&thing, "a thing of `stock`", NAME);
        let many = self.count(&many, "how many there are", 0..=MOST_THINGS);
        Some((thing?, many?))
    }

    /// The slot: a bare number is seconds in a file, and minutes in everybody's head. One that can
    /// be either is asked about.
    fn slot(&mut self, node: &Node<'s>, label: &str) -> Option<Span> {
        let span = self.some_time(node, label)?;
        let Shape::Whole(number @ ..=MOST_MINUTES) = node.shape else {
            return Some(span);
        };
        let message = format!("{label} is {number} seconds here");
        let help = format!(
            "for {number} minutes write \"{}\", for seconds \"{span}\"",
            span * 60
        );
        self.fault(node.head(), message, &help);
        None
    }

    fn parts(&mut self, node: &Node<'s>, label: &str, known: &Known) -> Option<Vec<Part>> {
        let mut sum = Extent::default();
        let mut whole = true;
        let parts = self.some_list(node, label, "parts", |reader, item| {
            let at = whole.then_some(sum.time);
            let part = reader.part(item, known, Spot { at, depth: 0 });
            // Where a part cannot be read nobody can tell where the next begins.
            whole &= part.is_some();
            let part = part?;
            let before = sum;
            sum = sum.and(Extent::of(&part));
            reader.within_bounds(item, before, sum).then_some(part)
        })?;
        if sum.time.is_zero() {
            self.fault(
                node.head(),
                "no part of this class takes any time",
                "give its parts times",
            );
            return None;
        }
        Some(parts)
    }

    /// Tells of the part that passes a bound, and of none after it.
    fn within_bounds(&mut self, node: &Node<'s>, before: Extent, sum: Extent) -> bool {
        let too_many = sum.intervals > extent::MOST || sum.parts > extent::MOST;
        let too_long = sum.time > LONGEST;
        if before.intervals > extent::MOST || before.parts > extent::MOST || before.time > LONGEST {
            return false;
        }
        if too_many {
            let message = "with this part the class has more than 100,000 intervals";
            self.fault(node.head(), message, "take fewer rounds");
        } else if too_long {
            let message = format!(
                "with this part the class takes {}, at most 12:00:00 is counted",
                sum.time
            );
            self.fault(node.head(), message, "take fewer rounds or shorter times");
        }
        !(too_many || too_long)
    }

    fn cueing(&mut self, node: &Node<'s>) -> Option<Cueing> {
        let fields = self.group(node, "Cueing", "the cueing", CUEING)?;
        let base = Cueing::default();
        let words = fields.maybe(self, "words_per_minute", |r, n, l| {
            r.count(n, l, Cueing::WORDS_PER_MINUTE)
        });
        let count = fields.maybe(self, "count", |r, n, l| r.count(n, l, Cueing::COUNT));
        let [warn, lead, change, shift, fetch, move_on] =
            ["warn", "lead", "change", "shift", "fetch", "move_on"]
                .map(|key| fields.maybe(self, key, Self::time));
        Some(Cueing {
            words_per_minute: words?.unwrap_or(base.words_per_minute),
            count: count?.unwrap_or(base.count),
            warn: warn?.unwrap_or(base.warn),
            lead: lead?.unwrap_or(base.lead),
            change: change?.unwrap_or(base.change),
            shift: shift?.unwrap_or(base.shift),
            fetch: fetch?.unwrap_or(base.fetch),
            move_on: move_on?.unwrap_or(base.move_on),
        })
    }
}

/// The first name that stands in a list a second time, whatever its capitals.
fn twice(names: &[String]) -> Option<&str> {
    let mut seen = BTreeSet::new();
    let again = names.iter().find(|name| !seen.insert(name.to_lowercase()));
    again.map(String::as_str)
}

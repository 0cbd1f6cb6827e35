//! Moves: of a library file, and those a session brings along.

use std::collections::{BTreeSet, HashMap};

use super::super::fault::Faults;
use super::super::moves::{Impact, Move, MoveOption, Sides};
use super::super::source::{Source, clipped};
use super::super::tree::{Node, Shape};
use super::Reader;
use super::fields::Fields;
use super::values::{NAME, TEXT};
use crate::session::syntax;

/// The most moves a library holds.
pub(super) const MOST: usize = 10_000;

const MOVE: &[&str] = &[
    "id",
    "name",
    "call",
    "position",
    "regions",
    "muscles",
    "loads",
    "impact",
    "sides",
    "equipment",
    "energy",
    "setup",
    "form",
    "easier",
    "harder",
];
const OPTION: &[&str] = &["call", "spares", "position", "equipment", "setup"];

/// Reads a library file: a list of moves.
pub(in crate::session) fn library(source: &Source) -> Result<Vec<Move>, Faults> {
    let mut reader = Reader::new(source);
    let root = reader.node(syntax::whole(source, super::CLASS)?);
    let moves = reader.moves(&root, "a library", &mut BTreeSet::new());
    reader.finish(moves)
}

impl<'s> Reader<'s> {
    /// A list of moves with different ids. The ids of faulty moves are put into `broken`, so that
    /// nobody is told a second time that they are not there.
    pub(super) fn moves(
        &mut self,
        node: &Node<'s>,
        label: &str,
        broken: &mut BTreeSet<String>,
    ) -> Option<Vec<Move>> {
        let items = self.items(node, label, "moves")?;
        if items.len() > MOST {
            let message = format!("{label} has {} moves, at most {MOST} are read", items.len());
            self.fault(node.head(), message, "");
            return None;
        }
        let mut lines: HashMap<String, usize> = HashMap::new();
        let (mut moves, mut whole) = (Vec::new(), true);
        for item in &items {
            let before = self.faults_so_far();
            let fields = self.group(item, "Move", "a move", MOVE);
            let id = fields
                .as_ref()
                .and_then(|fields| self.new_id(fields, &mut lines));
            let read = fields.and_then(|fields| self.a_move(&fields, id.clone()));
            match read {
                Some(read) if before == self.faults_so_far() => moves.push(read),
                _ => {
                    whole = false;
                    broken.extend(id);
                }
            }
        }
        whole.then_some(moves)
    }

    const fn faults_so_far(&self) -> usize {
        self.blames.len() + self.more
    }

    /// The id of a move, noted with its line so that a second one can point to the first.
    fn new_id(
        &mut self,
        fields: &Fields<'s>,
        lines: &mut HashMap<String, usize>,
    ) -> Option<String> {
        let node = fields.need(self, "id")?;
        let id = self.id(&node)?;
        let start = node.range.start;
        if let Some(first) = lines.get(&id) {
            let first = self.first_at(*first);
            self.fault(
                node.head(),
                format!("the id `{}` is taken{first}", clipped(&id)),
                "each move of a file has an id of its own",
            );
        } else {
            lines.insert(id.clone(), start);
        }
        Some(id)
    }

    fn id(&mut self, node: &Node<'s>) -> Option<String> {
        let id = self.filled(node, "`id`", NAME)?;
        let letters = |part: &str| {
            !part.is_empty()
                && part
                    .bytes()
                    .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit())
        };
        if id.split('-').all(letters) {
            return Some(id);
        }
        self.fault(
            node.head(),
            format!("`{}` is no id for a move", clipped(&id)),
            "an id is made of small letters and digits with single hyphens between, as in \"side-plank\"",
        );
        None
    }

    fn a_move(&mut self, fields: &Fields<'s>, id: Option<String>) -> Option<Move> {
        let name = fields.must(self, "name", |r, n, l| r.filled(n, l, NAME));
        let call = fields.maybe(self, "call", |r, n, l| r.filled(n, l, NAME));
        let position = fields.must(self, "position", Self::word);
        let regions = fields.must(self, "regions", |r, n, l| {
            r.some_list(n, l, "regions", |r, n| r.word(n, l))
        });
        let muscles = fields.maybe(self, "muscles", Self::words);
        let loads = fields.maybe(self, "loads", Self::words);
        let impact = fields.maybe(self, "impact", Self::word);
        let sides = fields.maybe(self, "sides", Self::word);
        let equipment = fields.maybe(self, "equipment", |r, n, l| r.texts(n, l, NAME));
        let energy = fields.maybe(self, "energy", Self::energy);
        let setup = fields.maybe(self, "setup", |r, n, l| r.text(n, l, TEXT));
        let form = fields.maybe(self, "form", |r, n, l| r.texts(n, l, TEXT));
        let easier = fields.maybe(self, "easier", Self::options);
        let harder = fields.maybe(self, "harder", Self::options);
        let name = name?;
        Some(Move {
            id: id?,
            call: call?.unwrap_or_else(|| name.clone()),
            name,
            position: position?,
            regions: regions?,
            muscles: muscles?.unwrap_or_default(),
            loads: loads?.unwrap_or_default(),
            impact: impact?.unwrap_or(Impact::None),
            sides: sides?.unwrap_or(Sides::Both),
            equipment: equipment?.unwrap_or_default(),
            energy: energy?,
            setup: setup?.unwrap_or_default(),
            form: form?.unwrap_or_default(),
            easier: easier?.unwrap_or_default(),
            harder: harder?.unwrap_or_default(),
        })
    }

    fn energy(&mut self, node: &Node<'s>, label: &str) -> Option<String> {
        let help = "the codes of the 2024 Adult Compendium have five digits, as in \"02024\"";
        if let Shape::Text(code) = &node.shape
            && code.len() == 5
            && code.bytes().all(|b| b.is_ascii_digit())
        {
            return Some(code.clone().into_owned());
        }
        self.fault(
            node.head(),
            format!("{label} takes a code of five digits in quotes"),
            help,
        );
        None
    }

    fn options(&mut self, node: &Node<'s>, label: &str) -> Option<Vec<MoveOption>> {
        self.list(node, label, "options", Self::option)
    }

    fn option(&mut self, node: &Node<'s>) -> Option<MoveOption> {
        let fields = self.group(node, "Option", "an option", OPTION)?;
        let call = fields.must(self, "call", |r, n, l| r.filled(n, l, NAME));
        let spares = fields.maybe(self, "spares", Self::words);
        let position = fields.maybe(self, "position", Self::word);
        let equipment = fields.maybe(self, "equipment", |r, n, l| r.texts(n, l, NAME));
        let setup = fields.maybe(self, "setup", |r, n, l| r.filled(n, l, TEXT));
        Some(MoveOption {
            call: call?,
            spares: spares?.unwrap_or_default(),
            position: position?,
            equipment: equipment?.unwrap_or_default(),
            setup: setup?,
        })
    }
}

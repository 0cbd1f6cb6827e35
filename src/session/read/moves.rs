//! Moves: of a library file, and those a session brings along.

use std::collections::{BTreeSet, HashMap};

use super::super::fault::Faults;
use super::super::library::Library;
use super::super::moves::{CommonFault, Move, MoveOption, StandIn};
use super::super::source::{Source, clipped};
use super::super::terms::{Impact, Load, Sides};
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
    "instead",
    "action",
    "breath",
    "fault",
    "lead",
];
const OPTION: &[&str] = &[
    "call",
    "spares",
    "adds",
    "position",
    "impact",
    "sides",
    "equipment",
    "energy",
    "setup",
    "form",
    "as",
];
/// What another move brings along, so that the option which names it cannot say it.
const OF_THE_OTHER: [&str; 8] = [
    "adds",
    "position",
    "impact",
    "sides",
    "equipment",
    "energy",
    "setup",
    "form",
];
const FAULT: &[&str] = &["see", "say"];

/// Reads a library file, a list of moves that may name those of `base`.
pub(in crate::session) fn library(source: &Source, base: &Library) -> Result<Vec<Move>, Faults> {
    let mut reader = Reader::new(source);
    let root = reader.node(syntax::whole(source, super::CLASS)?);
    let mut broken = BTreeSet::new();
    let moves = reader.moves(&root, "a library", &mut broken);
    let whole = base.with(moves.iter().flatten().cloned());
    reader.stand_ins_hold(&whole, &broken);
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
        let id = self.id(&node, "`id`")?;
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

    fn id(&mut self, node: &Node<'s>, label: &str) -> Option<String> {
        let id = self.filled(node, label, NAME)?;
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
        let owner = id.as_deref().unwrap_or_default();
        let [easier, harder, instead] = ["easier", "harder", "instead"]
            .map(|key| fields.maybe(self, key, |r, n, l| r.options(n, l, owner, key)));
        let action = fields.maybe(self, "action", Self::word);
        let breath = fields.maybe(self, "breath", |r, n, l| r.filled(n, l, TEXT));
        let fault = fields.maybe(self, "fault", |r, n, _| r.common_fault(n));
        let lead = fields.maybe(self, "lead", Self::word);
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
            instead: instead?.unwrap_or_default(),
            action: action?,
            breath: breath?,
            fault: fault?,
            lead: lead?,
        })
    }

    fn common_fault(&mut self, node: &Node<'s>) -> Option<CommonFault> {
        let fields = self.group(node, "Fault", "a common fault", FAULT)?;
        let see = fields.must(self, "see", |r, n, l| r.filled(n, l, NAME));
        let say = fields.must(self, "say", |r, n, l| r.filled(n, l, NAME));
        Some(CommonFault {
            see: see?,
            say: say?,
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

    fn options(
        &mut self,
        node: &Node<'s>,
        label: &str,
        owner: &str,
        key: &'static str,
    ) -> Option<Vec<MoveOption>> {
        self.list(node, label, "options", |r, n| r.option(n, owner, key))
    }

    fn option(&mut self, node: &Node<'s>, owner: &str, key: &'static str) -> Option<MoveOption> {
        let fields = self.group(node, "Option", "an option", OPTION)?;
        if let Some(named) = fields.take(self, "as") {
            return self.other_move(&fields, &named, owner, key);
        }
        let call = fields.must(self, "call", |r, n, l| r.filled(n, l, NAME));
        let spares = fields.maybe(self, "spares", Self::words);
        let adds = fields.maybe(self, "adds", Self::words);
        let position = fields.maybe(self, "position", Self::word);
        let impact = fields.maybe(self, "impact", Self::word);
        let sides = fields.maybe(self, "sides", Self::word);
        let equipment = fields.maybe(self, "equipment", |r, n, l| r.texts(n, l, NAME));
        let energy = fields.maybe(self, "energy", Self::energy);
        let setup = fields.maybe(self, "setup", |r, n, l| r.filled(n, l, TEXT));
        let form = fields.maybe(self, "form", |r, n, l| r.texts(n, l, TEXT));
        let option = MoveOption {
            call: call?,
            spares: spares?.unwrap_or_default(),
            adds: adds?.unwrap_or_default(),
            position: position?,
            impact: impact?,
            sides: sides?,
            equipment: equipment?.unwrap_or_default(),
            energy: energy?,
            setup: setup?,
            form: form?.unwrap_or_default(),
            stand_in: None,
        };
        self.agrees(&fields, &option).then_some(option)
    }

    /// Whether an option does not bring what it spares.
    fn agrees(&mut self, fields: &Fields<'s>, option: &MoveOption) -> bool {
        let impact = option.impact.filter(|impact| *impact == Impact::High);
        let place = option
            .position
            .and_then(super::super::terms::Position::asks);
        let jump = impact.map(|_| Load::Jump);
        let brought = [("position", place), ("impact", jump)];
        let adds = option.adds.iter().map(|load| ("adds", Some(*load)));
        for (key, load) in adds.chain(brought) {
            let both = load.filter(|load| option.spares.contains(load));
            let Some((load, at)) = both.zip(fields.place(self, key)) else {
                continue;
            };
            let message = format!("the option spares `{0}` and brings it", load.word());
            let help = format!("take `{}` out of `spares`, or `{key}` away", load.word());
            self.fault(at, message, &help);
            return false;
        }
        true
    }

    /// An option that is another move, with all that is written there.
    fn other_move(
        &mut self,
        fields: &Fields<'s>,
        named: &Node<'s>,
        owner: &str,
        key: &'static str,
    ) -> Option<MoveOption> {
        let mut whole = true;
        for own in OF_THE_OTHER {
            if let Some(at) = fields.place(self, own) {
                let message = format!("`{own}` cannot stand beside `as`");
                let help = "it is what is written at the other move: take it away";
                self.fault(at, message, help);
                whole = false;
            }
        }
        let call = fields.maybe(self, "call", |r, n, l| r.filled(n, l, NAME));
        let spares: Option<Option<Vec<Load>>> = fields.maybe(self, "spares", Self::words);
        let id = self.id(named, "`as`")?;
        let (call, spares) = (call?, spares?);
        self.stand_ins.push(super::stand_ins::Named {
            at: named.head(),
            owner: owner.to_owned(),
            key,
            id: id.clone(),
            spares: spares.clone().unwrap_or_default(),
        });
        whole.then(|| MoveOption {
            call: call.unwrap_or_default(),
            spares: spares.unwrap_or_default(),
            stand_in: Some(StandIn { id, of: None }),
            ..MoveOption::default()
        })
    }
}

//! The lines of a plan: what stands where, and which faults lie in it.

use std::ops::Range;

use super::super::branch::{Branch, Kind, Twig};
use super::super::mask::Mask;
use super::super::readable::Readable;
use crate::session::edit::{Path, Step};
use crate::session::fault::Fault;

/// One line of a plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// What stands there.
    pub kind: RowKind,
    /// Where it stands. Nothing only for lines of which nobody can tell what they are.
    pub path: Option<Path>,
    /// Where the move stands that is done there, if one is: what a [`super::Change::Put`] of its
    /// repetitions goes to.
    pub turn: Option<Path>,
    /// In how many others it stands; the class itself in none.
    pub depth: usize,
    /// The lines of the text that it takes, counted from 1, the last not among them.
    pub lines: Range<usize>,
    /// What of the text it is, where it is no value and so has no path: what a
    /// [`super::Change::Cut`] takes away.
    pub bytes: Option<Range<usize>>,
    /// The faults in it that lie in no row inside it.
    pub faults: Vec<Fault>,
}

/// What stands in a line of a plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum RowKind {
    /// The class: its title, its slot and what else is said of the whole.
    Class,
    /// A move that the class brings along.
    OwnMove,
    /// A talk.
    Talk,
    /// Time to get ready.
    Ready,
    /// A recovery.
    Recover,
    /// A plain window.
    Free,
    /// A warm-up.
    WarmUp,
    /// A cool-down.
    CoolDown,
    /// A block.
    Block,
    /// Parts that come several times.
    Repeat,
    /// A step of a warm-up or cool-down.
    Step,
    /// A move of a block.
    Move,
    /// Several moves at once.
    Together,
    /// One of several moves at once.
    Station,
    /// What cannot be told: lines that are no value, or a value that cannot stand there.
    Faulty,
}

/// The rows of a text, with the faults that lie in them. Without anything that could be taken apart
/// the whole text is one.
pub(super) fn rows(base: Option<&Readable>, text: &str, faults: &[Fault]) -> Vec<Row> {
    let Some(base) = base else {
        return vec![Row {
            kind: RowKind::Faulty,
            path: None,
            turn: None,
            depth: 0,
            lines: 1..2 + text.trim_end().matches('\n').count(),
            bytes: None,
            faults: faults.to_vec(),
        }];
    };
    let breaks = base.text().match_indices('\n');
    let mut walk = Walk {
        base,
        starts: breaks.map(|(at, _)| at + 1).collect(),
        path: Vec::new(),
        found: Vec::new(),
    };
    walk.class(base.tree());
    walk.hidden();
    let mut placed = walk.found;
    let masks = base.masked().map_or(&[][..], |masked| &masked.masks);
    for fault in faults {
        let hidden = masks.iter().find(|mask| mask.fault == *fault);
        let row_of = |mask: &Mask| placed.iter().position(|(range, _)| *range == mask.range);
        // The innermost that has it is the last that does.
        let around = |(range, _): &(Range<usize>, Row)| range.contains(&fault.span.start);
        let at = hidden
            .and_then(row_of)
            .or_else(|| placed.iter().rposition(around));
        if let Some((_, row)) = placed.get_mut(at.unwrap_or(0)) {
            row.faults.push(fault.clone());
        }
    }
    placed.into_iter().map(|(_, row)| row).collect()
}

/// What to do with each value of a list.
type See<'t> = fn(&mut Walk<'t>, &'t Branch, usize);

struct Walk<'t> {
    base: &'t Readable,
    /// Where each line begins, the first left out.
    starts: Vec<usize>,
    path: Path,
    found: Vec<(Range<usize>, Row)>,
}

impl<'t> Walk<'t> {
    fn class(&mut self, root: &'t Branch) {
        if root.kind != Kind::Fields {
            self.row(RowKind::Faulty, root, 0);
            return;
        }
        self.row(RowKind::Class, root, 0);
        for twig in &root.inside {
            match self.base.key(twig) {
                Some("moves") => self.list("moves", &twig.value, 1, Self::own_move),
                Some("parts") => self.list("parts", &twig.value, 1, Self::part),
                _ => {}
            }
        }
    }

    fn own_move(&mut self, of: &'t Branch, depth: usize) {
        let kind = match of.kind {
            Kind::Fields => RowKind::OwnMove,
            _ => RowKind::Faulty,
        };
        self.row(kind, of, depth);
    }

    fn part(&mut self, of: &'t Branch, depth: usize) {
        let kind = match self.base.name(of) {
            _ if !matches!(of.kind, Kind::Fields | Kind::Tuple) => RowKind::Faulty,
            Some("Talk") => RowKind::Talk,
            Some("Ready") => RowKind::Ready,
            Some("Recover") => RowKind::Recover,
            Some("Free") => RowKind::Free,
            Some("WarmUp") => RowKind::WarmUp,
            Some("CoolDown") => RowKind::CoolDown,
            Some("Block") => RowKind::Block,
            Some("Repeat") => RowKind::Repeat,
            _ => RowKind::Faulty,
        };
        self.row(kind, of, depth);
        match kind {
            RowKind::WarmUp | RowKind::CoolDown => {
                if let Some(list) = of.inside.first().filter(|twig| twig.key.is_none()) {
                    self.path.push(Step::Item(0));
                    self.items(&list.value, depth + 1, Self::step);
                    self.path.pop();
                }
            }
            RowKind::Block => self.field(of, "moves", depth + 1, Self::doing),
            RowKind::Repeat => self.field(of, "parts", depth + 1, Self::part),
            RowKind::Recover => self.turns("move", of),
            _ => {}
        }
    }

    fn step(&mut self, of: &'t Branch, depth: usize) {
        match (of.kind, &of.inside[..]) {
            (Kind::Tuple, [turn, _]) => {
                self.row(RowKind::Step, of, depth);
                if is_turn(&turn.value) {
                    self.turn_at(Step::Item(0));
                }
            }
            _ => self.done_as(RowKind::Step, of, depth),
        }
    }

    fn doing(&mut self, of: &'t Branch, depth: usize) {
        if self.base.name(of) != Some("Together") {
            self.done_as(RowKind::Move, of, depth);
            return;
        }
        self.row(RowKind::Together, of, depth);
        self.field(of, "moves", depth + 1, |walk, of, depth| {
            walk.done_as(RowKind::Station, of, depth);
        });
    }

    /// A row that is a move, or how it is used.
    fn done_as(&mut self, kind: RowKind, of: &'t Branch, depth: usize) {
        let name = self.base.name(of);
        if is_turn(of) && name.is_none_or(|name| name == "Use") {
            self.row(kind, of, depth);
            if let (Some((_, row)), path) = (self.found.last_mut(), &self.path) {
                row.turn = Some(path.clone());
            }
        } else {
            self.row(RowKind::Faulty, of, depth);
        }
    }

    fn turns(&mut self, field: &'static str, of: &Branch) {
        if self.base.field(of, field).is_some() {
            self.turn_at(Step::Field(field));
        }
    }

    /// The move of the last row stands there.
    fn turn_at(&mut self, step: Step) {
        let mut path = self.path.clone();
        path.push(step);
        if let Some((_, row)) = self.found.last_mut() {
            row.turn = Some(path);
        }
    }

    fn field(&mut self, of: &'t Branch, name: &'static str, depth: usize, see: See<'t>) {
        if let Some(Twig { value, .. }) = self.base.field(of, name) {
            self.list(name, value, depth, see);
        }
    }

    fn list(&mut self, name: &'static str, of: &'t Branch, depth: usize, see: See<'t>) {
        self.path.push(Step::Field(name));
        self.items(of, depth, see);
        self.path.pop();
    }

    fn items(&mut self, of: &'t Branch, depth: usize, see: See<'t>) {
        let is_list = of.kind == Kind::List;
        for (n, twig) in of.inside.iter().enumerate().filter(|_| is_list) {
            self.path.push(Step::Item(n));
            see(self, &twig.value, depth);
            self.path.pop();
        }
    }

    /// The places of which nobody can tell what they are, where they stand in the text.
    fn hidden(&mut self) {
        let masked = self.base.masked();
        let masks = masked.iter().flat_map(|masked| &masked.masks);
        for mask in masks.filter(|mask| mask.is_hiding && !mask.has_word) {
            let range = mask.range.clone();
            let before = self
                .found
                .partition_point(|(of, _)| of.start <= range.start);
            let around = self.found[..before].iter().rev();
            let depth = (around.clone())
                .find(|(of, _)| of.end >= range.end)
                .map_or(0, |(_, row)| row.depth + 1);
            let row = Row {
                kind: RowKind::Faulty,
                path: None,
                turn: None,
                depth,
                lines: self.lines(&range),
                bytes: Some(self.base.in_file(&range)),
                faults: Vec::new(),
            };
            self.found.insert(before, (range, row));
        }
    }

    fn row(&mut self, kind: RowKind, of: &Branch, depth: usize) {
        // A masked value is as long as what it hides.
        let masked = self.base.masked();
        let mut masks = masked.iter().flat_map(|masked| &masked.masks);
        let hides = masks.find(|mask| mask.range.start == of.whole.start && mask.has_word);
        let range = hides.map_or(of.whole.clone(), |mask| mask.range.clone());
        let is_place = hides.is_none_or(|mask| mask.value.is_some());
        let row = Row {
            kind,
            path: is_place.then(|| self.path.clone()),
            turn: None,
            depth,
            lines: self.lines(&range),
            bytes: (!is_place).then(|| self.base.in_file(&range)),
            faults: Vec::new(),
        };
        self.found.push((range, row));
    }

    fn lines(&self, range: &Range<usize>) -> Range<usize> {
        let line = |at: usize| 1 + self.starts.partition_point(|start| *start <= at);
        let last = range.end.saturating_sub(1).max(range.start);
        line(range.start)..line(last) + 1
    }
}

fn is_turn(of: &Branch) -> bool {
    matches!(of.kind, Kind::Text | Kind::Fields)
}

//! Blocks and their patterns.

use std::sync::Arc;

use super::super::model::{Block, Order, PACE, Pattern};
use super::super::moves::Use;
use super::super::together::{Doing, Together};
use super::super::tree::{Node, Shape};
use super::by_round::Rounds;
use super::fields::Fields;
use super::turns::{Known, Place};
use super::values::{HIGHEST, LONGEST, NAME};
use super::words::Arrangement;
use super::{Reader, together};

const PATTERNS: &[&str] = &["Rounds", "Same", "Emom", "Amrap", "Reps"];
/// Why a window has no lists by round.
const NO_ROUNDS: &str = "an `Amrap` has no rounds of its own";

impl<'s> Reader<'s> {
    /// A block: its pattern first, because it decides what its moves may say.
    pub(super) fn block(&mut self, node: &Node<'s>, known: &Known) -> Option<Block> {
        let keys = &[
            "title",
            "moves",
            "pattern",
            "recovery",
            "order",
            "between",
            "last_rest",
        ];
        let fields = self.fields(node, "a `Block`", keys)?;
        let title = fields.maybe(self, "title", |r, n, l| r.filled(n, l, NAME));
        let pattern_node = fields.need(self, "pattern");
        let pattern = pattern_node.as_ref().and_then(|node| self.pattern(node));
        let kind = pattern_node.as_ref().and_then(|node| node.name);
        let place = place_in(kind, pattern.as_ref());
        let order = fields.maybe(self, "order", Self::word);
        let stations = order.flatten() == Some(Arrangement::Stations);
        let moves = fields.must(self, "moves", |r, n, l| {
            if stations && place != Place::Amrap {
                return r.all_at_once(n, l, place, pattern.as_ref(), known);
            }
            r.block_moves(n, l, place, pattern.as_ref(), known)
        });
        let recovery = fields.maybe(self, "recovery", Self::time);
        let between = fields.maybe(self, "between", |r, n, _| r.between(n, known));
        let last_rest = fields.maybe(self, "last_rest", Self::truth);
        let fits = self.block_fits(&fields, place, order.flatten());
        let (moves, pattern) = (moves.filter(|_| fits)?, pattern?);
        self.rotations_end(&fields, &moves, &pattern)?;
        let block = Block {
            title: title?,
            moves,
            pattern,
            recovery: recovery?,
            order: match order? {
                Some(Arrangement::ByMove) => Order::ByMove,
                _ => Order::ByRound,
            },
            between: between?,
            last_rest: last_rest?.unwrap_or_default(),
        };
        self.cap_fits(&block, pattern_node?.head()).then_some(block)
    }

    /// What is done in a rest or a recovery: a move, or how it is used.
    pub(super) fn between(&mut self, node: &Node<'s>, known: &Known) -> Option<Arc<Use>> {
        let why = Rounds::None("it is done in every rest");
        self.turn(node, Place::Between, why, known)
    }

    /// All moves of a block of stations: one place at which they are done at once.
    fn all_at_once(
        &mut self,
        node: &Node<'s>,
        label: &str,
        place: Place,
        pattern: Option<&Pattern>,
        known: &Known,
    ) -> Option<Vec<Doing>> {
        let rounds = rounds_of(pattern, length(node).unwrap_or(0));
        let stations = self.stations(node, label, rounds, known)?;
        let counted = stations.iter().any(|turn| turn.reps.is_some());
        self.is_measured(node, place, false, counted)?;
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
        pattern: Option<&Pattern>,
        known: &Known,
    ) -> Option<Vec<Doing>> {
        let rounds = rounds_of(pattern, self.works_written(node));
        self.some_list(node, label, "moves", |reader, item| {
            reader.doing(item, place, rounds, known)
        })
    }

    /// Whether `recovery`, `order` and the like mean something for the pattern.
    fn block_fits(
        &mut self,
        fields: &Fields<'s>,
        place: Place,
        order: Option<Arrangement>,
    ) -> bool {
        let (name, why) = match place {
            Place::Emom { .. } => ("Emom", "every move starts on its minute"),
            Place::Amrap => ("Amrap", "there is one window for all its moves"),
            _ => return true,
        };
        let mut fits = true;
        let mut refuse = |reader: &mut Self, key: &str, why: &str, help: &str| {
            if let Some(at) = fields.place(reader, key) {
                let message = format!("`{key}` cannot stand in an `{name}`: {why}");
                reader.fault(at, message, help);
                fits = false;
            }
        };
        let help = "put a `Recover` between two blocks instead";
        refuse(self, "recovery", why, help);
        match place {
            Place::Amrap => {
                let why = "it has no rests";
                refuse(self, "between", why, "take it away");
                refuse(self, "last_rest", why, "take it away");
            }
            _ => refuse(
                self,
                "last_rest",
                "its last window is whole anyway",
                "take it away",
            ),
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

    /// Whether a cap leaves some time for what is counted.
    fn cap_fits(&mut self, block: &Block, at: std::ops::Range<usize>) -> bool {
        let Some((cap, needed)) = block.over_cap() else {
            return true;
        };
        let message = format!("`cap` is {cap}, and this block takes {needed} at the least");
        self.fault(
            at,
            message,
            "give it more time, fewer rounds or shorter rests: a second for each counted work is kept",
        );
        false
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

    /// Windows of a minute, or `times` windows of another length.
    fn emom(&mut self, node: &Node<'s>) -> Option<Pattern> {
        let keys = &["minutes", "times", "every", "work"];
        let fields = self.fields(node, "an `Emom`", keys)?;
        let is_free =
            fields.place(self, "every").is_some() || fields.place(self, "times").is_some();
        let every = fields.maybe(self, "every", Self::some_time);
        let times = if is_free {
            self.free_windows(&fields)
        } else {
            fields.must(self, "minutes", Self::at_least_one)
        };
        let window = every.flatten().unwrap_or(Pattern::MINUTE);
        let work = fields.maybe(self, "work", |r, n, l| {
            let work = r.some_time(n, l)?;
            r.within_window(n, l, work, window)
        });
        let (times, every, work) = (times?, every?.unwrap_or(Pattern::MINUTE), work?);
        Some(Pattern::Emom { times, every, work })
    }

    /// How many windows there are where they are no minutes.
    fn free_windows(&mut self, fields: &Fields<'s>) -> Option<u32> {
        if let Some(at) = fields.place(self, "minutes") {
            let message = "`minutes` cannot stand beside `every` or `times`";
            self.fault(at, message, "write Emom(every: 90, times: 6, work: 40)");
            return None;
        }
        let every = fields.need(self, "every");
        let times = fields.must(self, "times", Self::at_least_one);
        every.and(times)
    }

    fn reps(&mut self, node: &Node<'s>) -> Option<Pattern> {
        let fields = self.fields(node, "a `Reps`", &["rounds", "rest", "pace", "cap"])?;
        let rounds = fields.must(self, "rounds", Self::at_least_one);
        let rest = fields.must(self, "rest", Self::time);
        let pace = fields.maybe(self, "pace", Self::some_time);
        let cap = fields.maybe(self, "cap", Self::some_time);
        Some(Pattern::Reps {
            rounds: rounds?,
            rest: rest?,
            pace: pace?.unwrap_or(PACE),
            cap: cap?,
        })
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

fn place_in(kind: Option<&str>, pattern: Option<&Pattern>) -> Place {
    match (kind, pattern) {
        (_, Some(&Pattern::Emom { every, work, .. })) => Place::Emom {
            every,
            gives_work: work.is_some(),
        },
        (Some("Rounds" | "Same"), _) => Place::Timed,
        (Some("Emom"), _) => Place::Emom {
            every: LONGEST,
            gives_work: true,
        },
        (Some("Amrap"), _) => Place::Amrap,
        (Some("Reps"), _) => Place::Reps,
        _ => Place::Unclear,
    }
}

fn length(node: &Node<'_>) -> Option<usize> {
    match &node.shape {
        Shape::List(items) => Some(items.len()),
        _ => None,
    }
}

/// How many rounds there are, in each of which there are so many works.
fn rounds_of(pattern: Option<&Pattern>, works: usize) -> Rounds {
    match pattern {
        None => Rounds::Unclear,
        Some(Pattern::Amrap { .. }) => Rounds::None(NO_ROUNDS),
        Some(pattern) => Rounds::Of(pattern.rounds(works)),
    }
}

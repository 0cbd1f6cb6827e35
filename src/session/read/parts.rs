//! The parts of a class.

use super::super::model::{Part, Step};
use super::super::tree::{Node, Shape};
use super::Reader;
use super::by_round::Rounds;
use super::turns::{Known, Place};
use super::values::TEXT;

const PARTS: &[&str] = &["Talk", "Ready", "WarmUp", "Block", "Recover", "CoolDown"];

impl<'s> Reader<'s> {
    /// A part of a class.
    pub(super) fn part(&mut self, node: &Node<'s>, known: &Known) -> Option<Part> {
        match node.name {
            Some("Talk") => {
                let fields = self.fields(node, "a `Talk`", &["time", "say"])?;
                let time = fields.must(self, "time", Self::time);
                let say = fields.maybe(self, "say", |r, n, l| r.text(n, l, TEXT));
                let (time, say) = (time?, say?.unwrap_or_default());
                Some(Part::Talk { time, say })
            }
            Some("Recover") => {
                let fields = self.fields(node, "a `Recover`", &["time", "say", "move"])?;
                let time = fields.must(self, "time", Self::time);
                let say = fields.maybe(self, "say", |r, n, l| r.text(n, l, TEXT));
                let turn = fields.maybe(self, "move", |r, n, _| r.between(n, known));
                let (time, say, turn) = (time?, say?.unwrap_or_default(), turn?);
                Some(Part::Recover { time, say, turn })
            }
            Some("Ready") => {
                let fields = self.fields(node, "a `Ready`", &["time"])?;
                let time = fields.must(self, "time", Self::time)?;
                Some(Part::Ready { time })
            }
            Some("WarmUp") => self.steps(node, "a `WarmUp`", known).map(Part::WarmUp),
            Some("CoolDown") => self.steps(node, "a `CoolDown`", known).map(Part::CoolDown),
            Some("Block") => self.block(node, known).map(Part::Block),
            Some(other) => {
                self.unknown(node, "a part of a class", other, PARTS);
                None
            }
            None => {
                let message = format!("a part begins with its kind, this is {}", node.shape.kind());
                let help = format!("possible here: {}", super::words::listed(PARTS));
                self.fault(node.head(), message, &help);
                None
            }
        }
    }

    /// The one list of a warm-up or cool-down.
    fn steps(&mut self, node: &Node<'s>, owner: &str, known: &Known) -> Option<Vec<Step>> {
        let list = match &node.shape {
            Shape::Tuple(items) if items.len() == 1 => self.node(items[0]),
            _ => {
                let message = format!("{owner} takes one list of moves with their times");
                let help = "such as [(\"march\", \"1:00\"), (\"arm-circle\", 45)]";
                self.fault(node.head(), message, help);
                return None;
            }
        };
        self.some_list(
            &list,
            owner,
            "steps such as (\"march\", \"1:00\")",
            |reader, item| reader.step(item, known),
        )
    }

    /// A move and its time, or a move that is counted.
    fn step(&mut self, node: &Node<'s>, known: &Known) -> Option<Step> {
        let once = Rounds::None("a step comes once");
        if let (Shape::Fields(_), None | Some("Use")) = (&node.shape, node.name) {
            let turn = self.turn(node, Place::CountedStep, once, known)?;
            return Some(Step { turn, time: None });
        }
        let (None, Shape::Tuple(pair)) = (node.name, &node.shape) else {
            return self.no_step(node);
        };
        let [of, time] = pair[..] else {
            return self.no_step(node);
        };
        let (of, time) = (self.node(of), self.node(time));
        let turn = self.turn(&of, Place::Step, once, known);
        let time = self.time(&time, "the time of a step");
        let (turn, time) = (turn?, Some(time?));
        Some(Step { turn, time })
    }

    fn no_step(&mut self, node: &Node<'s>) -> Option<Step> {
        let message = "a step is a move and its time in round brackets, or a move that is counted";
        let help = "such as (\"march\", \"1:00\") or Use(move: \"inchworm\", reps: 6)";
        self.fault(node.head(), message, help);
        None
    }
}

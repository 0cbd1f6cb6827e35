//! The parts of a class.

use super::super::model::{Part, Step};
use super::super::tree::{Node, Shape};
use super::Reader;
use super::by_round::Rounds;
use super::fields::Fields;
use super::turns::{Known, Place};
use super::values::{HIGHEST, NAME, TEXT};
use crate::time::Span;

const PARTS: &[&str] = &[
    "Talk", "Ready", "WarmUp", "Block", "Recover", "CoolDown", "Free", "Repeat",
];
/// How deep repeats may stand in one another.
const DEEPEST: usize = 3;

/// Where in a class a part stands.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    /// How much of the class is planned before it; nothing where that cannot be told.
    pub(super) at: Option<Span>,
    /// In how many repeats it stands.
    pub(super) depth: usize,
}

/// How long a part lasts, and up to which mark, if it does.
type Lasting = (Span, Option<Span>);

impl<'s> Reader<'s> {
    /// A part of a class.
    pub(super) fn part(&mut self, node: &Node<'s>, known: &Known, spot: Spot) -> Option<Part> {
        match node.name {
            Some("Talk") => {
                let fields = self.fields(node, "a `Talk`", &["time", "say"])?;
                let time = self.lasting(&fields, spot);
                let say = fields.maybe(self, "say", |r, n, l| r.text(n, l, TEXT));
                let ((time, mark), say) = (time?, say?.unwrap_or_default());
                Some(up_to(mark, Part::Talk { time, say }))
            }
            Some("Recover") => self.recover(node, known, spot),
            Some("Free") => {
                let fields = self.fields(node, "a `Free`", &["time", "title", "say"])?;
                let time = self.lasting(&fields, spot);
                let title = fields.maybe(self, "title", |r, n, l| r.filled(n, l, NAME));
                let say = fields.maybe(self, "say", |r, n, l| r.text(n, l, TEXT));
                let ((time, mark), title, say) = (time?, title?, say?.unwrap_or_default());
                Some(up_to(mark, Part::Free { time, title, say }))
            }
            Some("Ready") => {
                let fields = self.fields(node, "a `Ready`", &["time"])?;
                let (time, mark) = self.lasting(&fields, spot)?;
                Some(up_to(mark, Part::Ready { time }))
            }
            Some("WarmUp") => self.steps(node, "a `WarmUp`", known).map(Part::WarmUp),
            Some("CoolDown") => self.steps(node, "a `CoolDown`", known).map(Part::CoolDown),
            Some("Block") => self.block(node, known).map(Part::Block),
            Some("Repeat") => self.repeat(node, known, spot),
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

    fn recover(&mut self, node: &Node<'s>, known: &Known, spot: Spot) -> Option<Part> {
        let fields = self.fields(node, "a `Recover`", &["time", "say", "move"])?;
        let time = self.lasting(&fields, spot);
        let say = fields.maybe(self, "say", |r, n, l| r.text(n, l, TEXT));
        let turn = fields.maybe(self, "move", |r, n, _| r.between(n, known));
        let ((time, mark), say, turn) = (time?, say?.unwrap_or_default(), turn?);
        Some(up_to(mark, Part::Recover { time, say, turn }))
    }

    fn repeat(&mut self, node: &Node<'s>, known: &Known, spot: Spot) -> Option<Part> {
        let fields = self.fields(node, "a `Repeat`", &["times", "parts", "between"])?;
        if spot.depth == DEEPEST {
            let message = "a `Repeat` stands in three others here";
            self.fault(node.head(), message, "write the innermost parts out");
            return None;
        }
        let inside = Spot {
            at: None,
            depth: spot.depth + 1,
        };
        let times = fields.must(self, "times", |r, n, l| r.count(n, l, 1..=HIGHEST));
        let parts = fields.must(self, "parts", |r, n, l| {
            r.some_list(n, l, "parts", |r, item| r.part(item, known, inside))
        });
        let between = fields.maybe(self, "between", |r, n, l| {
            if n.name == Some("Recover") {
                return r.recover(n, known, inside);
            }
            let message = format!("{l} takes a `Recover`, this is {}", n.shape.kind());
            r.fault(n.head(), message, "such as Recover(time: 60)");
            None
        });
        Some(Part::Repeat {
            times: times?,
            parts: parts?,
            between: between?.map(Box::new),
        })
    }

    /// The time of a part, which may last up to a place of the class.
    fn lasting(&mut self, fields: &Fields<'s>, spot: Spot) -> Option<Lasting> {
        fields.must(self, "time", |r, n, l| match (n.name, &n.shape) {
            (Some("Until"), Shape::Tuple(items)) if items.len() == 1 => {
                let mark = r.node(items[0]);
                let mark = r.some_time(&mark, "the mark")?;
                r.up_to_mark(n, mark, spot)
            }
            (Some("Until"), _) => {
                let message = "`Until` takes one place of the class";
                r.fault(n.head(), message, "such as Until(\"15:00\")");
                None
            }
            _ => r.time(n, l).map(|time| (time, None)),
        })
    }

    fn up_to_mark(&mut self, node: &Node<'s>, mark: Span, spot: Spot) -> Option<Lasting> {
        if spot.depth > 0 {
            let message = "`Until` cannot stand in a `Repeat`: its mark comes once";
            self.fault(
                node.head(),
                message,
                "give a time, or put it behind the `Repeat`",
            );
            return None;
        }
        let at = spot.at?;
        if mark >= at {
            return Some((mark.saturating_sub(at), Some(mark)));
        }
        let message = format!(
            "the mark {mark} has passed by {} here",
            at.saturating_sub(mark)
        );
        let help =
            format!("this part begins at {at}: take a later mark, or shorten what is before");
        self.fault(node.head(), message, &help);
        None
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
        let Some((of, time)) = self.pair(node) else {
            let message =
                "a step is a move and its time in round brackets, or a move that is counted";
            let help = "such as (\"march\", \"1:00\") or Use(move: \"inchworm\", reps: 6)";
            self.fault(node.head(), message, help);
            return None;
        };
        let turn = self.turn(&of, Place::Step, once, known);
        let time = self.time(&time, "the time of a step");
        let (turn, time) = (turn?, Some(time?));
        Some(Step { turn, time })
    }
}

fn up_to(mark: Option<Span>, part: Part) -> Part {
    match mark {
        Some(mark) => Part::Until {
            mark,
            part: Box::new(part),
        },
        None => part,
    }
}

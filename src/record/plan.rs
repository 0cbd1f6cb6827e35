//! A session as a record's first line keeps it: each move once in a table, and uses by reference.
//!
//! A record must be readable when the library has changed, so the moves as they were taught are in
//! it. How a session file is written is another matter, and not known here.

use std::collections::BTreeMap;
use std::sync::Arc;

use serde::{Deserialize, Serialize};

use crate::session::{
    Block, Cueing, Doing, Load, Move, Order, OutOfBounds, Part, Pattern, Pick, Session, Step,
    Together, Use,
};
use crate::time::Span;

/// A session whose moves stand in a table.
#[derive(Serialize, Deserialize)]
pub(super) struct Written {
    title: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    slot: Option<Span>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    brief: String,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    limits: Vec<Load>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    people: Option<u32>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    groups: Vec<String>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    equipment: Vec<String>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    stock: Vec<(String, u32)>,
    cueing: Cueing,
    parts: Vec<WrittenPart>,
    moves: BTreeMap<String, Arc<Move>>,
}

#[derive(Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum WrittenPart {
    Talk {
        time: Span,
        say: String,
    },
    Ready {
        time: Span,
    },
    WarmUp(Vec<WrittenStep>),
    Block {
        #[serde(default, skip_serializing_if = "Option::is_none")]
        title: Option<String>,
        moves: Vec<WrittenDoing>,
        pattern: Pattern,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        recovery: Option<Span>,
        #[serde(default)]
        order: Order,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        between: Option<WrittenUse>,
        #[serde(default, skip_serializing_if = "std::ops::Not::not")]
        last_rest: bool,
    },
    Recover {
        time: Span,
        say: String,
        #[serde(default, rename = "move", skip_serializing_if = "Option::is_none")]
        turn: Option<WrittenUse>,
    },
    CoolDown(Vec<WrittenStep>),
    Free {
        time: Span,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        title: Option<String>,
        say: String,
    },
    Repeat {
        times: u32,
        parts: Vec<WrittenPart>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        between: Option<Box<WrittenPart>>,
    },
    Until {
        mark: Span,
        part: Box<WrittenPart>,
    },
}

#[derive(Serialize, Deserialize)]
struct WrittenStep {
    #[serde(flatten)]
    turn: WrittenUse,
    /// Nothing where it is counted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    time: Option<Span>,
}

#[derive(Serialize, Deserialize)]
struct WrittenUse {
    #[serde(rename = "move")]
    key: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pick: Option<Pick>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    note: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    work: Option<Span>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    rest: Option<Span>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    reps: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    effort: Option<u8>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    aside: Option<String>,
    /// The place in each round, where it differs; none of them has rounds again.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    rounds: Vec<WrittenUse>,
}

/// A place of a block: one move as records of all versions have it, or several at once.
#[derive(Serialize, Deserialize)]
#[serde(untagged)]
enum WrittenDoing {
    Together { together: WrittenTogether },
    One(WrittenUse),
}

#[derive(Serialize, Deserialize)]
struct WrittenTogether {
    stations: Vec<WrittenUse>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    swap: Option<Span>,
    rotates: bool,
    by_key: bool,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    work: Option<Span>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    rest: Option<Span>,
}

/// Why a plan is none that could be taught.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub(super) enum Unfit {
    /// The plan names a move that is not in its table.
    #[error("the plan uses the move `{0}`, which is not in its table of moves")]
    UnknownMove(String),
    /// Its numbers are none that a session file may have.
    #[error("its plan is no class: {0}")]
    OutOfBounds(#[from] OutOfBounds),
}

#[derive(Default)]
struct Table(BTreeMap<String, Arc<Move>>);

impl Table {
    /// The key of a move: its id, with a number where another move has taken that already.
    fn key_of(&mut self, of: &Arc<Move>) -> String {
        let mut key = of.id.clone();
        let mut number = 1;
        while self.0.get(&key).is_some_and(|known| known != of) {
            number += 1;
            key = format!("{}~{number}", of.id);
        }
        self.0.entry(key.clone()).or_insert_with(|| of.clone());
        key
    }

    fn written(&mut self, turn: &Use) -> WrittenUse {
        WrittenUse {
            key: self.key_of(&turn.of),
            pick: turn.pick,
            note: turn.note.clone(),
            work: turn.work,
            rest: turn.rest,
            reps: turn.reps,
            effort: turn.effort,
            aside: turn.aside.clone(),
            rounds: turn.rounds.iter().map(|turn| self.written(turn)).collect(),
        }
    }

    fn doing(&mut self, doing: &Doing) -> WrittenDoing {
        match doing {
            Doing::One(turn) => WrittenDoing::One(self.written(turn)),
            Doing::Together(of) => WrittenDoing::Together {
                together: WrittenTogether {
                    stations: of.stations.iter().map(|turn| self.written(turn)).collect(),
                    swap: of.swap,
                    rotates: of.rotates,
                    by_key: of.by_key,
                    work: of.work,
                    rest: of.rest,
                },
            },
        }
    }

    fn steps(&mut self, steps: &[Step]) -> Vec<WrittenStep> {
        let written = |step: &Step| WrittenStep {
            turn: self.written(&step.turn),
            time: step.time,
        };
        steps.iter().map(written).collect()
    }

    fn part(&mut self, part: &Part) -> WrittenPart {
        match part {
            Part::Talk { time, say } => WrittenPart::Talk {
                time: *time,
                say: say.clone(),
            },
            Part::Ready { time } => WrittenPart::Ready { time: *time },
            Part::WarmUp(steps) => WrittenPart::WarmUp(self.steps(steps)),
            Part::Block(block) => WrittenPart::Block {
                title: block.title.clone(),
                moves: block.moves.iter().map(|doing| self.doing(doing)).collect(),
                pattern: block.pattern.clone(),
                recovery: block.recovery,
                order: block.order,
                between: block.between.as_ref().map(|turn| self.written(turn)),
                last_rest: block.last_rest,
            },
            Part::Recover { time, say, turn } => WrittenPart::Recover {
                time: *time,
                say: say.clone(),
                turn: turn.as_ref().map(|turn| self.written(turn)),
            },
            Part::CoolDown(steps) => WrittenPart::CoolDown(self.steps(steps)),
            Part::Free { time, title, say } => WrittenPart::Free {
                time: *time,
                title: title.clone(),
                say: say.clone(),
            },
            Part::Repeat {
                times,
                parts,
                between,
            } => WrittenPart::Repeat {
                times: *times,
                parts: parts.iter().map(|part| self.part(part)).collect(),
                between: between.as_deref().map(|part| Box::new(self.part(part))),
            },
            Part::Until { mark, part } => WrittenPart::Until {
                mark: *mark,
                part: Box::new(self.part(part)),
            },
        }
    }

    fn read(&self, written: WrittenUse) -> Result<Arc<Use>, Unfit> {
        let of = self.0.get(&written.key).cloned();
        Ok(Arc::new(Use {
            of: of.ok_or(Unfit::UnknownMove(written.key))?,
            pick: written.pick,
            note: written.note,
            work: written.work,
            rest: written.rest,
            reps: written.reps,
            effort: written.effort,
            aside: written.aside,
            rounds: (written.rounds.into_iter())
                .map(|one| self.read_plain(one))
                .collect::<Result<_, _>>()?,
        }))
    }

    fn read_doing(&self, written: WrittenDoing) -> Result<Doing, Unfit> {
        Ok(match written {
            WrittenDoing::One(turn) => Doing::One(self.read(turn)?),
            WrittenDoing::Together { together: of } => Doing::Together(Arc::new(Together {
                stations: (of.stations.into_iter())
                    .map(|turn| self.read(turn))
                    .collect::<Result<_, _>>()?,
                swap: of.swap,
                rotates: of.rotates,
                by_key: of.by_key,
                work: of.work,
                rest: of.rest,
            })),
        })
    }

    /// A place as it is in one round.
    fn read_plain(&self, written: WrittenUse) -> Result<Arc<Use>, Unfit> {
        self.read(WrittenUse {
            rounds: Vec::new(),
            ..written
        })
    }

    fn read_steps(&self, steps: Vec<WrittenStep>) -> Result<Vec<Step>, Unfit> {
        let read = |step: WrittenStep| {
            Ok(Step {
                turn: self.read(step.turn)?,
                time: step.time,
            })
        };
        steps.into_iter().map(read).collect()
    }

    fn read_part(&self, part: WrittenPart) -> Result<Part, Unfit> {
        Ok(match part {
            WrittenPart::Talk { time, say } => Part::Talk { time, say },
            WrittenPart::Ready { time } => Part::Ready { time },
            WrittenPart::WarmUp(steps) => Part::WarmUp(self.read_steps(steps)?),
            WrittenPart::Recover { time, say, turn } => Part::Recover {
                time,
                say,
                turn: turn.map(|turn| self.read(turn)).transpose()?,
            },
            WrittenPart::CoolDown(steps) => Part::CoolDown(self.read_steps(steps)?),
            WrittenPart::Free { time, title, say } => Part::Free { time, title, say },
            WrittenPart::Repeat {
                times,
                parts,
                between,
            } => Part::Repeat {
                times,
                parts: (parts.into_iter())
                    .map(|part| self.read_part(part))
                    .collect::<Result<_, _>>()?,
                between: (between.map(|part| self.read_part(*part)))
                    .transpose()?
                    .map(Box::new),
            },
            WrittenPart::Until { mark, part } => Part::Until {
                mark,
                part: Box::new(self.read_part(*part)?),
            },
            WrittenPart::Block {
                title,
                moves,
                pattern,
                recovery,
                order,
                between,
                last_rest,
            } => Part::Block(Block {
                title,
                moves: moves
                    .into_iter()
                    .map(|doing| self.read_doing(doing))
                    .collect::<Result<_, _>>()?,
                pattern,
                recovery,
                order,
                between: between.map(|turn| self.read(turn)).transpose()?,
                last_rest,
            }),
        })
    }
}

impl From<&Session> for Written {
    fn from(session: &Session) -> Self {
        let mut table = Table::default();
        Self {
            title: session.title.clone(),
            slot: session.slot,
            brief: session.brief.clone(),
            limits: session.limits.clone(),
            people: session.people,
            groups: session.groups.clone(),
            equipment: session.equipment.clone(),
            stock: session.stock.clone(),
            cueing: session.cueing,
            parts: session.parts.iter().map(|part| table.part(part)).collect(),
            moves: table.0,
        }
    }
}

impl TryFrom<Written> for Session {
    type Error = Unfit;

    fn try_from(written: Written) -> Result<Self, Unfit> {
        let table = Table(written.moves);
        let session = Self {
            title: written.title,
            slot: written.slot,
            brief: written.brief,
            limits: written.limits,
            people: written.people,
            groups: written.groups,
            equipment: written.equipment,
            stock: written.stock,
            cueing: written.cueing,
            parts: written
                .parts
                .into_iter()
                .map(|part| table.read_part(part))
                .collect::<Result<_, _>>()?,
        };
        session.is_within_bounds()?;
        Ok(session)
    }
}

//! Invented classes and what happened in them, for tests and benches.
#![allow(
    dead_code,
    missing_docs,
    unreachable_pub,
    reason = "each user takes a part of it"
)]

use std::sync::Arc;

use chrono::{DateTime, TimeDelta};
use matside::live::{Act, Ending, Fact, Harder, HoldReason, What};
use matside::plan::{Interval, Timeline};
use matside::record::{Body, Entry, Header, Note, Rating, Wall};
use matside::session::{
    Block, Cueing, Impact, Load, Move, MoveOption, Muscle, Order, Part, Pattern, Pick, Position,
    Region, Session, Sides, Step, Use,
};
use matside::time::{Moment, Offset, Span};

/// The moment at which the sample classes begin.
pub fn start() -> Wall {
    wall("2026-03-02T18:30:00.000+01:00")
}

pub fn wall(text: &str) -> Wall {
    DateTime::parse_from_rfc3339(text).unwrap()
}

/// A move with everything that a library's entry has.
pub fn a_move(id: &str, region: Region, muscle: Muscle) -> Arc<Move> {
    Arc::new(Move {
        id: id.into(),
        name: id.replace('-', " "),
        call: id.replace('-', " "),
        position: Position::Standing,
        regions: vec![region],
        muscles: vec![muscle],
        loads: vec![Load::Knee],
        impact: Impact::Low,
        sides: Sides::Both,
        equipment: vec!["mat".into()],
        energy: Some("02022".into()),
        setup: "Feet under the hips, weight over the whole foot.".into(),
        form: vec![
            "Long back, chest open".into(),
            "Knees follow the toes".into(),
            "Breathe out on the way up".into(),
        ],
        easier: vec![option("half the depth"), option("hands on a chair")],
        harder: vec![option("with a pause below"), option("with a jump")],
        ..Move::default()
    })
}

fn option(call: &str) -> MoveOption {
    MoveOption {
        call: call.into(),
        spares: vec![Load::Knee],
        position: None,
        equipment: vec![],
        setup: None,
        ..MoveOption::default()
    }
}

pub fn plain(of: &Arc<Move>) -> Arc<Use> {
    Arc::new(Use::plain(of.clone()))
}

fn step(of: &Arc<Move>, secs: u64) -> Step {
    Step {
        turn: plain(of),
        time: Some(Span::from_secs(secs)),
    }
}

/// 30 s of talk, two rounds of two moves (30 s, 15 s rest, 40 s between), a minute to end with:
/// 30 + 10 + (30 + 15 + 30 + 40 + 30 + 15 + 30) + 60 = 290 s, of which 120 s are work.
pub fn short_class() -> Session {
    let reach = a_move("reach", Region::Upper, Muscle::Shoulders);
    let squat = a_move("squat", Region::Lower, Muscle::Quadriceps);
    let fold = a_move("fold", Region::Total, Muscle::Hamstrings);
    Session {
        title: "Tide & Shore".into(),
        slot: Some(Span::from_secs(300)),
        brief: "Two rounds, \"gently\".".into(),
        limits: vec![Load::Wrist],
        people: None,
        groups: Vec::new(),
        equipment: vec!["mat".into()],
        stock: Vec::new(),
        cueing: Cueing::default(),
        parts: vec![
            Part::Talk {
                time: Span::from_secs(30),
                say: "Welcome.".into(),
            },
            Part::Ready {
                time: Span::from_secs(10),
            },
            Part::Block(Block {
                title: Some("Ebb".into()),
                moves: vec![
                    plain(&squat).into(),
                    Arc::new(Use {
                        pick: Some(Pick::Easier(0)),
                        note: Some("slowly".into()),
                        ..Use::plain(reach)
                    })
                    .into(),
                ],
                pattern: Pattern::Same {
                    rounds: 2,
                    work: Span::from_secs(30),
                    rest: Span::from_secs(15),
                },
                recovery: Some(Span::from_secs(40)),
                order: Order::ByRound,
                between: None,
                last_rest: false,
            }),
            Part::CoolDown(vec![step(&fold, 60)]),
        ],
    }
}

/// How many muscles had names when version 1.0 of the record was written.
const MUSCLES_OF_1_0: usize = 17;

/// An hour: a warm-up of six moves, five blocks of four moves in three rounds, a cool-down.
/// 25 different moves.
pub fn hour_class(title: &str, shift: usize) -> Session {
    let moves: Vec<_> = (0..25)
        .map(|n| {
            a_move(
                &format!("move-number-{}", n + shift),
                Region::ALL[n % Region::ALL.len()],
                Muscle::ALL[n % MUSCLES_OF_1_0],
            )
        })
        .collect();
    let steps = |moves: &[Arc<Move>], secs| moves.iter().map(|of| step(of, secs)).collect();
    let mut parts = vec![Part::WarmUp(steps(&moves[0..5], 60))];
    for block in 0..5 {
        let of = &moves[block * 4..block * 4 + 4];
        parts.push(Part::Block(Block {
            title: None,
            moves: of.iter().map(|of| plain(of).into()).collect(),
            pattern: Pattern::Rounds {
                work: [50, 40, 30].map(Span::from_secs).to_vec(),
                rest: [20, 15, 10].map(Span::from_secs).to_vec(),
            },
            recovery: Some(Span::from_secs(45)),
            order: Order::ByRound,
            between: None,
            last_rest: false,
        }));
        parts.push(Part::Recover {
            time: Span::from_secs(60),
            say: "Water, and the next block is on the floor.".into(),
            turn: None,
        });
    }
    parts.push(Part::CoolDown(steps(&moves[20..25], 60)));
    Session {
        title: title.into(),
        slot: Some(Span::from_secs(3600)),
        brief: String::new(),
        limits: vec![],
        people: None,
        groups: Vec::new(),
        equipment: vec!["mat".into()],
        stock: Vec::new(),
        cueing: Cueing::default(),
        parts,
    }
}

/// What happens in a class, told step by step.
pub struct Telling {
    at: Moment,
    offset: Offset,
    pub start: Wall,
    pub facts: Vec<(Wall, Fact)>,
}

impl Telling {
    pub fn from(start: Wall) -> Self {
        Self {
            at: Moment::from_millis(5_000),
            offset: Offset::ZERO,
            start,
            facts: Vec::new(),
        }
    }

    pub fn now(&self) -> Wall {
        let gone = i64::try_from(self.at.millis() - 5_000).unwrap();
        self.start + TimeDelta::milliseconds(gone)
    }

    pub fn what(&mut self, what: What) -> &mut Self {
        let fact = Fact {
            at: self.at,
            offset: self.offset,
            what,
        };
        self.facts.push((self.now(), fact));
        self
    }

    pub fn act(&mut self, act: Act) -> &mut Self {
        self.what(What::Did(act))
    }

    /// Class time goes on.
    pub fn run(&mut self, millis: u64) -> &mut Self {
        self.offset = self.offset + Span::from_millis(millis);
        self.stand(millis)
    }

    /// Time goes on, the class stands.
    pub fn stand(&mut self, millis: u64) -> &mut Self {
        self.at = self.at + Span::from_millis(millis);
        self
    }

    pub fn enter(&mut self, interval: &Interval) -> &mut Self {
        self.what(entered(interval))
    }

    pub fn through(&mut self, interval: &Interval) -> &mut Self {
        self.enter(interval).run(interval.length.millis())
    }

    pub fn end(&mut self, ending: Ending) -> &mut Self {
        self.what(What::Ended(ending))
    }
}

pub fn entered(interval: &Interval) -> What {
    What::Entered {
        id: interval.id,
        kind: interval.kind,
        length: interval.length,
        part: interval.part,
        block: interval.place.as_ref().map(|place| place.block),
        round: interval.place.as_ref().map(|place| place.round.nth),
        moves: interval
            .moves
            .iter()
            .map(|turn| turn.of.id.clone())
            .collect(),
        together: interval.together().map(|of| of.turn.nth),
        pick: interval.turn().and_then(|turn| turn.pick),
    }
}

/// A class taught just as it was planned.
pub fn as_planned(session: &Session, start: Wall) -> Vec<(Wall, Fact)> {
    let mut told = Telling::from(start);
    told.act(Act::Begin);
    for interval in Timeline::of(session).intervals() {
        told.through(interval);
    }
    told.end(Ending::Completed);
    told.facts
}

/// The short class with a hold of 20 s, a skip, a landing and a mark:
/// talk 30; ready 10; squat 12, held 20, squat 18; rest 15; reach, skipped after 10; recovery cut
/// to 25 by the landing; squat 30; rest 15; reach 30; fold 60. Run 255 s, on the wall 275 s.
pub fn eventful(start: Wall) -> Vec<(Wall, Fact)> {
    let session = short_class();
    let timeline = Timeline::of(&session);
    let plan = timeline.intervals();
    let mut told = Telling::from(start);
    told.act(Act::Begin);
    told.through(&plan[0]).through(&plan[1]);
    told.enter(&plan[2]).run(12_000);
    told.act(Act::Hold(HoldReason::Break)).stand(17_000);
    told.act(Act::Resume).stand(3_000).run(18_000);
    told.through(&plan[3]);
    told.enter(&plan[4]).run(10_000).act(Act::Skip);
    told.act(Act::Land(vec![matside::live::Change {
        id: plan[5].id,
        kind: matside::live::ChangeKind::Length(Span::from_secs(25)),
    }]));
    told.enter(&plan[5]).run(25_000);
    told.enter(&plan[6]).run(7_500).act(Act::Mark);
    let mut harder = entered(&plan[6]);
    if let What::Entered { pick, .. } = &mut harder {
        *pick = Some(Pick::Harder(0));
    }
    told.act(Act::Step(Harder::Harder)).what(harder).run(22_500);
    told.through(&plan[7]).through(&plan[8]).through(&plan[9]);
    told.end(Ending::Completed);
    told.facts
}

pub fn header(session: Session, start: Wall) -> Header {
    Header::new(session, start).ends_at(start + TimeDelta::seconds(300))
}

pub fn note() -> Note {
    Note {
        people: Some(14),
        words: "Warm room; \"good\", they said.".into(),
        ..Note::default()
    }
    .rated(Rating::try_from(7).ok())
}

/// The facts as entries with their numbers.
pub fn entries(facts: Vec<(Wall, Fact)>) -> Vec<Entry> {
    (1..)
        .zip(facts)
        .map(|(n, (wall, fact))| Entry {
            n,
            wall,
            body: Body::Fact(fact),
        })
        .collect()
}

/// The bytes of a record.
pub fn bytes(header: &Header, entries: &[Entry]) -> Vec<u8> {
    let mut bytes = header.line();
    for entry in entries {
        bytes.extend(entry.line());
    }
    bytes
}

/// Something that may happen, drawn by chance.
pub fn any_what(random: &mut fastrand::Rng) -> What {
    let span = Span::from_millis(random.u64(..));
    let act = match random.u8(0..15) {
        14 => return What::Reach(span),
        0 => return What::Sound(random.bool()),
        1 => return What::EndsAt(random.bool().then(|| Moment::from_millis(random.u64(..)))),
        2 => return What::Ended(Ending::Stopped),
        3 => Act::Skip,
        4 => Act::Add(span),
        5 => Act::GoTo(random.usize(..)),
        6 => Act::Limits(vec![Load::ALL[random.usize(..Load::ALL.len())]]),
        7 => Act::Slept {
            from: Moment::from_millis(random.u64(..)),
            gap: span,
        },
        8 => Act::Step(Harder::Easier),
        9 => Act::Hold(HoldReason::Slept),
        10 => Act::Undo,
        11 => {
            return What::Entered {
                id: random.u32(..),
                kind: matside::plan::Kind::ALL[random.usize(..7)],
                length: span,
                part: random.usize(..),
                block: random.bool().then(|| random.usize(..)),
                round: random.bool().then(|| random.usize(..)),
                moves: (0..random.u8(0..3)).map(|_| any_words(random)).collect(),
                together: random.bool().then(|| random.usize(..)),
                pick: random.bool().then(|| Pick::Harder(random.usize(..))),
            };
        }
        _ => Act::Mark,
    };
    What::Did(act)
}

/// Words with everything that a format may stumble over.
pub fn any_words(random: &mut fastrand::Rng) -> String {
    const PIECES: [&str; 14] = [
        "plank",
        " ",
        "\"",
        ",",
        "\n",
        "\r\n",
        "-->",
        "&",
        "<b>",
        "é",
        "\u{1F9D8}",
        "\\",
        "\t",
        ";",
    ];
    (0..random.usize(0..8))
        .map(|_| PIECES[random.usize(..PIECES.len())])
        .collect()
}

//! Random keys with random times between them.

use std::fmt;

use fastrand::Rng;
use matside::live::{Act, Harder, HoldReason, Input};
use matside::session::Load;
use matside::time::{Moment, Span};

use crate::pieces::Ms;
use crate::random_class::MOVES;

/// What comes to the class, and how long after what came before.
#[derive(Clone, Debug)]
pub(crate) struct Press {
    pub(crate) after: Ms,
    pub(crate) key: Key,
}

/// What comes to the class.
#[derive(Clone, Debug)]
pub(crate) enum Key {
    Wake,
    Cancel,
    End,
    Act(Act),
    /// Another move, by its number among those of the class.
    Swap(usize),
    /// A landing on a slot that ends so many seconds after the class as it stands, or before; one of
    /// those that are offered.
    Land {
        room: i64,
        which: usize,
    },
    /// Sleep from the last thing that came; the steady clock of some systems goes on in it.
    Sleep {
        gap: Ms,
        clock_goes: bool,
    },
}

impl Press {
    /// When it comes, and what.
    pub(crate) fn input(&self, last: Ms) -> (Ms, Input) {
        match &self.key {
            Key::Cancel => (last + self.after, Input::Cancel),
            Key::End => (last + self.after, Input::End),
            Key::Act(act) => (last + self.after, Input::Act(act.clone())),
            // The last two need the class.
            Key::Wake | Key::Swap(_) | Key::Land { .. } => (last + self.after, Input::Wake),
            Key::Sleep { gap, clock_goes } => {
                let from = Moment::from_millis(last);
                let gap = Span::from_millis(*gap);
                let now = last + if *clock_goes { gap.millis() } else { 0 };
                (now, Input::Act(Act::Slept { from, gap }))
            }
        }
    }
}

impl fmt::Display for Press {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "+{} {:?}", self.after, self.key)
    }
}

/// Some keys for a class of so many parts.
pub(crate) fn presses(rng: &mut Rng, parts: usize) -> Vec<Press> {
    let begin = Press {
        after: 0,
        key: Key::Act(Act::Begin),
    };
    let hasty = rng.bool();
    let press = |rng: &mut Rng| Press {
        after: delay(rng, hasty),
        key: key(rng, parts),
    };
    let mut all = vec![begin];
    for _ in 0..rng.u32(10..120) {
        let next = press(rng);
        let repeated = rng.u8(..8) == 0 && matches!(next.key, Key::Act(_) | Key::End);
        if repeated {
            let again = rng.u64(..4_500);
            all.push(Press {
                after: again,
                key: next.key.clone(),
            });
        }
        all.push(next);
        if rng.u8(..6) == 0 {
            all.push(Press {
                after: 0,
                key: Key::Act(Act::Undo),
            });
        }
    }
    all
}

/// From none to two minutes; a hasty hand is quicker.
fn delay(rng: &mut Rng, hasty: bool) -> Ms {
    match rng.u8(..10) {
        0 | 1 => 0,
        2 | 3 => rng.u64(..1_000),
        4 | 5 => rng.u64(..4_000),
        6 => 1_000 * rng.u64(..20),
        7 | 8 if hasty => rng.u64(..2_000),
        7 | 8 => rng.u64(..30_000),
        _ => rng.u64(..120_000),
    }
}

fn key(rng: &mut Rng, parts: usize) -> Key {
    let ten = Span::from_secs(10);
    Key::Act(match rng.u8(..36) {
        0..=3 => return Key::Wake,
        4 if rng.u8(..4) == 0 => return Key::End,
        4 if rng.bool() => return Key::Cancel,
        4 => Act::Mark,
        5 => Act::Hold(match rng.u8(..3) {
            0 => HoldReason::Hold,
            1 => HoldReason::Break,
            _ => HoldReason::Moving,
        }),
        6..=8 => Act::Resume,
        9 | 10 => Act::GoOn,
        11 | 12 => Act::Back,
        13 | 14 => Act::Skip,
        15 | 16 => Act::Add(ten),
        17 | 18 => Act::Take(ten),
        19 | 20 => Act::OnceMore,
        21 => Act::DropRound,
        22 => Act::GoTo(rng.usize(..parts)),
        23 if rng.bool() => {
            return Key::Sleep {
                gap: rng.u64(..300_000),
                clock_goes: rng.bool(),
            };
        }
        23 | 24 => Act::CatchUp,
        30 | 31 => Act::Step(match rng.u8(..3) {
            0 => Harder::Easier,
            1 => Harder::Harder,
            _ => Harder::Instead,
        }),
        32 => return Key::Swap(rng.usize(..MOVES.len())),
        33 => Act::Limits(if rng.bool() {
            vec![Load::Jump]
        } else {
            Vec::new()
        }),
        34 | 35 => {
            return Key::Land {
                room: rng.i64(-400..400),
                which: rng.usize(..4),
            };
        }
        _ => Act::Undo,
    })
}

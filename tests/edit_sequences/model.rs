//! The same changes made on the class itself, where a text is not asked.

use matside::session::edit::Step::{self, Field, Item};
use matside::session::manuscript::Change;
use matside::session::{Block, Doing, Part, Pattern, Session, Step as OfFrame};

/// A list of a class.
enum List<'s> {
    Parts(&'s mut Vec<Part>),
    Moves(&'s mut Vec<Doing>),
    Steps(&'s mut Vec<OfFrame>),
}

/// One value of a list.
enum Value {
    Part(Part),
    Move(Doing),
    Step(OfFrame),
}

/// The class after a change, where it can be told without the text: parts, moves and steps taken
/// out, copied and moved.
pub(crate) fn after(session: &Session, change: &Change) -> Option<Session> {
    // How long a part lasts that goes up to a mark hangs on all before it.
    let is_free = |part: &Part| !matches!(part, Part::Until { .. });
    session.parts.iter().all(is_free).then_some(())?;
    let mut session = session.clone();
    match change {
        Change::Delete(path) => drop(take(&mut session, path)?),
        Change::Copy(path) => {
            let value = take(&mut session, path)?;
            put(&mut session, path, value.again())?;
            put(&mut session, path, value)?;
        }
        Change::Move { from, to } => {
            let value = take(&mut session, from)?;
            put(&mut session, &gone(from, to), value)?;
        }
        _ => return None,
    }
    Some(session)
}

/// The path of a place once what was at another is gone.
fn gone(from: &[Step], to: &[Step]) -> Vec<Step> {
    let mut to = to.to_vec();
    let list = from.len() - 1;
    if to.len() > from.len()
        && to[..list] == from[..list]
        && let (Item(gone), Item(n)) = (from[list], &mut to[list])
        && *n > gone
    {
        *n -= 1;
    }
    to
}

impl Value {
    fn again(&self) -> Self {
        match self {
            Self::Part(part) => Self::Part(part.clone()),
            Self::Move(doing) => Self::Move(doing.clone()),
            Self::Step(step) => Self::Step(step.clone()),
        }
    }
}

fn take(session: &mut Session, path: &[Step]) -> Option<Value> {
    let (Item(n), list) = path.split_last()? else {
        return None;
    };
    Some(match list_at(&mut session.parts, list)? {
        List::Parts(of) if *n < of.len() => Value::Part(of.remove(*n)),
        List::Moves(of) if *n < of.len() => Value::Move(of.remove(*n)),
        List::Steps(of) if *n < of.len() => Value::Step(of.remove(*n)),
        _ => return None,
    })
}

fn put(session: &mut Session, path: &[Step], value: Value) -> Option<()> {
    let (Item(n), list) = path.split_last()? else {
        return None;
    };
    match (list_at(&mut session.parts, list)?, value) {
        (List::Parts(of), Value::Part(value)) => of.insert(*n, value),
        (List::Moves(of), Value::Move(value)) => of.insert(*n, value),
        (List::Steps(of), Value::Step(value)) => of.insert(*n, value),
        _ => return None,
    }
    Some(())
}

fn list_at<'s>(parts: &'s mut Vec<Part>, path: &[Step]) -> Option<List<'s>> {
    match path {
        [Field("parts")] => Some(List::Parts(parts)),
        [Field("parts"), Item(n), rest @ ..] => match (parts.get_mut(*n)?, rest) {
            (Part::Repeat { parts, .. }, rest) => list_at(parts, rest),
            (Part::WarmUp(steps) | Part::CoolDown(steps), [Item(0)]) => Some(List::Steps(steps)),
            (Part::Block(block), [Field("moves")]) if is_plain(block) => {
                Some(List::Moves(&mut block.moves))
            }
            _ => None,
        },
        _ => None,
    }
}

/// Whether a move of the block says the same wherever it stands: lists by round go by the number of
/// rounds, which in an `Emom` goes by the number of moves. Stations are one place.
fn is_plain(block: &Block) -> bool {
    let one = |doing: &Doing| match doing {
        Doing::One(turn) => turn.rounds.is_empty(),
        Doing::Together(_) => false,
    };
    !matches!(block.pattern, Pattern::Emom { .. }) && block.moves.iter().all(one)
}

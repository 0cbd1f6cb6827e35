//! How parts, and times of a file, are called in words.

use crate::session::edit::{Role, Step, TimeAt};
use crate::session::{Block, Doing, Part, Session};

/// A part by what it is: `block 2 (Ebb)`, `the warm-up`.
pub(super) fn of_part(session: &Session, n: usize) -> String {
    named(session, n, &session.parts[n])
}

fn named(session: &Session, n: usize, part: &Part) -> String {
    match part {
        Part::Talk { .. } => format!("the talk (part {})", n + 1),
        Part::Ready { .. } => format!("getting ready (part {})", n + 1),
        Part::Recover { .. } => format!("the recovery (part {})", n + 1),
        Part::Free { .. } => format!("the free window (part {})", n + 1),
        Part::Repeat { .. } => format!("what is repeated (part {})", n + 1),
        Part::Until { part, .. } => named(session, n, part),
        Part::WarmUp(_) => "the warm-up".to_owned(),
        Part::CoolDown(_) => "the cool-down".to_owned(),
        Part::Block(block) => of_block(session, block),
    }
}

/// A block by its number among those of the file, each counted once however often it comes.
pub(super) fn of_block(session: &Session, block: &Block) -> String {
    let mut all = session.parts.iter().flat_map(blocks);
    let nth = all.position(|other| std::ptr::eq(other, block));
    let nth = nth.map_or(0, |place| place + 1);
    match &block.title {
        Some(title) => format!("block {nth} ({title})"),
        None => format!("block {nth}"),
    }
}

/// The blocks that a part is or holds, each once however often it comes.
pub(super) fn blocks(part: &Part) -> Vec<&Block> {
    match part {
        Part::Block(block) => vec![block],
        Part::Repeat { parts, .. } => parts.iter().flat_map(blocks).collect(),
        _ => Vec::new(),
    }
}

/// The part in which a time stands, however deep.
fn innermost<'a>(session: &'a Session, at: &TimeAt) -> &'a Part {
    let mut part = &session.parts[at.part];
    let mut path = &at.path[2..];
    while let Part::Repeat { parts, between, .. } = part {
        let inner = match path {
            [Step::Field("parts"), Step::Item(n), rest @ ..] => {
                path = rest;
                parts.get(*n)
            }
            [Step::Field("between"), rest @ ..] => {
                path = rest;
                between.as_deref()
            }
            _ => None,
        };
        let Some(inner) = inner else { break };
        part = inner;
    }
    part
}

/// A time by what it is the time of.
pub(super) fn of_time(session: &Session, at: &TimeAt) -> String {
    let inner = innermost(session, at);
    let part = named(session, at.part, inner);
    match (inner, at.path.as_slice()) {
        (Part::WarmUp(steps) | Part::CoolDown(steps), [.., Step::Item(step), Step::Item(1)]) => {
            let name = steps.get(*step).map_or("", |step| &step.turn.of.name);
            format!("{part}: {name}")
        }
        (Part::Block(block), [.., Step::Field("moves"), Step::Item(n), _]) => {
            let names = block.moves.get(*n).map_or(&[][..], Doing::moves).iter();
            let names: Vec<&str> = names.map(|turn| turn.of.name.as_str()).collect();
            let name = names.join(" and ");
            format!("{part}: {} of {name}", of_role(at.role))
        }
        (Part::Block(_), _) => format!("{part}: {}", of_role(at.role)),
        _ => part,
    }
}

const fn of_role(role: Role) -> &'static str {
    match role {
        Role::Recovery => "recovery",
        Role::Rest => "rest",
        Role::Work => "work",
        Role::Window => "window",
        Role::Talk => "talk",
        Role::Ready => "getting ready",
        Role::WarmUp => "warm-up",
        Role::CoolDown => "cool-down",
    }
}

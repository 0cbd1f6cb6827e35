//! How parts, and times of a file, are called in words.

use crate::session::edit::{Role, Step, TimeAt};
use crate::session::{Block, Part, Session};

/// A part by what it is: `block 2 (Ebb)`, `the warm-up`.
pub(super) fn of_part(session: &Session, n: usize) -> String {
    match &session.parts[n] {
        Part::Talk { .. } => format!("the talk (part {})", n + 1),
        Part::Ready { .. } => format!("getting ready (part {})", n + 1),
        Part::Recover { .. } => format!("the recovery (part {})", n + 1),
        Part::WarmUp(_) => "the warm-up".to_owned(),
        Part::CoolDown(_) => "the cool-down".to_owned(),
        Part::Block(block) => of_block(session, n, block),
    }
}

fn of_block(session: &Session, n: usize, block: &Block) -> String {
    let blocks = session.parts[..=n].iter();
    let nth = blocks.filter(|part| matches!(part, Part::Block(_))).count();
    match &block.title {
        Some(title) => format!("block {nth} ({title})"),
        None => format!("block {nth}"),
    }
}

/// A time by what it is the time of.
pub(super) fn of_time(session: &Session, at: &TimeAt) -> String {
    let part = of_part(session, at.part);
    match (&session.parts[at.part], at.path.as_slice()) {
        (Part::WarmUp(steps) | Part::CoolDown(steps), [.., Step::Item(step), Step::Item(1)]) => {
            let name = steps.get(*step).map_or("", |step| &step.turn.of.name);
            format!("{part}: {name}")
        }
        (Part::Block(block), [.., Step::Field("moves"), Step::Item(n), _]) => {
            let name = block.moves.get(*n).map_or("", |turn| &turn.of.name);
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

//! Why a move is in the class, in a line.

use super::in_class::For;
use super::wishes::Wishes;
use crate::advice::effort::{MODERATE, VIGOROUS};
use crate::advice::likeness::region;
use crate::session::{Action, Load, Pick, Sides, Use, Version, met};

/// Why a move is there.
pub(super) fn reason(turn: &Use, wishes: &Wishes, place: For) -> String {
    let mut words = vec![what(turn, place)];
    words.extend(wished(turn, wishes));
    words.extend(for_limits(turn, wishes));
    if place == For::Work {
        words.extend(
            turn.version()
                .energy()
                .and_then(met)
                .map(|met| cost(met).to_owned()),
        );
        if turn.version().sides() == Sides::Each {
            words.push("both sides in turn".to_owned());
        }
    }
    words.extend(variety(turn, wishes));
    words.join("; ")
}

fn what(turn: &Use, place: For) -> String {
    let action = turn.of.action;
    let region = region(turn).map_or("", |region| region.label());
    match (place, action) {
        (For::WarmUp, Some(Action::Travel)) => "gets the pulse up".to_owned(),
        (For::WarmUp, Some(Action::Mobilise)) => format!("readies {}", muscles(turn)),
        (For::WarmUp, Some(action)) => format!("a small {} before the work", action.label()),
        (For::CoolDown, Some(Action::Breathe)) => "breath to end with".to_owned(),
        (For::CoolDown, _) => format!("for {}", muscles(turn)),
        (_, Some(action)) => format!("{region}, {}", action.label()),
        (_, None) => region.to_owned(),
    }
}

/// What a move costs in a word, by the boundaries of the ACSM (moderate from 3.0 MET, vigorous from
/// 6.0).
fn cost(met: f64) -> &'static str {
    match met {
        _ if met < MODERATE => "light work",
        _ if met < VIGOROUS => "moderate work",
        _ => "vigorous work",
    }
}

fn muscles(turn: &Use) -> String {
    let named: Vec<&str> = turn
        .of
        .muscles
        .iter()
        .take(2)
        .map(|muscle| muscle.label())
        .collect();
    if named.is_empty() {
        "what worked".to_owned()
    } else {
        named.join(" and ")
    }
}

fn wished(turn: &Use, wishes: &Wishes) -> Option<String> {
    let regions = &wishes.regions;
    let in_focus = region(turn).is_some_and(|region| regions.contains(&region))
        || turn
            .of
            .action
            .is_some_and(|action| wishes.actions.contains(&action));
    if wishes.have.contains(&turn.of.id) {
        return Some("wished by name".to_owned());
    }
    in_focus.then(|| "in the focus".to_owned())
}

/// Which of the limits of the room its version spares, where the move itself would not.
fn for_limits(turn: &Use, wishes: &Wishes) -> Option<String> {
    let met = Version::of(&turn.of, None).meets(&wishes.limits);
    let spares: Vec<&str> = met.into_iter().map(Load::label).collect();
    if !spares.is_empty() {
        return Some(format!("this version spares {}", spares.join(" and ")));
    }
    match turn.pick {
        Some(Pick::Harder(_)) => Some("a harder version, for the level that was wished".to_owned()),
        Some(_) => Some("an easier version for all".to_owned()),
        None => None,
    }
}

fn variety(turn: &Use, wishes: &Wishes) -> Option<String> {
    if wishes.taught.is_empty() {
        return None;
    }
    Some(match wishes.last_taught(&turn.of.id) {
        None => "not in the classes looked back on".to_owned(),
        Some(last) if last.in_last_class => "was in the last class".to_owned(),
        Some(last) => match last.days {
            0 => "taught today".to_owned(),
            1 => "taught yesterday".to_owned(),
            days @ 2..=27 => format!("last {days} days ago"),
            days => format!("last {} weeks ago", days / 7),
        },
    })
}

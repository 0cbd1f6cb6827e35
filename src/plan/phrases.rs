//! The wording of prompts: what an instructor says out loud, and nothing she would not.
//!
//! It refuses to know when it is said. Plain words, the thing first, no filler, nothing at random.

use std::sync::Arc;

use super::body::Body;
use super::speech::{number, ordinal, span};
use super::timeline::{Interval, Kind};
use super::turn::Turn;
use crate::session::{Load, MoveOption, Pick, Position, Use};
use crate::time::Span;

/// How many words a prompt may spend.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Words {
    Full,
    Short,
}

/// The coming move by name, where the body goes, what to take.
pub(super) fn preview(turn: &Turn, words: Words) -> String {
    let mut said = lead_in(turn, words);
    if let Some(option) = turn.used.option() {
        said = said + ", " + &option.call;
    }
    if let Some(place) = to_position(turn, words) {
        said = said + ", " + &place;
    }
    if !turn.fetch.is_empty() {
        said = said + ", " + &take(&turn.fetch);
    }
    said
}

fn lead_in(turn: &Turn, words: Words) -> String {
    let call = &turn.used.of.call;
    let brief = words == Words::Short;
    if turn.interval.moves.len() > 1 {
        return format!("as many rounds as you can, {call} first");
    }
    match turn.interval.kind {
        Kind::WarmUp if turn.opens_part() && !brief => format!("warm-up, {call} first"),
        Kind::CoolDown if turn.opens_part() && !brief => format!("cool-down, {call} first"),
        Kind::CoolDown if turn.opens_part() => format!("cool-down, {call}"),
        _ if turn.is_same_again() && is_last_time(turn) => format!("{call}, last time"),
        _ if turn.is_same_again() => format!("{call} again"),
        Kind::Work if (turn.opens_block() || turn.opens_round()) && !brief => {
            format!("{call} first")
        }
        _ => format!("{call} next"),
    }
}

/// Whether the move comes for the last time in its block.
fn is_last_time(turn: &Turn) -> bool {
    let place = turn.interval.place.as_ref();
    place.is_some_and(|place| place.round == place.rounds && place.rounds > 2)
}

/// How the body gets there, where it must go anywhere.
fn to_position(turn: &Turn, words: Words) -> Option<String> {
    let rises = match turn.body {
        Body::Same => return None,
        Body::Down if words == Words::Short => return Some("down".to_owned()),
        Body::Down => return Some(format!("down {}", place(turn.used.position()))),
        Body::Up => true,
        Body::Shift => false,
    };
    let said = match turn.used.position() {
        Position::Standing if turn.off_wall => "off the wall",
        Position::Standing if words == Words::Short => "up",
        Position::Standing => "up onto your feet",
        Position::Seated if rises => "up, take a seat",
        Position::Wall if rises => "up, to the wall",
        floor => place(floor),
    };
    Some(said.to_owned())
}

const fn place(position: Position) -> &'static str {
    match position {
        Position::Standing => "onto your feet",
        Position::Kneeling => "to your knees",
        Position::HandsAndKnees => "to hands and knees",
        Position::HandsAndFeet => "to your hands",
        Position::Forearms => "to your forearms",
        Position::Prone => "onto your front",
        Position::Supine => "onto your back",
        Position::SideLying => "onto your side",
        Position::Seated => "to sitting",
        Position::Wall => "to the wall",
    }
}

fn take(things: &[&str]) -> String {
    match things {
        ["mat"] => "mat down".to_owned(),
        _ => format!("take the {}", list(things)),
    }
}

/// What to bring for the whole block.
pub(super) fn bring(things: &[&str]) -> String {
    format!("for this block, bring the {}", list(things))
}

/// `a`, `a and b`, `a, b and c`.
fn list(things: &[&str]) -> String {
    match things {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// One step down from the version in force, as it is offered.
pub(super) fn easier(turn: &Use, words: Words) -> Option<String> {
    let of = &turn.of;
    let option = match turn.pick {
        None => of.easier.first()?,
        Some(Pick::Easier(n)) => of.easier.get(n + 1)?,
        Some(Pick::Harder(0)) => return Some(format!("easier: plain {}", of.call)),
        Some(Pick::Harder(n)) => of.harder.get(n - 1)?,
    };
    Some(offered("easier", option, words))
}

/// One step up from the version in force, as it is offered.
pub(super) fn harder(turn: &Use) -> Option<String> {
    let of = &turn.of;
    let option = match turn.pick {
        None => of.harder.first()?,
        Some(Pick::Harder(n)) => of.harder.get(n + 1)?,
        Some(Pick::Easier(0)) => return Some(format!("harder: the full {}", of.call)),
        Some(Pick::Easier(n)) => of.easier.get(n - 1)?,
    };
    Some(offered("harder", option, Words::Short))
}

fn offered(which: &str, option: &MoveOption, words: Words) -> String {
    match &option.setup {
        Some(setup) if words == Words::Full => {
            format!("{which}: {}, {}", option.call, spoken(setup))
        }
        _ => format!("{which}: {}", option.call),
    }
}

/// For the limits that a move meets, the option that spares them; limits spared alike in one
/// prompt. In a circuit one prompt a limit, for whichever moves meet it.
pub(super) fn limits(moves: &[Arc<Use>], limits: &[Load]) -> Vec<String> {
    let mut told: Vec<(Vec<&str>, Vec<String>)> = Vec::new();
    for turn in moves {
        for &load in &met(turn, limits) {
            let (whom, instead) = (load.label(), spared(turn, load, limits));
            if moves.len() > 1 {
                let instead = format!("in {}, {instead}", turn.of.call);
                match told.iter_mut().find(|(loads, _)| *loads == [whom]) {
                    Some((_, all)) => all.push(instead),
                    None => told.push((vec![whom], vec![instead])),
                }
            } else {
                match told.iter_mut().find(|(_, all)| *all == [instead.as_str()]) {
                    Some((loads, _)) => loads.push(whom),
                    None => told.push((vec![whom], vec![instead])),
                }
            }
        }
    }
    told.into_iter()
        .map(|(loads, instead)| format!("{}: {}", list(&loads), instead.join("; ")))
        .collect()
}

/// The limits that a move meets in the version in force.
fn met(turn: &Use, limits: &[Load]) -> Vec<Load> {
    let loads = turn.loads();
    let mut out: Vec<Load> = Vec::new();
    for &load in limits {
        if loads.contains(&load) && !out.contains(&load) {
            out.push(load);
        }
    }
    out
}

/// What spares a load: the easier option that spares most of the limits met, the nearest of
/// those; without one, to leave the move out. It is a reminder, no medical advice.
fn spared(turn: &Use, load: Load, limits: &[Load]) -> String {
    let met = met(turn, limits);
    let spares = |option: &&MoveOption| option.spares.contains(&load);
    let count = |option: &MoveOption| met.iter().filter(|l| option.spares.contains(l)).count();
    let mut best: Option<&MoveOption> = None;
    for option in turn.of.easier.iter().filter(spares) {
        if best.is_none_or(|b| count(option) > count(b)) {
            best = Some(option);
        }
    }
    best.map_or_else(
        || "leave this one out, or ask me".to_owned(),
        |option| option.call.clone(),
    )
}

/// A form cue or the planner's note, which changes with each time the move comes.
pub(super) fn cue(turn: &Turn, nth: usize) -> Option<String> {
    let first_round = turn.interval.place.as_ref().is_none_or(|p| p.round == 1);
    if let Some(note) = turn.used.note.as_ref().filter(|_| first_round) {
        return Some(spoken(note));
    }
    let form = &turn.used.of.form;
    form.get(nth % form.len().max(1)).map(|cue| spoken(cue))
}

/// A written sentence as it stands in a prompt: without its full stop and capital.
pub(super) fn spoken(text: &str) -> String {
    let text = text.trim().trim_end_matches(['.', '!', ';']);
    let mut chars = text.chars();
    let rest_is_lower = text.chars().nth(1).is_none_or(|c| !c.is_uppercase());
    match chars.next() {
        Some(first) if rest_is_lower => first.to_lowercase().chain(chars).collect(),
        _ => text.to_owned(),
    }
}

/// What a block is: its title, moves, rounds and times.
pub(super) fn block(turn: &Turn, times: Option<String>, words: Words) -> Option<String> {
    let place = turn.interval.place.as_ref()?;
    let mut parts: Vec<String> = place.title.iter().map(ToString::to_string).collect();
    if turn.interval.moves.len() > 1 {
        let calls: Vec<&str> = turn
            .interval
            .moves
            .iter()
            .map(|m| m.of.call.as_str())
            .collect();
        parts.push(format!(
            "{} of {}",
            span(turn.interval.planned),
            list(&calls)
        ));
        return Some(parts.join(": "));
    }
    let many = |n: usize, thing: &str| match n {
        1 => format!("one {thing}"),
        n => format!("{} {thing}s", number(n as u64)),
    };
    let rounds = many(place.rounds, "round");
    let shape = match words {
        Words::Full => format!("{}, {rounds}", many(place.places, "move")),
        Words::Short => rounds,
    };
    parts.push(shape);
    let said = parts.join(": ");
    Some(match times {
        Some(times) if words == Words::Full => format!("{said}, {times}"),
        _ => said,
    })
}

/// Which round comes and how it differs from the one before.
pub(super) fn round(
    turn: &Turn,
    before: Option<Times>,
    now: Times,
    words: Words,
) -> Option<String> {
    let place = turn.interval.place.as_ref()?;
    let (n, of) = (place.round as u64, place.rounds as u64);
    let name = if n == of {
        "last round".to_owned()
    } else {
        format!("{} round of {}", ordinal(n), number(of))
    };
    let Some(change) = before.and_then(|before| now.against(before)) else {
        return Some(name);
    };
    let moves = match words {
        Words::Full if n == 2 && place.places > 1 => ", the moves stay as they were",
        _ => "",
    };
    Some(match words {
        Words::Full => format!("{name}, {change}: {}{moves}", now.said()),
        Words::Short => format!("{name}, {}", now.said()),
    })
}

/// The planned times of a work and the rest after it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Times {
    pub(super) work: Span,
    pub(super) rest: Option<Span>,
}

impl Times {
    /// `forty and twenty`; whole words where a number alone would not be understood.
    pub(super) fn said(self) -> String {
        let bare = |t: Span| match t.secs_up() {
            s @ 1..60 if t.millis().is_multiple_of(1000) => number(s),
            _ => span(t),
        };
        match self.rest {
            Some(rest) => format!("{} and {}", bare(self.work), bare(rest)),
            None => span(self.work),
        }
    }

    /// In a word, how these differ from the times before; none where they do not.
    fn against(self, before: Self) -> Option<&'static str> {
        let shorter = |a: Span, b: Span| {
            if a * 3 >= b * 2 {
                "a little shorter"
            } else {
                "shorter"
            }
        };
        let longer = |a: Span, b: Span| {
            if b * 3 >= a * 2 {
                "a little longer"
            } else {
                "longer"
            }
        };
        if self.work < before.work {
            return Some(shorter(self.work, before.work));
        }
        if self.work > before.work {
            return Some(longer(self.work, before.work));
        }
        match (self.rest?, before.rest?) {
            (a, b) if a < b => Some("less rest"),
            (a, b) if a > b => Some("more rest"),
            _ => None,
        }
    }
}

/// So much is left.
pub(super) fn left(time: Span) -> String {
    span(time)
}

/// A recovery comes.
pub(super) fn recovery(interval: &Interval) -> String {
    format!("recovery next, {}", span(interval.length))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::{Impact, Move, Sides};

    fn turn(call: &str, loads: &[Load], easier: &[(&str, &[Load])]) -> Arc<Use> {
        let option = |&(call, spares): &(&str, &[Load])| MoveOption {
            call: call.into(),
            spares: spares.to_vec(),
            position: None,
            equipment: vec![],
            setup: Some("Elbows under the shoulders.".into()),
        };
        Arc::new(Use::plain(Arc::new(Move {
            id: call.into(),
            name: call.into(),
            call: call.into(),
            position: Position::HandsAndFeet,
            regions: vec![],
            muscles: vec![],
            loads: loads.to_vec(),
            impact: Impact::None,
            sides: Sides::Both,
            equipment: vec![],
            energy: None,
            setup: String::new(),
            form: vec![],
            easier: easier.iter().map(option).collect(),
            harder: vec![],
        })))
    }

    #[test]
    fn a_limit_is_told_with_the_option_that_spares_most() {
        use Load::{Knee, Shoulder, Wrist};
        let push_up = turn(
            "push-ups",
            &[Wrist, Shoulder, Knee],
            &[("fists", &[Wrist]), ("at the wall", &[Wrist, Shoulder])],
        );
        let told = |moves: &[Arc<Use>], all: &[Load]| limits(moves, all);
        let alone = std::slice::from_ref(&push_up);
        assert_eq!(told(alone, &[Wrist]), ["wrists: fists"]);
        assert_eq!(
            told(alone, &[Wrist, Shoulder]),
            ["wrists and shoulders: at the wall"]
        );
        assert_eq!(
            told(alone, &[Knee]),
            ["knees: leave this one out, or ask me"]
        );
        assert!(told(alone, &[Load::Neck]).is_empty());
        let plank = turn("plank", &[Wrist], &[("forearms", &[Wrist])]);
        assert_eq!(
            told(&[push_up.clone(), plank], &[Wrist]),
            ["wrists: in push-ups, fists; in plank, forearms"]
        );
        let eased = Use {
            pick: Some(Pick::Easier(1)),
            ..(*push_up).clone()
        };
        assert!(told(&[Arc::new(eased)], &[Wrist, Shoulder]).is_empty());
    }

    #[test]
    fn options_are_offered_one_step_from_the_version_in_force() {
        let plank = turn("plank", &[], &[("knees down", &[]), ("at the wall", &[])]);
        let full = "easier: knees down, elbows under the shoulders";
        assert_eq!(easier(&plank, Words::Full).as_deref(), Some(full));
        assert_eq!(
            easier(&plank, Words::Short).as_deref(),
            Some("easier: knees down")
        );
        assert_eq!(harder(&plank), None);
        let eased = |n| Use {
            pick: Some(Pick::Easier(n)),
            ..(*plank).clone()
        };
        assert_eq!(
            easier(&eased(0), Words::Short).as_deref(),
            Some("easier: at the wall")
        );
        assert_eq!(easier(&eased(1), Words::Short), None);
        assert_eq!(harder(&eased(0)).as_deref(), Some("harder: the full plank"));
        assert_eq!(harder(&eased(1)).as_deref(), Some("harder: knees down"));
    }

    #[test]
    fn times_are_compared_in_a_word() {
        let times = |work, rest| Times {
            work: Span::from_secs(work),
            rest: Some(Span::from_secs(rest)),
        };
        for (now, before, said) in [
            (times(40, 20), times(50, 25), Some("a little shorter")),
            (times(20, 10), times(40, 20), Some("shorter")),
            (times(40, 20), times(20, 20), Some("longer")),
            (times(40, 10), times(40, 20), Some("less rest")),
            (times(40, 20), times(40, 20), None),
        ] {
            assert_eq!(now.against(before), said);
        }
        assert_eq!(times(40, 20).said(), "forty and twenty");
        assert_eq!(times(120, 60).said(), "two minutes and one minute");
    }
}

//! The wording of prompts: what an instructor says out loud, and nothing she would not.
//!
//! It refuses to know when it is said. Plain words, the thing first, no filler, nothing at random.

use std::sync::Arc;

use super::breath;
use super::occurrence::Occurrence;
use crate::plan::interval::{Interval, Kind, Place, Shape};
use crate::plan::speech::{number, span};
use crate::plan::transition::PositionChange;
use crate::session::{
    Harder, Load, Pick, Position, Room, Sides, Use, Version, choose, counted_aloud,
};
use crate::time::Span;

/// How many words a prompt may spend.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Words {
    Full,
    Short,
}

/// The coming move by name, where the body goes, what to put down and take.
pub(super) fn preview(turn: &Occurrence, words: Words) -> String {
    let mut said = lead_in(turn, words);
    let option = turn.used.option().filter(|_| !turn.is_same_again());
    if let Some(option) = option {
        said = said + ", " + &option.call;
    }
    if let Some(effort) = turn.new_effort() {
        said = said + ", effort " + &number(effort.into());
    }
    if !turn.way.put_away.is_empty() {
        said = said + ", put away the " + &list(&turn.way.put_away);
    }
    let place = to_position(turn, words).filter(|place| !tells(turn, &said, place));
    let things = turn.to_fetch();
    let things = (!things.is_empty()).then(|| take(&things));
    // A thing is got while people are on their feet: before they go down, after they come up.
    let ways = match turn.way.change {
        PositionChange::Up => [place, things],
        _ => [things, place],
    };
    for way in ways.into_iter().flatten() {
        said = said + ", " + &way;
    }
    said
}

fn lead_in(turn: &Occurrence, words: Words) -> String {
    let brief = words == Words::Short;
    if turn.interval.is_circuit() {
        return format!("as many rounds as you can, {} first", turn.used.of.call);
    }
    let (call, behind) = counted(turn.used);
    let said = match turn.interval.kind {
        Kind::WarmUp if turn.opens_part() && !brief => format!("warm-up, {call} first"),
        Kind::CoolDown if turn.opens_part() && !brief => format!("cool-down, {call} first"),
        Kind::CoolDown if turn.opens_part() => format!("cool-down next, {call}"),
        _ if turn.is_same_again() => return again(turn),
        Kind::Work if (turn.opens_block() || turn.opens_round()) && !brief => {
            format!("{call} first")
        }
        _ => format!("{call} next"),
    };
    joined(said, behind)
}

fn joined(said: String, behind: Option<String>) -> String {
    match behind {
        Some(behind) => said + ", " + &behind,
        None => said,
    }
}

/// The same move right after itself: what is new, or which of how many it is.
fn again(turn: &Occurrence) -> String {
    let (call, behind) = counted(turn.used);
    let said = which_again(turn).unwrap_or_else(|| format!("{} again", turn.used.of.call));
    if turn.is_other_number() {
        joined(said + ", " + &call, behind)
    } else {
        said
    }
}

fn which_again(turn: &Occurrence) -> Option<String> {
    if let Some(note) = turn.new_note() {
        return Some(format!("again, {}", spoken(note)));
    }
    let place = turn.interval.place.as_ref();
    let place = place.filter(|_| turn.is_next_round())?;
    Some(match (turn.to_go, place.round.of) {
        (0, 2) => "once more".to_owned(),
        (0, _) => "last one".to_owned(),
        (1, 4..) => "two to go".to_owned(),
        (_, of) => format!(
            "{} of {}",
            number(place.round.nth as u64),
            number(of as u64)
        ),
    })
}

/// A move by name, with how many where they are counted.
pub(super) fn counted_name(used: &Use) -> String {
    let (said, behind) = counted(used);
    joined(said, behind)
}

/// A move by name, with how many where they are counted; and what is said behind that.
fn counted(used: &Use) -> (String, Option<String>) {
    let (said, behind) = counted_aloud(&used.of.call, used.reps, |reps| number(reps.into()));
    let each = used.version().sides() == Sides::Each;
    let a_side = used.reps.filter(|reps| each && reps.is_multiple_of(2));
    let a_side = a_side.map(|reps| format!("{} a side", number((reps / 2).into())));
    (
        said,
        behind
            .into_iter()
            .chain(a_side)
            .reduce(|a, b| a + ", " + &b),
    )
}

/// The moves of a circuit with their numbers.
pub(super) fn circuit(turn: &Occurrence) -> String {
    let moves = turn.interval.moves.iter();
    let calls: Vec<String> = moves
        .map(|used| {
            let (call, behind) = counted(used);
            joined(call, behind)
        })
        .collect();
    calls.join(", ")
}

/// How the body gets there, where it must go anywhere.
fn to_position(turn: &Occurrence, words: Words) -> Option<String> {
    let (to, short) = (turn.used.position(), words == Words::Short);
    let lay = matches!(
        turn.way.from,
        Position::Supine | Position::Prone | Position::SideLying
    );
    let said = match (turn.way.change, to) {
        (PositionChange::Same, _) => return None,
        (PositionChange::Down, Position::Seated) => "sit down",
        (PositionChange::Down, _) if short => "to the floor",
        (PositionChange::Down, _) => return Some(format!("to the floor, {}", on_the_floor(to))),
        (PositionChange::Up, Position::Standing) if short => "stand up",
        (PositionChange::Up, Position::Standing) => "up onto your feet",
        (PositionChange::Up, Position::Seated) => "up, take a seat",
        (PositionChange::Up, _) => return Some(format!("up, {}", place(to))),
        (PositionChange::Shift, Position::Standing) if turn.is_off_the_wall() => "off the wall",
        (PositionChange::Shift, Position::Seated) if lay => "sit up",
        (PositionChange::Shift, _) => place(to),
    };
    Some(said.to_owned())
}

/// Whether the name of the move or its option tells already where the body goes: `step and sit,
/// sit down` says it twice. The way between the floor and the feet is always said.
fn tells(turn: &Occurrence, said: &str, place: &str) -> bool {
    let stems: &[&str] = match turn.used.position() {
        Position::Seated => &["sit", "seat"],
        Position::Standing => &["stand"],
        Position::Wall => &["wall"],
        Position::Kneeling => &["kneel"],
        _ => &[],
    };
    let named = |stem: &&str| said.split([' ', '-']).any(|word| word.starts_with(*stem));
    turn.way.change == PositionChange::Shift && place != "sit up" && stems.iter().any(named)
}

const fn place(position: Position) -> &'static str {
    match position {
        Position::Standing => "stand up",
        Position::Kneeling => "to your knees",
        Position::HandsAndKnees => "to hands and knees",
        Position::HandsAndFeet => "to your hands",
        Position::Forearms => "to your forearms",
        Position::Prone => "onto your front",
        Position::Supine => "onto your back",
        Position::SideLying => "onto your side",
        Position::Seated => "sit down",
        Position::Wall => "to the wall",
    }
}

/// Where on the floor, once people are there.
const fn on_the_floor(position: Position) -> &'static str {
    match position {
        Position::Kneeling => "on your knees",
        Position::HandsAndKnees => "on hands and knees",
        Position::HandsAndFeet => "on your hands",
        Position::Forearms => "on your forearms",
        other => place(other),
    }
}

/// One verb for whatever is fetched.
fn take(things: &[&str]) -> String {
    format!("get the {}", list(things))
}

/// How to get into the version in force, without what its name has just said; nothing where the
/// option has another position and no words of its own.
pub(super) fn setup(used: &Use) -> Option<String> {
    let version = used.version();
    let setup = spoken(version.setup()?);
    match version.option() {
        Some(option) => fresh(&setup, &option.call),
        None => Some(setup),
    }
}

/// What to bring for the whole block.
pub(super) fn bring(things: &[&str]) -> String {
    format!("for this block, get the {}", list(things))
}

/// `a`, `a and b`, `a, b and c`.
pub(super) fn list(things: &[&str]) -> String {
    match things {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// An easier version as it is offered.
pub(super) fn easier(version: Version, words: Words) -> String {
    let call = version.call();
    match version.pick() {
        None => format!("easier: plain {call}"),
        Some(Pick::Harder(_)) => format!("a little less: {call}"),
        Some(_) => {
            let setup = version.setup().filter(|_| words == Words::Full);
            match setup.and_then(|setup| fresh(&spoken(setup), call)) {
                Some(setup) => format!("easier: {call}, {setup}"),
                None => format!("easier: {call}"),
            }
        }
    }
}

/// A set-up without the clauses that the call before it has just said: `tap out, hands on hips` need
/// not go on with `hands on hips`, nor `short punches, waist height` with `short punches at waist
/// height`. What only makes sense after such a clause keeps it. Nothing where nothing is left.
fn fresh(setup: &str, call: &str) -> Option<String> {
    let said = weighty(call);
    let clauses: Vec<&str> = setup.split(", ").collect();
    let is_new = |(n, clause): (usize, &&str)| {
        let next = clauses.get(n + 1).and_then(|next| next.split(' ').next());
        let leads = next.is_some_and(|next| FOLLOWS.contains(&next));
        let words = weighty(clause);
        let is_long = words.len() > 1 || call.split(", ").any(|said| said == *clause);
        leads || !is_long || !words.iter().all(|word| said.contains(word))
    };
    let all = clauses.iter().enumerate();
    let left = all.filter(|&(n, clause)| is_new((n, clause)));
    let left: Vec<&str> = left.map(|(_, clause)| *clause).collect();
    (!left.is_empty()).then(|| left.join(", "))
}

/// The first words of a clause that goes on from the one before it.
const FOLLOWS: [&str; 3] = ["then", "and", "again"];

/// The words of a text that carry its meaning, in small letters.
fn weighty(text: &str) -> Vec<String> {
    const LIGHT: [&str; 9] = ["a", "an", "the", "at", "on", "to", "of", "your", "for"];
    let words = text.split(|c: char| !c.is_alphanumeric() && c != '-' && c != '\'');
    let words = words.filter(|word| !word.is_empty()).map(str::to_lowercase);
    words
        .filter(|word| !LIGHT.contains(&word.as_str()))
        .collect()
}

/// A harder version as it is offered: with the version for the limit that it meets.
pub(super) fn harder(harder: &Harder, used: &Use) -> String {
    let call = harder.version.call();
    let offered = match harder.version.pick() {
        None => format!("full {call} if you like"),
        Some(Pick::Easier(_)) => format!("a little more: {call}"),
        Some(_) => format!("harder: {call}"),
    };
    match guard(harder, used) {
        Some(guard) => format!("{offered}; {guard}"),
        None => offered,
    }
}

/// What stands beside a harder version for the limits of the room that it meets: `knees: stay as
/// you are`.
#[must_use]
pub fn guard(harder: &Harder, used: &Use) -> Option<String> {
    let with = harder.with?;
    let whom: Vec<&str> = harder.meets.iter().map(|load| load.label()).collect();
    let does = if with.pick() == used.version().pick() {
        "stay as you are"
    } else {
        with.call()
    };
    Some(format!("{}: {does}", list(&whom)))
}

/// For the limits that a move meets, the option that spares them; limits spared alike in one
/// prompt. In a circuit one prompt a limit, for whichever moves meet it.
pub(super) fn limits(moves: &[Arc<Use>], limits: &[Load], things: &[String]) -> Vec<String> {
    let mut told: Vec<(Vec<&str>, Vec<String>)> = Vec::new();
    for turn in moves {
        for &load in &met(turn, limits) {
            let (whom, instead) = (load.label(), spared(turn, limits, things));
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

/// What spares a load, clean for all limits of the room; without one, to leave the move out. It is
/// a reminder, no medical advice.
fn spared(turn: &Use, limits: &[Load], things: &[String]) -> String {
    let room = Room { limits, things };
    choose(turn, &room).spare.map_or_else(
        || "leave this one out, or ask me".to_owned(),
        |spare| spare.call().to_owned(),
    )
}

/// A form cue, which changes with each time the move comes.
pub(super) fn form(turn: &Occurrence) -> Option<String> {
    let form = turn.used.version().form();
    form.get(turn.times % form.len().max(1))
        .map(|cue| spoken(cue))
}

/// How to breathe in the version in force.
pub(super) fn breath(used: &Use) -> Option<String> {
    let breath = spoken(breath::of(used)?);
    if breath::speaks_of_it(&breath) {
        return Some(breath);
    }
    Some(format!("breathe {breath}"))
}

/// The bare name of a move.
pub(super) fn name(turn: &Occurrence) -> String {
    turn.used.of.call.clone()
}

/// A written sentence as it stands in a prompt: without its full stop and capital.
pub(super) fn spoken(text: &str) -> String {
    let text = text.trim().trim_end_matches(['.', '!', ';']);
    let mut chars = text.chars();
    // A word of one letter names something: `A rests`.
    let rest_is_lower = text.chars().nth(1).is_some_and(char::is_lowercase);
    match chars.next() {
        Some(first) if rest_is_lower => first.to_lowercase().chain(chars).collect(),
        _ => text.to_owned(),
    }
}

/// What a block is: its title, moves, rounds and times.
pub(super) fn block(turn: &Occurrence, times: Option<String>, words: Words) -> Option<String> {
    let place = turn.interval.place.as_ref()?;
    let mut parts: Vec<String> = place.title.iter().map(ToString::to_string).collect();
    let go = turn.interval.go;
    if go.of > 1 {
        let said = format!("go {} of {}", number(go.nth as u64), number(go.of as u64));
        parts = vec![match parts.first() {
            Some(title) => format!("{title}, {said}"),
            None => said,
        }];
    }
    if turn.interval.is_circuit() {
        // A bare length would be taken for that of the pause in which it is said.
        if parts.is_empty() {
            parts.push("one piece".to_owned());
        }
        parts.push(span(turn.interval.planned));
        return Some(parts.join(": "));
    }
    let many = |n: usize, thing: &str| match n {
        1 => format!("one {thing}"),
        n => format!("{} {thing}s", number(n as u64)),
    };
    if let Shape::Grid { every } = place.shape {
        let said = parts.into_iter().chain([grid(place, every)]);
        let said = said.collect::<Vec<_>>().join(": ");
        let times = times.filter(|_| words == Words::Full);
        return Some(times.map_or(said.clone(), |times| format!("{said}, {times}")));
    }
    let rounds = many(place.round.of, "round");
    let shape = match words {
        _ if alone_in_block(turn.interval) => {
            let stations = turn.interval.moves.len();
            let stations = format!("{} at once", many(stations, "move"));
            match place.round.of {
                1 => stations,
                _ => format!("{stations}, {rounds}"),
            }
        }
        Words::Full => format!("{}, {rounds}", many(place.place.of, "move")),
        Words::Short => rounds,
    };
    parts.push(shape);
    let said = parts.join(": ");
    Some(match times {
        Some(times) if words == Words::Full => format!("{said}, {times}"),
        _ => said,
    })
}

/// How often a move starts, and for how long that goes on: `every minute, twelve minutes`.
fn grid(place: &Place, every: Span) -> String {
    let minute = Span::from_secs(60);
    let each = if every == minute {
        "every minute".to_owned()
    } else {
        format!("every {}", span(every))
    };
    format!("{each}, {}", span(every * place.window.of as u64))
}

/// Whether several moves at once are all that its block has.
fn alone_in_block(interval: &Interval) -> bool {
    let place = interval.place.as_ref();
    interval.together().is_some() && place.is_some_and(|place| place.place.of == 1)
}

/// Which round comes, and its times where they differ from those of the round before. Rounds of
/// one move are counted in its preview.
pub(super) fn round(
    turn: &Occurrence,
    before: Option<Times>,
    now: Times,
    words: Words,
) -> Option<String> {
    let place = turn.interval.place.as_ref()?;
    let (n, of) = (place.round.nth as u64, place.round.of as u64);
    let name = match place.place.of {
        1 if !alone_in_block(turn.interval) => None,
        _ if n == of => Some("last round".to_owned()),
        _ => Some(format!("round {} of {}", number(n), number(of))),
    };
    let times = before
        .filter(|before| before.differ(now))
        .map(|_| now.said());
    let is_new = words == Words::Full && n == 2 && place.place.of > 1 && times.is_some();
    let moves = is_new.then(|| "same moves".to_owned());
    let parts: Vec<String> = name.into_iter().chain(times).chain(moves).collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}

/// The planned times of a work and the rest after it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Times {
    pub(super) work: Span,
    pub(super) rest: Option<Span>,
}

impl Times {
    /// Whether people notice: a rest that is missing, at the end of a block, is no other time.
    fn differ(self, now: Self) -> bool {
        let rests = self.rest.zip(now.rest);
        self.work != now.work || rests.is_some_and(|(before, now)| before != now)
    }

    /// `forty on, twenty off`; whole words where a number alone would not be understood.
    pub(super) fn said(self) -> String {
        let bare = |t: Span| match t.secs_ceil() {
            s @ 1..60 if t.millis().is_multiple_of(1000) => number(s),
            _ => span(t),
        };
        match self.rest {
            Some(rest) => format!("{} on, {} off", bare(self.work), bare(rest)),
            // A bare length would be taken for that of the pause in which it is said.
            None => format!("{} of work", span(self.work)),
        }
    }
}

/// So much is left.
pub(super) fn left(time: Span) -> String {
    span(time)
}

/// That people change sides; of several moves at once, in which.
pub(super) fn switch(interval: &Interval) -> String {
    let moves = interval.moves.iter();
    let sided = moves.filter(|turn| turn.version().sides() == Sides::Each);
    let sided: Vec<&Arc<Use>> = sided.collect();
    let (Some(first), true) = (sided.first(), sided.len() < interval.moves.len()) else {
        return interval
            .turn()
            .map_or("", |turn| switch_of(turn))
            .to_owned();
    };
    let calls: Vec<&str> = sided.iter().map(|turn| turn.of.call.as_str()).collect();
    let say = match &sided[..] {
        [_] => switch_of(first),
        _ => "switch sides",
    };
    format!("{}, {say}", list(&calls))
}

/// What changes at the half: the way round, or the sides; on the side that is to roll over.
fn switch_of(used: &Use) -> &'static str {
    match used.position() {
        _ if used.version().turns_about() => "other way",
        Position::SideLying => "switch sides, roll over",
        _ => "switch sides",
    }
}

/// A recovery comes.
pub(super) fn recovery(interval: &Interval) -> String {
    let time = span(interval.length);
    match interval.turn() {
        Some(turn) => format!("recovery next, {time}, {}", turn.of.call),
        None => format!("recovery next, {time}"),
    }
}

/// What the figures of effort mean.
pub(super) const SCALE: &str = "effort is out of ten";

/// What is done in the rests of a block.
pub(super) fn between(turn: &Use) -> String {
    match turn.effort {
        Some(effort) => format!(
            "{} in the rests, effort {}",
            turn.of.call,
            number(effort.into())
        ),
        None => format!("{} in the rests", turn.of.call),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::{Impact, Move, MoveOption};

    fn turn(call: &str, loads: &[Load], easier: &[(&str, &[Load])]) -> Arc<Use> {
        let option = |&(call, spares): &(&str, &[Load])| MoveOption {
            call: call.into(),
            spares: spares.to_vec(),
            position: None,
            equipment: vec![],
            setup: Some("Elbows under the shoulders.".into()),
            ..MoveOption::default()
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
            ..Move::default()
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
        let told = |moves: &[Arc<Use>], all: &[Load]| limits(moves, all, &[]);
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
    fn times_are_said_as_they_are_worked() {
        let times = |work, rest| Times {
            work: Span::from_secs(work),
            rest: Some(Span::from_secs(rest)),
        };
        assert_eq!(times(40, 20).said(), "forty on, twenty off");
        assert_eq!(times(120, 60).said(), "two minutes on, one minute off");
    }
}

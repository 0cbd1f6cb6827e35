//! What is said in a drafted class besides its prompts, and what its file says to the instructor.

use std::sync::Arc;

use super::list::listed;
use super::shape::Ground;
use super::wishes::Kit;
use crate::session::Use;

/// Before all else, in the file: what a draft is, and what it does not know.
pub(super) const CAUTIONS: &str = "\
// A draft, put together by computation from wishes. You decide: read it through, leave out what you
// would not teach, change what does not suit the people in front of you. It knows what a move loads
// and which version spares it as a reminder, not as advice. It does not know who comes, how anybody
// feels, the heat or the floor. Local law, the venue's rules and licensed practice come first; ask
// before class, in private, about illness, injury, pregnancy and medicines. Anyone may stop.
";

/// What a block is called.
pub(super) const fn titled(ground: Ground) -> &'static str {
    match ground {
        Ground::Standing => "On the feet",
        Ground::Chair => "At the chair",
        Ground::Floor => "On the floor",
    }
}

/// Where people are, in a sentence.
pub(super) const fn place(ground: Ground) -> &'static str {
    match ground {
        Ground::Standing => "on the feet",
        Ground::Chair => "at the chair",
        Ground::Floor => "on the floor",
    }
}

/// For the instructor, on the page before class: what everybody needs, and what there is too little of
/// for that, which stands at stations.
pub(super) fn brief(equipment: &[String], kit: &[Kit], people: Option<u32>) -> String {
    let few = |thing: &str| {
        let kit = kit.iter().find(|kit| kit.thing == thing)?;
        kit.count
            .filter(|count| people.is_none_or(|people| *count < people))
    };
    let (mut all, mut stations) = (Vec::new(), Vec::new());
    for thing in equipment.iter().map(String::as_str) {
        match few(thing) {
            _ if thing == "wall" => {}
            Some(count) => stations.push(several(count, thing)),
            None => all.push(thing),
        }
    }
    let stations: Vec<&str> = stations.iter().map(String::as_str).collect();
    let mut bring = Vec::new();
    if !all.is_empty() {
        bring.push(format!("for everybody: {}", listed(&all)));
    }
    if !stations.is_empty() {
        bring.push(format!("for the stations: {}", listed(&stations)));
    }
    let bring = if bring.is_empty() {
        String::new()
    } else {
        format!(" At hand {}.", bring.join("; "))
    };
    format!(
        "A draft: look at every move, and change what does not suit; you decide.{bring} Before class, in private: illness, injury, pregnancy, medicines."
    )
}

fn several(count: u32, thing: &str) -> String {
    if count == 1 || thing.ends_with('s') {
        format!("{count} {thing}")
    } else {
        format!("{count} {thing}s")
    }
}

/// The first words; where the blocks are done stands in them.
pub(super) fn opening(grounds: &[Ground]) -> String {
    let mut grounds: Vec<&str> = grounds.iter().map(|ground| place(*ground)).collect();
    grounds.dedup();
    let way = match grounds[..] {
        [only] => format!("We work {only} today"),
        _ => format!("We work {} today", grounds.join(", then ")),
    };
    format!(
        "Welcome. {way}. Stop or take a pause whenever you need one, and take any easier version I call. If I don't know yet of an illness, an injury, a pregnancy or medicines, begin gently and come to me while we warm up."
    )
}

/// Between two blocks: the way, a drink, what to get and what to put away.
pub(super) fn between(was: Ground, before: &[Arc<Use>], is: Ground, after: &[Arc<Use>]) -> String {
    let (had, needs) = (held(before), held(after));
    let away: Vec<&str> = had
        .iter()
        .copied()
        .filter(|thing| !needs.contains(thing))
        .collect();
    let fetch: Vec<&str> = needs
        .iter()
        .copied()
        .filter(|thing| !had.contains(thing))
        .collect();
    let mut words = vec!["Well done. Have a drink".to_owned()];
    if !away.is_empty() {
        words.push(format!("put the {} away", listed(&away)));
    }
    if !fetch.is_empty() {
        words.push(format!("get the {}", listed(&fetch)));
    }
    words.push(way(was, is).to_owned());
    format!("{}.", and_then(&words))
}

/// Before the cool-down: what is held is put away, and the way there.
pub(super) fn to_cool_down(was: Ground, before: &[Arc<Use>], is: Ground) -> String {
    let had = held(before);
    let mut words = vec!["Well done".to_owned()];
    if !had.is_empty() {
        words.push(format!("put the {} away", listed(&had)));
    }
    if was == is {
        words.push("let your breath come down".to_owned());
    } else {
        if was != Ground::Floor {
            words.push("walk a few steps".to_owned());
        }
        words.push(way(was, is).to_owned());
    }
    format!("{}.", and_then(&words))
}

const fn way(was: Ground, is: Ground) -> &'static str {
    match (was, is) {
        (Ground::Floor, Ground::Floor) => "come back to the mat",
        (_, Ground::Floor) => "come down to the mat in your own time",
        (Ground::Floor, Ground::Chair) => "come up slowly, to the chair",
        (_, Ground::Chair) => "take your chair",
        (Ground::Floor, Ground::Standing) => "come up to standing slowly",
        (_, Ground::Standing) => "find your place on the feet again",
    }
}

/// The last words.
pub(super) fn closing(equipment: &[String]) -> String {
    let things: Vec<&str> = equipment
        .iter()
        .map(String::as_str)
        .filter(|thing| *thing != "wall")
        .collect();
    let away = if things.is_empty() {
        String::new()
    } else {
        format!(", and put the {} away", listed(&things))
    };
    format!(
        "That is our class, thank you. Rise slowly, drink something{away}. If anything was sharp or odd, tell me before you go."
    )
}

/// What people hold or sit on in these moves.
fn held(moves: &[Arc<Use>]) -> Vec<&str> {
    let mut things = Vec::new();
    for thing in moves.iter().flat_map(|turn| turn.equipment()) {
        if !["mat", "wall", "floor"].contains(&thing) && !things.contains(&thing) {
            things.push(thing);
        }
    }
    things
}

fn and_then(words: &[String]) -> String {
    match words {
        [all @ .., last] if !all.is_empty() => format!("{}, and {last}", all.join(", ")),
        _ => words.concat(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A class for sixteen: what is there for each of them, and what is not.
    #[test]
    fn what_is_too_little_for_everybody_is_said_to_be_for_the_stations() {
        let kit = |thing: &str, count| Kit {
            thing: thing.into(),
            count,
        };
        let there = [
            kit("band", None),
            kit("step", Some(16)),
            kit("kettlebell", Some(4)),
            kit("dumbbells", Some(6)),
            kit("ball", Some(1)),
        ];
        for (needs, says) in [
            (
                &["mat", "band", "kettlebell"][..],
                "for everybody: mat and band; for the stations: 4 kettlebells.",
            ),
            (&["band", "step"], "for everybody: band and step."),
            (&["kettlebell"], "At hand for the stations: 4 kettlebells."),
            (
                &["mat", "dumbbells", "ball", "wall"],
                "for everybody: mat; for the stations: 6 dumbbells and 1 ball.",
            ),
            (&["wall"], "you decide. Before class"),
        ] {
            let needs: Vec<String> = needs.iter().map(ToString::to_string).collect();
            let said = brief(&needs, &there, Some(16));
            assert!(said.contains(says), "{said}");
        }
        let step = brief(&["step".into()], &there, Some(17));
        assert!(step.contains("for the stations: 16 steps."), "{step}");
    }
}

//! The blocks of a sheet as tables, and their moves as cards.

use std::sync::Arc;

use super::super::outline::{described, place};
use crate::plan::{Kind, Placed, Timeline};
use crate::session::{Block, Doing, Load, Part, Room, Session, Use, choose};
use crate::time::Span;

/// A block as a table.
pub(super) struct BlockRows {
    pub(super) name: String,
    pub(super) rows: Vec<Row>,
}

/// A move of a block.
pub(super) struct Row {
    pub(super) name: String,
    pub(super) work: String,
    pub(super) rest: String,
    pub(super) spare: String,
    pub(super) needs: String,
}

/// A move as a card.
pub(super) struct Card {
    pub(super) number: usize,
    pub(super) block: String,
    pub(super) name: String,
    pub(super) setup: String,
    pub(super) form: Vec<String>,
    pub(super) versions: Vec<(&'static str, String)>,
    pub(super) needs: String,
    /// How long it is worked, by round.
    pub(super) work: String,
}

/// A card of more letters is set smaller, so that all of it is on one page (found by printing a card
/// for every move of the library).
const LONG_CARD: usize = 190;

impl Card {
    /// Whether only smaller letters bring it onto one page.
    pub(super) fn is_long(&self) -> bool {
        let versions = self
            .versions
            .iter()
            .map(|(name, words)| name.len() + words.len());
        let form = self.form.iter().map(String::len);
        let words = [&self.name, &self.setup, &self.needs].map(String::len);
        let letters: usize = words.into_iter().chain(form).chain(versions).sum();
        letters > LONG_CARD
    }
}

/// Every block with its intervals, once however often it comes.
fn told_once<'a>(
    session: &'a Session,
    timeline: &'a Timeline,
) -> Vec<(&'a Block, Vec<&'a Placed>)> {
    let laid = session.laid().into_iter().enumerate();
    let blocks = laid.filter_map(|(part, laid)| match laid.part {
        Part::Block(block) if laid.go.nth <= 1 => Some((part, block)),
        _ => None,
    });
    let with_intervals = blocks.map(|(part, block)| {
        let all = timeline.intervals().iter();
        (block, all.filter(|one| one.part == part).collect())
    });
    with_intervals.collect()
}

/// Every block with its moves, their times by round, and the version for tonight.
pub(super) fn blocks(session: &Session, timeline: &Timeline, room: &Room) -> Vec<BlockRows> {
    let mut found: Vec<BlockRows> = Vec::new();
    for (block, of_part) in told_once(session, timeline) {
        let title = block.title.as_deref().unwrap_or("Block");
        let places = block.moves.iter().enumerate();
        let turns = places.flat_map(|(place, doing)| {
            let stations = (1..).zip(doing.moves());
            stations.map(move |(station, turn)| (place, doing, station, turn))
        });
        let rows = turns.map(|(place, doing, station, turn)| Row {
            name: match doing {
                Doing::One(_) => by_round(turn, described),
                Doing::Together(_) => format!("{station}. {}", by_round(turn, described)),
            },
            work: times(&of_part, place, |kind| kind == Kind::Work),
            rest: times(&of_part, place, |kind| {
                matches!(kind, Kind::Rest | Kind::Recovery)
            }),
            spare: spare(turn, room),
            needs: turn.equipment().join(", "),
        });
        found.push(BlockRows {
            name: format!("{title} (block {})", found.len() + 1),
            rows: rows.collect(),
        });
    }
    found
}

/// A place in all the ways in which it comes, each once.
fn by_round(turn: &Arc<Use>, words: impl Fn(&Use) -> String) -> String {
    let mut names: Vec<String> = Vec::new();
    for one in turn.each().map(|one| words(one)) {
        if !names.contains(&one) {
            names.push(one);
        }
    }
    names.join("; ")
}

/// The times of a place by round, equal ones on end counted; the window of a circuit for its first
/// move.
fn times(of_part: &[&Placed], place: usize, is_of: impl Fn(Kind) -> bool) -> String {
    let here = |one: &&&Placed| {
        let at = one.place.as_ref();
        is_of(one.kind) && at.is_some_and(|at| at.place.nth == place + 1)
    };
    let found: Vec<&&Placed> = of_part.iter().filter(here).collect();
    let about = if found.iter().any(|one| one.untimed) {
        "~"
    } else {
        ""
    };
    let spans: Vec<Span> = found.iter().map(|one| one.span()).collect();
    let runs = spans.chunk_by(|one, next| one == next);
    // What belongs together is not broken over two lines.
    let told = runs.map(|run| match (run.len(), run[0]) {
        (1, span) => format!("{about}{span}"),
        (count, span) => format!("{count}\u{a0}x\u{a0}{about}{span}"),
    });
    told.collect::<Vec<_>>().join(", ")
}

/// What is done for tonight's limits; empty where nothing is met.
fn spare(turn: &Use, room: &Room) -> String {
    let choice = choose(turn, room);
    match choice.spare {
        _ if choice.met.is_empty() => String::new(),
        Some(spare) => spare.call().to_owned(),
        None => "no version: agree on another move before class".to_owned(),
    }
}

/// Every move of the class that meets a limit, with what is done in its place.
pub(super) fn spares(timeline: &Timeline, room: &Room) -> Vec<(String, String)> {
    let mut found: Vec<(String, String)> = Vec::new();
    let moving = timeline
        .intervals()
        .iter()
        .filter(|one| one.kind.is_moving());
    for turn in moving.flat_map(|one| one.moves.iter()) {
        let limits = choose(turn, room).met;
        let limits: Vec<&str> = limits.iter().map(|load| Load::label(*load)).collect();
        let name = format!("{} ({})", turn.of.name, limits.join(", "));
        if !limits.is_empty() && !found.iter().any(|(known, _)| *known == name) {
            found.push((name, spare(turn, room)));
        }
    }
    found
}

/// A card for each move of each block, counted within its block.
pub(super) fn cards(session: &Session, timeline: &Timeline, room: &Room) -> Vec<Card> {
    let mut cards = Vec::new();
    for (block, of_part) in told_once(session, timeline) {
        let title = block.title.as_deref().unwrap_or_default();
        let places = block.moves.iter().enumerate();
        let turns = places.flat_map(|(place, doing)| {
            let turns = doing.moves().iter();
            turns.map(move |turn| (place, turn))
        });
        cards.extend((1..).zip(turns).map(|(number, (place, turn))| Card {
            work: times(&of_part, place, |kind| kind == Kind::Work),
            ..card(number, title.to_owned(), turn, room)
        }));
    }
    cards
}

fn card(number: usize, block: String, turn: &Arc<Use>, room: &Room) -> Card {
    let (version, choice) = (turn.version(), choose(turn, room));
    let mut versions = Vec::new();
    if let Some(easier) = choice.next_easier() {
        versions.push(("Easier", easier.call().to_owned()));
    }
    if let Some(spare) = choice.spare {
        let limits: Vec<&str> = choice.met.iter().map(|load| load.label()).collect();
        versions.push((
            "For somebody who spares",
            format!("{}: {}", limits.join(", "), spare.call()),
        ));
    }
    if let Some(harder) = choice
        .next_harder()
        .filter(|harder| harder.meets.is_empty())
    {
        versions.push(("Harder", harder.version.call().to_owned()));
    }
    Card {
        number,
        block,
        name: by_round(turn, place),
        setup: version.setup().unwrap_or_default().to_owned(),
        form: version.form().iter().take(3).cloned().collect(),
        versions,
        needs: turn.equipment().join(", "),
        work: String::new(),
    }
}

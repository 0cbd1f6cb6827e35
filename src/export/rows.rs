//! The outline of a class for other programs: JSON, and its intervals as a table.
//!
//! Times are seconds with their decimals, words those of the session file.

use serde::Serialize;

use super::outline::Outline;
use super::table::csv;
use crate::plan::{Kind, Placed, Prompt, PromptKind, Shape, SignalKind};

/// The version of both: raised where a field or column changes its meaning or goes. New ones come at
/// the end, and readers pass over what they do not know.
const FORMAT: &str = "matside-outline-1";

/// What the JSON and the table hold, for the page of help. Held against what is written by
/// `tests/readme.rs`.
pub const OUTLINE_FIELDS: &str = "\
Fields of --json; those that do not apply are left out:
- top: `format`, `title`, `total_s`, `estimated`, `intervals`, `prompts`, `unplaced`, `signals`
- `intervals`: `n`, `kind`, `start_s`, `length_s`, `block`, `round`, `rounds`, `place`, `places`, `move`, `moves`, `option`, `reps`, `next`, `untimed`, `effort`, `target_reps`, `aside`, `go`, `goes`, `together`
- `together`: `station`, `move`, `option`, `reps`, `group`
- `prompts`: `at_s`, `until_s`, `kind`, `say`, `interval`, `for`, `limit`
- `unplaced`: `for`, `kind`, `say`, `short_s`, `why`
- `signals`: `at_s`, `kind`

`kind` of an interval: `talk`, `ready`, `warm_up`, `work`, `rest`, `recovery`, `cool_down`, `free`.
`kind` of a prompt: `preview`, `name`, `setup`, `fetch`, `option`, `form`, `half`, `switch`, `seconds`, `recover`, `brief`.
`kind` of a signal: `count`, `go`, `stop`, `half`, `switch`, `warn`, `end`.

Times are seconds from the start of the class. block, round and place count from 1; interval is \
the n in which a prompt is said, for the one it is about; moves are those of an Amrap, or of \
stations in their order, and together tells who is at each; reps are \
counted, and target_reps meant in the time that there is; effort is meant to be 0 to 10; go of goes counts a `Repeat`; limit \
marks words for somebody who must spare something. --csv has the fields of intervals and format. \
format is matside-outline-1: another number where a name goes or means something else; new names \
come at the end.";

const COLUMNS: [&str; 22] = [
    "n",
    "kind",
    "start_s",
    "length_s",
    "block",
    "round",
    "rounds",
    "place",
    "places",
    "move",
    "option",
    "next",
    "untimed",
    "moves",
    "reps",
    "format",
    "effort",
    "target_reps",
    "aside",
    "go",
    "goes",
    "together",
];

impl Outline<'_> {
    /// The outline for other programs; see the README for the fields.
    #[must_use]
    pub fn json(&self) -> String {
        let page = OutlinePage {
            format: FORMAT,
            title: &self.session.title,
            total_s: self.timeline.total().secs(),
            estimated: self.timeline.is_estimated(),
            intervals: self.rows(),
            prompts: self.cues.prompts.iter().map(PromptRow::of).collect(),
            unplaced: self
                .cues
                .unplaced
                .iter()
                .map(|miss| UnplacedRow {
                    about: miss.about,
                    kind: miss.kind,
                    say: &miss.say,
                    short_s: miss.short.secs(),
                    why: &miss.why,
                })
                .collect(),
            signals: self
                .signals
                .iter()
                .map(|signal| SignalRow {
                    at_s: signal.at.secs(),
                    kind: signal.kind,
                })
                .collect(),
        };
        let mut text =
            serde_json::to_string_pretty(&page).expect("an outline is plain numbers and strings");
        text.push('\n');
        text
    }

    /// The intervals as a table, a row each, by RFC 4180.
    #[must_use]
    pub fn csv(&self) -> String {
        let intervals = self.rows();
        let rows = intervals.into_iter().map(|row| {
            let number = |n: Option<usize>| n.map_or_else(String::new, |n| n.to_string());
            vec![
                row.n.to_string(),
                row.kind.word().to_owned(),
                row.start_s.to_string(),
                row.length_s.to_string(),
                number(row.block),
                number(row.round),
                number(row.rounds),
                number(row.place),
                number(row.places),
                row.is.unwrap_or("").to_owned(),
                super::table::plain_text(row.option.unwrap_or("")),
                row.next.unwrap_or("").to_owned(),
                row.untimed.to_string(),
                row.moves.join(" "),
                row.reps.map_or_else(String::new, |reps| reps.to_string()),
                FORMAT.to_owned(),
                row.effort
                    .map_or_else(String::new, |effort| effort.to_string()),
                row.target_reps
                    .map_or_else(String::new, |reps| reps.to_string()),
                super::table::plain_text(row.aside.unwrap_or("")),
                number(row.go),
                number(row.goes),
                super::table::plain_text(&at_once(&row.together)),
            ]
        });
        csv(&COLUMNS, rows)
    }

    /// The intervals from the first on; which move comes next is found from the end.
    fn rows(&self) -> Vec<IntervalRow<'_>> {
        let (mut rows, mut next) = (Vec::new(), None);
        for (n, interval) in self.timeline.intervals().iter().enumerate().rev() {
            rows.push(IntervalRow::of(n, interval, next));
            if interval.kind.is_moving() {
                next = Some(interval);
            }
        }
        rows.reverse();
        rows
    }
}

#[derive(Serialize)]
struct OutlinePage<'a> {
    format: &'static str,
    title: &'a str,
    total_s: f64,
    estimated: bool,
    intervals: Vec<IntervalRow<'a>>,
    prompts: Vec<PromptRow<'a>>,
    unplaced: Vec<UnplacedRow<'a>>,
    signals: Vec<SignalRow>,
}

#[derive(Serialize)]
struct IntervalRow<'a> {
    n: usize,
    kind: Kind,
    start_s: f64,
    length_s: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    block: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    round: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    rounds: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    place: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    places: Option<usize>,
    #[serde(rename = "move", skip_serializing_if = "Option::is_none")]
    is: Option<&'a str>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    moves: Vec<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    option: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reps: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    next: Option<&'a str>,
    untimed: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    effort: Option<u8>,
    #[serde(skip_serializing_if = "Option::is_none")]
    target_reps: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    aside: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    go: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    goes: Option<usize>,
    /// Several moves at once, a row for each group at each station.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    together: Vec<StationRow<'a>>,
}

#[derive(Serialize)]
struct StationRow<'a> {
    station: usize,
    #[serde(rename = "move")]
    of: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    option: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reps: Option<u32>,
    /// Who is there; left out where groups have no names, or nobody is.
    #[serde(skip_serializing_if = "Option::is_none")]
    group: Option<&'a str>,
}

/// The same in one column: `1 squat red, 2 plank blue`.
fn at_once(rows: &[StationRow<'_>]) -> String {
    let one = |row: &StationRow<'_>| {
        let group = row
            .group
            .map_or_else(String::new, |group| format!(" {group}"));
        format!("{} {}{group}", row.station, row.of)
    };
    rows.iter().map(one).collect::<Vec<_>>().join(", ")
}

/// Who is at which station: a row for each group, and one for a station that stands free.
fn stations(interval: &Placed) -> Vec<StationRow<'_>> {
    let Some(rotation) = interval.together() else {
        return Vec::new();
    };
    let mut out = Vec::new();
    for (n, turn) in interval.moves.iter().enumerate() {
        let row = |group| StationRow {
            station: n + 1,
            of: &turn.of.id,
            option: turn.option().map(|option| option.call.as_str()),
            reps: turn.reps,
            group,
        };
        let named = rotation
            .groups_at(n)
            .filter_map(|group| rotation.name_of(group));
        let named: Vec<StationRow<'_>> = named.map(|name| row(Some(name))).collect();
        if named.is_empty() {
            out.push(row(None));
        }
        out.extend(named);
    }
    out
}

impl<'a> IntervalRow<'a> {
    fn of(n: usize, interval: &'a Placed, next: Option<&'a Placed>) -> Self {
        let place = interval.place.as_deref();
        let at_once = interval.together().is_some();
        let turn = interval.turn().filter(|_| !at_once);
        let circuit = interval.moves.len() > 1;
        let reps = turn.and_then(|turn| turn.reps);
        let is_counted = interval.untimed
            || interval
                .place
                .as_ref()
                .is_some_and(|place| place.shape == Shape::Window);
        Self {
            n,
            kind: interval.kind,
            start_s: interval.start.secs(),
            length_s: interval.span().secs(),
            block: place.map(|place| place.block),
            round: place.map(|place| place.round.nth),
            rounds: place.map(|place| place.round.of),
            place: place.map(|place| place.place.nth),
            places: place.map(|place| place.place.of),
            is: turn.map(|turn| turn.of.id.as_str()),
            moves: interval
                .moves
                .iter()
                .filter(|_| circuit)
                .map(|turn| turn.of.id.as_str())
                .collect(),
            option: turn.and_then(|turn| turn.option()).map(|o| o.call.as_str()),
            reps: reps.filter(|_| is_counted),
            next: next
                .filter(|next| next.together().is_none())
                .and_then(|next| next.turn())
                .map(|turn| turn.of.id.as_str()),
            untimed: interval.untimed,
            effort: turn.and_then(|turn| turn.effort),
            target_reps: reps.filter(|_| !is_counted),
            aside: turn.and_then(|turn| turn.aside.as_deref()),
            go: Some(interval.go.nth).filter(|&go| go > 0),
            goes: Some(interval.go.of).filter(|&goes| goes > 0),
            together: stations(interval),
        }
    }
}

#[derive(Serialize)]
struct PromptRow<'a> {
    at_s: f64,
    until_s: f64,
    kind: PromptKind,
    say: &'a str,
    interval: usize,
    #[serde(rename = "for")]
    about: usize,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    limit: bool,
}

impl<'a> PromptRow<'a> {
    fn of(prompt: &'a Prompt) -> Self {
        Self {
            at_s: prompt.at.secs(),
            until_s: prompt.until.secs(),
            kind: prompt.kind,
            say: &prompt.say,
            interval: prompt.interval,
            about: prompt.about,
            limit: prompt.marked,
        }
    }
}

#[derive(Serialize)]
struct UnplacedRow<'a> {
    #[serde(rename = "for")]
    about: usize,
    kind: PromptKind,
    say: &'a str,
    short_s: f64,
    why: &'a str,
}

#[derive(Serialize)]
struct SignalRow {
    at_s: f64,
    kind: SignalKind,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::{Library, Session};

    /// As far as the format says: `next` is the next move, whatever stands between.
    #[test]
    fn each_row_names_the_next_move_of_the_class() {
        let text = r#"Session(title: "Drill", parts: [
            Talk(time: 20, say: "Hello"), Ready(time: 10),
            Block(moves: ["squat", "plank"], pattern: Same(rounds: 2, work: 30, rest: 10)),
            Recover(time: 30), CoolDown([("child-pose", 60)]), Talk(time: 10, say: "Bye"),
        ])"#;
        let session = Session::read("drill", text, &Library::builtin()).expect("a whole session");
        let outline = Outline::of(&session);
        let rows = outline.rows();
        let moves: Vec<Option<&str>> = rows.iter().map(|row| row.is).collect();
        for (n, row) in rows.iter().enumerate() {
            let next = moves[n + 1..].iter().copied().flatten().next();
            assert_eq!((row.n, row.next), (n, next));
        }
        assert_eq!(outline.csv().lines().count(), rows.len() + 1);
    }
}

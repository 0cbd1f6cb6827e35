//! The patterns of a block: their fields, and one turned into another with what it has.

use crate::session::edit::Step;
use crate::session::manuscript::{Change, Manuscript};

use super::lines::{field, to};
use super::put::put;
use super::typed::{Takes, items};

/// What each is called, and how the file says it.
pub(super) const PATTERNS: [(&str, &str); 5] = [
    ("rounds, all alike", "Same"),
    ("rounds that change", "Rounds"),
    ("a start each minute", "Emom"),
    ("as many as you can", "Amrap"),
    ("counted", "Reps"),
];

/// A field of a pattern: what it is, its name in the file, what it takes, and what is usual.
type Row = (&'static str, &'static str, Takes, &'static str);

/// The fields of a pattern, the one that the arrows of the list turn first.
pub(super) fn fields(name: &str) -> &'static [Row] {
    match name {
        "Same" => &[
            ("work", "work", Takes::Time, ""),
            ("rest", "rest", Takes::Time, ""),
            ("rounds", "rounds", Takes::Count, ""),
        ],
        "Rounds" => &[
            ("work by round", "work", Takes::TimeList, ""),
            ("rest by round", "rest", Takes::TimeList, ""),
        ],
        "Emom" => &[
            ("work", "work", Takes::Time, "the whole window"),
            ("minutes", "minutes", Takes::Count, ""),
            ("or windows of", "every", Takes::Time, "1:00"),
            ("so many of them", "times", Takes::Count, ""),
        ],
        "Amrap" => &[("time", "time", Takes::Time, "")],
        "Reps" => &[
            ("rest", "rest", Takes::Time, ""),
            ("rounds", "rounds", Takes::Count, ""),
            ("seconds for each", "pace", Takes::Time, "3"),
            ("ends at", "cap", Takes::Time, ""),
        ],
        _ => &[],
    }
}

/// What is known of a pattern whichever it is.
struct Known {
    rounds: usize,
    works: Vec<String>,
    rest: String,
    moves: usize,
}

impl Known {
    fn of(of: &Manuscript, block: &[Step]) -> Self {
        let pattern = field(block, "pattern");
        let said = |name| of.value(&field(&pattern, name)).map(str::to_owned);
        let works = said("work").map_or_else(Vec::new, |raw| items(&raw).unwrap_or(vec![raw]));
        let rest = said("rest").map(|raw| {
            items(&raw)
                .and_then(|all| all.first().cloned())
                .unwrap_or(raw)
        });
        let number = |name| said(name).and_then(|raw| raw.parse::<usize>().ok());
        let moves = of.items(&field(block, "moves")).max(1);
        let windows = number("minutes").or(number("times"));
        let rounds = number("rounds").or(windows.map(|windows| windows.div_ceil(moves)));
        Self {
            rounds: rounds.unwrap_or(works.len().max(3)),
            works,
            rest: rest.unwrap_or_else(|| "20".to_owned()),
            moves,
        }
    }

    fn work(&self) -> &str {
        self.works.first().map_or("40", String::as_str)
    }

    fn written(&self, name: &str) -> String {
        let (rounds, work, rest) = (self.rounds, self.work(), &self.rest);
        match name {
            "Rounds" => {
                let works: Vec<&str> = (0..rounds)
                    .map(|n| self.works.get(n).map_or(work, String::as_str))
                    .collect();
                format!("Rounds(work: [{}], rest: [{rest}])", works.join(", "))
            }
            "Emom" => format!("Emom(minutes: {}, work: {work})", rounds * self.moves),
            "Amrap" => "Amrap(time: \"8:00\")".to_owned(),
            "Reps" => format!("Reps(rounds: {rounds}, rest: {rest})"),
            _ => format!("Same(rounds: {rounds}, work: {work}, rest: {rest})"),
        }
    }
}

/// Which of the patterns a block has.
pub(super) fn place(of: &Manuscript, block: &[Step]) -> usize {
    let name = of.name_of(&field(block, "pattern"));
    let place = PATTERNS.iter().position(|(_, file)| Some(*file) == name);
    place.unwrap_or(0)
}

/// The changes that turn the pattern of a block into another; what cannot stand beside it goes, and what
/// it needs comes. What there is to say of that.
pub(super) fn turned(of: &Manuscript, block: &[Step], place: usize) -> (Vec<Change>, String) {
    let (_, name) = PATTERNS[place % PATTERNS.len()];
    let mut changes = vec![Change::Set {
        at: field(block, "pattern"),
        text: Known::of(of, block).written(name),
    }];
    let mut goes = figures_gone(of, &field(block, "pattern"), name);
    let beside: &[(&str, &str)] = match name {
        "Emom" => &BESIDE[..3],
        "Amrap" => &BESIDE,
        _ => &[],
    };
    for (gone, label) in beside {
        if of.value(&field(block, gone)).is_some() {
            goes.push((*label).to_owned());
            changes.push(put(block.to_vec(), gone, None));
        }
    }
    let moves = field(block, "moves");
    let (mut own, mut counted) = (0, 0);
    for n in 0..of.items(&moves) {
        let turn = to(&moves, Step::Item(n));
        let has = |name| of.value(&field(&turn, name)).is_some();
        if name == "Reps" && of.name_of(&turn) != Some("Together") && !has("reps") && !has("work") {
            counted += 1;
            changes.push(put(turn.clone(), "reps", Some("10".to_owned())));
        }
        if name == "Emom" && has("rest") || name == "Amrap" && (has("work") || has("rest")) {
            own += 1;
            changes.push(put(turn.clone(), "rest", None));
            if name == "Amrap" {
                changes.push(put(turn, "work", None));
            }
        }
    }
    if own > 0 {
        goes.push("times of single moves".to_owned());
    }
    let mut word = match &goes[..] {
        [] => String::new(),
        goes => format!(": without {}", goes.join(", ")),
    };
    if counted > 0 {
        word.push_str("; 10 of each are put in");
    }
    (changes, word)
}

/// What stands beside a pattern and not beside each: its name in the file, and what it is.
const BESIDE: [(&str, &str); 4] = [
    ("recovery", "recovery"),
    ("order", "order"),
    ("last_rest", "rest at the end"),
    ("between", "moving in rests"),
];

/// The figures of a pattern that another has no place for.
fn figures_gone(of: &Manuscript, pattern: &[Step], name: &str) -> Vec<String> {
    let stays: &[&str] = match name {
        "Emom" => &["rounds", "minutes", "times", "work"],
        "Amrap" => &[],
        "Reps" => &["rounds", "minutes", "times", "rest"],
        _ => &["rounds", "minutes", "times", "work", "rest"],
    };
    let figures = of.fields(pattern).into_iter();
    let gone = figures.filter_map(|(figure, raw)| {
        let differs = || {
            let all = items(raw).unwrap_or_default();
            all.windows(2).any(|two| two[0] != two[1])
        };
        match figure {
            figure if stays.contains(&figure) => {
                let is_cut = name != "Rounds" && differs();
                is_cut.then(|| format!("every {figure} but the first"))
            }
            "every" => Some("windows of their own".to_owned()),
            "pace" => Some("seconds for each".to_owned()),
            "cap" => Some("its end".to_owned()),
            figure => Some(figure.to_owned()),
        }
    });
    gone.collect()
}

/// The change of a block whose rounds were alike, and now have these works.
pub(super) fn no_longer_alike(of: &Manuscript, block: &[Step], works: &str) -> Vec<Change> {
    let rest = Known::of(of, block).rest;
    vec![Change::Set {
        at: field(block, "pattern"),
        text: format!("Rounds(work: {works}, rest: [{rest}])"),
    }]
}

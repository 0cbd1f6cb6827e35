//! The page that is drawn of a plan, whatever lies over it.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::plan::{Over, Plan};
use crate::app::shell::Painted;
use crate::app::{footer, limits};
use crate::screen::pages::{
    AskPage, FindPage, HelpPage, KeyGroup, LimitsPage, PLAN_NEEDS, Page as _, PlanLine, PlanPage,
    ReadPage, Said,
};
use crate::screen::{Hint, Role, Theme};
use crate::session::Load;
use crate::session::manuscript::RowKind as Kind;

/// A page, ready to be drawn.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Drawn {
    /// The class.
    Plan(Box<PlanPage>),
    /// A move is looked for.
    Find(FindPage),
    /// A question.
    Ask(AskPage),
    /// Something to read.
    Read(ReadPage),
    /// The limits.
    Limits(LimitsPage),
    /// The keys.
    Keys(HelpPage),
}

impl Painted for Drawn {
    fn paint(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let is_small = area.width < PLAN_NEEDS.0 || area.height < PLAN_NEEDS.1;
        match self {
            // It says what it needs.
            Self::Find(_) | Self::Ask(_) | Self::Read(_) if is_small && area.height < 12 => {
                PlanPage::default().draw(area, buf, theme);
            }
            Self::Plan(page) => page.draw(area, buf, theme),
            Self::Find(page) => page.draw(area, buf, theme),
            Self::Ask(page) => page.draw(area, buf, theme),
            Self::Read(page) => page.draw(area, buf, theme),
            Self::Limits(page) => page.draw(area, buf, theme),
            Self::Keys(page) => page.draw(area, buf, theme),
        }
    }
}

impl Drawn {
    /// Has a word about a key told in the place of the keys.
    pub(super) fn tell(&mut self, word: Option<&str>) {
        let Some(word) = word else { return };
        let told = vec![Hint::new(word, "")];
        match self {
            Self::Plan(page) => page.hints = told,
            Self::Find(page) => page.hints = told,
            Self::Ask(page) => page.hints = told,
            Self::Read(page) => page.hints = told,
            Self::Limits(page) => page.hints = told,
            Self::Keys(page) => page.hints = told,
        }
    }
}

/// The keys of the list, what is done most first.
const LIST: [(&str, &str); 8] = [
    ("m", "a move"),
    ("p", "a part"),
    ("enter", "write it"),
    ("← →", "5 s"),
    ("s", "save"),
    ("?", "all keys"),
    ("u", "undo"),
    ("x", "take out"),
];

/// The page of a plan; `kept` tells of its file.
pub(super) fn drawn(plan: &Plan, kept: &str) -> Drawn {
    let told = |hints: Vec<Hint>| match plan.word.text.as_str() {
        "" => hints,
        word => vec![Hint::new(word, "")],
    };
    match &plan.over {
        Over::None | Over::Form(_) => Drawn::Plan(Box::new(page(plan, kept))),
        Over::Find(find) => Drawn::Find(plan.found(find)),
        Over::Ask(ask) => {
            let mut page = ask.page();
            page.hints = told(page.hints);
            Drawn::Ask(page)
        }
        Over::Read(reading) => {
            let mut page = reading.page();
            page.hints = told(page.hints);
            Drawn::Read(page)
        }
        Over::Limits(turned) => Drawn::Limits(LimitsPage {
            on: room(plan, true),
            off: room(plan, false),
            page: *turned,
            hints: told(footer::of_page(&[
                ("esc", "back"),
                ("tab", "more"),
                ("its letter", "set, or take back"),
            ])),
        }),
        Over::Keys(turned) => Drawn::Keys(keys(*turned)),
    }
}

/// The limits that stand, or those that do not, each with its letter.
fn room(plan: &Plan, stand: bool) -> Vec<Hint> {
    let these = Load::ALL.iter();
    let on = plan.limits().unwrap_or_default();
    let these = these.filter(|load| on.contains(load) == stand);
    these
        .filter_map(|load| Some(Hint::new(limits::letter(*load)?, load.label())))
        .collect()
}

fn page(plan: &Plan, kept: &str) -> PlanPage {
    let becomes = plan.becomes.as_ref();
    let (total, is_over) = becomes.map_or_else(
        || {
            let count = plan.manuscript.faults().len();
            (format!("{count} to mend before it can be taught"), true)
        },
        super::becomes::Becomes::total,
    );
    let line = plan.line();
    let here = becomes
        .zip(line)
        .and_then(|(becomes, line)| becomes.start(line));
    let title = plan
        .manuscript
        .last_good()
        .map(|session| session.title.clone());
    PlanPage {
        title: title.unwrap_or_else(|| "A plan".to_owned()),
        kept: kept.to_owned(),
        total,
        is_over,
        ribbon: becomes.map(|becomes| becomes.ribbon.clone()),
        here: here.map(crate::time::Offset::span),
        lines: plan.lines.iter().map(|line| shown(plan, line)).collect(),
        chosen: plan.chosen,
        form: match (&plan.over, line) {
            (Over::Form(form), Some(line)) => Some(form.view(&plan.manuscript, line, plan.known())),
            _ => None,
        },
        beside: beside(plan),
        bring: match (becomes, line) {
            (Some(becomes), Some(line)) if line.kind != Kind::Class => becomes.bring(),
            _ => Vec::new(),
        },
        more: match &plan.over {
            Over::None => "b".to_owned(),
            _ => String::new(),
        },
        word: plan.word.text.clone(),
        is_refused: plan.word.is_refused,
        hints: hints(plan),
    }
}

fn hints(plan: &Plan) -> Vec<Hint> {
    match &plan.over {
        Over::Form(form) if form.is_typing() => {
            footer::of_page(&[("enter", "write it"), ("esc", "leave it as it was")])
        }
        Over::Form(_) => footer::of_page(&[
            ("↑ ↓", "choose"),
            ("enter", "type it"),
            ("← →", "step"),
            ("tab", "one of a row"),
            ("delete", "empty"),
            ("esc", "back"),
        ]),
        _ => footer::of_page(&LIST),
    }
}

/// A line as it is drawn. Faults are told above remarks.
fn shown(plan: &Plan, line: &super::lines::Line) -> PlanLine {
    let becomes = plan.becomes.as_ref();
    let start = becomes.and_then(|becomes| becomes.start(line));
    let start = start.filter(|_| !matches!(line.kind, Kind::Class | Kind::Station));
    let mut figures = line.figures.clone();
    if let Some(becomes) = becomes.filter(|_| matches!(line.kind, Kind::WarmUp | Kind::CoolDown)) {
        figures = becomes.lasts(line).ceil_secs().to_string();
    }
    let is_heavy = |remark: &crate::advice::Remark| remark.weight < crate::advice::Weight::Note;
    PlanLine {
        start: start.map_or_else(String::new, |at| at.span().floor_secs().to_string()),
        depth: u16::try_from(line.depth.saturating_sub(1)).unwrap_or(u16::MAX),
        name: line.name.clone(),
        figures,
        is_faulty: !line.faults.is_empty() || line.kind == Kind::Faulty,
        is_remarked: becomes.is_some_and(|becomes| becomes.remarks(line).any(is_heavy)),
    }
}

/// What is told beside the class: of the chosen line what it becomes, or what is wrong.
fn beside(plan: &Plan) -> Vec<Said> {
    match (&plan.becomes, plan.line()) {
        (Some(becomes), Some(line)) => {
            let most = if line.kind == Kind::Class { 6 } else { 4 };
            becomes.beside(line, most)
        }
        (None, line) => {
            let own = line.map_or(&[][..], |line| &line.faults);
            let all = plan.manuscript.faults();
            let head = if own.is_empty() {
                "The file cannot be read"
            } else {
                "This line cannot be read"
            };
            let mut says = vec![Said::head(head)];
            let shown = if own.is_empty() { all } else { own };
            says.extend(shown.iter().take(4).flat_map(super::becomes::faults));
            let way = if line.is_some_and(|line| line.kind == Kind::Faulty) {
                "e opens your editor there; x takes the line out; the rest can be changed as ever."
            } else {
                "e opens your editor there; the rest can be changed as ever."
            };
            says.push(Said::line(Role::Quiet, way));
            says
        }
        (Some(_), None) => Vec::new(),
    }
}

/// The keys of the page, by what they are for.
const GROUPS: [(&str, &[(&str, &str)]); 5] = [
    (
        "the line",
        &[
            ("enter", "its fields: times, words, version, kit"),
            (
                "← →",
                "five seconds of its time, one of its count, a minute of the slot",
            ),
            (
                "0-9",
                "type its time: 45, or 1:30; of the slot, its minutes",
            ),
            ("w", "another move in its place"),
            ("i", "moves that would suit in its place"),
        ],
    ),
    (
        "the class",
        &[
            ("m", "a move more, found by typing"),
            ("p", "a part more"),
            ("c", "copy the line"),
            ("x", "take the line out"),
            (", .", "the line earlier, later"),
            ("g", "with the move behind it at once, and back"),
            ("l", "limits of the room"),
        ],
    ),
    (
        "what it becomes",
        &[
            ("b", "all that is told beside the line"),
            ("v", "what a colleague would say"),
            ("f", "times that fill the slot"),
            ("o", "the order with the least trouble"),
            ("t", "rehearse from here"),
            ("h", "the sheet, to print"),
        ],
    ),
    (
        "the file",
        &[
            ("s", "save"),
            ("e", "your own editor, at this line"),
            ("u", "undo"),
            ("r", "redo"),
            ("q", "leave"),
        ],
    ),
    (
        "choose",
        &[
            ("↑ ↓", "the line"),
            ("pageup", "ten back; pagedown ten on"),
            ("home", "the class; end the last line"),
        ],
    ),
];

fn keys(turned: usize) -> HelpPage {
    let groups = GROUPS.iter().map(|(title, keys)| KeyGroup {
        title: (*title).to_owned(),
        keys: footer::of_page(keys),
        full: keys.iter().map(|(_, does)| (*does).to_owned()).collect(),
    });
    HelpPage {
        groups: groups.collect(),
        without: Vec::new(),
        page: turned,
        hints: footer::of_page(&[("esc", "close"), ("tab", "more")]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The README has every key of the page, with what it does, in the same order.
    #[test]
    fn the_table_of_the_readme_is_the_one_of_the_page() {
        let readme = include_str!("../../../README.md");
        let (_, section) = readme.split_once("\n## Plan a class\n").expect("a section");
        let section = section.split("\n## ").next().unwrap_or(section);
        let rows = section.lines().filter_map(|line| line.strip_prefix("| `"));
        let rows: Vec<&str> = rows.collect();
        let choosing = GROUPS.len() - 1;
        let told = GROUPS[..choosing].iter().flat_map(|(_, keys)| keys.iter());
        let told: Vec<String> = told
            .map(|(key, does)| format!("{key}` | {does} |"))
            .collect();
        assert_eq!(rows, told);
    }
}

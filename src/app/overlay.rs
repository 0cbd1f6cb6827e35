//! Pages that lie over a running class: keys, parts, landing. The figures stay in sight above them.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::widgets::{Clear, Widget};

use super::clock::{Wall, delta};
use super::hints;
use super::keys::{Action, Key, Keys};
use super::opening;
use crate::live::{Act, Input, Landing, Live, SlotView};
use crate::screen::pages::{
    HelpPage, KeyGroup, LandingPage, Page as _, PartLine, PartState, PartsPage,
};
use crate::screen::{Hint, Theme, below_figures};
use crate::time::{Moment, Span};

/// What lies over the class.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) enum Overlay {
    /// Nothing.
    #[default]
    None,
    /// The keys.
    Help,
    /// The parts, one of them chosen.
    Parts(usize),
    /// The landing: which of its choices, and whether the running interval may change.
    Landing {
        /// Which choice, where there is more than one.
        choice: usize,
        /// Whether the running interval may be shortened.
        running: bool,
    },
}

/// A page over the class, ready to be drawn.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Sheet {
    /// The keys.
    Help(HelpPage),
    /// The parts.
    Parts(PartsPage),
    /// The landing.
    Landing(LandingPage),
}

impl Sheet {
    /// Draws the page below the figures.
    pub(super) fn paint(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let below = below_figures(area);
        Clear.render(below, buf);
        match self {
            Self::Help(page) => page.draw(below, buf, theme),
            Self::Parts(page) => page.draw(below, buf, theme),
            Self::Landing(page) => page.draw(below, buf, theme),
        }
    }
}

/// What a key did to the page over the class.
pub(super) enum Did {
    /// It was for the page; the page is now this.
    Page(Overlay),
    /// The page closes, and this is said to the class.
    Say(Input),
    /// It was not for the page.
    Nothing,
}

impl Overlay {
    /// The page as it is drawn.
    pub(super) fn sheet(&self, live: &Live, keys: &Keys, now: Moment, wall: Wall) -> Option<Sheet> {
        match self {
            Self::None => None,
            Self::Help => Some(Sheet::Help(help(keys))),
            Self::Parts(chosen) => Some(Sheet::Parts(parts(live, *chosen))),
            Self::Landing { choice, running } => {
                let page = landing_page(live, now, wall, *choice, *running);
                Some(Sheet::Landing(page))
            }
        }
    }

    /// What a key does to it.
    pub(super) fn press(&self, key: Key, live: &Live, now: Moment) -> Did {
        let name = key.name();
        if *self == Self::None {
            return Did::Nothing;
        }
        if name == "esc" {
            return Did::Page(Self::None);
        }
        match self {
            Self::None | Self::Help => Did::Nothing,
            Self::Parts(chosen) => press_parts(&name, *chosen, live),
            Self::Landing { choice, running } => press_landing(&name, *choice, *running, live, now),
        }
    }
}

/// Keys in the groups of the help page.
const GROUPS: [(&str, &[Action]); 4] = [
    (
        "time",
        &[
            Action::Hold,
            Action::GoOn,
            Action::Back,
            Action::Add,
            Action::Take,
            Action::Break,
            Action::Landing,
            Action::CatchUp,
            Action::OneSwitch,
        ],
    ),
    (
        "moves",
        &[
            Action::Skip,
            Action::Easier,
            Action::Harder,
            Action::OnceMore,
            Action::DropRound,
            Action::Parts,
        ],
    ),
    (
        "undo and end",
        &[Action::Undo, Action::Mark, Action::End, Action::Help],
    ),
    (
        "seen and heard",
        &[
            Action::Prompts,
            Action::Mute,
            Action::Louder,
            Action::Softer,
        ],
    ),
];

fn help(keys: &Keys) -> HelpPage {
    let group = |(title, actions): (&str, &[Action])| KeyGroup {
        title: title.to_owned(),
        keys: actions
            .iter()
            .map(|action| Hint::new(keys.keys_of(*action).join("  "), action.help()))
            .filter(|hint| !hint.key.is_empty())
            .collect(),
    };
    HelpPage {
        groups: GROUPS.map(group).to_vec(),
        hints: hints(&[("esc", "close"), ("every key", "still works")]),
    }
}

fn parts(live: &Live, chosen: usize) -> PartsPage {
    let intervals = live.plan().intervals();
    let labels = opening::parts(live.session(), intervals);
    let now = live.plan().intervals().get(live.running());
    let here = now.map(|now| now.start.span());
    let mut lines: Vec<PartLine> = labels
        .into_iter()
        .map(|label| {
            let ends = label.start + label.length;
            let state = match here {
                Some(here) if label.start <= here && here < ends => PartState::Now,
                Some(here) if label.start > here => PartState::Coming,
                _ => PartState::Past,
            };
            PartLine {
                name: label.name,
                start: label.start,
                length: label.length,
                state,
            }
        })
        .collect();
    let chosen = chosen.min(lines.len().saturating_sub(1));
    lines.truncate(lines.len());
    PartsPage {
        parts: lines,
        chosen,
        hints: hints(&[("enter", "go there"), ("↑ ↓", "choose"), ("esc", "stay")]),
    }
}

/// The session's part behind each line of the parts page.
fn part_numbers(live: &Live) -> Vec<usize> {
    let mut numbers: Vec<usize> = Vec::new();
    for interval in live.plan().intervals() {
        if numbers.last() != Some(&interval.part) {
            numbers.push(interval.part);
        }
    }
    numbers
}

/// The line of the part that runs.
pub(super) fn running_part(live: &Live) -> usize {
    let until = (live.running() + 1).min(live.plan().intervals().len());
    let mut lines = 0;
    let mut last = None;
    for interval in &live.plan().intervals()[..until] {
        if last != Some(interval.part) {
            lines += 1;
            last = Some(interval.part);
        }
    }
    lines.max(1) - 1
}

fn press_parts(name: &str, chosen: usize, live: &Live) -> Did {
    let numbers = part_numbers(live);
    let last = numbers.len().saturating_sub(1);
    match name {
        "up" | "left" | "pageup" => Did::Page(Overlay::Parts(chosen.saturating_sub(1))),
        "down" | "right" | "pagedown" => Did::Page(Overlay::Parts((chosen + 1).min(last))),
        "enter" => match numbers.get(chosen) {
            Some(part) => Did::Say(Input::Act(Act::GoTo(*part))),
            None => Did::Page(Overlay::None),
        },
        _ => Did::Nothing,
    }
}

/// What can be chosen between: the landing where the class is over its time, else what can be done
/// with the time in hand.
fn landings(live: &Live, now: Moment, running: bool) -> Vec<Landing> {
    let Some(room) = room(live, now) else {
        return Vec::new();
    };
    let (plan, n, at) = (live.plan(), live.running(), live.offset(now));
    let cueing = &live.session().cueing;
    let landing = if running {
        Landing::with_running(plan, n, at, room, cueing)
    } else {
        Landing::of(plan, n, at, room, cueing)
    };
    if live.left(now) > room {
        vec![landing]
    } else {
        Landing::spare(plan, n, at, room, cueing)
    }
}

/// Class time until the end of the slot: a class that is held must be counted in first.
fn room(live: &Live, now: Moment) -> Option<Span> {
    let count = if live.is_held() {
        live.session().cueing.count_span()
    } else {
        Span::ZERO
    };
    let start = live.projected_end(now).before(live.left(now)) + count;
    Some(live.ends_at()?.since(start))
}

fn press_landing(name: &str, choice: usize, running: bool, live: &Live, now: Moment) -> Did {
    let choices = landings(live, now, running);
    let page = |choice, running| Did::Page(Overlay::Landing { choice, running });
    match name {
        "up" | "left" | "pageup" => page(choice.saturating_sub(1), running),
        "down" | "right" | "pagedown" => {
            page((choice + 1).min(choices.len().saturating_sub(1)), running)
        }
        "r" => page(0, !running),
        "enter" => match choices.into_iter().nth(choice) {
            Some(landing) if !landing.changes.is_empty() => {
                Did::Say(Input::Act(Act::Land(landing.changes)))
            }
            _ => Did::Page(Overlay::None),
        },
        _ => Did::Nothing,
    }
}

fn landing_page(live: &Live, now: Moment, wall: Wall, choice: usize, running: bool) -> LandingPage {
    let choices = landings(live, now, running);
    let choice = choice.min(choices.len().saturating_sub(1));
    let landing = choices.get(choice);
    let before = live.view(now).slot;
    let mut lines = landing.map_or_else(Vec::new, |landing| landing.lines.clone());
    if live.ends_at().is_none() {
        lines.push(
            "No end of the slot is set: set it on the page of the class, or start with --ends-at."
                .into(),
        );
    }
    let end = live.projected_end(now);
    let after = landing.map(|landing| {
        if landing.over.is_zero() {
            SlotView::InHand(landing.in_hand.whole())
        } else {
            SlotView::Over(landing.over.ceil_secs())
        }
    });
    let (old, new) = (live.plan().total(), landing.map(|landing| landing.total));
    let ends = wall + delta(end.since(now)) - delta(old) + delta(new.unwrap_or(old));
    let mut offered = vec![("enter", "do it")];
    if choices.len() > 1 {
        offered.push(("↑ ↓", "another way"));
    }
    offered.push(("esc", "leave it"));
    offered.push(if running {
        ("r", "leave what runs alone")
    } else {
        ("r", "shorten what runs, too")
    });
    LandingPage {
        before,
        lines,
        ends: ends.format("%H:%M:%S").to_string(),
        after,
        hints: hints(&offered),
    }
}

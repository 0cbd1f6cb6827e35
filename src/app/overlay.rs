//! Pages that lie over a running class: keys, parts, landing. The figures stay in sight above them.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::widgets::{Clear, Widget};

use super::clock::Wall;
use super::did::Did;
use super::footer;
use super::keys::{Action, Key, Keys};
use super::landing::Chosen;
use super::search::Search;
use super::{card, landing, limits, opening};
use crate::live::{Act, Input, Live};
use crate::screen::pages::{
    CardPage, HelpPage, KeyGroup, LandingPage, LimitsPage, Page as _, PartLine, PartState,
    PartsPage, SwapPage,
};
use crate::screen::{Hint, Theme, below_figures};
use crate::session::Library;
use crate::time::Moment;

/// What lies over the class.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) enum Overlay {
    /// Nothing.
    #[default]
    None,
    /// The keys, so many screenfuls on.
    Help(usize),
    /// Another move, by what is typed.
    Swap(Search),
    /// The emergency card, so many screenfuls on.
    Card(usize),
    /// The parts, one of them chosen.
    Parts(usize),
    /// What someone in the room must spare, a letter each.
    /// So many screenfuls on.
    Limits(usize),
    /// The landing, and what is chosen of it.
    Landing(Chosen),
}

/// A page over the class, ready to be drawn.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Sheet {
    /// The keys.
    Help(HelpPage),
    /// The limits.
    Limits(LimitsPage),
    /// Another move.
    Swap(SwapPage),
    /// The emergency card.
    Card(CardPage),
    /// The parts.
    Parts(PartsPage),
    /// The landing.
    Landing(LandingPage),
}

impl Sheet {
    /// The page with something told at its foot for a moment, in place of its keys.
    pub(super) fn telling(mut self, word: Option<&str>) -> Self {
        if let Some(word) = word {
            let hints = match &mut self {
                Self::Help(page) => &mut page.hints,
                Self::Limits(page) => &mut page.hints,
                Self::Swap(page) => &mut page.hints,
                Self::Card(page) => &mut page.hints,
                Self::Parts(page) => &mut page.hints,
                Self::Landing(page) => &mut page.hints,
            };
            *hints = vec![Hint::new(word, "")];
        }
        self
    }

    /// Draws the page below the figures.
    pub(super) fn paint(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let below = below_figures(area);
        Clear.render(below, buf);
        match self {
            Self::Help(page) => page.draw(below, buf, theme),
            Self::Limits(page) => page.draw(below, buf, theme),
            Self::Swap(page) => page.draw(below, buf, theme),
            Self::Card(page) => page.draw(below, buf, theme),
            Self::Parts(page) => page.draw(below, buf, theme),
            Self::Landing(page) => page.draw(below, buf, theme),
        }
    }
}

impl Overlay {
    /// The page as it is drawn.
    pub(super) fn sheet(
        &self,
        (live, library): (&Live, &Library),
        keys: &Keys,
        now: Moment,
        hour_at: &dyn Fn(Moment) -> Wall,
    ) -> Option<Sheet> {
        match self {
            Self::None => None,
            Self::Help(page) => Some(Sheet::Help(help(keys, *page))),
            Self::Swap(search) => Some(Sheet::Swap(search.page(live, library))),
            Self::Card(page) => Some(Sheet::Card(card::page(keys, *page))),
            Self::Limits(page) => Some(Sheet::Limits(limits::page(live, *page))),
            Self::Parts(chosen) => Some(Sheet::Parts(parts(live, *chosen))),
            Self::Landing(at) => Some(Sheet::Landing(landing::page(live, now, hour_at, *at))),
        }
    }

    /// Whether a key moves a mark on the page.
    pub(super) fn moves_by(&self, key: Key) -> bool {
        const MOVES: [&str; 6] = ["up", "down", "left", "right", "pageup", "pagedown"];
        let has_mark = matches!(self, Self::Parts(_) | Self::Landing(_) | Self::Swap(_));
        has_mark && MOVES.contains(&key.name().as_str())
    }

    /// Whether a key writes on the page.
    pub(super) fn is_written_on_by(&self, key: Key) -> bool {
        matches!(self, Self::Swap(_)) && Search::writes(key)
    }

    /// Writes pasted text where the page is written on; tells whether it is.
    pub(super) fn paste(&mut self, text: &str) -> bool {
        let Self::Swap(search) = self else {
            return false;
        };
        search.paste(text);
        true
    }

    /// What a key does to it.
    pub(super) fn press(
        &self,
        key: Key,
        (live, library): (&Live, &Library),
        now: Moment,
    ) -> Did<Self> {
        let name = key.name();
        if *self == Self::None {
            return Did::Nothing;
        }
        if name == "esc" {
            return Did::Close;
        }
        match self {
            Self::Help(page) if name == "tab" => Did::Page(Self::Help(page.wrapping_add(1))),
            Self::Card(page) if name == "tab" => Did::Page(Self::Card(page.wrapping_add(1))),
            Self::None | Self::Help(_) | Self::Card(_) => Did::Nothing,
            Self::Swap(search) => search.press(key, live, library).of(Self::Swap),
            Self::Limits(page) if name == "tab" => Did::Page(Self::Limits(page.wrapping_add(1))),
            Self::Limits(_) => match limits::toggled(live.limits(), key) {
                // Whoever must spare two things is no rarity, and a second letter that meant a key
                // of the class could skip a move.
                Some(on) => Did::Stay(Input::Act(Act::Limits(on))),
                None => Did::Nothing,
            },
            Self::Parts(chosen) => press_parts(&name, *chosen, live).of(Self::Parts),
            Self::Landing(at) => landing::press(&name, *at, live, now).of(Self::Landing),
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
            Action::KeepMoving,
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
            Action::Swap,
            Action::Instead,
            Action::Limits,
            Action::OnceMore,
            Action::DropRound,
            Action::Parts,
        ],
    ),
    (
        "undo and end",
        &[
            Action::Undo,
            Action::Mark,
            Action::End,
            Action::Help,
            Action::Card,
        ],
    ),
    (
        "seen and heard",
        &[
            Action::Prompts,
            Action::Mute,
            Action::Voice,
            Action::Louder,
            Action::Softer,
        ],
    ),
];

fn help(keys: &Keys, page: usize) -> HelpPage {
    let group = |(title, actions): (&str, &[Action])| {
        let bound = actions
            .iter()
            .filter(|action| !keys.keys_of(**action).is_empty());
        let bound: Vec<&Action> = bound.collect();
        let hint = |action: &&Action| Hint::new(keys.keys_of(**action).join("  "), action.label());
        KeyGroup {
            title: title.to_owned(),
            keys: bound.iter().map(hint).collect(),
            full: bound
                .iter()
                .map(|action| action.help().to_owned())
                .collect(),
        }
    };
    let all = GROUPS.iter().flat_map(|group| group.1);
    // One switch does what others do: who has a key for each lacks nothing.
    let without = all.filter(|action| **action != Action::OneSwitch);
    let without = without.filter(|action| keys.keys_of(**action).is_empty());
    HelpPage {
        groups: GROUPS.map(group).to_vec(),
        without: without.map(|action| action.label().to_owned()).collect(),
        page,
        hints: footer::of_page(&[
            ("esc", "close"),
            ("tab", "more"),
            ("every key", "still works"),
        ]),
    }
}

fn parts(live: &Live, chosen: usize) -> PartsPage {
    let intervals = live.plan().intervals();
    let labels = opening::parts(live.session(), intervals);
    let now = live.plan().intervals().get(live.running());
    let here = now.map(|now| now.start.span());
    let lines: Vec<PartLine> = labels
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
                start: label.start.floor_secs(),
                length: label.length.floor_secs(),
                state,
            }
        })
        .collect();
    let chosen = chosen.min(lines.len().saturating_sub(1));
    PartsPage {
        parts: lines,
        chosen,
        hints: footer::of_page(&[("enter", "go there"), ("↑ ↓", "choose"), ("esc", "stay")]),
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

fn press_parts(name: &str, chosen: usize, live: &Live) -> Did<usize> {
    let numbers = part_numbers(live);
    let last = numbers.len().saturating_sub(1);
    match name {
        "up" | "left" | "pageup" => Did::Page(chosen.saturating_sub(1)),
        "down" | "right" | "pagedown" => Did::Page((chosen + 1).min(last)),
        "enter" => match numbers.get(chosen) {
            Some(part) => Did::Say(Input::Act(Act::GoTo(*part))),
            None => Did::Close,
        },
        _ => Did::Nothing,
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::super::keys::Preset;
    use super::*;
    use crate::session::Session;
    use crate::time::Span;

    #[test]
    fn every_action_stands_once_on_the_page_of_the_keys() {
        let mut listed: Vec<Action> = GROUPS.iter().flat_map(|group| group.1).copied().collect();
        listed.sort_unstable();
        let mut all: Vec<Action> = Action::all().collect();
        all.sort_unstable();
        assert_eq!(listed, all);
    }

    /// What a page over the class looks like in a window.
    fn drawn(sheet: &Sheet, (width, height): (u16, u16)) -> String {
        let area = Rect::new(0, 0, width, height);
        let mut buf = Buffer::empty(area);
        sheet.paint(area, &mut buf, &Theme::default());
        let row = |y| -> String { (0..width).map(|x| buf[(x, y)].symbol()).collect() };
        (0..height).map(|y| row(y) + "\n").collect()
    }

    /// With every preset and at every size each key is told whole on one of the screens, what it does
    /// in full words where the window is large; and so is each letter of the limits.
    #[test]
    fn no_preset_and_no_size_cuts_what_a_key_does() {
        let (live, _) = running();
        for size in [
            (40, 12),
            (80, 24),
            (100, 30),
            (120, 35),
            (160, 45),
            (200, 50),
            (300, 80),
        ] {
            for preset in Preset::ALL {
                let keys = Keys::of(*preset, &[]);
                let screens = (0..40).map(|page| drawn(&Sheet::Help(help(&keys, page)), size));
                let shown: String = screens.collect();
                assert!(!shown.contains('…'), "{size:?}\n{shown}");
                for action in Action::all().filter(|action| !keys.keys_of(*action).is_empty()) {
                    let in_full = shown.contains(action.help());
                    let is_told = in_full || shown.contains(action.label());
                    assert!(is_told, "{action:?} {preset:?} {size:?}\n{shown}");
                    let is_large = size.0 >= if *preset == Preset::Arrows { 160 } else { 200 };
                    assert!(
                        in_full || !is_large,
                        "{action:?} {preset:?} {size:?}\n{shown}"
                    );
                    for key in keys.keys_of(action) {
                        assert!(shown.contains(&key), "{key} {preset:?} {size:?}");
                    }
                }
            }
            let keys = Keys::of(Preset::Arrows, &[]);
            for of in [
                |_: &Keys, live: &Live, page| Sheet::Limits(limits::page(live, page)),
                |keys: &Keys, _: &Live, page| Sheet::Card(card::page(keys, page)),
            ] {
                let page = |page| drawn(&of(&keys, &live, page), size);
                let screens: Vec<String> = (0..40).map(page).collect();
                assert!(!screens.concat().contains('…'), "{size:?}\n{}", screens[0]);
                let is_more = screens[0] != screens[1];
                assert_eq!(screens[0].contains("tab more"), is_more, "{}", screens[0]);
            }
        }
    }

    const CLASS: &str = r#"(title: "Tide", parts: [
        Talk(time: 30, say: "Welcome."),
        Block(title: "Ebb", moves: ["squat"], pattern: Same(rounds: 2, work: 30, rest: 10)),
        Talk(time: 20, say: "Well done."),
    ])"#;

    /// The class in its block.
    fn running() -> (Live, Moment) {
        let session = Session::read("tide", CLASS, &Library::builtin()).expect("a class");
        let mut live = Live::new(Arc::new(session));
        live.handle(Moment::ZERO, &Input::Act(Act::Begin));
        let now = Moment::ZERO + Span::from_secs(45);
        live.handle(now, &Input::Wake);
        (live, now)
    }

    #[test]
    fn the_parts_are_chosen_by_the_arrows_and_gone_to_by_enter() {
        let (live, now) = running();
        let page = parts(&live, running_part(&live));
        let states: Vec<PartState> = page.parts.iter().map(|part| part.state).collect();
        assert_eq!(states, [PartState::Past, PartState::Now, PartState::Coming]);
        assert_eq!((page.chosen, page.parts[1].name.as_str()), (1, "Ebb"));
        let mut overlay = Overlay::Parts(1);
        for (key, chosen) in [("down", 2), ("down", 2), ("up", 1), ("up", 0), ("up", 0)] {
            let key = Key::named(key).expect("a key");
            let Did::Page(next) = overlay.press(key, (&live, &Library::builtin()), now) else {
                panic!("no page");
            };
            assert_eq!(next, Overlay::Parts(chosen));
            overlay = next;
        }
        let enter = Key::named("enter").expect("a key");
        let Did::Say(said) = overlay.press(enter, (&live, &Library::builtin()), now) else {
            panic!("nothing said");
        };
        assert_eq!(said, Input::Act(Act::GoTo(0)));
    }

    /// Only `esc` is taken from every page; what is not for a page is for the class.
    #[test]
    fn a_page_takes_no_key_that_is_not_its_own() {
        let (live, now) = running();
        let landing = Overlay::Landing(Chosen::default());
        let swap = Overlay::Swap(Search::default());
        let library = Library::builtin();
        let limits =
            Overlay::Limits(0).press(Key::named("k").expect("a key"), (&live, &library), now);
        let Did::Stay(Input::Act(Act::Limits(on))) = limits else {
            panic!("a limit is set by its letter");
        };
        assert_eq!(on, [crate::session::Load::Knee]);
        for overlay in [
            Overlay::Help(0),
            Overlay::Parts(0),
            Overlay::Card(0),
            landing,
            swap,
        ] {
            let writes = matches!(overlay, Overlay::Swap(_));
            for (key, taken) in [("esc", true), ("space", false), ("s", writes), ("?", false)] {
                let did = overlay.press(Key::named(key).expect("a key"), (&live, &library), now);
                let is_taken = !matches!(did, Did::Nothing);
                assert_eq!(is_taken, taken, "{key} on {overlay:?}");
            }
        }
    }
}

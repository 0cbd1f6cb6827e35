//! The page of a class before it begins: what to bring, who is in the room, when the room is needed.

use std::collections::BTreeSet;
use std::sync::Arc;
use std::time::Duration;

use chrono::NaiveTime;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::clock::{self, Both, Wall, at_home};
use super::ears::Ears;
use super::footer;
use super::hands::Nature;
use super::hours::Reading;
use super::keys::Key;
use super::last_time::{self, LastTime};
use super::limits;
use super::shell::{NO_PASTE, Painted, Shell, Told};
use super::slot::{SlotEnd, stands, typed};
use super::strokes::Stroke;
use super::trial::Trial;
use crate::export::cautions;
use crate::live::{Act, Input, Live};
use crate::plan::{Interval, Placed, SignalKind, Strike, before_class, head_count};
use crate::record::wall;
use crate::screen::Theme;
use crate::screen::pages::{Field, LimitToggle, Opening, Page as _, PartLabel};
use crate::session::{Library, Load, Part, Session, Version};
use crate::time::{Moment, Span};

/// The signals in the order in which the sound check plays and names them.
const SIGNALS: [(SignalKind, &str); 7] = [
    (SignalKind::Count, "three of these before a start or a stop"),
    (SignalKind::Go, "start"),
    (SignalKind::Half, "halfway"),
    (SignalKind::Warn, "last seconds"),
    (SignalKind::Switch, "switch sides, or the next move"),
    (SignalKind::Stop, "stop"),
    (SignalKind::End, "the end of the class"),
];
/// From one signal of the sound check to the next.
const SIGNAL_EVERY: Span = Span::from_millis(1_800);

/// What the page was left with.
pub(super) enum Left {
    /// To begin the class.
    Begin(Box<Live>, SlotEnd),
    /// Back to the list.
    Back,
    /// To leave the program.
    Out,
}

impl Painted for Opening {
    fn paint(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        self.draw(area, buf, theme);
    }
}

/// All clocks as they stand before class.
pub(super) fn reading(ears: &Ears) -> Reading {
    let now = ears.now();
    let both = Both {
        now,
        wall: clock::wall(),
    };
    Reading {
        both,
        stood: Span::ZERO,
        asleep: clock::asleep(),
    }
}

/// Shows the page of a class until it is begun or left. The end of the slot may be one that was asked
/// for and is not there; then the page says so.
pub(super) fn open(
    shell: &mut Shell,
    session: &Arc<Session>,
    slot: Result<(SlotEnd, String), (NaiveTime, String)>,
    ears: &mut Ears,
    trial: &mut Trial,
    library: &Library,
    asked: Option<&last_time::Asked>,
) -> Left {
    let mut setup = Setup::of(session, slot);
    let mut last = None;
    while !shell.is_leaving() {
        if let Some(Ok(before)) = asked.and_then(last_time::Asked::look) {
            setup.remember(before);
        }
        let mut page = setup.page(ears);
        page.trouble = trial.trouble();
        page.remarks = setup.remarks(library);
        page.hints = shell.or_word(page.hints);
        shell.show(&page, &mut last);
        let wait = if setup.check.is_some() {
            Duration::from_millis(100)
        } else {
            super::waits::LOOK
        };
        let is_typing = setup.typed.is_some();
        let told = shell.next(wait, |stroke| nature(stroke, is_typing));
        setup.listen(ears);
        let stroke = match told {
            Some(Told::Key(stroke)) => stroke,
            Some(Told::Paste(text)) if is_typing => {
                setup.write(&text);
                continue;
            }
            Some(Told::Paste(_)) => {
                shell.say(NO_PASTE);
                continue;
            }
            None => continue,
        };
        match stroke.command().name().as_str() {
            "enter" | "space" | "f5" | "pagedown" if !is_typing => {
                return Left::Begin(Box::new(setup.live), setup.slot);
            }
            "esc" | "q" if !is_typing => return Left::Back,
            "ctrl-c" => return Left::Out,
            name => {
                if !setup.press(name, stroke.command(), ears) {
                    shell.say_unbound(stroke.key);
                }
            }
        }
    }
    Left::Out
}

/// A key that is still held from the list must not begin the class.
pub(super) fn nature(stroke: Stroke, is_typing: bool) -> Nature {
    match stroke.command().name().as_str() {
        "up" | "down" | "left" | "right" | "backspace" | "delete" => Nature::Flow,
        "enter" | "esc" => Nature::Begin,
        "tab" | "ctrl-c" => Nature::Turn,
        _ if is_typing => Nature::Flow,
        "space" | "f5" | "pagedown" => Nature::Begin,
        _ => Nature::Turn,
    }
}

/// What can be set on the page.
struct Setup {
    session: Arc<Session>,
    live: Live,
    slot: SlotEnd,
    limits: Vec<Load>,
    typed: Option<String>,
    /// What is to be said of the hour that was typed.
    word: String,
    check: Option<Moment>,
    /// What was set before the last class of this title.
    before: Option<LastTime>,
}

impl Setup {
    fn of(session: &Arc<Session>, slot: Result<(SlotEnd, String), (NaiveTime, String)>) -> Self {
        let (slot, typed, word) = match slot {
            Ok((slot, word)) => (slot, None, word),
            Err((hour, wrong)) => {
                let typed = hour.format("%H:%M").to_string();
                (SlotEnd::Open, Some(typed), wrong)
            }
        };
        let live = Live::new(session.clone());
        let moves = live.plan().intervals().iter().flat_map(|i| i.moves.iter());
        let asked: BTreeSet<Load> = moves
            .flat_map(|turn| Version::of(&turn.of, None).loads())
            .collect();
        let own = session.limits.iter().copied();
        Self {
            limits: asked
                .into_iter()
                .chain(own)
                .collect::<BTreeSet<_>>()
                .into_iter()
                .collect(),
            session: session.clone(),
            live,
            slot,
            typed,
            word,
            check: None,
            before: None,
        }
    }

    /// What a key does to the page; whether it does anything.
    fn press(&mut self, name: &str, key: Key, ears: &mut Ears) -> bool {
        let (now, total) = (reading(ears), self.live.plan().total());
        if self.typed.is_some() {
            return self.edit(name, key, now);
        }
        self.word.clear();
        match name {
            "up" => self.slot = self.slot.moved(now, total, 1),
            "down" => self.slot = self.slot.moved(now, total, -1),
            "right" => self.slot = self.slot.moved(now, total, 5),
            "left" => self.slot = self.slot.moved(now, total, -5),
            "tab" => self.typed = Some(String::new()),
            "backspace" | "delete" => self.slot = SlotEnd::Open,
            "y" => return self.set_as_before(now),
            "t" => {
                let first = ears.now() + ears.reach();
                self.check = Some(first);
                ears.strike((0_u64..).zip(SIGNALS).map(|(n, (kind, _))| Strike {
                    at: first + SIGNAL_EVERY * n,
                    kind,
                }));
            }
            _ => return self.toggle(key),
        }
        true
    }

    /// Keeps what was set last time, as far as this class still asks for it.
    fn remember(&mut self, before: Option<LastTime>) {
        self.before = before;
        if let Some(before) = &mut self.before {
            before.limits.retain(|limit| self.limits.contains(limit));
        }
    }

    /// What was set last time, where that is not set already.
    fn offer(&self, now: Reading) -> String {
        let slot = match self.slot {
            SlotEnd::FromBegin(slot) => Some(slot),
            other => other.wall(now).map(|end| wall::since(end, now.both.wall)),
        };
        let before = self.before.as_ref();
        before.map_or_else(String::new, |before| before.offer(slot, self.live.limits()))
    }

    fn set_as_before(&mut self, now: Reading) -> bool {
        if self.offer(now).is_empty() {
            return false;
        }
        let Some(before) = self.before.clone() else {
            return false;
        };
        if let Some(slot) = before.slot {
            self.slot = SlotEnd::FromBegin(slot);
        }
        let change = Input::Act(Act::Limits(before.limits));
        self.live.handle(Moment::ZERO, &change);
        true
    }

    fn toggle(&mut self, key: Key) -> bool {
        let limit = key.letter().and_then(limits::limit);
        let shown = limit.is_some_and(|limit| self.limits.contains(&limit));
        let on = limits::toggled(self.live.limits(), key).filter(|_| shown);
        let Some(on) = on else {
            return false;
        };
        let change = Input::Act(Act::Limits(on));
        self.live.handle(Moment::ZERO, &change);
        true
    }

    /// Writes pasted text as if it were typed.
    fn write(&mut self, text: &str) {
        for letter in text.trim().chars() {
            self.type_in(letter);
        }
    }

    fn type_in(&mut self, letter: char) {
        let Some(text) = &mut self.typed else { return };
        if !self.word.is_empty() {
            text.clear();
            self.word.clear();
        }
        if text.len() < 5 {
            text.push(letter);
        }
    }

    fn edit(&mut self, name: &str, key: Key, now: Reading) -> bool {
        let Some(text) = &mut self.typed else {
            return false;
        };
        match name {
            "enter" => match typed(text, now, &chrono::Local) {
                Ok((slot, word)) => {
                    (self.slot, self.typed, self.word) = (slot, None, word);
                }
                Err(wrong) => self.word = wrong,
            },
            "esc" | "tab" => (self.typed, self.word) = (None, String::new()),
            "backspace" => {
                text.pop();
            }
            _ => match key.letter() {
                Some(letter) => self.type_in(letter),
                None => return false,
            },
        }
        true
    }

    fn listen(&mut self, ears: &Ears) {
        if self
            .check
            .is_some_and(|from| place(ears.now(), from) >= SIGNALS.len())
        {
            self.check = None;
        }
    }

    fn page(&self, ears: &Ears) -> Opening {
        let seen = reading(ears);
        let now = seen.both.wall;
        let view = self.live.view(Moment::ZERO);
        let ends = at_home(now + wall::delta(view.total));
        let slot_end = self.slot.wall(seen).map(at_home);
        Opening {
            title: self.session.title.clone(),
            brief: self.session.brief.clone(),
            bring: self.bring(),
            ribbon: view.ribbon,
            parts: parts(&self.session, self.live.plan().intervals()),
            total: view.total,
            is_estimated: view.estimated,
            ends: ends.format("%H:%M").to_string(),
            slot: self.slot_field(slot_end, self.offer(seen)),
            stands: slot_end.map(|end| stands(end, ends)),
            limits: self.toggles(),
            sound: ears.state(),
            sound_check: self.sound_check(ears),
            trouble: String::new(),
            unplaced: self.unplaced(),
            remarks: Vec::new(),
            cautions: cautions::lines(),
            clock: now.format("%H:%M").to_string(),
            hints: if self.typed.is_some() {
                footer::of_page(&[("enter", "set"), ("esc", "leave it")])
            } else {
                footer::of_page(&[
                    ("enter", "begin"),
                    ("↑ ↓ ← →", "end of the slot"),
                    ("tab", "type it"),
                    ("its letter", "limits tonight"),
                    ("t", "hear the signals"),
                    ("esc", "back"),
                ])
            },
        }
    }

    fn slot_field(&self, end: Option<Wall>, offer: String) -> Field {
        let shown = match (&self.typed, self.slot) {
            (Some(text), _) => text.clone(),
            (None, SlotEnd::Open) => "open".into(),
            (None, SlotEnd::FromBegin(slot)) => format!("{slot} from the start"),
            (None, SlotEnd::At(_) | SlotEnd::After(_)) => {
                end.map_or_else(String::new, |end| end.format("%H:%M").to_string())
            }
        };
        let hint = match &self.typed {
            Some(_) if self.word.is_empty() => "an hour, or minutes from now".into(),
            None if self.word.is_empty() => offer,
            Some(_) | None => self.word.clone(),
        };
        Field {
            label: "room until".into(),
            text: shown,
            is_focused: self.typed.is_some(),
            hint,
        }
    }

    fn toggles(&self) -> Vec<LimitToggle> {
        self.limits
            .iter()
            .filter_map(|limit| Some((limit, limits::letter(*limit)?)))
            .map(|(limit, key)| LimitToggle {
                key: key.to_string(),
                label: limit.label().to_owned(),
                is_on: self.live.limits().contains(limit),
            })
            .collect()
    }

    /// What everyone needs, and how people and things come out where several moves are done at once.
    fn bring(&self) -> String {
        let own = self.session.equipment.join(", ");
        let own = Some(own).filter(|own| !own.is_empty());
        let counted = head_count(self.live.plan());
        own.into_iter()
            .chain(counted)
            .collect::<Vec<_>>()
            .join(". ")
    }

    fn sound_check(&self, ears: &Ears) -> String {
        match self.check {
            Some(from) => {
                let (_, name) = SIGNALS[place(ears.now(), from).min(SIGNALS.len() - 1)];
                format!("now: {name}")
            }
            None => "t plays the signals".into(),
        }
    }

    fn remarks(&self, library: &Library) -> Vec<String> {
        before_class(self.live.plan(), self.live.limits(), library)
    }

    fn unplaced(&self) -> Vec<String> {
        let all = self.live.plan().intervals();
        let name = |n: usize| all.get(n).map(|interval| crate::live::name_of(interval));
        let line = |miss: &crate::plan::Unplaced| {
            let about = name(miss.about).unwrap_or_default();
            format!("{about}: \"{}\" lacks {:.1} s", miss.say, miss.short.secs())
        };
        self.live.cues().unplaced.iter().map(line).collect()
    }
}

/// Which signal of the sound check plays.
fn place(now: Moment, from: Moment) -> usize {
    usize::try_from(now.since(from).millis() / SIGNAL_EVERY.millis()).unwrap_or(usize::MAX)
}

/// The parts of a class as it stands, by name.
pub(super) fn parts(session: &Session, intervals: &[Placed]) -> Vec<PartLabel> {
    let mut labels: Vec<(usize, PartLabel)> = Vec::new();
    for interval in intervals {
        match labels.last_mut() {
            Some((part, label)) if *part == interval.part => label.length += interval.span(),
            _ => labels.push((
                interval.part,
                PartLabel {
                    name: part_name(session, interval),
                    start: interval.start.span(),
                    length: interval.span(),
                },
            )),
        }
    }
    labels.into_iter().map(|(_, label)| label).collect()
}

/// What a part is called.
pub(super) fn part_name(session: &Session, interval: &Interval) -> String {
    let name = match session.laid_part(interval.part) {
        Some(Part::Block(block)) => block.title.clone().unwrap_or_else(|| "block".into()),
        Some(Part::Free {
            title: Some(title), ..
        }) => title.clone(),
        _ => interval.kind.label().to_owned(),
    };
    match interval.go.of {
        0 | 1 => name,
        of => format!("{name}, go {} of {of}", interval.go.nth),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::clock::Clock;
    use crate::session::{Move, Use};
    use crate::sound;

    /// The page as one line of words, what is wrapped joined.
    fn words(page: &Opening, width: u16, height: u16) -> String {
        let area = Rect::new(0, 0, width, height);
        let mut buf = Buffer::empty(area);
        page.draw(area, &mut buf, &Theme::default());
        let cells = buf.content().iter().map(ratatui::buffer::Cell::symbol);
        let shown: String = cells.collect();
        shown.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// Each caution stands whole on the page before each class of the program, in the smallest
    /// window that terminals have had since 1978 (general reference: the VT100, 80 by 24).
    #[test]
    fn before_every_class_the_cautions_are_whole_at_80_by_24() {
        let library = Library::builtin();
        let ears = Ears::open(
            Clock::starting_at(Moment::ZERO, 60),
            sound::Settings::default(),
            "",
            &crate::app::speech_settings::Speech::default(),
        );
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/sessions");
        let mut seen = 0;
        for file in std::fs::read_dir(folder).expect("the samples") {
            let path = file.expect("a sample").path();
            let text = std::fs::read_to_string(&path).expect("a text");
            let session = Session::read("sample", &text, &library).expect("a whole session");
            let slot = Ok((SlotEnd::Open, String::new()));
            let setup = Setup::of(&Arc::new(session), slot);
            let mut page = setup.page(&ears);
            page.remarks = setup.remarks(&library);
            let shown = words(&page, 80, 24);
            for caution in cautions::lines() {
                assert!(shown.contains(&caution), "{}: {shown}", path.display());
            }
            seen += 1;
        }
        assert!(seen >= 10);
    }

    /// Where no version of a move spares what the room must spare, the page says so, and names
    /// others of the library that do, each of them clean.
    #[test]
    fn a_move_without_a_clean_version_is_told_with_others_that_have_one() {
        let library = Library::builtin();
        let (mut told, mut others) = (0, 0);
        let text = r#"(title: "Tide", parts: [Block(moves: ["march"], pattern: Same(rounds: 1, work: 40, rest: 0))])"#;
        let session = Session::read("tide", text, &library).expect("a class");
        for of in &library {
            let bare = Move {
                easier: Vec::new(),
                harder: Vec::new(),
                instead: Vec::new(),
                ..(**of).clone()
            };
            let mut session = session.clone();
            if let [Part::Block(block)] = &mut session.parts[..] {
                block.moves = vec![Arc::new(Use::plain(Arc::new(bare))).into()];
            }
            for limits in Load::ALL.windows(2) {
                let session = Session {
                    limits: limits.to_vec(),
                    ..session.clone()
                };
                let slot = Ok((SlotEnd::Open, String::new()));
                let setup = Setup::of(&Arc::new(session), slot);
                for remark in setup.remarks(&library) {
                    told += 1;
                    let Some((_, named)) = remark.split_once("another move would: ") else {
                        continue;
                    };
                    for name in named.split(", ") {
                        let found = library.iter().find(|m| m.name == name).expect("a move");
                        let loads = Version::of(found, None).loads();
                        assert!(limits.iter().all(|l| !loads.contains(l)), "{remark}");
                        others += 1;
                    }
                }
            }
        }
        assert!(told > 500 && others > told, "{told}, {others}");
    }
}

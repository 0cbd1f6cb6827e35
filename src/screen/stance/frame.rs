//! The frame of a class: draws what is shown into its zones, each thing at its place.

use ratatui::layout::Rect;
use ratatui::style::{Modifier, Style};

use super::shown::{Reads, Shown, Wording};
use super::{still, together};
use crate::live::{PromptView, Stance, TogetherView, View};
use crate::screen::around::Around;
use crate::screen::face::{Fit, LOWEST, Set, headline, set, set_name};
use crate::screen::pen::{Pen, below, cut, right_of, width};
use crate::screen::prompts::{self, Phrases, RAIL, rail};
use crate::screen::theme::Role;
use crate::screen::zones::Zones;
use crate::screen::{digits, horizon, ribbon, status};

/// What draws a class.
pub(super) struct Frame<'a> {
    pub(super) pen: Pen<'a>,
    pub(super) zones: Zones,
    pub(super) view: &'a View,
    pub(super) around: &'a Around,
    /// What is right of the figures.
    panel: Rect,
    /// What had no room where it belongs.
    no_room: Option<String>,
    /// What of a version had none.
    rest_of_version: Option<(Role, String)>,
    /// What is left of the small lines, the ribbon and the line of the class beside an alarm.
    foot: u16,
}

/// Between the figures and the panel.
const GAP: u16 = 3;
/// The least columns of a panel for which longer figures at the start of an interval are foreseen.
const LEAST_PANEL: u16 = 20;

impl<'a> Frame<'a> {
    /// A frame with the figures in it.
    pub(super) fn new(mut pen: Pen<'a>, zones: Zones, view: &'a View, around: &'a Around) -> Self {
        let (band, high) = (zones.band, zones.figures);
        let style = pen.theme.style(horizon::role(view));
        let used = digits::draw(&mut pen, band, view.digits, high, style);
        let field = digits::field(band, view.length, high);
        let left = |used: u16| right_of(band, used.saturating_add(GAP));
        let steady = left(used.max(field));
        let panel = if steady.width < LEAST_PANEL {
            left(used)
        } else {
            steady
        };
        Self {
            foot: zones.class.width,
            no_room: None,
            rest_of_version: None,
            pen,
            zones,
            view,
            around,
            panel,
        }
    }

    /// What every stance has.
    pub(super) fn surroundings(&mut self) {
        let (view, around, zones) = (self.view, self.around, self.zones);
        let alarm = status::alarm(around).filter(|_| view.stance != Stance::Ended);
        let alarm = alarm.filter(|words| self.alarm(words));
        let part = |rect: Rect| Rect {
            width: self.foot,
            ..rect
        };
        let [ribbon_room, class_room, footer] = [zones.ribbon, zones.class, zones.footer].map(part);
        let pen = &mut self.pen;
        status::status(pen, zones.status, view, around);
        horizon::draw(pen, zones.horizon, view, around);
        ribbon::draw(pen, ribbon_room, &view.ribbon, Some(view.at));
        status::class(pen, class_room, view, around, alarm);
        status::footer(pen, footer, view, around);
    }

    /// What must be seen from the mat as long as it lasts, at the right of the lines at the foot;
    /// tells whether it had room.
    fn alarm(&mut self, words: &str) -> bool {
        let zones = self.zones;
        let room = Rect {
            height: zones.footer.bottom() - zones.small.y,
            ..zones.small
        };
        let half = Rect {
            width: (room.width * 3 / 4).saturating_sub(4),
            height: room.height.min(zones.version_high.div_ceil(2)),
            ..room
        };
        let Some(set) = Fit::upto(half, zones.version_high).large(words) else {
            return false;
        };
        let wide = set.columns() + 4;
        let style = self.pen.theme.band(Role::Trouble);
        let rect = Rect {
            x: room.right() - wide,
            y: room.bottom() - half.height,
            width: wide,
            height: half.height,
        };
        self.pen.fill(rect, " ", style);
        set.draw(&mut self.pen, right_of(rect, 2), style);
        self.foot = room.width - wide - 1;
        true
    }

    pub(super) fn style(&self, role: Role) -> Style {
        self.pen.theme.style(role)
    }

    /// The room from the head down to what is small, both with it.
    pub(super) fn middle(&self) -> Rect {
        Rect {
            height: self.zones.small.bottom() - self.zones.head.y,
            ..self.zones.head
        }
    }

    /// What goes on, and under it what it leads to.
    pub(super) fn panel(&mut self, shown: &Shown) {
        if self.view.stance == Stance::Held {
            return self.band();
        }
        let role = horizon::role(self.view);
        let upper = Rect {
            height: self.panel.height.div_ceil(2).max(3).min(self.panel.height),
            ..self.panel
        };
        let lower = below(self.panel, upper.height);
        let (second_role, most) = (second_role(&shown.second), self.zones.name);
        let in_a_line = one_line(&shown.second, lower, most);
        if in_a_line.is_none()
            && let Some(parts) = &shown.apart
        {
            for (part, room) in parts.iter().zip([upper, lower]) {
                let style = self.style(second_role);
                whole(&mut self.pen, room, std::slice::from_ref(part), most, style);
            }
            return;
        }
        let (style, second_style) = (self.style(role), self.style(second_role));
        // The upper half may be a row higher than a name is.
        let highest = most.max((2 * upper.height).saturating_sub(1));
        if let Some(set) = in_a_line {
            name(&mut self.pen, upper, &shown.first.texts, highest, style);
            set.draw(&mut self.pen, lower, second_style);
        } else {
            name(&mut self.pen, upper, &shown.first.texts, highest, style);
            whole(
                &mut self.pen,
                lower,
                &shown.second.texts,
                most,
                second_style,
            );
        }
    }

    /// A block of the strongest contrast beside the figures.
    fn band(&mut self) {
        let style = self.pen.theme.band(Role::Now);
        self.pen.fill(self.panel, " ", style);
        let panel = right_of(self.panel, 2);
        let edge = u16::from(panel.height > 4);
        let room = Rect {
            y: panel.y + edge,
            height: panel.height - 2 * edge,
            ..panel
        };
        let word = still::word(self.view.held.as_ref());
        let Some(names) = still::named(self.view).filter(|_| room.height > 1) else {
            headline(&mut self.pen, room, &word, 2 * self.zones.name, style);
            return;
        };
        let gap = u16::from(room.height > 8);
        let upper = Rect {
            height: (room.height - gap).div_ceil(2),
            ..room
        };
        headline(&mut self.pen, upper, &word, self.zones.name, style);
        let lower = below(room, upper.height + gap);
        name(&mut self.pen, lower, &names, self.zones.name, style);
    }

    /// The next move under its label; beside it the rail, while it is what is to be said.
    pub(super) fn next(&mut self, shown: &Shown) {
        if !shown.list.is_empty() {
            return self.list(&shown.list);
        }
        if let Some(view) = &shown.together {
            return self.together(view, shown);
        }
        if shown.head.is_empty() {
            return;
        }
        let (zone, most) = (self.zones.head, self.zones.name);
        let role = if shown.head.is_loud {
            Role::Next
        } else {
            Role::Quiet
        };
        let room = right_of(zone, RAIL);
        let (label, used) = self.label(room);
        let name_room = right_of(room, used);
        let style = self.style(role);
        let most = if shown.head.is_loud {
            most
        } else {
            quiet_high(most)
        };
        let set = self.beside_length(name_room, &shown.head.texts, most, &shown.length);
        let set = set.unwrap_or_else(|| set_name(&shown.head.texts, name_room, most));
        let lines = set.draw(&mut self.pen, name_room, style);
        let quiet = self.style(Role::Quiet);
        label.draw(&mut self.pen, room, quiet);
        if shown.reads == Reads::Head {
            self.said_by(zone, lines, shown);
        }
    }

    /// The name as high as it may be, and at its right how long the move is going to be, where both
    /// have room; where they have not, that goes to what is small.
    fn beside_length(
        &mut self,
        room: Rect,
        names: &[String],
        most: u16,
        length: &str,
    ) -> Option<Set> {
        let line = |room: Rect, high: u16, least: u16| Fit {
            least,
            lines: 1,
            ..Fit::upto(room, high)
        };
        let high = self.zones.version_high;
        let low = Rect {
            height: room.height.min(high.div_ceil(2)),
            ..room
        };
        let found = line(low, high, high).large(length);
        let both = found.and_then(|length| {
            let left = Rect {
                width: room.width.saturating_sub(length.columns() + 4),
                ..room
            };
            let least = most - most / 7;
            let name = names
                .iter()
                .find_map(|name| line(left, most, least).large(name))?;
            Some((name, length))
        });
        let Some((name, found)) = both else {
            self.no_room = (!length.is_empty()).then(|| length.to_owned());
            return None;
        };
        let quiet = self.style(Role::Quiet);
        let right = right_of(low, low.width - found.columns());
        found.draw(&mut self.pen, right, quiet);
        Some(name)
    }

    /// The word before the next move's name, as large as there is room for both.
    fn label(&self, room: Rect) -> (Set, u16) {
        let small = Rect {
            height: room.height.min(self.zones.version.height.max(3)),
            width: room.width / 6,
            ..room
        };
        let label = Fit {
            lines: 1,
            ..Fit::upto(small, self.zones.version_high)
        };
        match label.large("next") {
            Some(set) => {
                let used = set.columns() + 3;
                (set, used)
            }
            None => (Set::Plain(vec!["next".into()]), 6),
        }
    }

    /// The rail of words that stand in another zone than their own.
    fn said_by(&mut self, zone: Rect, lines: u16, shown: &Shown) {
        if let Some(say) = &shown.say {
            let rect = Rect {
                height: lines.min(zone.height),
                ..zone
            };
            let say = self.stilled(say);
            rail(&mut self.pen, rect, &say, say_role(&say));
        }
    }

    /// Who is where in place of the head, and of the version where nobody needs one.
    fn together(&mut self, view: &TogetherView, shown: &Shown) {
        let is_alone = shown.version.is_empty();
        let zone = if is_alone {
            self.zones.body()
        } else {
            self.zones.head
        };
        let mut room = right_of(zone, RAIL);
        // The words to say stand right under it.
        let under = u16::from(is_alone && room.height > 3);
        room.height = room.height.saturating_sub(under);
        let role = if view.is_next { Role::Next } else { Role::Now };
        let style = self.style(role);
        let label = if view.is_next { "next" } else { "now" };
        let quiet = self.style(Role::Quiet);
        let used = self.pen.text(room, 0, label, quiet);
        let room = right_of(room, used.max(4) + 2);
        together::draw(&mut self.pen, room, view, self.zones.name, style);
    }

    /// The moves of a circuit in place of head and version.
    fn list(&mut self, moves: &[String]) {
        let room = right_of(self.zones.body(), RAIL);
        let style = self.style(Role::Now);
        let whole = |name: &String| name.split_whitespace().collect::<Vec<_>>().join("\u{a0}");
        let moves: Vec<String> = moves.iter().map(whole).collect();
        let text = moves.join("\u{a0}· ");
        let mut list = set(&text, room, self.zones.name);
        if list.fills(room.height) {
            // The words to say stand right under it.
            let height = room.height - 1;
            list = set(&text, Rect { height, ..room }, self.zones.name);
        }
        list.draw(&mut self.pen, room, style);
    }

    /// The version that somebody needs; in a held class, that it has come to end too late.
    pub(super) fn version(&mut self, shown: &Shown) {
        let (zone, high) = (self.zones.version, self.zones.version_high);
        if zone.height == 0 || !shown.list.is_empty() {
            return;
        }
        if let Some(over) = still::over(self.view) {
            let style = self.pen.theme.band(Role::Trouble);
            self.pen.fill(zone, " ", style);
            headline(&mut self.pen, right_of(zone, 2), &over, high, style);
            return;
        }
        let room = right_of(zone, RAIL);
        let (sign, role) = if shown.is_marked {
            ("◆ ", Role::Spare)
        } else {
            ("", Role::Quiet)
        };
        let all: Vec<String> = shown
            .version
            .iter()
            .map(|words| format!("{sign}{words}"))
            .collect();
        let Some(first) = all.first() else { return };
        let style = self.style(role);
        let texts = [all.join(" · "), first.clone()];
        let begun = shown.is_marked.then(|| self.begun(&texts, sign, room));
        let lines = match begun.flatten() {
            Some((set, rest)) => {
                self.rest_of_version = Some((role, format!("… {rest}")));
                set.draw(&mut self.pen, room, style)
            }
            None => whole(&mut self.pen, room, &texts, high, style),
        };
        if shown.reads == Reads::Version {
            self.said_by(zone, lines, shown);
        }
    }

    /// Of a version that is too long to be large, its first words large and the rest of it: what
    /// somebody must do instead is read from the mat.
    fn begun(&self, texts: &[String], sign: &str, room: Rect) -> Option<(Set, String)> {
        let large = |text: &str| Fit::upto(room, self.zones.version_high).large(text);
        if texts.iter().any(|text| large(text).is_some()) {
            return None;
        }
        let first = texts.last()?;
        let (head, rest) = first.split_once(", ")?;
        let alone = || {
            let (whom, what) = head.split_once(": ")?;
            let whom = whom.trim_start_matches(sign);
            Some((large(&format!("{sign}{what}"))?, format!("{rest} ({whom})")))
        };
        let begun = large(head).map(|set| (set, rest.to_owned()));
        begun.or_else(alone)
    }

    /// What to say, or what stands in its place, and what is small.
    pub(super) fn words(&mut self, shown: &Shown) {
        let zone = self.zones.say;
        let mut small: Vec<_> = self.rest_of_version.take().into_iter().collect();
        match (&shown.say, &shown.instead, &shown.soon) {
            (Some(say), ..) if shown.reads == Reads::Say => {
                let phrases = Phrases::of(&say.say, zone, &self.zones);
                let n = phrases.at(say.left);
                let say = self.stilled(say);
                let role = say_role(&say);
                let used = phrases.draw(&mut self.pen, zone, n, role);
                let rect = Rect {
                    height: used,
                    ..zone
                };
                rail(&mut self.pen, rect, &say, role);
                let rest = phrases.after(n);
                if !rest.is_empty() {
                    small.push((role, format!("… {rest}")));
                }
            }
            (_, Some((role, texts)), _) => self.instead(*role, texts),
            (.., Some(soon)) => {
                // The rail would say them now.
                let phrases = Phrases::of(soon, zone, &self.zones);
                phrases.draw(&mut self.pen, zone, 0, Role::Quiet);
                let rest = phrases.after(0);
                if !rest.is_empty() {
                    small.push((Role::Quiet, format!("… {rest}")));
                }
            }
            _ => {}
        }
        small.extend(self.no_room.take().map(|text| (Role::Quiet, text)));
        small.extend(shown.small.iter().cloned());
        let room = Rect {
            width: self.foot,
            ..self.zones.small
        };
        prompts::small(&mut self.pen, right_of(room, RAIL), &small);
    }

    fn instead(&mut self, role: Role, texts: &[String]) {
        let (zone, high) = (self.zones.say, self.zones.words);
        let is_marked = still::marks_minute(self.view);
        let style = if is_marked {
            let style = self.pen.theme.band(Role::Now);
            self.pen.fill(zone, " ", style);
            style
        } else {
            self.style(role)
        };
        whole(&mut self.pen, right_of(zone, RAIL), texts, high, style);
    }

    /// A prompt with the rail as it stands where nothing moves.
    fn stilled(&self, say: &PromptView) -> PromptView {
        let left = if self.around.motion { say.left } else { 12 };
        PromptView {
            left,
            ..say.clone()
        }
    }
}

const fn say_role(say: &PromptView) -> Role {
    if say.marked { Role::Spare } else { Role::Say }
}

const fn second_role(second: &Wording) -> Role {
    if second.is_loud {
        Role::Next
    } else {
        Role::Quiet
    }
}

/// A name that is not urgent steps back by a seventh, never below what is read at three metres.
const fn quiet_high(most: u16) -> u16 {
    most - most / 7
}

/// The first wording that has room in one enlarged line.
fn one_line(wording: &Wording, room: Rect, most: u16) -> Option<Set> {
    let fit = Fit {
        least: (4 * most / 7).max(LOWEST),
        lines: 1,
        ..Fit::upto(room, most)
    };
    wording.texts.iter().find_map(|text| fit.large(text))
}

/// A name, its call, or ordinary text; what is too long even for that is cut.
fn name(pen: &mut Pen, room: Rect, texts: &[String], most: u16, style: Style) -> u16 {
    set_name(texts, room, most).draw(pen, room, style)
}

/// The first wording that has room whole, enlarged if any can be, else in ordinary cells.
fn whole(pen: &mut Pen, room: Rect, texts: &[String], most: u16, style: Style) -> u16 {
    let large = texts
        .iter()
        .find_map(|text| Fit::upto(room, most).large(text));
    if let Some(set) = large {
        return set.draw(pen, room, style);
    }
    let fits = |text: &&String| width(text) <= room.width * room.height.min(1);
    let bold = style.add_modifier(Modifier::BOLD);
    match texts.iter().find(fits).or(texts.last()) {
        Some(text) if width(text) <= room.width => pen.text(room, 0, text, bold).min(1),
        Some(text) => pen.wrapped(
            room,
            &cut(text, room.width.saturating_mul(room.height)),
            bold,
        ),
        None => 0,
    }
}

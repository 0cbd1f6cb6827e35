//! The stances of a running class: one frame, and what each stance puts into it.

mod asking;
mod at_work;
mod circuit;
mod count_in;
mod ended;
mod held;
mod open;
mod turning;
mod waiting;
mod words;

pub(super) use words::pause;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;

use super::around::Around;
use super::face::{Set, headline, set};
use super::pen::{Pen, below, right_of, row_of};
use super::theme::{Role, Theme};
use super::zones::Zones;
use super::{digits, horizon, line, prompts, ribbon, status};
use crate::live::{Digits, PromptView, Stance, View};

/// Draws a running class into an area of a buffer.
pub fn draw(area: Rect, buf: &mut Buffer, view: &View, around: &Around, theme: &Theme) {
    let mut pen = Pen::new(area, buf, theme);
    let Some(zones) = Zones::of(pen.area) else {
        return line::draw(&mut pen, view);
    };
    let mut frame = Frame::new(pen, zones, view, around);
    frame.surroundings();
    match view.stance {
        Stance::Waiting => waiting::draw(&mut frame),
        Stance::AtWork | Stance::Turning | Stance::Open if is_count_in(view) => {
            count_in::draw(&mut frame);
        }
        Stance::AtWork => at_work::draw(&mut frame),
        Stance::Turning => turning::draw(&mut frame),
        Stance::Open => open::draw(&mut frame),
        Stance::Held => held::draw(&mut frame),
        Stance::Ended => ended::draw(&mut frame),
    }
    if view.asked.is_some() {
        asking::draw(&mut frame);
    }
}

const fn is_count_in(view: &View) -> bool {
    matches!(view.digits, Digits::CountIn(_))
}

/// What a stance draws with.
struct Frame<'a> {
    pen: Pen<'a>,
    zones: Zones,
    view: &'a View,
    around: &'a Around,
    /// What is right of the figures.
    panel: Rect,
}

impl<'a> Frame<'a> {
    /// A frame with the figures in it.
    fn new(mut pen: Pen<'a>, zones: Zones, view: &'a View, around: &'a Around) -> Self {
        let role = match view.stance {
            Stance::Held | Stance::Ended => Role::Quiet,
            // They count to the next move, so they belong to it.
            Stance::Turning if !view.kind.is_moving() => Role::Next,
            _ if is_count_in(view) => Role::Next,
            _ => Role::Now,
        };
        let style = pen.theme.style(role);
        let used = digits::draw(&mut pen, zones.band, view.digits, zones.step, style);
        let panel = right_of(zones.band, used.saturating_add(3));
        Self {
            pen,
            zones,
            view,
            around,
            panel,
        }
    }

    /// What every stance has.
    fn surroundings(&mut self) {
        let (pen, zones) = (&mut self.pen, self.zones);
        status::status(pen, zones.status, self.view, self.around);
        horizon::draw(pen, zones.horizon, self.view, self.around);
        ribbon::draw(pen, zones.ribbon, &self.view.ribbon, Some(self.view.at));
        status::class(pen, zones.class, self.view, self.around);
        status::footer(pen, zones.footer, self.view, self.around);
    }

    fn style(&self, role: Role) -> Style {
        self.pen.theme.style(role)
    }

    /// The move that has the first place; gives the room under it, down to the prompts.
    fn head(&mut self, text: &str, role: Role) -> Rect {
        let room = self.zones.roomy_head();
        let style = self.style(role);
        let used = headline(&mut self.pen, room, text, self.zones.step, style);
        below(room, used.max(self.zones.head.height))
    }

    /// The same with a small word before it that says what it is to the eye.
    fn labelled_head(&mut self, label: &str, text: &str, role: Role) -> Rect {
        let room = self.zones.roomy_head();
        let used = self.labelled(room, (label, text), self.zones.step, role);
        below(room, used.max(self.zones.head.height))
    }

    /// An enlarged text after a smaller word, without it where both have no room; gives the lines
    /// used.
    fn labelled(&mut self, room: Rect, text: (&str, &str), step: u16, role: Role) -> u16 {
        let (label, text) = text;
        let (quiet, style) = (self.style(Role::Quiet), self.style(role));
        let beside = Rect {
            height: room.height.min((2 * step).saturating_sub(1).max(3)),
            ..room
        };
        let small = set(label, beside, step);
        let plain = Set::Plain(vec![label.to_owned()]);
        for (small, gap) in [(small, 3), (plain, 2)] {
            let name_room = right_of(room, small.columns() + gap);
            let name = set(text, name_room, step);
            if name.is_large() {
                small.draw(&mut self.pen, beside, quiet);
                return name.draw(&mut self.pen, name_room, style);
            }
        }
        let name = set(text, room, step);
        if name.is_large() {
            return name.draw(&mut self.pen, room, style);
        }
        headline(
            &mut self.pen,
            room,
            &format!("{label}: {text}"),
            step,
            style,
        )
    }

    /// The room from the head down to the prompts, both with it.
    fn middle(&self) -> Rect {
        Rect {
            height: self.zones.say.bottom() - self.zones.head.y,
            ..self.zones.head
        }
    }

    /// The upper half of the panel.
    fn upper(&self) -> Rect {
        Rect {
            height: self.panel.height.div_ceil(2),
            ..self.panel
        }
    }

    /// The upper or lower half of the panel, in large letters; gives the lines used.
    fn panel_line(&mut self, text: &str, room: Rect, role: Role) -> u16 {
        let style = self.style(role);
        headline(&mut self.pen, room, text, self.zones.step, style)
    }

    /// A prompt with the rail as it stands where nothing moves.
    fn stilled(&self, say: &PromptView) -> PromptView {
        let left = if self.around.motion { say.left } else { 12 };
        PromptView {
            left,
            ..say.clone()
        }
    }

    /// Ordinary lines, one text each, as far as there is room.
    fn lines(&mut self, room: Rect, texts: &[(Role, String)]) {
        let mut room = room;
        for (role, text) in texts {
            let style = self.style(*role);
            let used = self.pen.wrapped(room, text, style);
            room = below(room, used);
        }
    }

    /// Lines under the head, the most important first, and the prompts under them. A prompt that
    /// would be too small to read from the mat takes the room of as many lines as it needs.
    fn lines_and_prompts(&mut self, room: Rect, texts: &[(Role, String)]) {
        if !self.around.prompts {
            return self.lines(room, texts);
        }
        let step = prompts::step(self.zones.step);
        let own = self.zones.say;
        let tall = Rect {
            y: room.y,
            height: own.bottom() - room.y,
            ..own
        };
        let say = self.view.say.as_ref().map(|say| self.stilled(say));
        let zone = match &say {
            Some(say) => prompts::zone(say, own, tall, step),
            None => row_of(own, own.height - 1),
        };
        let above = Rect {
            height: zone.y - room.y,
            ..room
        };
        self.lines(above, texts);
        let then = self.view.say_next.as_ref();
        prompts::draw(&mut self.pen, zone, say.as_ref(), then, step);
    }
}

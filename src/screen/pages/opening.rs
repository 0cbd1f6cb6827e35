//! Before the class: what it needs, what shape it has, when it must end, and who is in the room.

use std::sync::Arc;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Modifier;

use super::Page;
use super::field::{self, Field};
use super::sheet::Sheet;
use crate::live::{Ribbon, SlotView};
use crate::screen::around::{Hint, SoundState};
use crate::screen::pen::{cells, right_of, width, wrap};
use crate::screen::theme::{Role, Theme};
use crate::screen::{ribbon, status};
use crate::time::Span;

/// A part of the class under the ribbon.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartLabel {
    /// What it is called.
    pub name: String,
    /// Where it starts.
    pub start: Span,
    /// How long it is.
    pub length: Span,
}

/// Something that someone in the room must spare, to be switched on and off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LimitToggle {
    /// The key that switches it.
    pub key: String,
    /// What must be spared: `wrists`.
    pub label: String,
    /// Whether it must be spared tonight.
    pub is_on: bool,
}

/// The opening page of a class.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Opening {
    /// What the class is called.
    pub title: String,
    /// What the planner wants to remember; empty where nothing was written.
    pub brief: String,
    /// What to bring: `mat, band`.
    pub bring: String,
    /// The class drawn to time and effort.
    pub ribbon: Arc<Ribbon>,
    /// Its parts.
    pub parts: Vec<PartLabel>,
    /// How long the whole is.
    pub total: Span,
    /// Whether that is an estimate.
    pub is_estimated: bool,
    /// When it would end, begun now: `18:46`.
    pub ends: String,
    /// The end of the slot, which may be edited.
    pub slot: Field,
    /// How the class stands against the slot.
    pub stands: Option<SlotView>,
    /// Who must spare what tonight.
    pub limits: Vec<LimitToggle>,
    /// The loudspeaker, and below it how to try it.
    pub sound: SoundState,
    /// How to try the sound: `t plays the signals`.
    pub sound_check: String,
    /// What could not be placed among the prompts, a line each.
    pub unplaced: Vec<String>,
    /// What to keep in mind, a line each; shown here and nowhere else.
    pub cautions: Vec<String>,
    /// The hour.
    pub clock: String,
    /// The keys, most important first.
    pub hints: Vec<Hint>,
}

impl Page for Opening {
    fn draw(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let title = (self.title.as_str(), self.clock.as_str());
        let mut sheet = Sheet::new(area, buf, theme, title, &self.keys());
        self.length(&mut sheet);
        self.shape(&mut sheet);
        sheet.gap();
        sheet.pair("bring:", Role::Now, &self.bring);
        let row = sheet.take(1);
        field::draw(&mut sheet.pen, row, 0, &self.slot);
        self.limits(&mut sheet);
        let role = if self.sound.is_trouble() {
            Role::Trouble
        } else {
            Role::Now
        };
        let sound = format!("{} · {}", self.sound.words(), self.sound_check);
        sheet.line(role, &sound);
        sheet.gap();
        self.notes(&mut sheet);
    }
}

impl Opening {
    fn length(&self, sheet: &mut Sheet) {
        let about = if self.is_estimated { "about " } else { "" };
        let ends = match self.ends.as_str() {
            "" => String::new(),
            ends => format!(" · begun now it ends {ends}"),
        };
        let text = format!("{about}{} in all{ends}", self.total);
        let style = sheet.pen.theme.style(Role::Now);
        let row = sheet.take(1);
        let used = sheet.pen.text(row, 0, &text, style);
        if let Some((role, text)) = self.stands.map(status::slot) {
            let style = sheet.pen.theme.style(role).add_modifier(Modifier::BOLD);
            sheet
                .pen
                .text(right_of(row, used), 0, &format!(" · {text}"), style);
        }
    }

    /// The ribbon with the names of its parts, a fifth of the page high where the page is roomy.
    fn shape(&self, sheet: &mut Sheet) {
        let lines = match sheet.pen.area.height {
            0..18 => 1,
            18..30 => 2,
            height => (height / 5).min(12),
        };
        sheet.gap();
        let rect = sheet.take(lines);
        ribbon::draw(&mut sheet.pen, rect, &self.ribbon, None);
        if sheet.pen.area.height < 18 {
            return;
        }
        let row = sheet.take(1);
        let style = sheet.pen.theme.style(Role::Quiet);
        let mut free = row.x;
        for part in &self.parts {
            let start = rect.x + ribbon::column(part.start, self.total, rect.width);
            let end = rect.x + ribbon::column(part.start + part.length, self.total, rect.width);
            if start >= free && start + width(&part.name) <= end.max(start + 1) {
                let at = right_of(row, start - row.x);
                free = start + sheet.pen.text(at, 0, &part.name, style) + 1;
            }
        }
    }

    /// The limits, as many on a line as have room.
    fn limits(&self, sheet: &mut Sheet) {
        if self.limits.is_empty() {
            return;
        }
        let mut row = sheet.take(1);
        let lead = sheet
            .pen
            .text(row, 0, "spare:", sheet.pen.theme.style(Role::Quiet))
            + 1;
        let mut used = lead;
        for limit in &self.limits {
            let mark = if limit.is_on { "◆" } else { "·" };
            let text = format!("{mark} {} {}", limit.key, limit.label);
            if used + width(&text) > row.width && used > lead {
                row = sheet.take(1);
                used = lead;
            }
            let role = if limit.is_on {
                Role::Spare
            } else {
                Role::Quiet
            };
            let mut style = sheet.pen.theme.style(role);
            if limit.is_on {
                style = style.add_modifier(Modifier::BOLD);
            }
            used += sheet.pen.text(right_of(row, used), 0, &text, style) + 2;
        }
    }

    /// What to keep in mind, what cannot be said, what the planner wrote; a sign where not all of it
    /// has room. The first two cautions come before everything else.
    fn notes(&self, sheet: &mut Sheet) {
        let notes = self.noted();
        let wide = sheet.room.width;
        let needs = |note: &(Role, String)| cells(wrap(&note.1, wide).len());
        let all: u16 = notes.iter().map(needs).fold(0, u16::saturating_add);
        let is_cut = all > sheet.room.height;
        let mut free = sheet.room.height.saturating_sub(u16::from(is_cut));
        for note in &notes {
            if needs(note) > free {
                break;
            }
            free -= needs(note);
            sheet.say(note.0, &note.1);
        }
        if is_cut {
            sheet.say(Role::Quiet, "… more at a taller window");
        }
    }

    /// The notes in the order of need.
    fn noted(&self) -> Vec<(Role, String)> {
        let caution = |text: &String| (Role::Quiet, format!("- {text}"));
        let mut cautions = self.cautions.iter().map(caution);
        let mut out: Vec<(Role, String)> = cautions.by_ref().take(WHOLE).collect();
        out.extend(self.cannot_be_said().map(|text| (Role::Trouble, text)));
        if !self.brief.is_empty() {
            out.push((Role::Now, self.brief.clone()));
        }
        out.extend(cautions);
        out
    }

    fn cannot_be_said(&self) -> Option<String> {
        let first = self.unplaced.first()?;
        Some(match self.unplaced.len() {
            1 => format!("No time to say: {first}"),
            more => format!("No time to say {more} prompts, first: {first}"),
        })
    }

    /// The keys, those first without which nobody gets on.
    fn keys(&self) -> Vec<Hint> {
        let rank = |hint: &Hint| {
            let place = FIRST.iter().position(|key| *key == hint.key);
            place.unwrap_or(FIRST.len())
        };
        let mut hints = self.hints.clone();
        hints.sort_by_key(rank);
        hints
    }
}

/// Keys that are shown before all others.
const FIRST: [&str; 4] = ["enter", "space", "esc", "t"];

/// How many cautions come before everything else.
const WHOLE: usize = 2;

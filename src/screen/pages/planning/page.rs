//! A class as a list of its lines, and beside it what it becomes.

use std::sync::Arc;

use ratatui::layout::Rect;
use ratatui::style::Modifier;

use super::PLAN_NEEDS;
use super::form::FormView;
use crate::live::Ribbon;
use crate::screen::around::Hint;
use crate::screen::pages::paper::Paper;
use crate::screen::pages::{Page, list};
use crate::screen::pen::{Pen, below, cut, right_of, row_of, width, wrap};
use crate::screen::theme::Role;
use crate::screen::{ribbon, status};
use crate::time::Span;

/// A line of the class.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PlanLine {
    /// When it begins: `12:40`; empty where that is not known or says nothing.
    pub start: String,
    /// In how many others it stands.
    pub depth: u16,
    /// What it is.
    pub name: String,
    /// Its times, or how many.
    pub figures: String,
    /// Whether the file is at fault here.
    pub is_faulty: bool,
    /// Whether a colleague has something to say about it.
    pub is_remarked: bool,
}

/// A paragraph beside the class.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    /// What it is for.
    pub role: Role,
    /// Whether it stands over what follows, with a line free above it.
    pub is_head: bool,
    /// The words.
    pub text: String,
}

impl Said {
    /// A heading.
    #[must_use]
    pub fn head(text: impl Into<String>) -> Self {
        Self {
            role: Role::Now,
            is_head: true,
            text: text.into(),
        }
    }

    /// A paragraph.
    #[must_use]
    pub fn line(role: Role, text: impl Into<String>) -> Self {
        Self {
            role,
            is_head: false,
            text: text.into(),
        }
    }
}

impl Said {
    /// What stands before its first line, as wide before each: a marked prompt must not hang on a
    /// colour alone.
    pub(super) fn sign(&self) -> &'static str {
        match self.role {
            _ if self.is_head => "",
            Role::Say => "▌ ",
            Role::Spare => "◆ ",
            _ => "",
        }
    }

    /// What stands before its `n`th line.
    pub(super) fn sign_of(&self, n: usize) -> &'static str {
        match self.sign() {
            "" => "",
            sign if n == 0 || self.role == Role::Say => sign,
            _ => "  ",
        }
    }
}

/// The page at which a class is planned.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PlanPage {
    /// What the class is called.
    pub title: String,
    /// Its file, and whether that has all of it.
    pub kept: String,
    /// Its length against the slot.
    pub total: String,
    /// Whether that must not stay so.
    pub is_over: bool,
    /// The class drawn to time and effort; nothing while the file cannot be read.
    pub ribbon: Option<Arc<Ribbon>>,
    /// Where the chosen line begins.
    pub here: Option<Span>,
    /// The lines of the class.
    pub lines: Vec<PlanLine>,
    /// Which one is chosen.
    pub chosen: usize,
    /// What can be written of the chosen line, where it is being written.
    pub form: Option<FormView>,
    /// What is told beside the class.
    pub beside: Vec<Said>,
    /// What everyone needs; told under that where there is room for it.
    pub bring: Vec<Said>,
    /// The key that opens what has no room beside; empty where none does.
    pub more: String,
    /// What was just done or went wrong; empty where nothing need be said.
    pub word: String,
    /// Whether that is a refusal.
    pub is_refused: bool,
    /// The keys, most important first.
    pub hints: Vec<Hint>,
}

impl Page for PlanPage {
    fn lay(&self, paper: Paper) -> bool {
        let is_enlarged = paper.enlarged.is_some();
        let mut pen = Pen::new(paper.area, paper.buf, paper.theme);
        let area = pen.area;
        if area.width < PLAN_NEEDS.0 || area.height < PLAN_NEEDS.1 {
            self.too_small(&mut pen);
            // A small sheet that is going to be enlarged is no small window.
            return !is_enlarged;
        }
        let inner = Rect {
            width: area.width - 2,
            ..right_of(area, 1)
        };
        self.head(&mut pen, row_of(inner, 0));
        let high = ribbon_lines(area.height);
        if let Some(of) = &self.ribbon {
            let drawn = Rect {
                height: high,
                ..below(inner, 1)
            };
            ribbon::draw(&mut pen, drawn, of, None);
            self.mark(&mut pen, row_of(inner, 1 + high), of);
        }
        let top = 2 + high;
        let body = Rect {
            height: area.height - top - 1,
            ..below(inner, top)
        };
        let left = Rect {
            width: left_width(area.width),
            ..body
        };
        self.list(&mut pen, left);
        let rule = Rect {
            width: 1,
            ..right_of(body, left.width + 1)
        };
        let style = pen.theme.shape(Role::Mark);
        pen.fill(rule, "│", style);
        self.beside(&mut pen, right_of(body, left.width + 3));
        self.foot(&mut pen, row_of(inner, area.height - 1));
        // A list may be as long as it likes: nothing here is drawn larger than a hand's distance asks.
        false
    }

    fn hints(&self) -> Vec<Hint> {
        self.hints.clone()
    }
}

/// How high the ribbon is drawn in a window so high.
const fn ribbon_lines(height: u16) -> u16 {
    match height {
        0..30 => 2,
        30..45 => 3,
        _ => 4,
    }
}

/// Columns of the list in a window so wide.
fn left_width(wide: u16) -> u16 {
    (wide / 20 * 11 + wide % 20 * 11 / 20).min(84)
}

impl PlanPage {
    fn too_small(&self, pen: &mut Pen) {
        let (wide, high) = PLAN_NEEDS;
        let area = pen.area;
        let says = format!(
            "A plan needs a window of {wide} by {high}; this one is {} by {}. Nothing is lost: make it larger, or its letters smaller.",
            area.width, area.height
        );
        let (now, quiet) = (pen.theme.style(Role::Trouble), pen.theme.style(Role::Quiet));
        let used = pen.wrapped(area, &says, now);
        let kept = format!("{} {}", self.title, self.kept);
        pen.wrapped(below(area, used), kept.trim(), quiet);
    }

    fn head(&self, pen: &mut Pen, row: Rect) {
        let role = if self.is_over {
            Role::Trouble
        } else {
            Role::Next
        };
        let style = pen.theme.style(role).add_modifier(Modifier::BOLD);
        let used = pen.text_right(row, 0, &self.total, style);
        let left = Rect {
            width: row.width.saturating_sub(used + 2),
            ..row
        };
        // A long title gives way to what its file has.
        let room = left
            .width
            .saturating_sub(width(&self.kept).saturating_add(3))
            .max(12);
        let texts = [
            (Role::Now, cut(&self.title, room)),
            (Role::Quiet, self.kept.clone()),
        ];
        status::parts(pen, left, &texts);
    }

    /// Under the ribbon a mark where the chosen line begins.
    fn mark(&self, pen: &mut Pen, row: Rect, of: &Ribbon) {
        if let Some(here) = self.here {
            let at = ribbon::column(here, of.total(), row.width);
            let style = pen.theme.shape(Role::Now);
            pen.put(row.x + at, row.y, "▲", style);
        }
    }

    fn list(&self, pen: &mut Pen, room: Rect) {
        let shown = list::shown(self.lines.len(), self.chosen, usize::from(room.height));
        let (above, left) = (shown.start, self.lines.len() - shown.end);
        for (row, n) in (0..room.height).zip(shown) {
            let at = row_of(room, row);
            self.lines[n].draw(pen, at, n == self.chosen);
            let is_edge = row == 0 && above > 0 || row + 1 == room.height && left > 0;
            if is_edge && n != self.chosen {
                let style = pen.theme.style(Role::Quiet);
                let sign = if row == 0 { "↑" } else { "↓" };
                pen.text(at, 0, sign, style);
            }
        }
    }

    fn beside(&self, pen: &mut Pen, room: Rect) {
        let mut room = room;
        if let Some(form) = &self.form {
            let used = form.draw(pen, room);
            room = below(room, used);
        }
        let is_under = self.form.is_some();
        let mut rows = rows(&self.beside, is_under, room.width);
        let high = usize::from(room.height);
        let bring = self::rows(&self.bring, is_under || !rows.is_empty(), room.width);
        if rows.len() + bring.len() <= high {
            rows.extend(bring);
        }
        let shown = if rows.len() > high {
            high.saturating_sub(1)
        } else {
            rows.len()
        };
        for (line, (said, text)) in (0..room.height).zip(&rows[..shown]) {
            let mut style = pen.theme.style(said.role);
            if said.is_head {
                style = style.add_modifier(Modifier::BOLD);
            }
            pen.text(room, line, text, style);
        }
        let left = rows.len() - shown;
        if left > 0 {
            let style = pen.theme.style(Role::Quiet);
            let key = match self.more.as_str() {
                "" => String::new(),
                key => format!(": {key}"),
            };
            let told = format!("↓ {left} more{key}");
            pen.text(room, room.height.saturating_sub(1), &told, style);
        }
    }

    fn foot(&self, pen: &mut Pen, row: Rect) {
        if self.word.is_empty() {
            return status::hints(pen, row, &self.hints);
        }
        let role = if self.is_refused {
            Role::Trouble
        } else {
            Role::Now
        };
        let style = pen.theme.band(role);
        pen.fill(row, " ", style);
        pen.text(row, 0, &format!(" {}", self.word), style);
    }
}

/// Paragraphs as the rows that they take, each with the paragraph that it is of.
fn rows(says: &[Said], is_under: bool, wide: u16) -> Vec<(&Said, String)> {
    let mut rows = Vec::new();
    for (n, said) in says.iter().enumerate() {
        if said.is_head && (n > 0 || is_under) {
            rows.push((said, String::new()));
        }
        let room = wide.saturating_sub(width(said.sign()));
        let lines = wrap(&said.text, room).into_iter().enumerate();
        rows.extend(lines.map(|(n, line)| (said, format!("{}{line}", said.sign_of(n)))));
    }
    rows
}

/// Columns of the time at which a line begins.
const START: u16 = 7;

impl PlanLine {
    fn draw(&self, pen: &mut Pen, row: Rect, is_chosen: bool) {
        let role = match () {
            () if self.is_faulty => Role::Trouble,
            () if self.depth == 0 => Role::Now,
            () => Role::Next,
        };
        let (style, quiet) = if is_chosen {
            (pen.theme.band(role), pen.theme.band(role))
        } else {
            (pen.theme.style(role), pen.theme.style(Role::Quiet))
        };
        pen.fill(row, " ", style);
        if is_chosen {
            pen.text(row, 0, "▸", style);
        }
        let start = Rect {
            width: START,
            ..right_of(row, 1)
        };
        pen.text_right(start, 0, &self.start, quiet);
        // However deep it stands, half of the row is its own.
        let set_in = self.depth.saturating_mul(2).min(row.width / 2);
        let rest = right_of(row, (START + 2).saturating_add(set_in));
        let sign = match () {
            () if self.is_faulty => "✗ ",
            () if self.is_remarked => "! ",
            () => "",
        };
        let name = format!("{sign}{}", self.name);
        // What it is called comes before its figures.
        let figures =
            (rest.width.saturating_sub(width(&name).saturating_add(2))).max(rest.width / 3);
        let right = Rect {
            x: rest.right() - figures.min(rest.width),
            width: figures.min(rest.width),
            ..rest
        };
        let used = pen.text_right(right, 0, &self.figures, quiet);
        let left = Rect {
            width: rest.width.saturating_sub(used + u16::from(used > 0)),
            ..rest
        };
        pen.text(left, 0, &name, style);
    }
}

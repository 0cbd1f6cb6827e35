//! Groups of keys in columns, as many words for each as have room.

use ratatui::layout::Rect;
use ratatui::style::Modifier;

use super::sheet::Sheet;
use crate::screen::around::Hint;
use crate::screen::pen::{Pen, cells, right_of, width, wrap};
use crate::screen::theme::Role;

/// Keys that belong together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeyGroup {
    /// What they are for.
    pub title: String,
    /// The keys with their labels.
    pub keys: Vec<Hint>,
    /// What each does in full, in the same order, for a page with room for it.
    pub full: Vec<String>,
}

/// What is laid out in columns.
pub(super) struct Columns<'a> {
    /// The groups, most important first.
    pub(super) groups: &'a [KeyGroup],
    /// What is said behind them; empty where there is nothing.
    pub(super) last: &'a str,
    /// Which screenful is shown; behind the last comes the first.
    pub(super) page: usize,
    /// The keys of the page itself.
    pub(super) hints: &'a [Hint],
}

impl Columns<'_> {
    /// Writes them on what is left of a sheet, and the keys of the page at its foot. Letters as they
    /// are with all that can be said are worth more than large ones with less.
    pub(super) fn lay(&self, sheet: &mut Sheet) {
        let room = sheet.room;
        let (screens, in_full) = self.screens(room.width, room.height);
        let count = screens.len();
        sheet.is_whole &= count < 2 && (in_full || !sheet.is_enlarged());
        let Some(screen) = screens.into_iter().nth(self.page % count.max(1)) else {
            return;
        };
        for (n, block) in screen.blocks.iter().enumerate() {
            let column = Rect {
                width: screen.wide,
                ..right_of(room, cells(n) * (screen.wide + GAP))
            };
            for (row, line) in (0..room.height).zip(block) {
                line.draw(&mut sheet.pen, column, row);
            }
        }
        let hints = self
            .hints
            .iter()
            .filter(|hint| count > 1 || hint.action != MORE);
        let hints = hints.map(|hint| {
            let mut hint = hint.clone();
            if hint.action == MORE {
                hint.action = format!("{MORE}, {} of {count}", self.page % count + 1);
            }
            hint
        });
        sheet.keys(&hints.collect::<Vec<_>>());
    }
}

/// The keys of a page without the one that turns it: whoever shows these sees all of the page.
pub(super) fn unturned(hints: &[Hint]) -> Vec<Hint> {
    let all = hints.iter().filter(|hint| hint.action != MORE);
    all.cloned().collect()
}

/// What the key does that turns the page.
const MORE: &str = "more";

/// What is seen at once: columns so wide.
struct Screen {
    wide: u16,
    blocks: Vec<Vec<Line>>,
}

/// Between two columns.
const GAP: u16 = 2;

/// A line of the page.
enum Line {
    Title(String),
    Key {
        key: String,
        wide: u16,
        says: String,
    },
    Blank,
}

impl Line {
    fn draw(&self, pen: &mut Pen, rect: Rect, row: u16) {
        let quiet = pen.theme.style(Role::Quiet);
        let bold = pen.theme.style(Role::Now).add_modifier(Modifier::BOLD);
        match self {
            Self::Title(title) => {
                pen.text(rect, row, title, pen.theme.style(Role::Next));
            }
            Self::Key { key, wide, says } => {
                pen.text(rect, row, key, bold);
                pen.text(right_of(rect, wide + 2), row, says, quiet);
            }
            Self::Blank => {}
        }
    }
}

impl Columns<'_> {
    /// The groups in as few columns as have room whole, the fullest words first; where not even the
    /// shortest have room, one screenful after another. Tells whether the words are the fullest.
    fn screens(&self, width: u16, height: u16) -> (Vec<Screen>, bool) {
        let whole = [true, false].into_iter().find_map(|in_full| {
            let mut ways = (1..=4).filter_map(|count| self.in_columns(width, in_full, count));
            ways.find_map(|(wide, blocks, count)| {
                let blocks = packed(blocks, usize::from(count), usize::from(height))?;
                Some((vec![Screen { wide, blocks }], in_full))
            })
        });
        if let Some(found) = whole {
            return found;
        }
        let mut most = (1..=4_u16).rev();
        let widest = most.find_map(|count| self.in_columns(width, false, count));
        let (wide, blocks, count) = widest.unwrap_or_else(|| (width, self.blocks(width, false), 1));
        let mut lines = blocks.into_iter().flatten().peekable();
        let mut screens = Vec::new();
        while height > 0 && lines.peek().is_some() {
            let column = |_| lines.by_ref().take(usize::from(height)).collect();
            let blocks = (0..count).map(column).collect();
            screens.push(Screen { wide, blocks });
        }
        (screens, false)
    }

    /// The groups for so many columns, if each line has room in one.
    fn in_columns(
        &self,
        width: u16,
        in_full: bool,
        count: u16,
    ) -> Option<(u16, Vec<Vec<Line>>, u16)> {
        let wide = ((width + GAP) / count).checked_sub(GAP)?;
        let blocks = self.blocks(wide, in_full);
        let fits = blocks.iter().flatten().all(|line| line.fits(wide));
        (fits && wide > 0).then_some((wide, blocks, count))
    }

    fn blocks(&self, wide: u16, in_full: bool) -> Vec<Vec<Line>> {
        let groups = self.groups.iter().map(|group| group.lines(in_full, wide));
        let mut blocks: Vec<Vec<Line>> = groups.collect();
        if !self.last.is_empty() {
            let lines = wrap(self.last, wide).into_iter().map(Line::Title);
            blocks.push(lines.chain([Line::Blank]).collect());
        }
        blocks
    }
}

/// Blocks put under one another in so many columns so high, none of them torn.
fn packed(blocks: Vec<Vec<Line>>, count: usize, height: usize) -> Option<Vec<Vec<Line>>> {
    let mut columns: Vec<Vec<Line>> = vec![Vec::new()];
    for block in blocks {
        let last = columns.last_mut()?;
        // The blank line under the last block of a column need not have room.
        if last.len() + block.len() - 1 <= height {
            last.extend(block);
        } else {
            columns.push(block);
        }
    }
    let fits = columns.len() <= count && columns.iter().all(|column| column.len() <= height + 1);
    fits.then_some(columns)
}

impl Line {
    fn fits(&self, wide: u16) -> bool {
        match self {
            Self::Title(title) => width(title) <= wide,
            Self::Key {
                wide: keys, says, ..
            } => keys + 2 + width(says) <= wide,
            Self::Blank => true,
        }
    }
}

/// The least columns for the names of keys, and the part of a column that they may take.
const KEYS: (u16, u16) = (12, 3);

impl KeyGroup {
    /// The group's lines in a column so wide, an empty one behind them. Keys that would leave no
    /// room for what they do stand under one another.
    fn lines(&self, in_full: bool, column: u16) -> Vec<Line> {
        let most = (column / KEYS.1).max(KEYS.0);
        let named = |hint: &Hint| {
            if width(&hint.key) <= most {
                vec![hint.key.clone()]
            } else {
                wrap(&hint.key, most)
            }
        };
        let named: Vec<Vec<String>> = self.keys.iter().map(named).collect();
        let wide = named.iter().flatten().map(|key| width(key)).max();
        let wide = wide.unwrap_or(0);
        let mut lines = vec![Line::Title(self.title.clone())];
        for (n, (hint, keys)) in self.keys.iter().zip(named).enumerate() {
            let full = self.full.get(n).filter(|_| in_full);
            let mut says = full.unwrap_or(&hint.action).clone();
            lines.extend(keys.into_iter().map(|key| Line::Key {
                key,
                wide,
                says: std::mem::take(&mut says),
            }));
        }
        lines.push(Line::Blank);
        lines
    }
}

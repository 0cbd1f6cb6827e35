//! All keys, by what they are for.

use ratatui::layout::Rect;
use ratatui::style::Modifier;

use super::Page;
use super::paper::Paper;
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

/// The page of keys.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HelpPage {
    /// The groups, most important first.
    pub groups: Vec<KeyGroup>,
    /// What the preset left without a key, by its label.
    pub without: Vec<String>,
    /// Which screenful is shown, where one does not hold them all; behind the last comes the first.
    pub page: usize,
    /// The keys of this page itself; the one that turns it, `more`, is left out where all is seen.
    pub hints: Vec<Hint>,
}

impl Page for HelpPage {
    fn lay(&self, paper: Paper) -> bool {
        let mut sheet = Sheet::new(paper, ("Keys", ""), &[]);
        let room = sheet.room;
        let screens = self.screens(room.width, room.height);
        let count = screens.len();
        sheet.is_whole &= count < 2;
        let Some(screen) = screens.into_iter().nth(self.page % count.max(1)) else {
            return sheet.is_whole;
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
        sheet.is_whole
    }

    /// Without the key that turns: whoever shows these sees all of the page.
    fn hints(&self) -> Vec<Hint> {
        let all = self.hints.iter().filter(|hint| hint.action != MORE);
        all.cloned().collect()
    }
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

impl HelpPage {
    /// The groups in as few columns as have room whole, the fullest words first; where not even the
    /// shortest have room, one screenful after another.
    fn screens(&self, width: u16, height: u16) -> Vec<Screen> {
        let whole = [true, false].into_iter().find_map(|in_full| {
            let mut ways = (1..=4).filter_map(|count| self.in_columns(width, in_full, count));
            ways.find_map(|(wide, blocks, count)| {
                let blocks = packed(blocks, usize::from(count), usize::from(height))?;
                Some(Screen { wide, blocks })
            })
        });
        if let Some(screen) = whole {
            return vec![screen];
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
        screens
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
        let groups = self.groups.iter().map(|group| group.lines(in_full));
        let mut blocks: Vec<Vec<Line>> = groups.collect();
        if !self.without.is_empty() {
            let text = format!("without a key: {}", self.without.join(", "));
            let lines = wrap(&text, wide).into_iter().map(Line::Title);
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

impl KeyGroup {
    /// The group's lines, an empty one behind them.
    fn lines(&self, in_full: bool) -> Vec<Line> {
        let wide = self.keys.iter().map(|hint| width(&hint.key)).max();
        let wide = wide.unwrap_or(0);
        let keys = self.keys.iter().enumerate().map(|(n, hint)| Line::Key {
            key: hint.key.clone(),
            wide,
            says: self
                .full
                .get(n)
                .filter(|_| in_full)
                .unwrap_or(&hint.action)
                .clone(),
        });
        let title = Line::Title(self.title.clone());
        std::iter::once(title)
            .chain(keys)
            .chain([Line::Blank])
            .collect()
    }
}

//! What a page is drawn on: cells of a buffer, or cells that are going to be enlarged.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;

use crate::screen::face::{Set, set};
use crate::screen::theme::Theme;

/// An area of a buffer and the colours.
pub struct Paper<'a> {
    pub(super) area: Rect,
    pub(super) buf: &'a mut Buffer,
    pub(super) theme: &'a Theme,
    pub(super) enlarged: Option<&'a mut Enlarged>,
    /// Whether lines are scarce: the title stands in ordinary cells then.
    pub(super) is_tight: bool,
}

impl<'a> Paper<'a> {
    /// Paper whose cells are seen as they are.
    pub(super) const fn plain(area: Rect, buf: &'a mut Buffer, theme: &'a Theme) -> Self {
        Self {
            area,
            buf,
            theme,
            enlarged: None,
            is_tight: false,
        }
    }

    /// The same paper, to be written on first.
    pub(super) fn again(&mut self) -> Paper<'_> {
        Paper {
            area: self.area,
            buf: self.buf,
            theme: self.theme,
            enlarged: self.enlarged.as_deref_mut(),
            is_tight: self.is_tight,
        }
    }
}

/// A page of which every cell is going to be drawn several times as large. What is large already
/// is not: it is kept here, and drawn as large as the window has room for.
pub(super) struct Enlarged {
    /// How many times.
    pub(super) times: u16,
    /// The window.
    pub(super) whole: Rect,
    /// What is large, with its place in the window.
    pub(super) large: Vec<(Rect, Set, Style)>,
}

impl Enlarged {
    /// Keeps a text for a room of the page; gives the lines of the page that it takes and its height
    /// in pixels, or nothing where it cannot be large.
    pub(super) fn keep(
        &mut self,
        room: Rect,
        text: &str,
        most: u16,
        style: Style,
    ) -> Option<(u16, u16)> {
        let times = self.times;
        let seen = Rect {
            x: self.whole.x + room.x * times,
            y: self.whole.y + room.y * times,
            width: room.width * times,
            height: room.height * times,
        };
        let set = set(text, seen, most);
        let lines = set.lines().div_ceil(times);
        let high = set.high()?;
        self.large.push((seen, set, style));
        Some((lines, high))
    }
}

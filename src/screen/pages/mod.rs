//! The pages before, beside and after a running class, each from a plain struct of its own.
//!
//! They are read at the laptop, so they are written in ordinary cells under a large title, and
//! enlarged as a whole where a window has room for that. They refuse to know where their texts come
//! from: the app makes them ready, and draws again when one changes.

mod card;
mod chooser;
mod columns;
mod comeback;
mod ended;
mod enlarged;
mod field;
mod help;
mod landing;
mod limits;
mod list;
mod opening;
mod paper;
mod parts;
mod planning;
mod sheet;
mod sound;
mod swap;
mod turns;

#[cfg(test)]
pub(super) mod sample;
#[cfg(test)]
pub(super) mod tests;
#[cfg(test)]
mod wild;

pub use card::CardPage;
pub use chooser::{BrokenFile, Chooser, Entry};
pub use columns::KeyGroup;
pub use comeback::{Choice, Comeback};
pub use ended::{Beside, EndedPage};
pub use field::Field;
pub use help::HelpPage;
pub use landing::LandingPage;
pub use limits::LimitsPage;
pub use opening::{LimitToggle, Opening, PartLabel};
pub use paper::Paper;
pub use parts::{PartLine, PartState, PartsPage};
pub use planning::{
    AskPage, FindPage, FormLine, FormView, Narrow, PLAN_NEEDS, PlanLine, PlanPage, Reach, ReadPage,
    Said,
};
pub use sound::{SettingLine, SoundPage};
pub use swap::{FoundLine, SwapPage};

/// A page that can be drawn.
pub trait Page {
    /// Draws the page into an area of a buffer, larger where a large window has room for all of it;
    /// whatever has no room is left out or ends in an ellipsis.
    fn draw(
        &self,
        area: ratatui::layout::Rect,
        buf: &mut ratatui::buffer::Buffer,
        theme: &super::theme::Theme,
    ) {
        if !enlarged::draw(self, area, buf, theme) {
            self.lay(Paper::plain(area, buf, theme));
        }
    }

    /// Lays the page out in cells; tells whether all of it but its keys had room.
    fn lay(&self, paper: Paper<'_>) -> bool;

    /// Its keys, most important first.
    fn hints(&self) -> Vec<super::around::Hint>;
}

//! The pages before, beside and after a running class, each from a plain struct of its own.
//!
//! They are read at the laptop, so they are written in ordinary cells under a large title. They
//! refuse to know where their texts come from: the app makes them ready, and draws again when one
//! changes.

mod chooser;
mod comeback;
mod ended;
mod field;
mod help;
mod landing;
mod list;
mod opening;
mod parts;
mod sheet;

#[cfg(test)]
pub(super) mod sample;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod wild;

pub use chooser::{BrokenFile, Chooser, Entry};
pub use comeback::{Choice, Comeback};
pub use ended::{Beside, EndedPage};
pub use field::Field;
pub use help::{HelpPage, KeyGroup};
pub use landing::LandingPage;
pub use opening::{LimitToggle, Opening, PartLabel};
pub use parts::{PartLine, PartState, PartsPage};

/// A page that can be drawn.
pub trait Page {
    /// Draws the page into an area of a buffer; whatever has no room is left out or ends in an
    /// ellipsis.
    fn draw(
        &self,
        area: ratatui::layout::Rect,
        buf: &mut ratatui::buffer::Buffer,
        theme: &super::theme::Theme,
    );
}

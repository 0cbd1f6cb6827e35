//! The stances of a running class: one frame of fixed zones, and what each stance puts into it.

mod asking;
mod frame;
mod shown;
mod still;
mod together;
mod words;

#[cfg(test)]
mod wander;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::around::Around;
use super::line;
use super::pen::Pen;
use super::theme::Theme;
use super::zones::Zones;
use crate::live::{Stance, View};
use frame::Frame;
use shown::Shown;

/// Draws a running class into an area of a buffer.
pub fn draw(area: Rect, buf: &mut Buffer, view: &View, around: &Around, theme: &Theme) {
    let mut pen = Pen::new(area, buf, theme);
    let Some(zones) = Zones::of(pen.area) else {
        return line::draw(&mut pen, view);
    };
    let shown = match view.stance {
        Stance::AtWork | Stance::Turning | Stance::Open => Shown::of(view, around),
        Stance::Waiting | Stance::Held | Stance::Ended => still::of(view, around),
    };
    let mut frame = Frame::new(pen, zones, view, around);
    frame.surroundings();
    frame.panel(&shown);
    frame.next(&shown);
    frame.version(&shown);
    frame.words(&shown);
    if view.asked.is_some() {
        asking::draw(&mut frame);
    }
}

//! Drawing: values into a terminal's buffer, and nothing else.
//!
//! It refuses to know the terminal, the loudspeaker, files and clocks. The class is drawn from a
//! [`View`](crate::live::View) and what stands [`Around`] it; every other page from a plain struct
//! of its own. Equal values draw equal buffers. The screen has no boxes: it has zones that follow
//! from the size alone, and what is urgent grows in them.

mod around;
mod bold;
mod contrast;
mod digits;
mod face;
mod fold;
mod glyphs;
mod horizon;
mod legible;
mod line;
mod memo;
pub mod pages;
mod pen;
mod prompts;
mod raster;
mod ribbon;
mod scripts;
mod small;
mod stance;
mod status;
mod theme;
mod zones;

#[cfg(test)]
mod look;
#[cfg(test)]
mod palettes;
#[cfg(test)]
mod sample;
#[cfg(test)]
mod seen;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod wild;

pub use around::{Around, Hint, RecordState, SoundState, SpeechState};
pub use contrast::{Rgb, nearest, of_index, ratio};
pub use fold::undrawn;
pub use legible::{LEAST, PREFERRED, cell_mm, height_mm};
pub use stance::draw;
pub use theme::{Palette, Role, Theme};
pub use zones::below_figures;

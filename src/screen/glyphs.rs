//! Every letter and sign in both faces, drawn once and found at once.

use std::collections::HashMap;
use std::sync::LazyLock;

use super::raster::Bitmap;
use super::{bold, small};

/// A letter in each face.
pub(super) struct Glyph {
    /// On seven rows.
    pub(super) bold: Bitmap,
    /// On five rows.
    pub(super) narrow: Bitmap,
    /// The narrow one on six rows.
    pub(super) tall: Bitmap,
}

static GLYPHS: LazyLock<HashMap<char, Glyph>> = LazyLock::new(|| {
    let glyph = |c: char| {
        let glyph = Glyph {
            bold: Bitmap::of_rows(bold::rows(c)?),
            narrow: Bitmap::of_rows(small::rows(c)?),
            tall: Bitmap::of_rows(small::tall(c)?),
        };
        Some((c, glyph))
    };
    bold::all().filter_map(glyph).collect()
});

/// A letter or sign; nothing where the faces lack it. A space that does not break looks like one.
pub(super) fn of(letter: char) -> Option<&'static Glyph> {
    GLYPHS.get(if letter == '\u{a0}' { &' ' } else { &letter })
}

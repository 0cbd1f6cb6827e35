//! Where things stand at a size of the terminal, and how large.
//!
//! It refuses to know what is shown: zones follow from the size alone, so nothing jumps when the
//! stance changes, and every fact has its rows whether it is there or not. Letters grow by single
//! pixels with the window, so that on the same screen a larger window never makes them smaller to
//! the eye by more than one of its pixels.

use ratatui::layout::Rect;

/// The least width and height at which a class is drawn in zones; below it there is one line.
pub(super) const LEAST: (u16, u16) = (40, 12);

/// The zones of a class, from top to bottom, and the heights of their capitals in pixels.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Zones {
    /// Height of the figures.
    pub(super) figures: u16,
    /// Height of a name.
    pub(super) name: u16,
    /// Height of another version.
    pub(super) version_high: u16,
    /// Height of the words to say.
    pub(super) words: u16,
    /// Where in the class we are, and the clock.
    pub(super) status: Rect,
    /// The figures, and at their right the panel.
    pub(super) band: Rect,
    /// The interval's time left, as a line; a thick one in a large window.
    pub(super) horizon: Rect,
    /// The next move.
    pub(super) head: Rect,
    /// The version that somebody needs.
    pub(super) version: Rect,
    /// What to say.
    pub(super) say: Rect,
    /// What is small.
    pub(super) small: Rect,
    /// The class drawn to time and effort.
    pub(super) ribbon: Rect,
    /// Time against the slot, sound, record.
    pub(super) class: Rect,
    /// Keys, or what was just done.
    pub(super) footer: Rect,
}

/// Heights of the zones that can grow, in order from the top, in rows of cells.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Heights {
    band: u16,
    horizon: u16,
    head: u16,
    version: u16,
    say: u16,
    small: u16,
    gap: u16,
    ribbon: u16,
}

/// Status, class and footer: a line each.
const FIXED: u16 = 3;

/// Rows that hold capitals of a height, and a blank row of pixels under them.
const fn rows(high: u16) -> u16 {
    (high + 1).div_ceil(2)
}

/// Rows that hold two lines of capitals.
const fn two_rows(high: u16) -> u16 {
    rows(2 * high + high / 7 + 1)
}

/// The heights that go with a name's height in a window so wide.
#[derive(Clone, Copy, Debug)]
struct Sizes {
    name: u16,
    figures: u16,
    version: u16,
    words: u16,
}

impl Sizes {
    /// For a name of a height: figures more than twice as high, words six sevenths, the version
    /// five.
    fn of(name: u16, width: u16) -> Self {
        Self {
            name,
            figures: (15 * name / 7).min(width * 15 / 70).max(7),
            version: (5 * name).div_ceil(7).max(5),
            words: ((6 * name + 3) / 7).max(5),
        }
    }

    const fn heights(self) -> Heights {
        Heights {
            band: rows(self.figures),
            horizon: if self.name < 20 { 1 } else { self.name / 10 },
            head: rows(self.name),
            version: rows(self.version),
            say: self.words.div_ceil(2),
            small: 1,
            gap: 0,
            ribbon: if self.name < 12 { 1 } else { self.name / 6 },
        }
    }
}

impl Heights {
    const fn total(self) -> u16 {
        FIXED
            + self.band
            + self.horizon
            + self.head
            + self.version
            + self.say
            + self.small
            + self.gap
            + self.ribbon
    }
}

/// The height of a name in the design of 80 by 24.
const NAME: u16 = 7;

impl Zones {
    /// The zones of an area; nothing where it is too small for them.
    pub(super) fn of(area: Rect) -> Option<Self> {
        if area.width < LEAST.0 || area.height < LEAST.1 {
            return None;
        }
        let by_width = (area.width / 10).max(5);
        let larger = (NAME.min(by_width)..=by_width).rev();
        let larger = larger.map(|name| Sizes::of(name, area.width));
        let fitting = |sizes: &Sizes| sizes.heights().total() <= area.height;
        let (sizes, heights) = match larger.into_iter().find(fitting) {
            Some(sizes) => (sizes, grown(sizes, sizes.heights(), area.height)),
            None => low(Sizes::of(NAME.min(by_width), area.width), area.height),
        };
        Some(Self::stacked(area, sizes, heights))
    }

    fn stacked(area: Rect, sizes: Sizes, heights: Heights) -> Self {
        let margin = u16::from(area.width >= 60);
        let mut y = area.y;
        let mut take = |height: u16| {
            let rect = Rect::new(area.x + margin, y, area.width - 2 * margin, height);
            y += height;
            rect
        };
        let (status, band, horizon) = (take(1), take(heights.band), take(heights.horizon));
        let (head, version) = (take(heights.head), take(heights.version));
        let (say, small) = (take(heights.say), take(heights.small));
        take(heights.gap);
        Self {
            figures: sizes.figures,
            name: sizes.name,
            version_high: sizes.version,
            words: sizes.words,
            status,
            band,
            horizon,
            head,
            version,
            say,
            small,
            ribbon: take(heights.ribbon),
            class: take(1),
            footer: take(1),
        }
    }

    /// What lies under the bar down to the words: a list of moves stands here.
    pub(super) fn body(&self) -> Rect {
        Rect {
            height: self.head.height + self.version.height,
            ..self.head
        }
    }
}

/// Gives out the lines that a design of a size leaves over.
fn grown(sizes: Sizes, heights: Heights, height: u16) -> Heights {
    let mut left = height - heights.total();
    let mut out = heights;
    let mut give = |zone: &mut u16, upto: u16| {
        let more = upto.saturating_sub(*zone).min(left);
        *zone += more;
        left -= more;
    };
    give(&mut out.ribbon, 2);
    give(&mut out.small, 2);
    give(&mut out.ribbon, 3);
    give(&mut out.say, two_rows(sizes.words));
    give(&mut out.small, 3);
    give(&mut out.head, two_rows(sizes.name));
    give(&mut out.version, two_rows(sizes.version));
    give(&mut out.ribbon, height / 6);
    give(&mut out.small, 6);
    give(&mut out.gap, u16::MAX);
    out
}

/// The design of a window too low for all of it: line by line what is wanted most.
fn low(sizes: Sizes, height: u16) -> (Sizes, Heights) {
    let whole = sizes.heights();
    let mut out = Heights {
        band: rows(7),
        horizon: 1,
        head: 3,
        say: 1,
        ..Heights::default()
    };
    let mut left = height.saturating_sub(out.total());
    let mut give = |zone: &mut u16, upto: u16| {
        let more = upto.saturating_sub(*zone).min(left);
        *zone += more;
        left -= more;
    };
    give(&mut out.version, 1);
    give(&mut out.ribbon, 1);
    give(&mut out.band, whole.band.min(6));
    give(&mut out.say, whole.say);
    give(&mut out.version, whole.version);
    give(&mut out.small, 1);
    give(&mut out.head, whole.head);
    give(&mut out.band, whole.band);
    let sizes = Sizes {
        figures: sizes.figures.min(2 * out.band - 1),
        name: sizes.name.min(2 * out.head - 1),
        ..sizes
    };
    (sizes, out)
}

/// The room below the figures, where a page may lie while a class runs: the eye still finds the
/// time where it always is.
#[must_use]
pub fn below_figures(area: Rect) -> Rect {
    match Zones::of(area) {
        Some(zones) => Rect {
            y: zones.head.y,
            height: area.bottom().saturating_sub(zones.head.y),
            ..area
        },
        None => area,
    }
}

#[cfg(test)]
mod tests {
    use super::super::legible::{LEAST as LEAST_ANGLE, PREFERRED, cell_mm, height_mm};
    use super::*;

    fn zones(width: u16, height: u16) -> Zones {
        Zones::of(Rect::new(0, 0, width, height)).expect("large enough")
    }

    /// Heights of figures, name, version and words in millimetres on a screen of 13.3 inches.
    fn millimetres(width: u16, height: u16) -> [f64; 4] {
        let zones = zones(width, height);
        let pixels = [zones.figures, zones.name, zones.version_high, zones.words];
        pixels.map(|high| f64::from(high) / 2.0 * cell_mm(height))
    }

    #[test]
    fn zones_fill_the_area_and_do_not_overlap() {
        for width in (40..=500).step_by(3) {
            for height in 12..=200 {
                let area = Rect::new(3, 5, width, height);
                let zones = Zones::of(area).expect("large enough");
                let all = [
                    zones.status,
                    zones.band,
                    zones.horizon,
                    zones.head,
                    zones.version,
                    zones.say,
                    zones.small,
                    zones.ribbon,
                    zones.class,
                    zones.footer,
                ];
                let mut y = area.y;
                for zone in all {
                    assert!(zone.y >= y && zone.right() <= area.right(), "{area}");
                    y = zone.bottom();
                }
                assert_eq!(y, area.bottom(), "{area}");
                assert!(zones.say.height >= 1 && zones.head.height >= 3, "{area}");
                assert!(zones.figures < 2 * zones.band.height, "{area}");
                assert!(zones.name < 2 * zones.head.height, "{area}");
            }
        }
    }

    /// Words are read from the mat as names are: at least three quarters as high.
    #[test]
    fn words_are_at_least_three_quarters_of_a_name_at_every_size() {
        for width in 40..=320 {
            for height in 24..=100 {
                let zones = zones(width, height);
                assert!(4 * zones.words >= 3 * zones.name, "{width}x{height}");
                assert!(zones.words <= 2 * zones.say.height, "{width}x{height}");
                assert!(
                    zones.version_high < 2 * zones.version.height,
                    "{width}x{height}"
                );
            }
        }
    }

    /// The sizes in use, by the formula and the screen of section 1 of display and sound.
    #[test]
    fn letters_never_shrink_with_a_larger_window_on_the_same_screen() {
        let sizes = [(80, 24), (120, 35), (160, 45), (200, 50), (300, 80)];
        for two in sizes.windows(2) {
            let [before, after] = [two[0], two[1]].map(|(w, h)| millimetres(w, h));
            for (before, after) in before.into_iter().zip(after) {
                assert!(after >= before - 0.01, "{two:?}: {before:.2} {after:.2}");
            }
        }
        let [figures, name, version, words] = millimetres(80, 24);
        assert!(figures >= height_mm(4.0, PREFERRED) && name >= height_mm(3.0, PREFERRED));
        assert!(words >= height_mm(3.0, PREFERRED) && version >= height_mm(3.0, LEAST_ANGLE));
    }

    /// At any size, of the shape of the common ones: no more than a pixel is lost to rounding, and
    /// two of the figures, which grow by two.
    #[test]
    fn between_the_common_sizes_no_more_than_a_pixel_is_lost() {
        for height in 24..=110_u16 {
            let width = height * 80 / 24 + height.div_ceil(4);
            let design = millimetres(80, 24);
            let here = millimetres(width, height);
            for (n, (least, here)) in design.into_iter().zip(here).enumerate() {
                let pixels = if n == 0 { 2.0 } else { 1.0 };
                let lost = least - here;
                assert!(lost <= pixels * cell_mm(height) / 2.0, "{width}x{height}");
            }
        }
    }

    /// One row or column more or less changes a letter's height by a pixel or two, never by a leap.
    #[test]
    fn there_is_no_cliff() {
        let near = |a: Zones, b: Zones, at: (u16, u16)| {
            let of = |zones: Zones| [zones.name, zones.version_high, zones.words];
            for (a, b) in of(a).into_iter().zip(of(b)) {
                assert!(a.abs_diff(b) <= 1, "{at:?}: {a} {b}");
            }
            assert!(a.figures.abs_diff(b.figures) <= 4, "{at:?}");
        };
        for width in (40..320).step_by(3) {
            for height in 24..100 {
                let here = zones(width, height);
                near(here, zones(width + 1, height), (width, height));
                near(here, zones(width, height + 1), (width, height));
            }
        }
    }
}

//! Contrast between two colours, by the formula of WCAG 2.2.
//!
//! It refuses to know what the colours are for. What ratio a role needs is the theme's business.

/// A colour as red, green and blue.
pub type Rgb = (u8, u8, u8);

/// Relative luminance, 0 for black to 1 for white (WCAG 2.2).
fn luminance((r, g, b): Rgb) -> f64 {
    0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b)
}

fn linear(channel: u8) -> f64 {
    let c = f64::from(channel) / 255.0;
    if c <= 0.04045 {
        c / 12.92
    } else {
        ((c + 0.055) / 1.055).powf(2.4)
    }
}

/// Contrast ratio, 1 for the same colour to 21 for black and white (WCAG 2.2).
#[must_use]
pub fn ratio(a: Rgb, b: Rgb) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// The colour of an entry of the 256-colour table from 16 on: a cube of six levels, then greys.
#[must_use]
pub fn of_index(index: u8) -> Rgb {
    let level = |n: u8| if n == 0 { 0 } else { 40 * n + 55 };
    match index {
        0..16 => (0, 0, 0),
        16..232 => {
            let n = index - 16;
            (level(n / 36), level(n / 6 % 6), level(n % 6))
        }
        232.. => {
            let grey = 10 * (index - 232) + 8;
            (grey, grey, grey)
        }
    }
}

/// The entry of the 256-colour table, from 16 on, that is nearest to a colour.
#[must_use]
pub fn nearest(colour: Rgb) -> u8 {
    nearest_where(colour, |_| true).expect("the table is not empty")
}

/// The nearest entry that keeps at least this contrast to a ground; nothing where none does.
pub(super) fn nearest_on(ground: Rgb, least: f64, colour: Rgb) -> Option<u8> {
    nearest_where(colour, |found| ratio(found, ground) >= least)
}

#[cfg(test)]
thread_local! {
    /// How often the table was searched on this thread.
    pub(super) static SEARCHES: std::cell::Cell<u32> = const { std::cell::Cell::new(0) };
}

fn nearest_where(colour: Rgb, is_allowed: impl Fn(Rgb) -> bool) -> Option<u8> {
    #[cfg(test)]
    SEARCHES.set(SEARCHES.get() + 1);
    let apart = |a: u8, b: u8| u32::from(a.abs_diff(b)).pow(2);
    (16..=255)
        .filter(|&index| is_allowed(of_index(index)))
        .min_by_key(|&index| {
            let (r, g, b) = of_index(index);
            apart(r, colour.0) + apart(g, colour.1) + apart(b, colour.2)
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    const BLACK: Rgb = (0, 0, 0);
    const WHITE: Rgb = (255, 255, 255);

    fn rgb(hex: u32) -> Rgb {
        let [_, r, g, b] = hex.to_be_bytes();
        (r, g, b)
    }

    /// Pairs computed from the WCAG 2.2 formula apart from this program; 4.54 and 7.00 are the
    /// well-known greys at the AA and AAA limits on white.
    #[test]
    fn known_pairs_have_their_published_ratios() {
        for (a, b, expected) in [
            (WHITE, BLACK, 21.00),
            (rgb(0x0076_7676), WHITE, 4.54),
            (rgb(0x0059_5959), WHITE, 7.00),
            (rgb(0x00FF_0000), BLACK, 5.25),
            (rgb(0x0000_FF00), BLACK, 15.30),
            (rgb(0x0000_00FF), BLACK, 2.44),
        ] {
            assert!((ratio(a, b) - expected).abs() < 0.005, "{a:?} {b:?}");
            assert!((ratio(a, b) - ratio(b, a)).abs() < 1e-12);
        }
    }

    /// Okabe and Ito's palette and Tol's bright scheme, on black.
    #[test]
    fn published_palettes_on_black() {
        for (hex, expected) in [
            (0x00E6_9F00, 9.32),
            (0x0056_B4E9, 9.10),
            (0x0000_9E73, 6.14),
            (0x00F0_E442, 15.88),
            (0x0000_72B2, 4.05),
            (0x00D5_5E00, 5.43),
            (0x00CC_79A7, 6.86),
            (0x0066_CCEE, 11.44),
            (0x00CC_BB44, 10.76),
            (0x00EE_6677, 6.80),
        ] {
            let found = ratio(rgb(hex), BLACK);
            assert!((found - expected).abs() < 0.005, "{hex:06x} {found}");
        }
    }

    /// The table as xterm lays it out: 16 + 36r + 6g + b, levels 0 and 40n + 55, greys 10n + 8.
    #[test]
    fn the_256_colour_table_and_back() {
        assert_eq!(of_index(16), (0, 0, 0));
        assert_eq!(of_index(16 + 36 * 5 + 6 * 2 + 1), (255, 135, 95));
        assert_eq!(of_index(231), (255, 255, 255));
        assert_eq!((of_index(232), of_index(255)), ((8, 8, 8), (238, 238, 238)));
        for index in 16..=255 {
            assert_eq!(of_index(nearest(of_index(index))), of_index(index));
        }
        assert_eq!(nearest((250, 140, 90)), 16 + 36 * 5 + 6 * 2 + 1);
    }
}

//! How large a sign must be to be read from where the instructor is.
//!
//! It refuses to know faces and layouts: it turns distances and visual angles into millimetres and
//! lines, so that a test can hold the drawn screen against them.

/// The preferred visual angle of a capital, in minutes of arc (ISO 9241-3 lineage; NUREG-0700
/// 1.3.1-4).
pub const PREFERRED: f64 = 22.0;

/// The least visual angle of a capital, in minutes of arc (same sources).
pub const LEAST: f64 = 16.0;

/// The height that spans a visual angle (minutes of arc) at a distance (metres), in millimetres:
/// `h = 2 d tan(a / 2)`.
#[must_use]
pub fn height_mm(metres: f64, minutes: f64) -> f64 {
    2.0 * metres * 1000.0 * ((minutes / 60.0).to_radians() / 2.0).tan()
}

/// The height of a cell, in millimetres, where this many lines fill a 16:9 screen of 13.3 inches.
///
/// 13.3 inches of diagonal are 165.6 mm of height: 6.90 mm for 24 lines, 3.31 mm for 50.
#[must_use]
pub fn cell_mm(lines: u16) -> f64 {
    let diagonal = 13.3 * 25.4;
    diagonal * 9.0 / 337.0_f64.sqrt() / f64::from(lines.max(1))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Computed from the formula apart from this program.
    #[test]
    fn heights_and_cells_are_those_of_the_table() {
        for (minutes, at) in [
            (16.0, [4.65, 9.31, 13.96, 18.62]),
            (20.0, [5.82, 11.64, 17.45, 23.27]),
            (22.0, [6.40, 12.80, 19.20, 25.60]),
        ] {
            for (metres, expected) in (1_u8..).zip(at) {
                let found = height_mm(f64::from(metres), minutes);
                assert!((found - expected).abs() < 0.006, "{found} {expected}");
            }
        }
        for (lines, expected) in [(24, 6.90), (35, 4.73), (45, 3.68), (50, 3.31)] {
            assert!((cell_mm(lines) - expected).abs() < 0.006);
        }
    }
}

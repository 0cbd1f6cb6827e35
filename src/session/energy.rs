//! Energy cost of activities, for the height of the ribbon and for estimates.
//!
//! Figures: 2024 Adult Compendium of Physical Activities (Herrmann et al., J Sport Health Sci
//! 13(1), ages 19 to 59). They are averages over many people; one person's effort is not known here.

/// Edition of the Compendium that a figure is taken from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Edition {
    /// Herrmann et al. 2024.
    E2024,
    /// Ainsworth et al. 2011 (MSSE 43(8):1575), from memory: what is still or hardly moves. The
    /// 2024 figures of these were not at hand.
    E2011,
}

impl Edition {
    /// The year.
    #[must_use]
    pub const fn year(self) -> u16 {
        match self {
            Self::E2024 => 2024,
            Self::E2011 => 2011,
        }
    }
}

/// Lying quietly, sitting quietly, standing quietly: tenths of a MET in the 2011 edition.
const COMPENDIUM_2011: &[(&str, u16)] = &[("07011", 13), ("07021", 13), ("07040", 13)];

/// Code and energy cost in tenths of a MET, as the 2024 edition has them.
const COMPENDIUM_2024: &[(&str, u16)] = &[
    ("02000", 73),
    ("02005", 48),
    ("02006", 80),
    ("02020", 75),
    ("02022", 38),
    ("02024", 28),
    ("02030", 35),
    ("02032", 60),
    ("02034", 35),
    ("02035", 50),
    ("02040", 75),
    ("02056", 30),
    ("02057", 65),
    ("02062", 78),
    ("02064", 38),
    ("02068", 110),
    ("02101", 23),
    ("02103", 18),
    ("02105", 28),
    ("02110", 68),
    ("02150", 23),
    ("02160", 40),
    ("02180", 35),
    ("02210", 70),
    ("02214", 110),
    ("02340", 28),
    ("02344", 40),
    ("12025", 48),
];

/// The energy cost of an activity in METs by its code, or nothing where the code is unknown.
#[must_use]
pub fn met(code: &str) -> Option<f64> {
    found(code).map(|(_, tenths)| f64::from(tenths) / 10.0)
}

/// The edition that the figure of a code is taken from.
#[must_use]
pub fn edition(code: &str) -> Option<Edition> {
    found(code).map(|(edition, _)| edition)
}

fn found(code: &str) -> Option<(Edition, u16)> {
    let tables = [
        (Edition::E2024, COMPENDIUM_2024),
        (Edition::E2011, COMPENDIUM_2011),
    ];
    tables.into_iter().find_map(|(edition, table)| {
        let (_, tenths) = table.iter().find(|(known, _)| *known == code)?;
        Some((edition, *tenths))
    })
}

//! What the voice is told to do.

use crate::plan::Score;
use crate::time::Moment;

/// What the voice is told to do.
#[derive(Clone, Debug)]
pub enum Order {
    /// From a moment on this is what is to be heard; what was due before it by earlier orders stays.
    /// It may be ordered again at any moment: each strike is played once, and a tone that sounds
    /// but is no longer meant fades.
    Play {
        /// From when on. Later strikes of earlier orders are forgotten.
        from: Moment,
        /// What, from then on.
        score: Score,
    },
    /// How loud, 0 (silent) to 10.
    Volume(u8),
    /// Whether to be silent whatever the volume; the run goes on unheard.
    Mute(bool),
}

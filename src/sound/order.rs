//! What the voice is told to do.

use super::talk::Talk;
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
    /// All words that are to be said from now on, in order of time, with what is being said; in place
    /// of what was ordered before.
    Say(Vec<Talk>),
    /// Whether the words are silent; the tones stay.
    MuteWords(bool),
    /// How loud, 0 (silent) to 10.
    Volume(u8),
    /// Whether the tones are silent whatever the volume; the run goes on unheard.
    Mute(bool),
}

//! What can go wrong with a speaker program and what it writes.

use std::time::Duration;

/// Why there are no words from a speaker program.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SpeechFault {
    /// No preset is installed.
    #[error("no speaker program was found; espeak-ng is one")]
    NoProgram,
    /// The program cannot be started.
    #[error("the speaker program `{program}` does not start: {why}")]
    NoStart {
        /// Its name.
        program: String,
        /// What the system says.
        why: String,
    },
    /// It did not come to an end.
    #[error("the speaker program has not answered within {} s", .0.as_secs())]
    Hangs(Duration),
    /// It ended badly.
    #[error("the speaker program failed ({0})")]
    Failed(String),
    /// It wrote without end.
    #[error("the speaker program wrote more than any prompt can be")]
    Babbles,
    /// What it wrote is no WAV.
    #[error("the speaker program wrote no WAV: {0}")]
    NoWav(String),
    /// It stopped in the middle of its WAV.
    #[error("the speaker program wrote half a WAV")]
    Half,
    /// Nothing can be heard in it.
    #[error("the speaker program wrote silence")]
    Silent,
}

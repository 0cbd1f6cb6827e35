//! What the place of the records does not give.

/// A protection that the place of the records does not give. The class is recorded all the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lack {
    /// Another program may write the same record.
    Lock,
    /// A power cut may take a new record's name.
    FolderSync,
}

impl Lack {
    /// What is missing, in words for the screen.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Lock => "records cannot be locked here",
            Self::FolderSync => "a power cut may lose the record here",
        }
    }
}

//! A remark on a plan: what, where, why and what to do.

use crate::time::Offset;

/// How much a remark weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Weight {
    /// The class cannot be taught so, or somebody might come to harm.
    MustMend,
    /// It can be taught, and would be better otherwise.
    ThinkAgain,
    /// Good to know.
    Note,
}

impl Weight {
    /// Every weight, the heaviest first.
    pub const ALL: [Self; 3] = [Self::MustMend, Self::ThinkAgain, Self::Note];

    /// The weight as a person reads it.
    #[must_use]
    pub const fn label(self) -> &'static str {
        match self {
            Self::MustMend => "must mend",
            Self::ThinkAgain => "think again",
            Self::Note => "note",
        }
    }

    /// The weight as other programs read it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::MustMend => "must_mend",
            Self::ThinkAgain => "think_again",
            Self::Note => "note",
        }
    }
}

/// The place in the class that a remark is about; empty for the class as a whole.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Where {
    /// The part of the session, counted from 1.
    pub part: Option<usize>,
    /// The block, counted from 1.
    pub block: Option<usize>,
    /// What the block is called.
    pub title: Option<String>,
    /// The round, counted from 1.
    pub round: Option<usize>,
    /// The move's place among those of its block, counted from 1.
    pub place: Option<usize>,
    /// The time of the class.
    pub at: Option<Offset>,
}

/// One thing that a colleague would say about a plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    /// How much it weighs.
    pub weight: Weight,
    /// The rule that it comes from, as other programs read it.
    pub kind: &'static str,
    /// What there is to say.
    pub what: String,
    /// Where.
    pub at: Where,
    /// Why it matters, with the figure.
    pub why: String,
    /// Where the figure comes from, or that it is common practice.
    pub source: &'static str,
    /// What could be done.
    pub advice: String,
}

impl Remark {
    /// A remark; its rule is told by whoever runs the rules.
    pub(super) fn new(weight: Weight, at: Where, what: impl Into<String>) -> Self {
        Self {
            weight,
            kind: "",
            what: what.into(),
            at,
            why: String::new(),
            source: "",
            advice: String::new(),
        }
    }

    pub(super) fn because(mut self, why: impl Into<String>, source: &'static str) -> Self {
        self.why = why.into();
        self.source = source;
        self
    }

    pub(super) fn so(mut self, advice: impl Into<String>) -> Self {
        self.advice = advice.into();
        self
    }
}

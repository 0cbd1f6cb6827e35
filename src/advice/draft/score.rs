//! How good a drafted class is by the wishes.

/// How good a class is by the wishes, and how good one could be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Score {
    /// The points of each wish; what is missed is negative.
    pub by_wish: Vec<(&'static str, i64)>,
    /// All of them, warm-up and cool-down among them.
    pub total: i64,
    /// The points of the moves of the work.
    pub work: i64,
    /// What no choice of moves for the work of these blocks has more than.
    pub bound: i64,
    /// Whether it was to differ from drafts before it, which narrows the choice.
    pub is_other: bool,
}

/// What a wish that is not wholly met is about, in words.
const GIVES_WAY: [(&str, &str); 10] = [
    ("regions", "even shares of the body"),
    ("actions", "an even mix of ways to move"),
    ("push and pull", "pushing against pulling"),
    ("patterns", "every way to move at least once"),
    ("regions in turn", "another region at each move"),
    ("variety", "another action at each move"),
    ("joints", "rest for the joints"),
    ("effort", "easy moves between hard ones"),
    ("kit", "moves with empty hands between"),
    ("another class", "moves that the drafts before don't have"),
];

impl Score {
    /// By how many points another choice of moves for the work could be better, at most; none where
    /// this is the best.
    #[must_use]
    pub const fn gap(&self) -> i64 {
        self.bound - self.work
    }

    /// How good it is, for a person.
    #[must_use]
    pub fn said(&self) -> String {
        let among = if self.is_other {
            " that differ enough from the drafts before"
        } else {
            ""
        };
        let best = match self.gap() {
            0 => format!("Of all moves for these blocks{among} none suit the wishes better."),
            gap => format!(
                "Other moves for these blocks{among} could suit better by {gap} points at most, of {}.",
                self.work
            ),
        };
        let lacks = |wish: &str| {
            self.by_wish
                .iter()
                .any(|(of, points)| *of == wish && *points < 0)
        };
        let given = GIVES_WAY.iter().filter(|(wish, _)| lacks(wish));
        let given: Vec<&str> = given.map(|(_, words)| *words).collect();
        if given.is_empty() {
            return best;
        }
        format!(
            "{best} What gives way to the other wishes: {}.",
            given.join("; ")
        )
    }
}

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
const GIVES_WAY: [(&str, &str); 12] = [
    ("wished moves", "moves wished by name"),
    ("regions", "even shares of the body"),
    ("actions", "an even mix of ways to move"),
    ("push and pull", "pushing against pulling"),
    ("patterns", "every way to move at least once"),
    ("regions in turn", "another region at each move"),
    ("variety", "another action at each move"),
    ("joints", "rest for the joints"),
    ("landings", "few landings"),
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
        let lacks = |wish: &str| {
            self.by_wish
                .iter()
                .any(|(of, points)| *of == wish && *points < 0)
        };
        let among = match self.is_other {
            true if lacks("another class") => ", weighed against the drafts before,",
            true => " that differ enough from the drafts before",
            false => "",
        };
        let best = match self.gap() {
            0 => format!("Of all moves for these blocks{among} none suit the wishes better."),
            gap => format!(
                "Other moves for these blocks{among} could suit better by {gap} points at most, of {}.",
                self.work
            ),
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

#[cfg(test)]
mod tests {
    use super::*;

    fn said(is_other: bool, by_wish: &[(&'static str, i64)]) -> String {
        let score = Score {
            by_wish: by_wish.to_vec(),
            total: 700,
            work: 500,
            bound: 500,
            is_other,
        };
        score.said()
    }

    #[test]
    fn a_class_is_said_to_differ_enough_only_where_it_does() {
        let differs = "differ enough";
        for (is_other, points, says, is_said) in [
            (true, 0, differs, true),
            (true, -90, differs, false),
            (true, -90, "weighed against the drafts before", true),
            (true, 0, "weighed", false),
            (false, 0, differs, false),
        ] {
            let said = said(is_other, &[("another class", points)]);
            assert_eq!(said.contains(says), is_said, "{said}");
        }
    }

    #[test]
    fn every_wish_of_the_work_that_gives_way_is_named() {
        for wish in ["wished moves", "landings", "regions", "variety", "effort"] {
            let said = said(false, &[("moves", 900), (wish, -80)]);
            assert!(said.contains("gives way"), "{wish}: {said}");
        }
        assert!(!said(false, &[("moves", 900), ("landings", 0)]).contains("gives way"));
    }
}

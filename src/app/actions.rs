//! What a key can do while a class runs: each action with its word, its label and what it does.
//!
//! Which key does it is no business of this table.

/// What a key can do while a class runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Action {
    Hold,
    GoOn,
    Back,
    Skip,
    Add,
    Take,
    Easier,
    Harder,
    Swap,
    Instead,
    Limits,
    OnceMore,
    DropRound,
    Parts,
    Mark,
    Break,
    KeepMoving,
    Card,
    Landing,
    Undo,
    CatchUp,
    Prompts,
    Mute,
    Voice,
    Louder,
    Softer,
    Help,
    End,
    OneSwitch,
}

/// An action, its word in the configuration file, its label in the footer, and what it does.
const ACTIONS: &[(Action, &str, &str, &str)] = &[
    (
        Action::Hold,
        "hold",
        "hold / resume",
        "stop the class clock; again: count in and go on",
    ),
    (
        Action::GoOn,
        "go-on",
        "next interval",
        "end this interval now",
    ),
    (
        Action::Back,
        "back",
        "back",
        "this interval from its start; again within 2 s: the one before",
    ),
    (
        Action::Skip,
        "skip",
        "skip move",
        "leave this move out, or the coming one while resting",
    ),
    (
        Action::Landing,
        "landing",
        "land on time",
        "show what would end the class on time",
    ),
    (
        Action::Undo,
        "undo",
        "take back",
        "take the last change back",
    ),
    (
        Action::Easier,
        "easier",
        "easier",
        "put the next easier option in place",
    ),
    (
        Action::Harder,
        "harder",
        "harder",
        "put the next harder option in place",
    ),
    (
        Action::Instead,
        "instead",
        "instead",
        "the next version for a joint or a position",
    ),
    (
        Action::Limits,
        "limits",
        "limits",
        "what someone in the room must spare",
    ),
    (
        Action::Add,
        "add",
        "10 s more",
        "ten seconds more in this interval",
    ),
    (
        Action::Take,
        "take",
        "10 s less",
        "ten seconds less in this interval",
    ),
    (
        Action::Break,
        "break",
        "break for all",
        "hold, with a reminder each minute",
    ),
    (
        Action::Swap,
        "another-move",
        "another move",
        "another move in place of this one in its block",
    ),
    (
        Action::KeepMoving,
        "keep-moving",
        "keep moving",
        "hold, with an easy move while you help somebody",
    ),
    (
        Action::Card,
        "emergency",
        "emergency",
        "the signs to stop at, and what to do",
    ),
    (
        Action::OnceMore,
        "once-more",
        "once more",
        "this move again after itself",
    ),
    (
        Action::DropRound,
        "drop-round",
        "drop round",
        "leave out the rest of this round",
    ),
    (
        Action::Parts,
        "parts",
        "parts",
        "go to another part of the class",
    ),
    (Action::Mark, "mark", "mark", "note this moment"),
    (
        Action::Prompts,
        "prompts",
        "prompts",
        "hide or show what to say",
    ),
    (Action::Mute, "mute", "mute", "signals off or on"),
    (Action::Voice, "voice", "voice", "spoken words off or on"),
    (Action::Louder, "louder", "louder", "signals louder"),
    (Action::Softer, "softer", "softer", "signals softer"),
    (
        Action::CatchUp,
        "catch-up",
        "catch up",
        "after a sleep of the laptop: go where the clock says",
    ),
    (
        Action::End,
        "end",
        "end class",
        "end the class; asked twice",
    ),
    (Action::Help, "help", "keys", "show or hide the keys"),
    (
        Action::OneSwitch,
        "one-switch",
        "switch",
        "begin, hold, resume, or go on from counted work",
    ),
];

impl Action {
    /// Every action, in the order of the help page.
    pub(crate) fn all() -> impl Iterator<Item = Self> {
        ACTIONS.iter().map(|row| row.0)
    }

    fn row(self) -> &'static (Self, &'static str, &'static str, &'static str) {
        ACTIONS
            .iter()
            .find(|row| row.0 == self)
            .expect("the table has a row for every action")
    }

    /// The word for it in the configuration file.
    pub(crate) fn word(self) -> &'static str {
        self.row().1
    }

    /// Its label in the footer.
    pub(crate) fn label(self) -> &'static str {
        self.row().2
    }

    /// What it does, for the help page.
    pub(crate) fn help(self) -> &'static str {
        self.row().3
    }

    /// The action with a word.
    pub(crate) fn named(word: &str) -> Option<Self> {
        ACTIONS.iter().find(|row| row.1 == word).map(|row| row.0)
    }
}

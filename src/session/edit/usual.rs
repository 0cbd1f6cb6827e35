//! The order in which a person writes the fields of a group.

/// The fields of each group in their usual order.
pub(super) const ORDER: &[(&str, &[&str])] = &[
    (
        "Session",
        &[
            "title",
            "slot",
            "brief",
            "limits",
            "people",
            "groups",
            "equipment",
            "stock",
            "cueing",
            "moves",
            "parts",
        ],
    ),
    (
        "Cueing",
        &[
            "words_per_minute",
            "count",
            "warn",
            "lead",
            "change",
            "shift",
            "fetch",
            "move_on",
        ],
    ),
    ("Talk", &["time", "say"]),
    ("Recover", &["time", "move", "say"]),
    ("Free", &["time", "title", "say"]),
    ("Ready", &["time"]),
    ("Repeat", &["times", "between", "parts"]),
    (
        "Block",
        &[
            "title",
            "moves",
            "pattern",
            "order",
            "recovery",
            "between",
            "last_rest",
        ],
    ),
    (
        "Use",
        &[
            "move", "reps", "work", "rest", "effort", "easier", "harder", "instead", "note",
            "aside",
        ],
    ),
    (
        "Together",
        &["moves", "swap", "work", "rest", "rotate", "ends"],
    ),
    ("Rounds", &["work", "rest"]),
    ("Same", &["rounds", "work", "rest"]),
    ("Emom", &["minutes", "times", "every", "work"]),
    ("Amrap", &["time"]),
    ("Reps", &["rounds", "rest", "pace", "cap"]),
];

/// The place of a field among those of its group; behind all others where it is not known.
pub(super) fn rank(group: Option<&str>, field: &str) -> usize {
    let known = ORDER.iter().find(|(name, _)| Some(*name) == group);
    let place = known.and_then(|(_, fields)| fields.iter().position(|known| *known == field));
    place.unwrap_or(usize::MAX)
}

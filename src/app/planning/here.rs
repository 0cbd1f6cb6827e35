//! What a colleague says, in the words of this page: its keys in place of commands, its names in
//! place of those of the file.

/// What stands in a remark between two backticks, and what it is here. What is none of these is
/// said as it is.
const HERE: [(&str, &str); 19] = [
    ("matside fit --leave 2", "f"),
    ("matside fit", "f"),
    ("matside arrange", "o"),
    ("matside moves", "m"),
    ("matside outline", "matside outline"),
    ("WarmUp([..])", "warm-up"),
    ("CoolDown([..])", "cool-down"),
    ("Block", "block"),
    ("Recover", "recovery"),
    ("recovery", "recovery"),
    ("Talk", "talk"),
    ("Together", "at once: g"),
    ("Use", "move"),
    ("equipment", "bring"),
    ("brief", "before class"),
    ("people: 12", "12, in the class line"),
    ("people", "people"),
    ("slot: \"..\"", "slot"),
    ("stock", "how many there are"),
];

/// A remark, or what could be done about it, in the words of the page.
pub(super) fn here(text: &str) -> String {
    let mut said = String::new();
    for (n, piece) in text.split('`').enumerate() {
        let is_quoted = n % 2 == 1;
        let known = HERE.iter().find(|(file, _)| *file == piece);
        match (is_quoted, known, piece.strip_prefix("matside moves ")) {
            (true, Some((_, here)), _) => said.push_str(here),
            (true, None, Some(of)) => {
                said.push_str("m: ");
                said.push_str(of);
            }
            _ => said.push_str(piece),
        }
    }
    said
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_and_names_of_the_page_stand_for_those_of_the_file() {
        for (file, page) in [
            (
                "put a `WarmUp([..])` of 5:00 in",
                "put a warm-up of 5:00 in",
            ),
            (
                "put a row in (`matside moves pull`)",
                "put a row in (m: pull)",
            ),
            ("`matside fit --leave 2` makes room", "f makes room"),
            (
                "change the order (`matside arrange`)",
                "change the order (o)",
            ),
            (
                "no move uses the mat of `equipment`",
                "no move uses the mat of bring",
            ),
            ("`squat` has more", "squat has more"),
            ("nothing of that kind", "nothing of that kind"),
        ] {
            assert_eq!(here(file), page);
        }
    }
}

//! A session file under another title.

use super::super::source::Source;
use super::super::syntax;
use super::super::tree::{Node, Shape};
use super::ron::Ron;
use crate::session::Faults;

/// The text of a session file with another title, and everything else as it stands.
///
/// # Errors
/// The text is no RON. Where it is no session it is given back as it is: whoever reads it is told
/// why.
pub fn retitled(name: &str, text: &str, title: &str) -> Result<String, Faults> {
    // A mark at the start of a file is no part of its text.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let source = Source::of(name, text)?;
    let root = Node::of(
        &source,
        syntax::whole(&source, "a session is `Session(..)`")?,
    );
    let Shape::Fields(fields) = root.shape else {
        return Ok(text.to_owned());
    };
    let Some((_, raw)) = fields.into_iter().find(|(key, _)| *key == "title") else {
        return Ok(text.to_owned());
    };
    let mut text = text.to_owned();
    text.replace_range(Node::of(&source, raw).range, &Ron::text(title).line());
    Ok(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_title_changes() {
        let parts = "parts: [Talk(time: 5, say: \"title: \\\"T\\\"\")]) // title: \"end\"\n";
        for (title, before) in [
            ("\"T\"", "// title: \"no\"\nSession(/* title */ title : "),
            ("r#\"a \"T\"\"#", "\u{feff}(title:"),
            ("Some( \"T\" )", "Session( brief: \"title\", title: "),
        ] {
            let text = format!("{before}{title}, {parts}");
            let new = match title {
                "Some( \"T\" )" => "Some( \"N \\\"x\\\"\" )",
                _ => "\"N \\\"x\\\"\"",
            };
            let meant = format!("{}{new}, {parts}", before.trim_start_matches('\u{feff}'));
            assert_eq!(retitled("t", &text, "N \"x\"").expect("RON"), meant);
        }
    }
}

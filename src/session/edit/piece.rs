//! A value on its way to another place, with what is said of it.

use super::bracket::Bracket;
use crate::session::brackets::token;
use crate::session::trivia::{indent, line_start, trimmed};

/// A value, the comment lines above it and the comment behind it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Piece {
    /// The comment lines above it, each with its break.
    above: String,
    /// The value itself, or a field with its value.
    item: String,
    /// The comment behind it, with the space before it.
    behind: String,
    /// With which its lines begin.
    indent: String,
}

impl Piece {
    /// A value that is written down, with comments around it perhaps. The text is well-formed.
    pub(super) fn of(text: &str) -> Self {
        let item = trimmed(text);
        let head = &text[..item.start];
        let above = head.rfind('\n').map_or(0, |at| at + 1);
        let behind = text[item.end..].trim_end();
        Self {
            above: head[..above].trim_start_matches(['\n', '\r']).to_owned(),
            item: format!(
                "{}{}",
                text[above..item.start].trim_start(),
                &text[item.clone()]
            ),
            behind: behind.to_owned(),
            indent: indent(text, item.start).to_owned(),
        }
    }

    /// A field with its value. The text of the value is well-formed; comments around it are no part
    /// of it.
    pub(super) fn field(name: &str, text: &str) -> Self {
        let value = &text[trimmed(text)];
        Self {
            above: String::new(),
            item: format!("{name}: {value}"),
            behind: String::new(),
            indent: indent(text, trimmed(text).start).to_owned(),
        }
    }

    /// A value of a list or group, as it stands there.
    pub(super) fn at(bracket: &Bracket<'_>, n: usize) -> Option<Self> {
        let (text, unit) = (bracket.written, bracket.units.get(n)?.clone());
        if !bracket.is_loose(n) {
            return None;
        }
        let (above, behind) = bracket.lines(n).map_or_else(Default::default, |lines| {
            let behind = match lines.comma {
                Some(comma) => [&text[unit.end..comma], &text[comma + 1..lines.end]].concat(),
                None => text[unit.end..lines.end].to_owned(),
            };
            (text[lines.above..lines.start].to_owned(), behind)
        });
        Some(Self {
            above,
            behind: behind.trim_end().to_owned(),
            indent: indent(text, line_start(text, unit.start)).to_owned(),
            item: text[unit].to_owned(),
        })
    }

    /// Whether something is said of it that needs lines of its own.
    pub(super) fn is_said(&self) -> bool {
        !self.above.is_empty() || self.behind.contains("//")
    }

    /// Whether it takes more than one line.
    pub(super) fn is_long(&self) -> bool {
        self.item.contains('\n')
    }

    /// The value within a line that begins with these blanks.
    pub(super) fn inline(&self, indent: &str, line_break: &str) -> String {
        let said = if self.is_said() { "" } else { &self.behind };
        let item = [&self.item, said].concat();
        indented(&item, &self.indent, indent, line_break)
    }

    /// The value on lines of its own that begin with these blanks, the break of the last left out.
    pub(super) fn lined(&self, indent: &str, comma: &str, line_break: &str) -> String {
        // Of these lines the first begins with blanks too.
        let above = format!("\n{}", self.above);
        let above = indented(&above, &self.indent, indent, line_break);
        let above = above.strip_prefix(line_break).unwrap_or(&above);
        let item = indented(&self.item, &self.indent, indent, line_break);
        let behind = indented(&self.behind, &self.indent, indent, line_break);
        [above, indent, &item, comma, &behind].concat()
    }
}

/// A text with other blanks at the beginning of its lines, the first excepted. A line that begins
/// in a text in quotes or in a comment stays as it is.
pub(super) fn indented(text: &str, from: &str, to: &str, line_break: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    while at < text.len() {
        let end = token(text, at).unwrap_or(text.len());
        match &text[at..end] {
            "\r" if text[end..].starts_with('\n') => {}
            "\n" => {
                out.push_str(line_break);
                at = end + put_indent(&text[end..], from, to, &mut out);
                continue;
            }
            // A comment goes on to the end of its line, half of the break included.
            token if token.starts_with("//") => out.push_str(token.trim_end_matches('\r')),
            token => out.push_str(token),
        }
        at = end;
    }
    out
}

/// Writes the blanks of a line, and tells how many bytes of the line they are in place of.
fn put_indent(rest: &str, from: &str, to: &str, out: &mut String) -> usize {
    let is_blank = rest.starts_with(['\n', '\r']) || rest.is_empty();
    match rest.strip_prefix(from) {
        Some(_) if !is_blank => {
            out.push_str(to);
            from.len()
        }
        _ => 0,
    }
}

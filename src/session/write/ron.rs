//! Values of a session file as text, laid out as a person writes them: on one line where they fit,
//! else each on a line of its own.
//!
//! What may stand in a session is the reader's business: whoever writes one reads it back.

use std::fmt::Display;

use crate::time::Span;

/// The widest line that is still read well in an editor beside another.
const WIDE: usize = 100;
/// How far what stands inside is set in.
const STEP: usize = 4;

/// A value of a session file.
#[derive(Clone, Debug, PartialEq)]
pub enum Ron {
    /// A word or a number, as it is written; a text with its quotes.
    Plain(String),
    /// `[a, b]`.
    List(Vec<Self>),
    /// `Name(field: value)`; without a name `(field: value)`.
    Group(&'static str, Vec<(String, Self)>),
    /// `Name(a, b)`; without a name `(a, b)`.
    Tuple(&'static str, Vec<Self>),
}

impl Ron {
    /// A text in quotes. What would tear a line is left out of it.
    #[must_use]
    pub fn text(text: &str) -> Self {
        let shown = text.replace(super::super::source::unshowable, " ");
        let quoted = shown.replace('\\', "\\\\").replace('"', "\\\"");
        Self::Plain(format!("\"{quoted}\""))
    }

    /// A word or a number.
    #[must_use]
    pub fn word(word: impl Display) -> Self {
        Self::Plain(format!("{word}"))
    }

    /// A time: seconds below a minute, else as a clock shows it.
    #[must_use]
    pub fn time(span: Span) -> Self {
        if span < Span::from_secs(60) {
            let (secs, millis) = (span.secs_floor(), span.millis() % 1000);
            let fraction = format!(".{millis:03}");
            let fraction = fraction.trim_end_matches('0').trim_end_matches('.');
            return Self::Plain(format!("{secs}{fraction}"));
        }
        Self::clock(span)
    }

    /// A time as a clock shows it, where a bare number could be taken for minutes.
    #[must_use]
    pub fn clock(span: Span) -> Self {
        Self::Plain(format!("\"{span}\""))
    }

    /// Texts in a list.
    #[must_use]
    pub fn texts<'a>(texts: impl IntoIterator<Item = &'a String>) -> Self {
        Self::List(texts.into_iter().map(|text| Self::text(text)).collect())
    }

    /// Words in a list.
    #[must_use]
    pub fn words<'a>(words: impl IntoIterator<Item = &'a str>) -> Self {
        Self::List(words.into_iter().map(Self::word).collect())
    }

    /// The value as the text of a file, with the end of its last line.
    #[must_use]
    pub fn file(&self) -> String {
        let mut out = String::new();
        self.put(&mut out, 0, 0);
        out.push('\n');
        out
    }

    /// The value on one line.
    pub(super) fn line(&self) -> String {
        let all = |values: &[Self]| {
            let values: Vec<String> = values.iter().map(Self::line).collect();
            values.join(", ")
        };
        match self {
            Self::Plain(text) => text.clone(),
            Self::List(values) => format!("[{}]", all(values)),
            Self::Tuple(name, values) => format!("{name}({})", all(values)),
            Self::Group(name, fields) => {
                let fields: Vec<String> = (fields.iter())
                    .map(|(key, value)| format!("{key}: {}", value.line()))
                    .collect();
                format!("{name}({})", fields.join(", "))
            }
        }
    }

    /// Writes the value where `used` columns of its line are taken; what stands inside it on lines
    /// of its own is set in by one step more than `margin`.
    fn put(&self, out: &mut String, margin: usize, used: usize) {
        let line = self.line();
        // A comma comes behind it.
        if used + line.chars().count() < WIDE || matches!(self, Self::Plain(_)) {
            out.push_str(&line);
            return;
        }
        let inner = margin + STEP;
        let new_line = |out: &mut String, margin: usize| {
            out.push('\n');
            out.push_str(&" ".repeat(margin));
        };
        match self {
            Self::Plain(_) => {}
            // A bracket within a bracket needs no lines of its own.
            Self::Tuple(name, values) if values.len() == 1 => {
                out.push_str(name);
                out.push('(');
                values[0].put(out, margin, used + name.len() + 1);
                out.push(')');
            }
            Self::List(values) | Self::Tuple(_, values) => {
                let (name, open, close) = match self {
                    Self::Tuple(name, _) => (*name, '(', ')'),
                    _ => ("", '[', ']'),
                };
                out.push_str(name);
                out.push(open);
                for value in values {
                    new_line(out, inner);
                    value.put(out, inner, inner);
                    out.push(',');
                }
                new_line(out, margin);
                out.push(close);
            }
            Self::Group(name, fields) => {
                out.push_str(name);
                out.push('(');
                for (key, value) in fields {
                    new_line(out, inner);
                    out.push_str(key);
                    out.push_str(": ");
                    value.put(out, inner, inner + key.len() + 2);
                    out.push(',');
                }
                new_line(out, margin);
                out.push(')');
            }
        }
    }
}

/// The fields of a group, one after the other; those that say nothing are left out.
#[derive(Debug, Default)]
pub struct Written(Vec<(String, Ron)>);

impl Written {
    /// With a field.
    #[must_use]
    pub fn with(mut self, key: &str, value: Ron) -> Self {
        self.0.push((key.to_owned(), value));
        self
    }

    /// With a field where there is a value for it.
    #[must_use]
    pub fn maybe(self, key: &str, value: Option<Ron>) -> Self {
        match value {
            Some(value) => self.with(key, value),
            None => self,
        }
    }

    /// With a list, a text in quotes or a group that is not empty.
    #[must_use]
    pub fn unless_empty(self, key: &str, value: Ron) -> Self {
        let is_empty = match &value {
            Ron::Plain(text) => text == "\"\"",
            Ron::List(values) | Ron::Tuple(_, values) => values.is_empty(),
            Ron::Group(_, fields) => fields.is_empty(),
        };
        self.maybe(key, (!is_empty).then_some(value))
    }

    /// The group of these fields.
    #[must_use]
    pub fn group(self, name: &'static str) -> Ron {
        Ron::Group(name, self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::{Library, Session};

    fn talks(texts: &[String]) -> String {
        let talk = |text: &String| {
            let fields = Written::default().with("time", Ron::time(Span::from_millis(61_500)));
            fields.with("say", Ron::text(text)).group("Talk")
        };
        let session = Written::default().with("title", Ron::text("T"));
        let parts = Ron::List(texts.iter().map(talk).collect());
        session.with("parts", parts).group("Session").file()
    }

    #[test]
    fn what_fits_stands_on_a_line_and_what_does_not_is_set_in() {
        let short = talks(&["Hello".to_owned()]);
        assert_eq!(
            short,
            "Session(title: \"T\", parts: [Talk(time: \"1:01.5\", say: \"Hello\")])\n"
        );
        let long = talks(&["words ".repeat(10), "more ".repeat(30)]);
        assert_eq!(
            long,
            format!(
                "Session(\n    title: \"T\",\n    parts: [\n        Talk(time: \"1:01.5\", say: \"{}\"),\n        \
                 Talk(\n            time: \"1:01.5\",\n            say: \"{}\",\n        ),\n    ],\n)\n",
                "words ".repeat(10),
                "more ".repeat(30)
            )
        );
    }

    /// The reader is the judge.
    #[test]
    fn any_text_and_any_time_reads_back() {
        let library = Library::builtin();
        let texts = [
            "",
            "\"q\" \\ '",
            "ü ~ 潮 e\u{301}",
            "a\nb\u{1b}",
            "// x */ (",
            "\\n",
        ];
        let texts: Vec<String> = texts.map(str::to_owned).to_vec();
        let read = Session::read("t", &talks(&texts), &library).expect("a session");
        for (part, text) in read.parts.iter().zip(&texts) {
            let crate::session::Part::Talk { say, .. } = part else {
                panic!("{part:?}");
            };
            assert_eq!(*say, text.replace(['\n', '\u{1b}'], " "));
        }
        for millis in (0..70_000)
            .step_by(7)
            .chain([3_599_999, 3_600_001, 43_200_000])
        {
            let span = Span::from_millis(millis);
            let text = Ron::time(span).line();
            let read = match text.strip_prefix('"') {
                Some(clock) => Span::parse_clock(clock.trim_end_matches('"')),
                None => Span::parse_secs(text.parse().expect("a number")),
            };
            assert_eq!(read, Ok(span), "{text}");
        }
    }
}

//! One value of a RON text with its place: what shape it has, and what stands inside.
//!
//! ron does the reading. Its borrowed [`RawValue`] is a slice of the source, so the address of a
//! slice gives the place of the value, and a value is taken apart one level at a time, when the
//! reader asks for it: what no field wants is never taken apart, however deep it goes.
//! Two things ron cannot tell through `deserialize_any` are read here from the first characters
//! of a value: the name before the bracket (ron drops it) and the kind of bracket (a list and a
//! tuple are both sequences to it).
//!
//! It refuses to know what a session is.

use std::borrow::Cow;
use std::fmt;
use std::ops::Range;

use ron::Deserializer;
use ron::value::RawValue;
use serde::de::{Deserialize, Deserializer as _, Error as _, MapAccess, SeqAccess, Visitor};

use super::source::Source;

/// A value that has not been taken apart.
pub(crate) type Raw<'s> = &'s RawValue;

/// A value taken apart by one level.
#[derive(Debug)]
pub(crate) struct Node<'s> {
    /// Its place, name and brackets included.
    pub(crate) range: Range<usize>,
    /// The name before the bracket, or the word itself.
    pub(crate) name: Option<&'s str>,
    /// What stands inside.
    pub(crate) shape: Shape<'s>,
}

/// The shapes of a value.
#[derive(Debug)]
pub(crate) enum Shape<'s> {
    /// A word alone: `Standing`.
    Word,
    /// `None`.
    Nothing,
    /// `true` or `false`.
    Bool(bool),
    /// A whole number.
    Whole(i128),
    /// A number with a fraction, or out of the range of whole numbers.
    Real(f64),
    /// A text in quotes.
    Text(Cow<'s, str>),
    /// `[a, b]`.
    List(Vec<Raw<'s>>),
    /// `(a, b)`, perhaps after a name.
    Tuple(Vec<Raw<'s>>),
    /// `(a: 1, b: 2)`, perhaps after a name.
    Fields(Vec<(&'s str, Raw<'s>)>),
    /// `{a: b}`, keys and values.
    Map(Vec<(Raw<'s>, Raw<'s>)>),
    /// Anything RON knows and no file of ours uses: characters, bytes, ranges.
    Other(&'static str),
}

impl Shape<'_> {
    /// The shape in a person's words.
    pub(crate) const fn kind(&self) -> &'static str {
        match self {
            Self::Word => "a word without quotes",
            Self::Nothing => "`None`",
            Self::Bool(_) => "a `true` or `false`",
            Self::Whole(_) | Self::Real(_) => "a number",
            Self::Text(_) => "a text in quotes",
            Self::List(_) => "a list in square brackets",
            Self::Tuple(_) => "a group in round brackets",
            Self::Fields(_) => "a group of fields",
            Self::Map(_) => "a map in braces",
            Self::Other(kind) => kind,
        }
    }
}

impl<'s> Node<'s> {
    /// Takes a value of the source apart by one level. `Some(x)` reads as `x`.
    pub(super) fn of(source: &'s Source, raw: Raw<'s>) -> Self {
        let mut text = raw.get_ron();
        loop {
            let start = source.range_of(text).start;
            match peel(text) {
                Ok((Peeled::Some(inner), _)) => text = inner.get_ron(),
                Ok((Peeled::Shape(name, shape), within)) => {
                    let range = start + within.start..start + within.end;
                    return Self { range, name, shape };
                }
                // The whole text was read once before, so this is no syntax fault.
                Err(_) => {
                    return Self {
                        range: source.range_of(text),
                        name: None,
                        shape: Shape::Other("something that cannot be read here"),
                    };
                }
            }
        }
    }

    /// The place of the name, or of the first character: where a fault about the whole points.
    pub(crate) fn head(&self) -> Range<usize> {
        let long = self.name.map_or(1, str::len).min(self.range.len());
        match self.shape {
            Shape::List(_) | Shape::Tuple(_) | Shape::Fields(_) | Shape::Map(_) => {
                self.range.start..self.range.start + long
            }
            _ => self.range.clone(),
        }
    }
}

enum Peeled<'s> {
    Some(Raw<'s>),
    Shape(Option<&'s str>, Shape<'s>),
}

fn peel(text: &str) -> Result<(Peeled<'_>, Range<usize>), ron::error::SpannedError> {
    let mut ron = Deserializer::from_str(text)?;
    let value = ron.remainder();
    let start = text.len() - value.len();
    let name = leading_name(value);
    let bracket = match name {
        Some(name) => first_after(&value[name.len()..]),
        None => value.chars().next(),
    };
    let shape = match unused(value, bracket) {
        Some(kind) => {
            serde::de::IgnoredAny::deserialize(&mut ron).map_err(|e| ron.span_error(e))?;
            Inside::Shape(Shape::Other(kind))
        }
        None => (ron.deserialize_any(Inside::visitor(bracket))).map_err(|e| ron.span_error(e))?,
    };
    // ron has looked past a word for its bracket, white space included.
    let end = match (&shape, name) {
        (Inside::Shape(Shape::Word), Some(name)) => start + name.len(),
        _ => text.len() - ron.remainder().len(),
    };
    let within = start..end;
    Ok(match shape {
        Inside::Some(raw) => (Peeled::Some(raw), within),
        Inside::Shape(shape) => (Peeled::Shape(name, shape), within),
    })
}

/// The name before a bracket, or the word that a value is; not the words that RON itself reads.
fn leading_name(value: &str) -> Option<&str> {
    let quoted = ["r\"", "r#", "b\"", "b'", "br\"", "br#"];
    let first = value.chars().next()?;
    if !(first.is_alphabetic() || first == '_') || quoted.iter().any(|q| value.starts_with(q)) {
        return None;
    }
    let end = value.find(|c: char| !(c.is_alphanumeric() || c == '_'));
    let name = &value[..end.unwrap_or(value.len())];
    let read_by_ron = ["true", "false", "Some", "None"].contains(&name)
        || (name.starts_with("inf") || name.starts_with("NaN")) && name.len() <= 6;
    (!read_by_ron).then_some(name)
}

/// The first character after white space and comments.
fn first_after(rest: &str) -> Option<char> {
    let ron = Deserializer::from_str(rest).ok()?;
    ron.remainder().chars().next()
}

/// The values of RON that no file of ours uses.
fn unused(value: &str, bracket: Option<char>) -> Option<&'static str> {
    match bracket {
        Some('\'') => Some("a character in single quotes"),
        _ if ["b\"", "b'", "br\"", "br#"]
            .iter()
            .any(|q| value.starts_with(q)) =>
        {
            Some("bytes")
        }
        _ if value.starts_with("..") => Some("a range"),
        _ => None,
    }
}

/// What ron found at this level.
enum Inside<'s> {
    Some(Raw<'s>),
    Shape(Shape<'s>),
}

struct LevelVisitor {
    bracket: Option<char>,
}

impl Inside<'_> {
    const fn visitor(bracket: Option<char>) -> LevelVisitor {
        LevelVisitor { bracket }
    }
}

impl<'s> Visitor<'s> for LevelVisitor {
    type Value = Inside<'s>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("any value")
    }

    fn visit_bool<E>(self, v: bool) -> Result<Self::Value, E> {
        Ok(Inside::Shape(Shape::Bool(v)))
    }

    fn visit_i64<E>(self, v: i64) -> Result<Self::Value, E> {
        Ok(Inside::Shape(Shape::Whole(v.into())))
    }

    fn visit_u64<E>(self, v: u64) -> Result<Self::Value, E> {
        Ok(Inside::Shape(Shape::Whole(v.into())))
    }

    fn visit_f64<E>(self, v: f64) -> Result<Self::Value, E> {
        Ok(Inside::Shape(Shape::Real(v)))
    }

    fn visit_borrowed_str<E>(self, v: &'s str) -> Result<Self::Value, E> {
        Ok(Inside::Shape(Shape::Text(Cow::Borrowed(v))))
    }

    fn visit_str<E>(self, v: &str) -> Result<Self::Value, E> {
        Ok(Inside::Shape(Shape::Text(Cow::Owned(v.to_owned()))))
    }

    fn visit_none<E>(self) -> Result<Self::Value, E> {
        Ok(Inside::Shape(Shape::Nothing))
    }

    fn visit_some<D: serde::Deserializer<'s>>(self, inner: D) -> Result<Self::Value, D::Error> {
        Raw::deserialize(inner).map(Inside::Some)
    }

    fn visit_unit<E>(self) -> Result<Self::Value, E> {
        Ok(Inside::Shape(match self.bracket {
            Some('(') => Shape::Tuple(Vec::new()),
            _ => Shape::Word,
        }))
    }

    fn visit_seq<A: SeqAccess<'s>>(self, mut items: A) -> Result<Self::Value, A::Error> {
        let mut list = Vec::new();
        while let Some(item) = items.next_element::<Raw<'s>>()? {
            list.push(item);
        }
        Ok(Inside::Shape(match self.bracket {
            Some('[') => Shape::List(list),
            _ => Shape::Tuple(list),
        }))
    }

    fn visit_map<A: MapAccess<'s>>(self, mut fields: A) -> Result<Self::Value, A::Error> {
        if self.bracket == Some('{') {
            let mut pairs = Vec::new();
            while let Some(key) = fields.next_key::<Raw<'s>>()? {
                pairs.push((key, fields.next_value::<Raw<'s>>()?));
            }
            return Ok(Inside::Shape(Shape::Map(pairs)));
        }
        if self.bracket != Some('(') {
            return Err(A::Error::custom("a range"));
        }
        let mut found = Vec::new();
        while let Some(key) = fields.next_key::<&'s str>()? {
            found.push((key, fields.next_value::<Raw<'s>>()?));
        }
        Ok(Inside::Shape(Shape::Fields(found)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(text: &str) -> String {
        let source = Source::of("t", text).expect(text);
        let raw = RawValue::from_ron(source.text()).expect(text);
        let node = Node::of(&source, raw);
        let at = |range: Range<usize>| source.text()[range].to_owned();
        let inner = |items: &[Raw<'_>]| {
            let nodes = items.iter().map(|raw| at(Node::of(&source, raw).range));
            nodes.collect::<Vec<_>>().join("|")
        };
        let shape = match &node.shape {
            Shape::List(items) => format!("list {}", inner(items)),
            Shape::Tuple(items) => format!("tuple {}", inner(items)),
            Shape::Fields(fields) => (fields.iter())
                .map(|(key, raw)| format!("{key}={}", inner(&[raw])))
                .collect::<Vec<_>>()
                .join(";"),
            Shape::Map(pairs) => (pairs.iter())
                .map(|(key, raw)| inner(&[key, raw]))
                .collect::<Vec<_>>()
                .join(";"),
            Shape::Text(text) => format!("text {text}"),
            Shape::Whole(n) => format!("whole {n}"),
            Shape::Real(n) => format!("real {n}"),
            other => other.kind().to_owned(),
        };
        let name = node.name.unwrap_or("-");
        format!("{name} / {shape} / {}", at(node.range.clone()))
    }

    #[test]
    fn a_level_is_taken_apart_with_the_places_of_all_that_is_in_it() {
        for (text, expected) in [
            ("45", "- / whole 45 / 45"),
            (" 7.5 // c", "- / real 7.5 / 7.5"),
            ("-3", "- / whole -3 / -3"),
            ("1e400", "- / real inf / 1e400"),
            ("-inf", "- / real -inf / -inf"),
            ("NaN", "- / real NaN / NaN"),
            (
                "99999999999999999999",
                "- / real 100000000000000000000 / 99999999999999999999",
            ),
            ("Standing", "Standing / a word without quotes / Standing"),
            ("None", "- / `None` / None"),
            ("true", "- / a `true` or `false` / true"),
            ("Some(Some(5))", "- / whole 5 / 5"),
            (r#""a\u{e9}\"b""#, "- / text a\u{e9}\"b / \"a\\u{e9}\\\"b\""),
            (r##"r#"a"b"#"##, "- / text a\"b / r#\"a\"b\"#"),
            (
                "/* x */ [1, /* a */ 2 /* b */, 3,] // y",
                "- / list 1|2|3 / [1, /* a */ 2 /* b */, 3,]",
            ),
            ("W /* n */ ([1], x)", "W / tuple [1]|x / W /* n */ ([1], x)"),
            (
                "R(a: 1, b : (c: 2),)",
                "R / a=1;b=(c: 2) / R(a: 1, b : (c: 2),)",
            ),
            ("(a: 1)", "- / a=1 / (a: 1)"),
            ("()", "- / tuple  / ()"),
            ("Ready()", "Ready / tuple  / Ready()"),
            ("{1: 2}", "- / 1|2 / {1: 2}"),
            (
                "{ \"x\" : a, /* n */ \"y\": (b: 1), }",
                "- / \"x\"|a;\"y\"|(b: 1) / { \"x\" : a, /* n */ \"y\": (b: 1), }",
            ),
            ("'x'", "- / a character in single quotes / 'x'"),
            ("1..5", "- / something that cannot be read here / 1..5\n"),
        ] {
            assert_eq!(told(text), expected, "{text}");
        }
    }
}

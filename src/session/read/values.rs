//! Single values: texts, times, counts, words, lists.

use std::ops::RangeInclusive;

use super::super::source::{clipped, unshowable};
use super::super::tree::{Node, Shape};
use super::Reader;
use super::words::{Word, instead, instead_of};
use crate::session::{slips, unseen};
use crate::time::{Span, TimeError};

/// The longest name, in characters.
pub(super) const NAME: usize = 200;
/// The longest text, in characters.
pub(super) const TEXT: usize = 1000;
/// The highest count of anything.
pub(super) const HIGHEST: u32 = 100_000;
/// The longest list: a class has no more intervals, whatever their pattern.
const LONGEST_LIST: usize = 100_000;
/// The longest time: no class is longer.
pub(super) const LONGEST: Span = Span::from_secs(12 * 3600);

impl<'s> Reader<'s> {
    /// Notes that a value has the wrong shape.
    pub(crate) fn wrong(&mut self, node: &Node<'s>, takes: &str) {
        let message = format!("{takes}, this is {}", node.shape.kind());
        let bare_word = matches!(node.shape, Shape::Word) && takes.contains("in quotes");
        let help = match node.name {
            _ if matches!(node.shape, Shape::Other(kind) if kind.contains("single quotes")) => {
                "texts stand in double quotes: \"...\"".into()
            }
            Some(word) if bare_word => format!("write it in quotes: \"{word}\""),
            _ => String::new(),
        };
        self.fault(node.head(), message, &help);
    }

    /// A text of at most so many characters, fit for a line on a screen.
    pub(crate) fn text(&mut self, node: &Node<'s>, label: &str, most: usize) -> Option<String> {
        let Shape::Text(text) = &node.shape else {
            self.wrong(node, &format!("{label} takes a text in quotes"));
            return None;
        };
        let long = text.chars().count();
        if long > most {
            let message = format!("{label} has {long} characters, at most {most} are read");
            self.fault(node.head(), message, "shorten it");
            return None;
        }
        if let Some(c) = text.chars().find(|c| unshowable(*c)) {
            let name = unseen::name(c).unwrap_or("a character that is not shown");
            let message = format!("{label} holds {name}, which would tear the screen");
            self.fault(
                node.head(),
                message,
                "a text is one line without control characters",
            );
            return None;
        }
        Some(text.clone().into_owned())
    }

    /// A text that is not blank.
    pub(crate) fn filled(&mut self, node: &Node<'s>, label: &str, most: usize) -> Option<String> {
        let text = self.text(node, label, most)?;
        if text.trim().is_empty() {
            self.fault(
                node.head(),
                format!("{label} is empty"),
                "write something, or leave it out if it may be left out",
            );
            return None;
        }
        Some(text)
    }

    /// A time of at most twelve hours.
    pub(super) fn time(&mut self, node: &Node<'s>, label: &str) -> Option<Span> {
        let read = match &node.shape {
            Shape::Whole(secs) => Span::parse_secs(approximate(*secs)),
            Shape::Real(secs) => Span::parse_secs(*secs),
            Shape::Text(text) => Span::parse_clock(text),
            _ => {
                self.wrong(
                    node,
                    &format!("{label} takes a time such as 45 or \"0:45\""),
                );
                return None;
            }
        };
        match read {
            Ok(span) if span <= LONGEST => return Some(span),
            Ok(_) | Err(TimeError::TooLong) => self.fault(
                node.head(),
                format!("{label} is longer than any class"),
                "a time is at most 12 hours, \"12:00:00\"",
            ),
            Err(error) => {
                let help = match &node.shape {
                    Shape::Text(text) => meant(text),
                    _ => None,
                };
                let usual = || "such as 45, 7.5, \"0:45\" or \"1:02:30\"".into();
                let help = help.unwrap_or_else(usual);
                self.fault(node.head(), format!("{label}: {error}"), &help);
            }
        }
        None
    }

    /// A time that is not nothing.
    pub(super) fn some_time(&mut self, node: &Node<'s>, label: &str) -> Option<Span> {
        let span = self.time(node, label)?;
        if span.is_zero() {
            self.fault(
                node.head(),
                format!("{label} is no time at all"),
                "it must be longer than 0",
            );
            return None;
        }
        Some(span)
    }

    /// A whole number within bounds.
    pub(crate) fn count(
        &mut self,
        node: &Node<'s>,
        label: &str,
        within: RangeInclusive<u32>,
    ) -> Option<u32> {
        let within = i64::from(*within.start())..=i64::from(*within.end());
        u32::try_from(self.whole(node, label, within)?).ok()
    }

    /// A whole number within bounds, which may be less than 0.
    pub(crate) fn whole(
        &mut self,
        node: &Node<'s>,
        label: &str,
        within: RangeInclusive<i64>,
    ) -> Option<i64> {
        let Shape::Whole(n) = node.shape else {
            self.wrong_count(node, label);
            return None;
        };
        let n = i64::try_from(n).ok().filter(|n| within.contains(n));
        if n.is_none() {
            let (least, most) = (within.start(), within.end());
            self.fault(
                node.head(),
                format!("{label} must be from {least} to {most}"),
                "",
            );
        }
        n
    }

    /// `true` or `false`.
    pub(crate) fn truth(&mut self, node: &Node<'s>, label: &str) -> Option<bool> {
        if let Shape::Bool(truth) = node.shape {
            return Some(truth);
        }
        self.wrong(node, &format!("{label} takes `true` or `false`"));
        None
    }

    fn wrong_count(&mut self, node: &Node<'s>, label: &str) {
        match node.shape {
            Shape::Real(_) => self.fault(
                node.head(),
                format!("{label} takes a whole number such as 3"),
                "",
            ),
            _ => self.wrong(node, &format!("{label} takes a whole number such as 3")),
        }
    }

    /// A word of a closed set.
    pub(crate) fn word<W: Word>(&mut self, node: &Node<'s>, label: &str) -> Option<W> {
        let (written, in_quotes) = match (&node.shape, node.name) {
            (Shape::Word, Some(name)) => (name, false),
            (Shape::Nothing, _) => ("None", false),
            (Shape::Text(text), _) => (text.as_ref(), true),
            _ => {
                self.no_word::<W>(node, label);
                return None;
            }
        };
        let found = (W::ALL.iter().copied())
            .find(|word| word.word() == written || word.quoted() == Some(written));
        match found {
            Some(word) if in_quotes && word.quoted().is_none() => {
                let message = format!("{label} takes {} without quotes", W::KIND);
                let help = format!("write it without quotes: {written}");
                self.fault(node.head(), message, &help);
                None
            }
            None => {
                let help = if self.advises() {
                    instead_of::<W>(written)
                } else {
                    String::new()
                };
                let written = clipped(written);
                self.fault(
                    node.head(),
                    format!("`{written}` is not {}", W::KIND),
                    &help,
                );
                None
            }
            word => word,
        }
    }

    fn no_word<W: Word>(&mut self, node: &Node<'s>, label: &str) {
        let message = format!("{label} takes {}, this is {}", W::KIND, node.shape.kind());
        self.fault(node.head(), message, &instead_of::<W>(""));
    }

    /// Notes that a word is not one of those known.
    pub(crate) fn unknown(&mut self, node: &Node<'s>, kind: &str, written: &str, known: &[&str]) {
        let help = if self.advises() {
            instead(written, known)
        } else {
            String::new()
        };
        let written = clipped(written);
        self.fault(node.head(), format!("`{written}` is not {kind}"), &help);
    }

    /// The values of a list, none of them read yet.
    pub(super) fn items(
        &mut self,
        node: &Node<'s>,
        label: &str,
        of: &str,
    ) -> Option<Vec<Node<'s>>> {
        let Shape::List(items) = &node.shape else {
            self.no_list(
                node,
                &format!("{label} takes a list of {of} in square brackets"),
            );
            return None;
        };
        if items.len() > LONGEST_LIST {
            let message = format!(
                "{label} has {} entries, at most {LONGEST_LIST} are read",
                items.len()
            );
            self.fault(node.head(), message, "");
            return None;
        }
        Some(items.iter().map(|raw| self.node(raw)).collect())
    }

    fn no_list(&mut self, node: &Node<'s>, takes: &str) {
        let single = matches!(
            node.shape,
            Shape::Word | Shape::Text(_) | Shape::Whole(_) | Shape::Real(_)
        );
        let help = if single {
            "put it in square brackets"
        } else {
            ""
        };
        let message = format!("{takes}, this is {}", node.shape.kind());
        self.fault(node.head(), message, help);
    }

    /// A list, each value read by `read`; nothing if any of them is faulty.
    pub(crate) fn list<T>(
        &mut self,
        node: &Node<'s>,
        label: &str,
        of: &str,
        mut read: impl FnMut(&mut Self, &Node<'s>) -> Option<T>,
    ) -> Option<Vec<T>> {
        let items = self.items(node, label, of)?;
        let read: Vec<Option<T>> = items.iter().map(|item| read(self, item)).collect();
        read.into_iter().collect()
    }

    /// The two values of a pair that has no name, where it is one.
    pub(crate) fn pair(&self, node: &Node<'s>) -> Option<(Node<'s>, Node<'s>)> {
        match (node.name, &node.shape) {
            (None, Shape::Tuple(pair)) => match pair[..] {
                [one, other] => Some((self.node(one), self.node(other))),
                _ => None,
            },
            _ => None,
        }
    }

    /// A list that is not empty.
    pub(super) fn some_list<T>(
        &mut self,
        node: &Node<'s>,
        label: &str,
        of: &str,
        read: impl FnMut(&mut Self, &Node<'s>) -> Option<T>,
    ) -> Option<Vec<T>> {
        let list = self.list(node, label, of, read)?;
        if list.is_empty() {
            self.fault(
                node.head(),
                format!("{label} is empty"),
                &format!("it takes one or more {of}"),
            );
            return None;
        }
        Some(list)
    }

    /// A list of words.
    pub(super) fn words<W: Word>(&mut self, node: &Node<'s>, label: &str) -> Option<Vec<W>> {
        self.list(node, label, "words", |reader, item| {
            reader.word(item, label)
        })
    }

    /// A list of texts, none of them blank.
    pub(crate) fn texts(
        &mut self,
        node: &Node<'s>,
        label: &str,
        most: usize,
    ) -> Option<Vec<String>> {
        let entry = format!("an entry of {label}");
        self.list(node, label, "texts", |reader, item| {
            reader.filled(item, &entry, most)
        })
    }
}

/// How the time was probably meant, in a text that is none.
fn meant(text: &str) -> Option<String> {
    let text = text.trim();
    let number = |text: &str| text.parse::<f64>().is_ok_and(|n| (0.0..1e6).contains(&n));
    let clock = |text: &str| {
        Span::parse_clock(text)
            .ok()
            .map(|_| format!("write \"{text}\""))
    };
    let digits = text.bytes().all(|b| b.is_ascii_digit());
    if digits && number(text) {
        return Some(format!(
            "for seconds write {text} without quotes, for minutes \"{text}:00\""
        ));
    }
    if let Some(written) = clock(&text.replace(['.', ',', ';', ' ', '-'], ":")) {
        return Some(written);
    }
    if let Some((minutes, secs)) = text.split_once(':')
        && let Some(written) = clock(&format!("{minutes}:{secs:0>2}"))
    {
        return Some(written);
    }
    let unit = text.find(|c: char| c.is_alphabetic())?;
    let (amount, rest) = (text[..unit].trim(), &text[unit..]);
    if number(amount)
        && let Some(help) = slips::with_unit(amount, rest)
    {
        return Some(help.replace(
            "leave the unit away:",
            "leave the unit and the quotes away:",
        ));
    }
    // `1m30s`, `1 min 30`
    let parts: Vec<&str> = text
        .split(|c: char| !c.is_ascii_digit())
        .filter(|p| !p.is_empty())
        .collect();
    match (parts[..].to_vec().as_slice(), rest.starts_with(['m', 'M'])) {
        ([minutes, secs], true) => clock(&format!("{minutes}:{secs:0>2}")),
        _ => None,
    }
}

#[expect(
    clippy::cast_precision_loss,
    reason = "what is past 2^53 s is refused as too long"
)]
const fn approximate(secs: i128) -> f64 {
    secs as f64
}

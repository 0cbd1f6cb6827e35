//! A group of named fields: each is known, stands once, and those that must be there are.

use std::ops::Range;

use super::super::source::clipped;
use super::super::tree::{Node, Raw, Shape};
use super::Reader;
use super::words::{did_you_mean, like, listed};

/// The fields of one group, taken out one by one.
pub(crate) struct Fields<'s> {
    /// What the group is, with its article.
    owner: &'static str,
    /// Where a missing field is told.
    pub(crate) head: Range<usize>,
    found: Vec<(&'s str, Raw<'s>)>,
    /// Fields that unknown ones were probably meant to be: they are not missed a second time.
    pub(crate) meant: Vec<&'static str>,
}

impl<'s> Reader<'s> {
    /// The fields of a group that may be called `name`, or by no name.
    pub(crate) fn group(
        &mut self,
        node: &Node<'s>,
        name: &str,
        owner: &'static str,
        known: &'static [&'static str],
    ) -> Option<Fields<'s>> {
        match (node.name, &node.shape) {
            (_, Shape::Word) => {
                let help = format!("it is written `{name}(..)`");
                self.wrong_group(node, owner, &help);
                None
            }
            (Some(other), _) if other != name => {
                let message = format!("{owner} is expected here, this is `{}`", clipped(other));
                self.fault(node.head(), message, &format!("it is written `{name}(..)`"));
                None
            }
            _ => self.fields(node, owner, known),
        }
    }

    fn wrong_group(&mut self, node: &Node<'s>, owner: &str, help: &str) {
        let kind = node.shape.kind();
        let help = match node.shape {
            Shape::Map(_) => {
                "it stands in round brackets, and the names of its fields without quotes: `(name: value)`"
            }
            _ => help,
        };
        let message = format!("{owner} is a group of fields `name: value`, this is {kind}");
        self.fault(node.head(), message, help);
    }

    /// The fields of a group, whatever its name.
    pub(crate) fn fields(
        &mut self,
        node: &Node<'s>,
        owner: &'static str,
        known: &'static [&'static str],
    ) -> Option<Fields<'s>> {
        let fields = match &node.shape {
            Shape::Fields(fields) => fields.as_slice(),
            Shape::Tuple(items) if items.is_empty() => &[],
            Shape::Word if node.name.is_some() => &[],
            _ => {
                let help = format!("its fields are {}", listed(known));
                self.wrong_group(node, owner, &help);
                return None;
            }
        };
        let mut sorted = Fields {
            owner,
            head: node.head(),
            found: Vec::new(),
            meant: Vec::new(),
        };
        for (key, raw) in fields {
            self.sort_in(&mut sorted, key, raw, known);
        }
        Some(sorted)
    }

    /// The line of an earlier place, as long as looking for it is worth its time.
    pub(crate) fn first_at(&self, place: usize) -> String {
        if self.advises() {
            format!(", the first is in line {}", self.source.line(place))
        } else {
            String::new()
        }
    }

    /// Each known field once; the others are faults.
    fn sort_in(
        &mut self,
        fields: &mut Fields<'s>,
        key: &'s str,
        raw: Raw<'s>,
        known: &'static [&'static str],
    ) {
        let place = self.source.range_of(key);
        if !known.contains(&key) {
            let near = if self.advises() {
                like(key, known.iter().copied())
            } else {
                None
            };
            fields.meant.extend(near);
            let message = format!("{} has no field `{}`", fields.owner, clipped(key));
            let help =
                near.map_or_else(|| format!("possible here: {}", listed(known)), did_you_mean);
            self.fault(place, message, &help);
        } else if let Some((first, _)) = fields.found.iter().find(|(k, _)| *k == key) {
            let first = self.first_at(self.source.range_of(first).start);
            let message = format!("the field `{key}` stands twice{first}");
            self.fault(place, message, "take one of them away");
        } else {
            fields.found.push((key, raw));
        }
    }
}

/// How a field that is missing might be written.
fn example(key: &str) -> &'static str {
    match key {
        "title" => "title: \"Tide line\"",
        "parts" => "parts: [Ready(time: 15), Block(..)]",
        "time" => "time: 45",
        "moves" => "moves: [\"squat\", \"dead-bug\"]",
        "pattern" => "pattern: Same(rounds: 3, work: 40, rest: 20)",
        "rounds" => "rounds: 3",
        "minutes" => "minutes: 10",
        "every" => "every: 90",
        "times" => "times: 6",
        "work" => "work: 40, or [40, 30] in `Rounds`",
        "rest" => "rest: 20, or [20, 15] in `Rounds`",
        "move" => "move: \"squat\"",
        "id" => "id: \"side-plank\"",
        "name" => "name: \"Side plank\"",
        "call" => "call: \"knees down\"",
        "position" => "position: Standing",
        "regions" => "regions: [Lower, Core]",
        "see" => "see: \"hips sag\"",
        "say" => "say: \"lift the hips\"",
        _ => "",
    }
}

impl<'s> Fields<'s> {
    /// A field that may be left out; `None` is as good as leaving it out.
    pub(crate) fn take(&self, reader: &Reader<'s>, key: &str) -> Option<Node<'s>> {
        let (_, raw) = self.found.iter().find(|(k, _)| *k == key)?;
        Some(reader.node(raw)).filter(|node| !matches!(node.shape, Shape::Nothing))
    }

    /// A field that must be there.
    pub(crate) fn need(&self, reader: &mut Reader<'s>, key: &str) -> Option<Node<'s>> {
        let node = self.take(reader, key);
        if node.is_none() && !self.meant.contains(&key) {
            let message = format!("{} needs the field `{key}`", self.owner);
            let help = format!("such as {}", example(key));
            reader.fault(self.head.clone(), message, &help);
        }
        node
    }

    /// A field that may be left out, read by `read`: the outer `None` is a fault.
    #[expect(
        clippy::option_option,
        reason = "faulty, left out and there are three things"
    )]
    pub(crate) fn maybe<T>(
        &self,
        reader: &mut Reader<'s>,
        key: &str,
        read: impl FnOnce(&mut Reader<'s>, &Node<'s>, &str) -> Option<T>,
    ) -> Option<Option<T>> {
        match self.take(reader, key) {
            Some(node) => read(reader, &node, &format!("`{key}`")).map(Some),
            None => Some(None),
        }
    }

    /// A field that must be there, read by `read`.
    pub(crate) fn must<T>(
        &self,
        reader: &mut Reader<'s>,
        key: &str,
        read: impl FnOnce(&mut Reader<'s>, &Node<'s>, &str) -> Option<T>,
    ) -> Option<T> {
        let node = self.need(reader, key)?;
        read(reader, &node, &format!("`{key}`"))
    }

    /// The place of a field's name, where it is there.
    pub(crate) fn place(&self, reader: &Reader<'s>, key: &str) -> Option<Range<usize>> {
        let (key, _) = self.found.iter().find(|(k, _)| *k == key)?;
        Some(reader.source.range_of(key))
    }
}

//! A group of named fields: each is known, stands once, and those that must be there are.

use std::ops::Range;

use super::super::tree::{Node, Raw, Shape};
use super::Reader;
use super::values::clipped;
use super::words::instead;

/// The fields of one group, taken out one by one.
pub(super) struct Fields<'s> {
    /// What the group is, with its article.
    owner: &'static str,
    /// Where a missing field is told.
    pub(super) head: Range<usize>,
    found: Vec<(&'s str, Raw<'s>)>,
}

impl<'s> Reader<'s> {
    /// The fields of a group that may be called `name`, or by no name.
    pub(super) fn group(
        &mut self,
        node: &Node<'s>,
        name: &str,
        owner: &'static str,
        known: &[&str],
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
        let message = format!("{owner} is a group of fields `name: value`, this is {kind}");
        self.fault(node.head(), message, help);
    }

    /// The fields of a group, whatever its name.
    pub(super) fn fields(
        &mut self,
        node: &Node<'s>,
        owner: &'static str,
        known: &[&str],
    ) -> Option<Fields<'s>> {
        let fields = match &node.shape {
            Shape::Fields(fields) => fields.as_slice(),
            Shape::Tuple(items) if items.is_empty() => &[],
            Shape::Word if node.name.is_some() => &[],
            _ => {
                let help = format!("its fields are {}", super::words::listed(known));
                self.wrong_group(node, owner, &help);
                return None;
            }
        };
        Some(Fields {
            owner,
            head: node.head(),
            found: self.sorted_out(fields, owner, known),
        })
    }

    /// The line of an earlier place, as long as looking for it is worth its time.
    pub(super) fn first_at(&self, place: usize) -> String {
        if self.advises() {
            format!(", the first is in line {}", self.source.line(place))
        } else {
            String::new()
        }
    }

    /// Each known field once; the others are faults.
    fn sorted_out(
        &mut self,
        fields: &[(&'s str, Raw<'s>)],
        owner: &'static str,
        known: &[&str],
    ) -> Vec<(&'s str, Raw<'s>)> {
        let mut found: Vec<(&'s str, Raw<'s>)> = Vec::new();
        for &(key, raw) in fields {
            let place = self.source.range_of(key);
            if !known.contains(&key) {
                let help = if self.advises() {
                    instead(key, known)
                } else {
                    String::new()
                };
                self.fault(
                    place,
                    format!("{owner} has no field `{}`", clipped(key)),
                    &help,
                );
            } else if let Some((first, _)) = found.iter().find(|(k, _)| *k == key) {
                let first = self.first_at(self.source.range_of(first).start);
                let message = format!("the field `{key}` stands twice{first}");
                self.fault(place, message, "take one of them away");
            } else {
                found.push((key, raw));
            }
        }
        found
    }
}

impl<'s> Fields<'s> {
    /// A field that may be left out; `None` is as good as leaving it out.
    pub(super) fn take(&self, reader: &Reader<'s>, key: &str) -> Option<Node<'s>> {
        let (_, raw) = self.found.iter().find(|(k, _)| *k == key)?;
        Some(reader.node(raw)).filter(|node| !matches!(node.shape, Shape::Nothing))
    }

    /// A field that must be there.
    pub(super) fn need(&self, reader: &mut Reader<'s>, key: &str) -> Option<Node<'s>> {
        let node = self.take(reader, key);
        if node.is_none() {
            let message = format!("{} needs the field `{key}`", self.owner);
            reader.fault(self.head.clone(), message, "");
        }
        node
    }

    /// A field that may be left out, read by `read`: the outer `None` is a fault.
    #[expect(
        clippy::option_option,
        reason = "faulty, left out and there are three things"
    )]
    pub(super) fn maybe<T>(
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
    pub(super) fn must<T>(
        &self,
        reader: &mut Reader<'s>,
        key: &str,
        read: impl FnOnce(&mut Reader<'s>, &Node<'s>, &str) -> Option<T>,
    ) -> Option<T> {
        let node = self.need(reader, key)?;
        read(reader, &node, &format!("`{key}`"))
    }

    /// The place of a field's name, where it is there.
    pub(super) fn place(&self, reader: &Reader<'s>, key: &str) -> Option<Range<usize>> {
        let (key, _) = self.found.iter().find(|(k, _)| *k == key)?;
        Some(reader.source.range_of(key))
    }
}

//! Values and fields written at any place.

use super::bracket::Bracket;
use super::piece::{Piece, indented};
use super::placing::{inserted, removed};
use super::usual::rank;
use super::{Edits, Splice, Step};
use crate::session::branch::{Branch, Kind};
use crate::session::trivia::{indent, line_break, trimmed};

impl Edits {
    /// Writes another value where one is. Comments around it in the text are no part of it.
    /// Whether there was one.
    pub fn set(&mut self, path: &[Step], text: &str) -> bool {
        let Some(at) = self.base.at(path).map(|at| at.whole.clone()) else {
            return false;
        };
        let all = self.base.text();
        let value = trimmed(text);
        let (from, to) = (indent(text, value.start), indent(all, at.start));
        let new = indented(&text[value.clone()], from, to, line_break(all));
        self.splices.push((at, new));
        true
    }

    /// Writes a field of the group at a path: its value where it stands, else the field at its
    /// usual place among the others. A move's id alone becomes a `Use` with the field, and a word
    /// alone a group with it. Whether there is a group.
    pub fn set_field(&mut self, path: &[Step], name: &'static str, text: &str) -> bool {
        let Some(group) = self.base.at(path) else {
            return false;
        };
        if self.base.field(group, name).is_some() {
            let mut path = path.to_vec();
            path.push(Step::Field(name));
            return self.set(&path, text);
        }
        let called = self.base.name(group);
        let called = called.or_else(|| path.is_empty().then_some("Session"));
        let splices = self.with_field(group, called, name, text);
        let done = splices.is_some();
        self.splices.extend(splices.into_iter().flatten());
        done
    }

    /// Takes a field out of the group at a path, where it is there. Whether there is a group.
    pub fn unset_field(&mut self, path: &[Step], name: &'static str) -> bool {
        let Some(at) = self.base.at(path) else {
            return false;
        };
        let mut fields = at.inside.iter();
        let field = fields.position(|twig| self.base.key(twig) == Some(name));
        let group = Bracket::of(&self.base, at).filter(|group| !group.is_list);
        let is_group = group.is_some() || matches!(at.kind, Kind::Word | Kind::Text);
        let splices = group.zip(field).and_then(|(group, n)| removed(&group, n));
        self.splices.extend(splices.into_iter().flatten());
        is_group
    }

    fn with_field(
        &self,
        group: &Branch,
        called: Option<&str>,
        name: &str,
        text: &str,
    ) -> Option<Vec<Splice>> {
        let all = self.base.text();
        let value = &text[trimmed(text)];
        let (at, written) = (group.range.clone(), &all[group.range.clone()]);
        match group.kind {
            Kind::Text => {
                let new = format!("Use(move: {written}, {name}: {value})");
                return Some(vec![(at, new)]);
            }
            Kind::Word => return Some(vec![(at.end..at.end, format!("({name}: {value})"))]),
            _ => {}
        }
        let bracket = Bracket::of(&self.base, group).filter(|bracket| !bracket.is_list)?;
        let rank = |field: &str| rank(called, field);
        let mine = rank(name);
        let mut fields = group.inside.iter();
        let behind =
            fields.position(|twig| self.base.key(twig).is_some_and(|key| rank(key) > mine));
        let n = behind.unwrap_or(group.inside.len());
        inserted(&bracket, n, &Piece::field(name, text))
    }
}

//! Fields of a place that may be lists with one entry a round.

use std::ops::Range;

use super::super::tree::{Node, Shape};
use super::Reader;
use super::fields::Fields;

/// How many rounds a place comes in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Rounds {
    /// So many.
    Of(usize),
    /// It comes once, and why.
    None(&'static str),
    /// The pattern could not be read, so that nobody can tell.
    Unclear,
}

/// What a field is in each round: nothing in any, the same in all, or taken in turn.
#[derive(Clone, Debug)]
pub(super) struct ByRound<T>(Vec<Option<T>>);

impl<T> ByRound<T> {
    /// Nothing in any round.
    pub(super) const fn nothing() -> Self {
        Self(Vec::new())
    }

    pub(super) const fn of(entries: Vec<Option<T>>) -> Self {
        Self(entries)
    }

    /// How many entries there are.
    pub(super) const fn len(&self) -> usize {
        self.0.len()
    }

    /// What it is in a round, counted from 0.
    pub(super) fn get(&self, round: usize) -> Option<&T> {
        match self.0.len() {
            0 => None,
            len => self.0[round % len].as_ref(),
        }
    }
}

/// A field of a group, by its name, where there are so many rounds.
pub(super) type Field<'a, 's> = (&'a Fields<'s>, &'static str, Rounds);

impl<'s> Reader<'s> {
    /// A field that may be a list with one entry a round.
    pub(super) fn by_round<T>(
        &mut self,
        field: Field<'_, 's>,
        read: impl FnMut(&mut Self, &Node<'s>, &str) -> Option<T>,
    ) -> Option<ByRound<T>> {
        self.listed(field, |entries, rounds| entries == rounds, read)
    }

    /// A field that may be a list whose entries are taken in turn, round by round.
    pub(super) fn in_turn<T>(
        &mut self,
        field: Field<'_, 's>,
        read: impl FnMut(&mut Self, &Node<'s>, &str) -> Option<T>,
    ) -> Option<ByRound<T>> {
        self.listed(field, |entries, rounds| entries <= rounds, read)
    }

    fn listed<T>(
        &mut self,
        (fields, key, rounds): Field<'_, 's>,
        is_right: impl Fn(usize, usize) -> bool,
        mut read: impl FnMut(&mut Self, &Node<'s>, &str) -> Option<T>,
    ) -> Option<ByRound<T>> {
        let Some(node) = fields.take(self, key) else {
            return Some(ByRound::nothing());
        };
        let label = format!("`{key}`");
        if !matches!(node.shape, Shape::List(_)) {
            return read(self, &node, &label).map(|one| ByRound(vec![Some(one)]));
        }
        let entries = self.some_list(&node, &label, "entries, one a round", |r, item| {
            if matches!(item.shape, Shape::Nothing) {
                return Some(None);
            }
            read(r, item, &label).map(Some)
        });
        let Shape::List(items) = &node.shape else {
            return None;
        };
        let fits = match rounds {
            Rounds::None(why) => {
                let message = format!("{label} takes one value here, this is a list: {why}");
                self.fault(node.head(), message, "give the one that holds throughout");
                false
            }
            Rounds::Of(rounds) if !items.is_empty() && !is_right(items.len(), rounds) => {
                self.other_number(node.head(), &label, items.len(), rounds);
                false
            }
            Rounds::Of(_) | Rounds::Unclear => true,
        };
        entries.filter(|_| fits).map(ByRound)
    }

    fn other_number(&mut self, at: Range<usize>, label: &str, entries: usize, rounds: usize) {
        let many = |count: usize, one: &str, more: &str| match count {
            1 => format!("1 {one}"),
            count => format!("{count} {more}"),
        };
        let message = format!(
            "{label} has {}, and its block has {}",
            many(entries, "entry", "entries"),
            many(rounds, "round", "rounds")
        );
        let help = "give one for each round, or one for all without brackets";
        self.fault(at, message, help);
    }
}

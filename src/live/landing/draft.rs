//! What is to become of the intervals, by their places in the plan.

use std::collections::{BTreeMap, BTreeSet};

use super::change::{Change, ChangeKind};
use super::left::Left;
use super::share::{Giver, shares};
use super::spot::Spot;
use crate::plan::{Kind, Timeline, is_fixed};
use crate::time::Span;

/// A copy of an interval that is put into the class.
#[derive(Clone, Copy, Debug)]
pub(super) struct Copied {
    /// Of what.
    pub(super) of: usize,
    /// After what, and after the copies put there before it.
    pub(super) after: usize,
    pub(super) length: Span,
    /// The round in which it stands.
    pub(super) round: usize,
}

/// What is to become of the intervals.
#[derive(Default)]
pub(super) struct Draft {
    pub(super) lengths: BTreeMap<usize, Span>,
    /// Works that go with the round they are of.
    pub(super) rounds: Vec<usize>,
    /// Everything that goes.
    pub(super) gone: Vec<usize>,
    /// Copies in order.
    pub(super) copies: Vec<Copied>,
}

impl Draft {
    /// Takes as much as the step can give; returns what is still over.
    pub(super) fn shorten(&mut self, left: &Left<'_>, step: usize, over: Span) -> Span {
        if over.is_zero() {
            return over;
        }
        let able = left.able(step);
        let sum = |of: fn(&Giver) -> Span| able.iter().map(|(_, giver)| of(giver)).sum::<Span>();
        let given = sum(|giver| giver.least);
        let amount = over.min(sum(|giver| giver.most).saturating_sub(given));
        let givers: Vec<Giver> = able.iter().map(|&(_, giver)| giver).collect();
        for (&(i, giver), part) in able.iter().zip(shares(&givers, given + amount)) {
            if !part.is_zero() {
                self.lengths.insert(i, giver.length.saturating_sub(part));
            }
        }
        over.saturating_sub(amount)
    }

    /// Gives time to what had been shortened, pauses first, and then to the recoveries.
    pub(super) fn give_back(&mut self, left: &Left<'_>, in_hand: Span) {
        // What the running block would get its end would take.
        let may_grow = |&i: &usize| !is_fixed(&left.all[i]) && !left.is_capped(i);
        let (moves, pauses): (Vec<usize>, Vec<usize>) = left
            .staying()
            .filter(may_grow)
            .partition(|&i| left.all[i].kind.is_moving());
        let lost = |i: usize| left.all[i].planned.saturating_sub(left.all[i].length);
        let mut rest = in_hand;
        for these in [&pauses, &moves] {
            rest = self.lengthen(left, these, lost, rest);
        }
        let recoveries: Vec<usize> = pauses
            .into_iter()
            .filter(|&i| left.all[i].kind == Kind::Recovery && left.slack(i).is_none())
            .collect();
        self.lengthen(left, &recoveries, |_| rest, rest);
    }

    /// Gives to each as much as it may get; returns what nobody takes.
    fn lengthen(
        &mut self,
        left: &Left<'_>,
        these: &[usize],
        most: impl Fn(usize) -> Span,
        amount: Span,
    ) -> Span {
        let giver = |&i: &usize| Giver {
            length: left.all[i].length,
            least: Span::ZERO,
            most: most(i).min(amount),
        };
        let givers: Vec<Giver> = these.iter().map(giver).collect();
        let mut rest = amount;
        for (&i, part) in these.iter().zip(shares(&givers, amount)) {
            if !part.is_zero() {
                *self.lengths.entry(i).or_insert(left.all[i].length) += part;
                rest = rest.saturating_sub(part);
            }
        }
        rest
    }

    /// By how much copies and longer intervals make the class longer.
    pub(super) fn added(&self, left: &Left<'_>) -> Span {
        let copies = self.copies.iter().map(|copy| copy.length);
        let lengths = self.lengths.iter();
        let longer = lengths.map(|(&i, length)| length.saturating_sub(left.all[i].length));
        copies.chain(longer).sum()
    }

    /// How much is left of the class once this is done.
    pub(super) fn left(&self, spot: &Spot<'_>) -> Span {
        let gone: BTreeSet<usize> = self.gone.iter().copied().collect();
        let copies = self.copies.iter().map(|copy| (copy.after, copy.length));
        let ahead = spot.ahead().iter().zip(spot.n + 1..);
        let stays = ahead.filter(|(_, i)| !gone.contains(i));
        let stays = stays.map(|(placed, i)| {
            let length = self.lengths.get(&i).copied();
            (i, length.unwrap_or(placed.length))
        });
        let (mut in_block, mut behind) = (Span::ZERO, Span::ZERO);
        for (i, length) in stays.chain(copies) {
            let sum = if spot.is_capped(i) {
                &mut in_block
            } else {
                &mut behind
            };
            *sum += length;
        }
        (spot.left(in_block, behind)).saturating_sub(self.off_running(spot))
    }

    fn off_running(&self, spot: &Spot<'_>) -> Span {
        let running = spot.plan.intervals().get(spot.n);
        let now = running.zip(self.lengths.get(&spot.n));
        now.map_or(Span::ZERO, |(running, &now)| {
            running.span().saturating_sub(now)
        })
    }

    /// The changes: lengths and what goes in the order of the class, then the copies.
    pub(super) fn changes(&self, plan: &Timeline) -> Vec<Change> {
        let all = plan.intervals();
        let lengths = self.lengths.iter();
        let lengths = lengths.map(|(&i, &length)| (i, ChangeKind::Length(length)));
        let drops = self.gone.iter().map(|&i| (i, ChangeKind::Drop));
        let mut out: Vec<(usize, ChangeKind)> = lengths.chain(drops).collect();
        out.sort_by_key(|&(i, _)| i);
        out.extend(self.copies.iter().map(|copy| {
            let kind = ChangeKind::Round {
                after: all[copy.after].id,
                length: copy.length,
                round: copy.round,
            };
            (copy.of, kind)
        }));
        let change = |(i, kind): (usize, ChangeKind)| Change {
            id: all[i].id,
            kind,
        };
        out.into_iter().map(change).collect()
    }
}

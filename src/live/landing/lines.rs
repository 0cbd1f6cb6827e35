//! The changes as a person understands them, in the order of the class.
//!
//! Equal changes near one another are one line. Lengths are shown as the digits will count them,
//! a begun second as a whole one. It refuses to know why a change was made.

use std::collections::{BTreeMap, BTreeSet};

use super::shape::{Shape, block_of, shapes};
use super::{Draft, Spot};
use crate::plan::{Interval, Kind};
use crate::time::Span;

/// The lines of a draft, the new length of the class and what is still over last.
pub(super) fn lines(spot: &Spot<'_>, draft: &Draft, total: Span, over: Span) -> Vec<String> {
    let all = spot.plan.intervals();
    let words = Words {
        all,
        n: spot.n,
        shapes: shapes(all),
        blocks: blocks(all),
        gone: draft.gone.iter().copied().collect(),
    };
    let mut lines = words.shortened(draft);
    lines.extend(words.left_out(draft));
    lines.extend(words.more(draft));
    lines.sort_by_key(|&(first, _)| first);
    let mut lines: Vec<String> = lines.into_iter().map(|(_, line)| line).collect();
    let rest: Span = all
        .iter()
        .skip(spot.n + 1)
        .map(|interval| interval.length)
        .sum();
    let before = spot.at.span() + spot.remaining + rest;
    if before != total {
        lines.push(format!("class: {}", change(before, total)));
    }
    if !over.is_zero() {
        lines.push(format!("still {} over", over.ceil_secs()));
    }
    lines
}

/// `45 → 30`, or `1:15 → 0:50` where one of them is a minute or more.
fn change(from: Span, to: Span) -> String {
    let (from, to) = (from.ceil_secs(), to.ceil_secs());
    if from.max(to) < Span::from_secs(60) {
        format!("{} → {}", from.secs_up(), to.secs_up())
    } else {
        format!("{from} → {to}")
    }
}

fn times(count: usize) -> String {
    const WORDS: [&str; 11] = [
        "twice", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
        "twelve",
    ];
    match count {
        0 | 1 => String::new(),
        2 => ", twice".into(),
        3..=12 => format!(", {} times", WORDS[count - 2]),
        _ => format!(", {count} times"),
    }
}

/// `1 and 2`, `1 to 4`, `1, 2 and 4`.
fn numbers(of: &BTreeSet<usize>) -> String {
    let of: Vec<usize> = of.iter().copied().collect();
    match of[..] {
        [] => String::new(),
        [one] => one.to_string(),
        [first, .., last] if of.len() > 2 && last - first + 1 == of.len() => {
            format!("{first} to {last}")
        }
        [ref init @ .., last] => {
            let init: Vec<String> = init.iter().map(ToString::to_string).collect();
            format!("{} and {last}", init.join(", "))
        }
    }
}

struct Words<'a> {
    all: &'a [Interval],
    n: usize,
    shapes: BTreeMap<usize, Shape>,
    /// What each block is called, and how many works it has.
    blocks: BTreeMap<usize, (String, usize)>,
    gone: BTreeSet<usize>,
}

fn blocks(all: &[Interval]) -> BTreeMap<usize, (String, usize)> {
    let mut blocks = BTreeMap::new();
    for interval in all {
        if let Some(place) = &interval.place {
            let block = place.block;
            let name = || {
                let title = place.title.as_deref();
                title.map_or_else(|| format!("block {block}"), Into::into)
            };
            let (_, works) = blocks.entry(block).or_insert_with(|| (name(), 0));
            *works += usize::from(interval.kind == Kind::Work);
        }
    }
    blocks
}

/// What makes changes equal: kind, block, lengths as shown, and, where it stands alone, which one.
type Key = (Kind, Option<usize>, u64, u64, Option<usize>);

impl Words<'_> {
    fn shortened(&self, draft: &Draft) -> Vec<(usize, String)> {
        let mut groups: BTreeMap<Key, Vec<usize>> = BTreeMap::new();
        for (&i, &to) in &draft.lengths {
            groups.entry(self.key(i, to)).or_default().push(i);
        }
        let line = |(key, of): (Key, Vec<usize>)| (of[0], self.group(key, &of, draft));
        groups.into_iter().map(line).collect()
    }

    fn key(&self, i: usize, to: Span) -> Key {
        let interval = &self.all[i];
        let (block, from) = (block_of(interval), interval.length.secs_up());
        let alone = i == self.n || block.is_none() || interval.moves.len() > 1;
        match interval.kind {
            Kind::CoolDown if i != self.n => (Kind::CoolDown, None, 0, 0, None),
            kind => (kind, block, from, to.secs_up(), alone.then_some(i)),
        }
    }

    fn group(&self, (kind, ..): Key, of: &[usize], draft: &Draft) -> String {
        let sum = |length: &dyn Fn(usize) -> Span| of.iter().map(|&i| length(i)).sum::<Span>();
        if kind == Kind::CoolDown {
            let now = self.of_kind(kind).into_iter();
            let from: Span = now.clone().map(|i| self.all[i].length).sum();
            let less = sum(&|i| self.all[i].length.less(draft.lengths[&i]));
            return format!("{}: {}", self.label(of), change(from, from.less(less)));
        }
        let change = change(self.all[of[0]].length, draft.lengths[&of[0]]);
        format!("{}: {change}{}", self.label(of), times(of.len()))
    }

    fn of_kind(&self, kind: Kind) -> Vec<usize> {
        let ahead = self.n + 1..self.all.len();
        ahead.filter(|&i| self.all[i].kind == kind).collect()
    }

    fn label(&self, of: &[usize]) -> String {
        let (i, kind) = (of[0], self.all[of[0]].kind);
        if i == self.n {
            return format!("the running {}", kind.label());
        }
        match (kind, block_of(&self.all[i])) {
            (Kind::CoolDown, _) => kind.label().into(),
            (Kind::Recovery, Some(block)) => self.recovery(of, block),
            (Kind::Rest | Kind::Work, Some(block)) => self.within(of, block),
            _ => format!("{} {}", kind.label(), self.ahead_of(i)),
        }
    }

    fn recovery(&self, of: &[usize], block: usize) -> String {
        let name = self.block(block);
        match (of, self.shapes.get(&block)) {
            ([one], Some(Shape::ByMove)) => {
                format!("recovery after {} of {name}", self.mover(*one))
            }
            (_, Some(Shape::ByMove)) => format!("recoveries between the moves of {name}"),
            ([_], _) => format!(
                "recovery after round {} of {name}",
                numbers(&self.rounds(of))
            ),
            _ => format!(
                "recoveries after rounds {} of {name}",
                numbers(&self.rounds(of))
            ),
        }
    }

    fn within(&self, of: &[usize], block: usize) -> String {
        let what = match (self.all[of[0]].kind, of) {
            (Kind::Work, [one]) if self.all[*one].moves.len() > 1 => return self.block(block),
            (Kind::Work, [one]) => self.mover(*one),
            (Kind::Work, _) => "works".into(),
            (_, [one]) => format!("rest after {}", self.mover(*one)),
            _ => "rests".into(),
        };
        let (rounds, name) = (self.rounds(of), self.block(block));
        let all = self.all[of[0]]
            .place
            .as_ref()
            .map_or(0, |place| place.rounds);
        match rounds.len() {
            some if some == all => format!("{what} in {name}"),
            1 => format!("{what} in round {} of {name}", numbers(&rounds)),
            _ => format!("{what} in rounds {} of {name}", numbers(&rounds)),
        }
    }

    fn rounds(&self, of: &[usize]) -> BTreeSet<usize> {
        let place = |&i: &usize| self.all[i].place.as_ref();
        of.iter()
            .filter_map(place)
            .map(|place| place.round)
            .collect()
    }

    /// The name of the move done in an interval, or before a rest.
    fn mover(&self, i: usize) -> String {
        let moving = self.all[..=i].iter().rev().find_map(Interval::turn);
        moving.map_or_else(|| "the move".into(), |turn| turn.of.name.clone())
    }

    fn block(&self, block: usize) -> String {
        self.blocks
            .get(&block)
            .map_or_else(String::new, |(name, _)| name.clone())
    }

    /// What an interval leads to; one that stays leads to what stays.
    fn ahead_of(&self, i: usize) -> String {
        let stays = |&b: &usize| self.gone.contains(&i) || !self.gone.contains(&b);
        let mut ahead = (i..self.all.len()).filter(stays).map(|b| &self.all[b]);
        let next = ahead.find(|interval| interval.kind.is_moving());
        match next.map(|next| (next.kind, block_of(next))) {
            None => "at the end".into(),
            Some((_, Some(block))) => format!("before {}", self.block(block)),
            Some((kind, None)) => format!("before the {}", kind.label()),
        }
    }

    fn left_out(&self, draft: &Draft) -> Vec<(usize, String)> {
        let mut blocks: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for &work in draft.rounds.iter().flatten() {
            if let Some(block) = block_of(&self.all[work]) {
                blocks.entry(block).or_default().push(work);
            }
        }
        let mut lines: Vec<(usize, String)> = blocks
            .into_iter()
            .filter_map(|(block, works)| {
                let first = works.iter().min().copied()?;
                Some((first, format!("{} left out", self.what_goes(block, &works))))
            })
            .collect();
        let leads = draft.gone.iter().filter(|&&i| self.all[i].place.is_none());
        lines.extend(leads.map(|&i| {
            let kind = self.all[i].kind.label();
            (i, format!("{kind} {} left out", self.ahead_of(i)))
        }));
        lines
    }

    fn what_goes(&self, block: usize, works: &[usize]) -> String {
        let (name, rounds) = (self.block(block), numbers(&self.rounds(works)));
        let s = if self.rounds(works).len() > 1 {
            "s"
        } else {
            ""
        };
        match (self.shapes.get(&block), works.len()) {
            (_, count) if self.blocks.get(&block).is_some_and(|b| b.1 == count) => name,
            (Some(Shape::Emom), 1) => format!("last minute of {name}"),
            (Some(Shape::Emom), count) => format!("last {count} minutes of {name}"),
            (Some(Shape::ByMove), _) if self.has_begun(block) => {
                format!("what is left of round{s} {rounds} of {name}")
            }
            _ => format!("round{s} {rounds} of {name}"),
        }
    }

    fn has_begun(&self, block: usize) -> bool {
        let running = self.all.get(self.n);
        running.and_then(block_of) == Some(block)
    }

    fn more(&self, draft: &Draft) -> Option<(usize, String)> {
        let &(source, after, ..) = draft.copies.first()?;
        let block = block_of(&self.all[source])?;
        let length: Span = draft.copies.iter().map(|&(_, _, length, _)| length).sum();
        let unit = match self.shapes.get(&block) {
            Some(Shape::Emom) => "minute",
            _ => "round",
        };
        let line = format!(
            "one more {unit} of {}: {}",
            self.block(block),
            length.ceil_secs()
        );
        Some((after, line))
    }
}

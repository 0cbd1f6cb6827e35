//! The changes as a person understands them, in the order of the class.
//!
//! Equal changes near one another are one line. Why a change was made is not known here.

use std::collections::{BTreeMap, BTreeSet};

use super::draft::Draft;
use super::spot::Spot;
use super::words::{change, number, numbers, times, unit};
use crate::plan::{Kind, Place, Placed, Shape};
use crate::time::Span;

/// The lines of a draft.
pub(super) fn lines(spot: &Spot<'_>, draft: &Draft) -> Vec<String> {
    let all = spot.plan.intervals();
    let gone: BTreeSet<usize> = draft.gone.iter().copied().collect();
    let words = Words {
        all,
        n: spot.n,
        draft,
        next: next_moves(all, &BTreeSet::new()),
        next_that_stays: next_moves(all, &gone),
        gone,
    };
    let mut lines = words.lengths();
    lines.extend(words.left_out());
    lines.extend(words.more());
    lines.extend(words.cap(spot));
    lines.sort_by_key(|&(first, _)| first);
    lines.into_iter().map(|(_, line)| line).collect()
}

/// The lines of what comes of it: the new length of the class, and what is still over.
pub(super) fn outcome(before: Span, total: Span, over: Span) -> Vec<String> {
    let length = (before != total).then(|| format!("class: {}", change(before, total)));
    let over = (!over.is_zero()).then(|| format!("still {} over", over.ceil_secs()));
    length.into_iter().chain(over).collect()
}

struct Words<'a> {
    all: &'a [Placed],
    n: usize,
    draft: &'a Draft,
    gone: BTreeSet<usize>,
    next: Vec<Option<usize>>,
    next_that_stays: Vec<Option<usize>>,
}

/// Of every interval the next in which people move, but for these.
fn next_moves(all: &[Placed], but: &BTreeSet<usize>) -> Vec<Option<usize>> {
    let (mut next, mut of_all) = (None, vec![None; all.len()]);
    for (i, of) in of_all.iter_mut().enumerate().rev() {
        if all[i].kind.is_moving() && !but.contains(&i) {
            next = Some(i);
        }
        *of = next;
    }
    of_all
}

/// What makes changes equal: kind, block, lengths as shown, and, where it stands alone, which one.
type Key = (Kind, Option<usize>, u64, u64, Option<usize>);

/// `Ebb`, or `block 2` where it is not called anything.
fn name(place: &Place) -> String {
    let title = place.title.as_deref();
    title.map_or_else(|| format!("block {}", place.block), Into::into)
}

impl Words<'_> {
    fn lengths(&self) -> Vec<(usize, String)> {
        let mut groups: BTreeMap<Key, Vec<usize>> = BTreeMap::new();
        for (&i, &to) in &self.draft.lengths {
            groups.entry(self.key(i, to)).or_default().push(i);
        }
        let line = |(key, of): (Key, Vec<usize>)| (of[0], self.group(key.0, &of));
        groups.into_iter().map(line).collect()
    }

    fn key(&self, i: usize, to: Span) -> Key {
        let placed = &self.all[i];
        let alone = i == self.n || placed.place.is_none() || placed.is_window();
        match placed.kind {
            kind @ (Kind::WarmUp | Kind::CoolDown) if i != self.n => (kind, None, 0, 0, None),
            kind => {
                let (from, to) = (placed.span().secs_ceil(), to.secs_ceil());
                (kind, placed.block(), from, to, alone.then_some(i))
            }
        }
    }

    fn group(&self, kind: Kind, of: &[usize]) -> String {
        let (label, to) = (self.label(of), |i: usize| self.draft.lengths[&i]);
        if of[0] != self.n && matches!(kind, Kind::WarmUp | Kind::CoolDown) {
            let ahead = (self.n + 1..self.all.len()).filter(|&i| self.all[i].kind == kind);
            let sum = |length: &dyn Fn(usize) -> Span| ahead.clone().map(length).sum::<Span>();
            let from = |i: usize| self.all[i].span();
            let now = |i: usize| self.draft.lengths.get(&i).copied().unwrap_or(from(i));
            return format!("{label}: {}", change(sum(&from), sum(&now)));
        }
        let change = change(self.all[of[0]].span(), to(of[0]));
        format!("{label}: {change}{}", times(of.len()))
    }

    fn label(&self, of: &[usize]) -> String {
        let (i, kind) = (of[0], self.all[of[0]].kind);
        if i == self.n {
            return format!("the running {}", kind.label());
        }
        match (kind, &self.all[i].place) {
            (Kind::WarmUp | Kind::CoolDown, _) => kind.label().into(),
            (Kind::Recovery, Some(place)) => self.recovery(of, place),
            (Kind::Rest | Kind::Work, Some(place)) => self.within(of, place),
            _ => format!("{} {}", kind.label(), self.ahead_of(i)),
        }
    }

    fn recovery(&self, of: &[usize], place: &Place) -> String {
        let (name, rounds) = (name(place), numbers(&self.rounds(of)));
        match (of, place.shape) {
            ([one], Shape::Sets) => format!("recovery after {} of {name}", self.mover(*one)),
            (_, Shape::Sets) => format!("recoveries between the moves of {name}"),
            ([_], _) => format!("recovery after round {rounds} of {name}"),
            _ => format!("recoveries after rounds {rounds} of {name}"),
        }
    }

    fn within(&self, of: &[usize], place: &Place) -> String {
        let what = match (self.all[of[0]].kind, of) {
            (Kind::Work, _) if place.shape == Shape::Window => return name(place),
            (Kind::Work, [one]) => self.mover(*one),
            (Kind::Work, _) => "works".into(),
            (_, [one]) => format!("rest after {}", self.mover(*one)),
            _ => "rests".into(),
        };
        let (rounds, name) = (self.rounds(of), name(place));
        let unit = unit(place.shape, rounds.len());
        if rounds.len() == place.round.of {
            format!("{what} in {name}")
        } else {
            format!("{what} in {unit} {} of {name}", numbers(&rounds))
        }
    }

    fn rounds(&self, of: &[usize]) -> BTreeSet<usize> {
        let place = |&i: &usize| self.all[i].place.as_ref();
        let places = of.iter().filter_map(place);
        places.map(|place| place.round.nth).collect()
    }

    /// The name of the move done in an interval, or before a rest.
    fn mover(&self, i: usize) -> String {
        let moving = self.all[..=i].iter().rev().find_map(|placed| placed.turn());
        moving.map_or_else(|| "the move".into(), |turn| turn.of.name.clone())
    }

    /// What an interval leads to; one that stays leads to what stays.
    fn ahead_of(&self, i: usize) -> String {
        let next = if self.gone.contains(&i) {
            self.next[i]
        } else {
            self.next_that_stays[i]
        };
        let next = next.map(|next| &self.all[next]);
        match next.map(|next| (next.kind, &next.place)) {
            None => "at the end".into(),
            Some((_, Some(place))) => format!("before {}", name(place)),
            Some((kind, None)) => format!("before the {}", kind.label()),
        }
    }

    fn left_out(&self) -> Vec<(usize, String)> {
        let mut blocks: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for &work in &self.draft.rounds {
            if let Some(block) = self.all[work].block() {
                blocks.entry(block).or_default().push(work);
            }
        }
        let whole = self.whole(&blocks);
        let mut lines: Vec<(usize, String)> = blocks
            .into_iter()
            .filter_map(|(block, works)| {
                let first = works.iter().min().copied()?;
                let place = self.all[first].place.as_ref()?;
                let what = if whole.contains(&block) {
                    name(place)
                } else {
                    self.what_goes(place, &works)
                };
                Some((first, format!("{what} left out")))
            })
            .collect();
        let gone = self.draft.gone.iter();
        let leads = gone.filter(|&&i| self.all[i].place.is_none());
        lines.extend(leads.map(|&i| {
            let kind = self.all[i].kind.label();
            (i, format!("{kind} {} left out", self.ahead_of(i)))
        }));
        lines
    }

    /// The blocks of which nothing is taught, nor will be.
    fn whole(&self, blocks: &BTreeMap<usize, Vec<usize>>) -> BTreeSet<usize> {
        let mut whole: BTreeSet<usize> = blocks.keys().copied().collect();
        for (i, placed) in self.all.iter().enumerate() {
            let is_taught = i <= self.n || !self.gone.contains(&i);
            if let Some(block) = placed.block().filter(|_| is_taught) {
                whole.remove(&block);
            }
        }
        whole
    }

    fn what_goes(&self, place: &Place, works: &[usize]) -> String {
        let (rounds, name) = (self.rounds(works), name(place));
        let unit = |count| unit(place.shape, count);
        match place.shape {
            Shape::Grid { .. } if works.len() == 1 => format!("last {} of {name}", unit(1)),
            Shape::Grid { .. } => {
                format!("last {} {} of {name}", works.len(), unit(works.len()))
            }
            Shape::Sets if self.runs(place.block) => {
                let unit = unit(rounds.len());
                format!("what is left of {unit} {} of {name}", numbers(&rounds))
            }
            Shape::Sets => {
                let unit = unit(rounds.len());
                format!("{unit} {} of each move of {name}", numbers(&rounds))
            }
            Shape::Rounds | Shape::Window => {
                format!("{} {} of {name}", unit(rounds.len()), numbers(&rounds))
            }
        }
    }

    fn runs(&self, block: usize) -> bool {
        let running = self.all.get(self.n);
        running.and_then(|running| running.block()) == Some(block)
    }

    /// When the block that runs ends by itself, where that comes before the end of what stays of it.
    fn cap(&self, spot: &Spot<'_>) -> Option<(usize, String)> {
        let capped = spot.capped?;
        let stays = (self.n + 1..capped.end).filter(|i| !self.gone.contains(i));
        let span = |i: usize| self.draft.lengths.get(&i).copied();
        let planned = stays.map(|i| span(i).unwrap_or(self.all[i].span())).sum();
        let place = self.all[self.n].place.as_ref()?;
        let line = || {
            let left = capped.room.ceil_secs();
            format!("{} ends at its cap, in {left}", name(place))
        };
        capped.is_cut(planned).then(|| (self.n, line()))
    }

    fn more(&self) -> Option<(usize, String)> {
        let first = self.draft.copies.first()?;
        let copies = self.draft.copies.iter();
        let length: Span = copies.clone().map(|copy| copy.length).sum();
        let place = self.all[first.of].place.as_ref()?;
        let count = match place.shape {
            Shape::Grid { .. } => copies
                .filter(|copy| self.all[copy.of].kind == Kind::Work)
                .count(),
            _ => 1,
        };
        let each = if place.shape == Shape::Sets {
            "each move of "
        } else {
            ""
        };
        let line = format!(
            "{} more {} of {each}{}: {}",
            number(count),
            unit(place.shape, count),
            name(place),
            length.ceil_secs()
        );
        Some((first.after, line))
    }
}

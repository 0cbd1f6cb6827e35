//! Runs of works on end that have something in common.

use super::context::{Context, done_by};
use super::figures::BREAKS_RUN;
use crate::plan::Placed;
use crate::session::Use;
use crate::time::{Offset, Span};

/// Works on end with no pause between them that would let anything recover.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Stretch {
    /// The works, by their places in the timeline.
    pub(super) works: Vec<usize>,
    /// Their time, the rests between them left out.
    pub(super) time: Span,
    /// How many different moves they are.
    pub(super) moves: usize,
}

/// The stretches of intervals for which something holds; another interval in which people move,
/// or a pause of 30 s, ends one. Where several moves are done at once, those of each group.
pub(super) fn stretches<'a>(
    context: &Context<'a>,
    among: impl Iterator<Item = (usize, &'a Placed)>,
    holds: impl Fn(&Use) -> bool,
) -> Vec<Stretch> {
    let among: Vec<_> = among.collect();
    let walkers = 0..context.walkers();
    let each = walkers.flat_map(|walker| of_walker(context, &among, &holds, walker));
    each.collect()
}

fn of_walker<'a>(
    context: &Context<'a>,
    among: &[(usize, &'a Placed)],
    holds: impl Fn(&Use) -> bool,
    walker: usize,
) -> Vec<Stretch> {
    let all = context.intervals();
    let mut found: Vec<Vec<usize>> = Vec::new();
    let (mut open, mut ended) = (false, Offset::ZERO);
    for &(n, interval) in among {
        let does = done_by(interval, walker).iter().any(|turn| holds(turn));
        let follows = open && interval.start - ended < BREAKS_RUN;
        match found.last_mut().filter(|_| follows && does) {
            Some(run) => run.push(n),
            None if does => found.push(vec![n]),
            None => {}
        }
        (open, ended) = (does, interval.end);
    }
    let stretch = |works: Vec<usize>| {
        let mut ids: Vec<&str> = works
            .iter()
            .flat_map(|&n| done_by(&all[n], walker).iter().map(|turn| &*turn.of.id))
            .collect();
        ids.sort_unstable();
        ids.dedup();
        Stretch {
            time: works.iter().map(|&n| all[n].span()).sum(),
            moves: ids.len(),
            works,
        }
    };
    found.into_iter().map(stretch).collect()
}

/// The one that takes longest.
pub(super) fn longest(stretches: Vec<Stretch>) -> Option<Stretch> {
    stretches.into_iter().max_by_key(|stretch| stretch.time)
}

//! How short each interval may become by itself, whatever stands around it.
//!
//! It refuses to know what is over. The time to change between two moves is kept elsewhere.

use std::collections::BTreeMap;

use super::shape::{Shape, shapes};
use crate::plan::{Interval, Kind, least, time_to_say};
use crate::session::Cueing;
use crate::time::Span;

/// The shortest recovery, and the shortest talk (common practice, no source).
const SHORTEST_PAUSE: Span = Span::from_secs(10);

/// The shortest work bout of interval training (ACSM information sheet: 5 s to 8 min).
const SHORTEST_WORK: Span = Span::from_secs(5);

/// The floor of every interval; its length where it cannot be shortened.
pub(super) fn own_floors(all: &[Interval], cueing: &Cueing) -> Vec<Span> {
    let shapes: BTreeMap<usize, Shape> = shapes(all);
    let is_fixed = |interval: &Interval| {
        let block = interval.place.as_ref().map(|place| place.block);
        interval.untimed || block.is_some_and(|block| shapes.get(&block) == Some(&Shape::Emom))
    };
    all.iter()
        .map(|interval| {
            if is_fixed(interval) {
                interval.length
            } else {
                own_floor(interval, cueing).min(interval.length)
            }
        })
        .collect()
}

fn own_floor(interval: &Interval, cueing: &Cueing) -> Span {
    let least = least(cueing);
    match interval.kind {
        Kind::Recovery => SHORTEST_PAUSE.max(least),
        Kind::Rest | Kind::Ready => least,
        Kind::Talk => SHORTEST_PAUSE.max(time_to_say(&interval.say, cueing).ceil_secs()),
        Kind::Work => two_thirds(interval.planned).max(SHORTEST_WORK),
        Kind::CoolDown => half(interval.planned),
        Kind::WarmUp => interval.length,
    }
}

fn two_thirds(planned: Span) -> Span {
    Span::from_millis((planned * 2).millis().div_ceil(3)).ceil_secs()
}

fn half(planned: Span) -> Span {
    Span::from_millis(planned.millis().div_ceil(2)).ceil_secs()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_of_the_plan_are_rounded_up_to_whole_seconds() {
        for (planned, thirds, halves) in [
            (30_000, 20_000, 15_000),
            (40_000, 27_000, 20_000),
            (45_000, 30_000, 23_000),
            (7_500, 5_000, 4_000),
            (1, 1_000, 1_000),
            (0, 0, 0),
        ] {
            let planned = Span::from_millis(planned);
            assert_eq!(two_thirds(planned), Span::from_millis(thirds), "{planned}");
            assert_eq!(half(planned), Span::from_millis(halves), "{planned}");
        }
    }
    /// 45, 20 and 15 are four words: forty, five, twenty, fifteen. At 120 words a minute the
    /// eleven words take 5.5 s and the two sentences a breath of half a second each.
    #[test]
    fn words_take_as_long_as_they_take_the_prompts() {
        let cueing = Cueing {
            words_per_minute: 120,
            ..Cueing::default()
        };
        let say = "Rounds of 45, 20 and 15. Water by the door.";
        assert_eq!(time_to_say(say, &cueing), Span::from_millis(6_500));
    }
}

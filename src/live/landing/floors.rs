//! How short each interval may become by itself, whatever stands around it.
//!
//! What is over is not known here, and the time to change between two moves is kept elsewhere.

use super::steps::is_window;
use crate::plan::{Interval, Kind, Placed, least, time_to_say};
use crate::session::Cueing;
use crate::time::Span;

/// The shortest recovery, and the shortest talk (common practice, no source).
const SHORTEST_PAUSE: Span = Span::from_secs(10);

/// The shortest work bout of interval training (ACSM information sheet: 5 s to 8 min).
const SHORTEST_WORK: Span = Span::from_secs(5);

/// The shortest window in which a circuit is worth repeating (common practice, no source).
const SHORTEST_WINDOW: Span = Span::from_secs(60);

/// How short an interval may become.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Floors {
    /// In the first step that takes from it.
    pub(super) soft: Span,
    /// In the step that takes from it once more; never above the soft one.
    pub(super) hard: Span,
}

impl Floors {
    const fn at(floor: Span) -> Self {
        Self {
            soft: floor,
            hard: floor,
        }
    }

    /// Neither of them below this floor.
    pub(super) fn at_least(self, floor: Span) -> Self {
        Self {
            soft: self.soft.max(floor),
            hard: self.hard.max(floor),
        }
    }

    /// As short as a window may become that would be left out otherwise.
    pub(super) fn of_last_resort(self) -> Self {
        Self {
            hard: self.hard.min(SHORTEST_WINDOW),
            ..self
        }
    }

    /// Neither of them above this length.
    fn at_most(self, length: Span) -> Self {
        Self {
            soft: self.soft.min(length),
            hard: self.hard.min(length),
        }
    }
}

/// Whether nobody may change its length: it has none, or it holds a grid.
pub(super) fn is_fixed(interval: &Interval) -> bool {
    interval.untimed || interval.grid().is_some()
}

/// The floors of a rest of a grid at the end of the class: no start hangs on it, and it leads to
/// nothing.
pub(super) fn floors_at_the_end(rest: &Placed) -> Floors {
    Floors::at(Span::from_secs(1)).at_most(rest.span())
}

/// The floors that an interval has by itself; its length where it cannot be shortened.
pub(super) fn own_floors(placed: &Placed, cueing: &Cueing) -> Floors {
    let length = placed.span();
    if is_fixed(placed) {
        return Floors::at(length);
    }
    let planned = placed.planned;
    let floors = match placed.kind {
        Kind::Recovery => pause(planned, SHORTEST_PAUSE.max(least(cueing))),
        Kind::Rest => pause(planned, least(cueing)),
        Kind::Ready => Floors::at(least(cueing)),
        Kind::Talk => Floors::at(SHORTEST_PAUSE.max(time_to_say(&placed.say, cueing).ceil_secs())),
        Kind::Work if is_window(placed) => window(planned),
        Kind::Free => Floors::at(part(planned, 2, 3).max(SHORTEST_PAUSE)),
        Kind::Work | Kind::WarmUp => Floors::at(part(planned, 2, 3).max(SHORTEST_WORK)),
        Kind::CoolDown => Floors {
            soft: part(planned, 3, 4),
            hard: part(planned, 1, 2),
        },
    };
    floors.at_most(length)
}

fn pause(planned: Span, hard: Span) -> Floors {
    let half = part(planned, 1, 2);
    Floors { soft: half, hard }.at_least(hard)
}

fn window(planned: Span) -> Floors {
    let soft = part(planned, 2, 3).max(SHORTEST_WORK);
    let hard = part(planned, 1, 3).max(SHORTEST_WINDOW).min(soft);
    Floors { soft, hard }
}

/// So many of so many parts of a length, rounded up to whole seconds.
fn part(planned: Span, some: u64, of: u64) -> Span {
    Span::from_millis((planned * some).millis().div_ceil(of)).ceil_secs()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_of_the_plan_are_rounded_up_to_whole_seconds() {
        for (planned, some, of, floor) in [
            (30_000, 2, 3, 20_000),
            (40_000, 2, 3, 27_000),
            (45_000, 1, 2, 23_000),
            (45_000, 3, 4, 34_000),
            (7_500, 2, 3, 5_000),
            (1, 1, 3, 1_000),
            (0, 1, 2, 0),
        ] {
            let got = part(Span::from_millis(planned), some, of);
            assert_eq!(got, Span::from_millis(floor), "{some} of {of} of {planned}");
        }
    }

    #[test]
    fn a_window_is_never_cut_below_a_minute_nor_out_of_order() {
        for (planned, soft, hard) in [(600, 400, 200), (285, 190, 95), (120, 80, 60), (75, 50, 50)]
        {
            let got = window(Span::from_secs(planned));
            let (soft, hard) = (Span::from_secs(soft), Span::from_secs(hard));
            assert_eq!(got, Floors { soft, hard }, "{planned}");
        }
    }

    /// 45, 20 and 15 are four words: forty, five, twenty, fifteen; and two sentences have two
    /// breaths.
    #[test]
    fn words_take_as_long_as_they_take_the_prompts() {
        let cueing = Cueing {
            words_per_minute: 120,
            ..Cueing::default()
        };
        let say = "Rounds of 45, 20 and 15. Water by the door.";
        let spoken = "Rounds of forty-five, twenty and fifteen. Water by the door.";
        assert_eq!(time_to_say(say, &cueing), time_to_say(spoken, &cueing));
        let sentences = ["Rounds of 45, 20 and 15", "Water by the door"];
        let apart = sentences.map(|say| time_to_say(say, &cueing));
        assert_eq!(time_to_say(say, &cueing), apart[0] + apart[1]);
    }
}

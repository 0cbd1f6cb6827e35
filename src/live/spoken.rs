//! What is to be said from now on, on the steady clock: for a voice that speaks the words.

use super::machine::{Live, State};
use crate::plan::{Interval, Prompt};
use crate::session::Position;
use crate::time::{Moment, Offset};

/// Words to be said at a moment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Words {
    /// When they are to be said.
    pub at: Moment,
    /// When they are to have been said.
    pub until: Moment,
    /// The words.
    pub say: String,
    /// Whether she is then in a position from which nobody can read a screen.
    pub is_blind: bool,
}

impl Live {
    /// The words that are not over, in order of time, as far as their time is known: nothing where the
    /// class is held, and nothing beyond work that lasts until she goes on.
    #[must_use]
    pub fn words_ahead(&self, now: Moment) -> Vec<Words> {
        let (from, base) = match self.state {
            State::Running { from, at } => (from, at),
            State::CountIn { from, go, .. } => (from, go),
            _ => return Vec::new(),
        };
        let here = self.offset(now).max(from);
        let intervals = self.plan.intervals();
        let running = self.running();
        let left = intervals.get(running..).unwrap_or(&[]);
        let open = left.iter().position(|interval| interval.untimed);
        let last = open.map_or(usize::MAX, |open| running + open);
        let prompts = self.cues.prompts.iter();
        let ahead = prompts
            .filter(|prompt| prompt.until > here && (running..=last).contains(&prompt.interval));
        // What is being said began before the place from which the clock is counted, after a hold.
        let moment = |offset: Offset| {
            if offset >= from {
                base + offset.since(from)
            } else {
                base.before(from.since(offset))
            }
        };
        let words = ahead.map(|prompt: &Prompt| Words {
            at: moment(prompt.at),
            until: moment(prompt.until),
            say: prompt.say.clone(),
            is_blind: intervals.get(prompt.interval).is_some_and(|i| is_blind(i)),
        });
        words.collect()
    }
}

/// Whether people move in a position from which nobody can read a screen: on hands and feet, forearms,
/// hands and knees, lying on the front, the back or a side.
#[must_use]
pub fn is_blind(interval: &Interval) -> bool {
    use Position::{Forearms, HandsAndFeet, HandsAndKnees, Prone, SideLying, Supine};
    let position = interval.turn().map(|turn| turn.position());
    let blind = [
        HandsAndFeet,
        Forearms,
        HandsAndKnees,
        Prone,
        Supine,
        SideLying,
    ];
    interval.kind.is_moving() && position.is_some_and(|position| blind.contains(&position))
}

//! The second press of what is asked twice: it counts once it is clear that the key was not held.
//!
//! A key held down, or a pedal stood on, sends its second press after half a second, just as a
//! person does who means it. But then it goes on sending. So the press waits a moment for another.

use crate::live::{Act, Input};
use crate::time::{Moment, Span};

/// How long a key is watched for going on. The slowest keyboards repeat ten times a second.
const SETTLE: Span = Span::from_millis(150);

/// A press that waits, if one does. Moments are real time, whatever a rehearsal makes of it.
#[derive(Clone, Debug, Default)]
pub(super) struct Insist {
    waiting: Option<(Input, Moment)>,
}

impl Insist {
    /// Whether this may end the class where it answers a question.
    pub(super) const fn concerns(input: &Input) -> bool {
        matches!(
            input,
            Input::End | Input::Act(Act::GoOn | Act::Skip | Act::CatchUp | Act::Undo)
        )
    }

    /// The second press.
    pub(super) fn pressed(&mut self, input: Input, now: Moment) {
        self.waiting = Some((input, now + SETTLE));
    }

    /// The key goes on, or another one was pressed.
    pub(super) fn forget(&mut self) {
        self.waiting = None;
    }

    /// When to look again.
    pub(super) fn next(&self) -> Option<Moment> {
        self.waiting.as_ref().map(|(_, settled)| *settled)
    }

    /// What was meant by now, once.
    pub(super) fn settled(&mut self, now: Moment) -> Option<Input> {
        let (input, _) = self.waiting.take_if(|(_, settled)| *settled <= now)?;
        Some(input)
    }
}

#[cfg(test)]
mod tests {
    use super::super::keys::{Key, Keys, Preset};
    use super::*;

    /// Presses of one key, the first of which asks; tells whether it was meant.
    fn is_meant(presses: &[u64]) -> bool {
        let mut keys = Keys::of(Preset::Arrows, &[]);
        let mut insist = Insist::default();
        let key = Key::named("q").expect("a key");
        let mut asked = false;
        for press in presses {
            let now = Moment::from_millis(*press);
            if insist.settled(now).is_some() {
                return true;
            }
            insist.forget();
            if !keys.bounces(key, now) {
                if asked {
                    insist.pressed(Input::End, now);
                }
                asked = true;
            }
        }
        insist.settled(Moment::from_millis(60_000)).is_some()
    }

    /// Delay and rate of a held key: from memory, the usual ones of a bare console (250 ms, 92 ms),
    /// of desktops (500 ms, 33 ms) and of a slow setting (1 s, 110 ms).
    #[test]
    fn a_key_held_down_never_ends_the_class_and_two_presses_do() {
        for (delay, every) in [(250, 92), (500, 33), (1000, 110)] {
            for repeats in 2..40 {
                let held: Vec<u64> = std::iter::once(0)
                    .chain((0..repeats).map(|n| delay + n * every))
                    .collect();
                assert!(!is_meant(&held), "{held:?}");
            }
        }
        for second in [140, 300, 500, 1000, 3500] {
            assert!(is_meant(&[0, second]), "{second}");
        }
        assert!(!is_meant(&[0]));
    }
}

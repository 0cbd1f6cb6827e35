//! Why something is not said, and how much time it lacks.
//!
//! It refuses to know what could be done about it; that is the review's.

use super::choose::Places;
use super::cues::{PromptKind, Unplaced};
use super::desk::{Desk, Told};
use super::home::Home;
use super::leg::Leg;
use super::room::{Ask, Room};
use super::speech::BREATH;
use super::turn::Turn;
use crate::time::{Offset, Span};

impl Desk<'_> {
    /// Why an ask of a room was not chosen.
    pub(super) fn unplaced(
        &self,
        n: usize,
        room: &Room,
        asks: &[Ask],
        places: &Places,
        k: usize,
    ) -> Unplaced {
        let ask = &asks[k];
        let broken = ask
            .needs
            .is_some_and(|m| places.iter().all(|place| place.0 != m));
        let stretch = room.stretch(asks, places, ask);
        let allowed = room.allowance(asks, places);
        let interval = self.interval(n);
        let (kind, length, long) = (interval.kind.label(), interval.length, ask.long.secs());
        let (open, why) = if broken {
            let why = "the words before it have no room either".to_owned();
            (Span::ZERO, why)
        } else if allowed < stretch {
            let left = allowed.secs();
            let why = format!(
                "no more than half of the {kind} of {length} may be speech: {left:.1} s are left, and it takes {long:.1} s"
            );
            (allowed, why)
        } else {
            let left = stretch.secs();
            let why = format!(
                "the {kind} of {length} leaves {left:.1} s for it, and it takes {long:.1} s"
            );
            (stretch, why)
        };
        Unplaced {
            about: ask.about,
            kind: ask.kind,
            say: ask.say.clone(),
            marked: ask.marked,
            short: ask.long.less(open),
            why,
        }
    }

    /// Why a move has no preview, or has it late.
    pub(super) fn fault(&self, leg: &Leg, next: &Turn, home: &Home) -> Option<Unplaced> {
        if home.heard {
            return None;
        }
        let told = Told::default();
        let needed = next.lead(self.cueing);
        let (short, why) = if home.room.is_some() {
            if home.late.is_zero() {
                return None;
            }
            let (late, lead) = (home.late.secs(), needed.secs());
            let why = format!(
                "the change came late: it is said {late:.1} s short of its lead of {lead:.1} s"
            );
            (home.late, why)
        } else {
            let by = next.interval.start.before(needed);
            let rooms = leg.now.iter().map(|now| now.at).chain(leg.between.clone());
            let open = rooms.map(|n| self.open_for(n, &home.ask, by, &told)).max();
            let long = home.ask.long;
            let open = open.unwrap_or(Span::ZERO);
            let (left, takes, lead) = (open.secs(), long.secs(), needed.secs());
            let why = if leg.begin() == next.interval.start {
                "the class begins with it".to_owned()
            } else {
                format!(
                    "ahead of its lead of {lead:.1} s {left:.1} s are open since the move before began, and it takes {takes:.1} s"
                )
            };
            (long.less(open), why)
        };
        Some(Unplaced {
            about: next.at,
            kind: PromptKind::Preview,
            say: home.ask.say.clone(),
            marked: false,
            short,
            why,
        })
    }

    /// How much of a room is open to a preview.
    fn open_for(&self, n: usize, ask: &Ask, by: Offset, told: &Told) -> Span {
        let moving = self.interval(n).kind.is_moving();
        let from = if moving {
            self.interval(n).start + BREATH
        } else {
            self.open(n)
        };
        let by = if self.interval(n).untimed {
            by.min(self.half(n))
        } else {
            by
        };
        let ask = Ask {
            from,
            by,
            coming: moving,
            ..ask.clone()
        };
        let switch = self.switch(n, told);
        let places: Places = switch
            .iter()
            .enumerate()
            .map(|(k, ask)| (k, ask.from))
            .collect();
        let room = self.room(n, told);
        let stretch = room.stretch(&switch, &places, &ask);
        stretch.min(room.allowance(&switch, &places))
    }
}

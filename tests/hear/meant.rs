//! What a loudspeaker should play, worked out from what was ordered and when: the rule of the orders
//! written down once more, without the voice and its desk.

use super::{Moment, SignalKind, SoundOrder, Span, Strike};

/// What was ordered, and when.
pub(crate) struct Ordered {
    pub(crate) given: Moment,
    pub(crate) order: SoundOrder,
}

/// A strike that is meant, and since when: earlier than that it can't have been begun.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Meant {
    pub(crate) strike: Strike,
    pub(crate) given: Moment,
}

impl Meant {
    /// The latest moment at which it should be heard by a device with such a reach.
    pub(crate) fn latest(&self, reach: Span) -> Moment {
        self.strike.at.max(self.given + reach)
    }

    /// Whether it was asked for early enough to be on time.
    pub(crate) fn is_in_time(&self, reach: Span) -> bool {
        self.latest(reach) == self.strike.at
    }
}

/// A strike that was made void within the reach, so that it may have begun by then.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Void {
    pub(crate) strike: Strike,
    pub(crate) since: Moment,
}

/// What stands in the end: each strike that no later order has made void, in order of time.
pub(crate) fn meant(ordered: &[Ordered], reach: Span) -> (Vec<Meant>, Vec<Void>) {
    let (mut meant, mut void): (Vec<Meant>, Vec<Void>) = (Vec::new(), Vec::new());
    for Ordered { given, order } in ordered {
        let from = order.from;
        let before: Vec<Meant> = meant.extract_if(.., |m| m.strike.at >= from).collect();
        let now = order.score.strikes().iter().filter(|s| s.at >= from);
        for strike in now {
            let known = before.iter().find(|m| m.strike == *strike);
            meant.push(Meant {
                strike: *strike,
                given: known.map_or(*given, |m| m.given),
            });
        }
        let gone = before.iter().map(|m| m.strike);
        let gone = gone.filter(|s| s.at <= *given + reach && !order.score.strikes().contains(s));
        void.extend(gone.map(|strike| Void {
            strike,
            since: *given,
        }));
    }
    meant.sort_by_key(|m| m.strike.at);
    let (outranked, meant): (Vec<Meant>, Vec<Meant>) = meant
        .iter()
        .partition(|one| meant.iter().any(|other| is_outranked(one, other, reach)));
    void.extend(outranked.iter().map(|one| Void {
        strike: one.strike,
        since: one.latest(reach),
    }));
    (meant, void)
}

/// Of two that fall on the same moment the one to act on is heard. Where a key asks for them there
/// is some doubt about the moment, so that both may be heard.
fn is_outranked(one: &Meant, other: &Meant, reach: Span) -> bool {
    let apart = Span::from_millis(100);
    let meet =
        one.strike.at < other.latest(reach) + apart && other.strike.at < one.latest(reach) + apart;
    meet && weight(other.strike.kind) > weight(one.strike.kind)
}

/// Which of two signals somebody has to act on: the end, then starts, stops, switches, notices.
pub(crate) fn weight(kind: SignalKind) -> usize {
    use SignalKind::{Count, End, Go, Half, Stop, Switch, Warn};
    let order = [Count, Half, Warn, Switch, Stop, Go, End];
    order.iter().position(|k| *k == kind).unwrap_or(0)
}

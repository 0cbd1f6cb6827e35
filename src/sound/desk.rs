//! Where orders arrive: passed on to the stream that plays, remembered for the one that comes next.
//!
//! A device can be lost in the middle of a class. What the voice was told last is kept here, so
//! that the next device goes on at the right place. The audio callback never waits for this desk:
//! it reads a channel.

use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use super::Order;
use super::units::Volume;
use crate::plan::Signal;

/// The desk, shared by the app and the device's keeper.
#[derive(Debug)]
pub(crate) struct Desk(Mutex<Standing>);

#[derive(Debug)]
struct Standing {
    line: Option<Sender<Order>>,
    run: Option<Order>,
    volume: Volume,
    muted: bool,
    /// Scores that a voice may still hold. They are freed here, never in the callback.
    scores: Vec<Arc<[Signal]>>,
}

impl Desk {
    pub(crate) fn new(volume: Volume, muted: bool) -> Self {
        Self(Mutex::new(Standing {
            line: None,
            run: None,
            volume,
            muted,
            scores: Vec::new(),
        }))
    }

    fn standing(&self) -> MutexGuard<'_, Standing> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Remembers what lasts, and passes the order on where a stream plays.
    pub(crate) fn order(&self, order: Order) {
        let mut standing = self.standing();
        standing.remember(&order);
        if let Some(line) = &standing.line
            && line.send(order).is_err()
        {
            standing.line = None;
        }
    }

    /// A new line, on which all that stands has been said; the one before is closed.
    pub(crate) fn new_line(&self) -> Receiver<Order> {
        let mut standing = self.standing();
        let (line, orders) = channel();
        let said = [
            Order::Volume(standing.volume.step()),
            Order::Mute(standing.muted),
        ];
        for order in said.into_iter().chain(standing.run.clone()) {
            // The other end is in our hand.
            let _ = line.send(order);
        }
        standing.line = Some(line);
        orders
    }

    /// No stream plays any more.
    pub(crate) fn close_line(&self) {
        self.standing().line = None;
    }
}

impl Standing {
    fn remember(&mut self, order: &Order) {
        match order {
            Order::Run { score, .. } => {
                self.scores.retain(|old| Arc::strong_count(old) > 1);
                self.scores.push(Arc::clone(score));
                self.run = Some(order.clone());
            }
            Order::Hold => self.run = None,
            Order::Volume(step) => self.volume = Volume::new(*step),
            Order::Mute(muted) => self.muted = *muted,
            Order::Strike { .. } => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::time::{Moment, Offset};

    fn run(score: &Arc<[Signal]>) -> Order {
        Order::Run {
            score: Arc::clone(score),
            from: Offset::ZERO,
            at: Moment::ZERO,
        }
    }

    #[test]
    fn a_new_line_is_told_what_stands_and_nothing_that_is_over() {
        let desk = Desk::new(Volume::new(7), false);
        let (first, second): (Arc<[Signal]>, Arc<[Signal]>) = (Arc::new([]), Arc::new([]));
        desk.order(run(&first));
        desk.order(run(&second));
        desk.order(Order::Mute(true));
        let told: Vec<Order> = desk.new_line().try_iter().collect();
        let [
            Order::Volume(7),
            Order::Mute(true),
            Order::Run { score, .. },
        ] = &told[..]
        else {
            panic!("{told:?}");
        };
        assert!(Arc::ptr_eq(score, &second));
        desk.order(Order::Hold);
        assert_eq!(desk.new_line().try_iter().count(), 2);
    }

    /// The callback's reference is never the last one, so it frees no score.
    #[test]
    fn a_score_outlives_the_voice_that_drops_it() {
        let desk = Desk::new(Volume::FULL, false);
        let line = desk.new_line();
        let score: Arc<[Signal]> = Arc::new([]);
        let weak = Arc::downgrade(&score);
        desk.order(run(&score));
        drop(score);
        let held: Vec<Order> = line.try_iter().collect();
        desk.order(Order::Hold);
        drop(held);
        assert!(weak.upgrade().is_some());
        desk.order(run(&(Arc::new([]) as Arc<[Signal]>)));
        assert!(weak.upgrade().is_none());
    }
}

//! The order and the times of the steps of a warm-up or a cool-down.

use std::sync::Arc;

use super::orders;
use crate::plan::Transition;
use crate::session::{Action, Cueing, Sides, Step, Use, met};
use crate::time::Span;

/// Times of steps are multiples of this.
const NICE: Span = Span::from_secs(5);

/// A warm-up in its order: what gets people going, then joints, then small versions of what comes,
/// the hardest last.
pub(super) fn warm_up_order(mut steps: Vec<Arc<Use>>) -> Vec<Arc<Use>> {
    let cost = |turn: &Arc<Use>| turn.version().energy().and_then(met).unwrap_or(3.5);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "tenths of a MET"
    )]
    let tenths = |turn: &Arc<Use>| (cost(turn) * 10.0).round() as u64;
    let loads = |turn: &Arc<Use>| turn.loads().len();
    steps.sort_by_key(|turn| (tenths(turn), loads(turn)));
    let travels = |turn: &Arc<Use>| turn.of.action == Some(Action::Travel);
    let first = steps.iter().position(travels).unwrap_or(0);
    let mut order = vec![steps.remove(first)];
    let stage = |turn: &Arc<Use>| match turn.of.action {
        Some(Action::Mobilise) => 1,
        Some(Action::Travel) if tenths(turn) < 40 => 0,
        Some(Action::Travel) => 3,
        _ => 2,
    };
    steps.sort_by_key(stage);
    order.extend(steps);
    order
}

/// A cool-down in the order with the shortest ways, breath last. Whoever comes before it is known by
/// the last move of the work.
pub(super) fn cool_down_order(
    steps: Vec<Arc<Use>>,
    last: Option<&Arc<Use>>,
    cueing: &Cueing,
) -> Vec<Arc<Use>> {
    let breathes = |turn: &Arc<Use>| turn.of.action == Some(Action::Breathe);
    let (breath, mut rest): (Vec<_>, Vec<_>) = steps.into_iter().partition(breathes);
    rest.sort_by(|a, b| a.of.id.cmp(&b.of.id));
    let way = |from: Option<&Arc<Use>>, to: &Arc<Use>| {
        let from = from.map_or(&[][..], std::slice::from_ref);
        Transition::between(from, std::slice::from_ref(to), true)
            .takes(cueing)
            .millis()
    };
    let table: Vec<Vec<u64>> = rest
        .iter()
        .map(|a| rest.iter().map(|b| way(Some(a), b)).collect())
        .collect();
    let enter: Vec<u64> = rest.iter().map(|to| way(last, to)).collect();
    let leave = |from: usize| breath.first().map_or(0, |to| way(Some(&rest[from]), to));
    let leave: Vec<u64> = (0..rest.len()).map(leave).collect();
    let order = orders::best(rest.len(), |order| {
        let steps: u64 = order.windows(2).map(|pair| table[pair[0]][pair[1]]).sum();
        let ends = order.first().zip(order.last());
        steps + ends.map_or(0, |(&first, &last)| enter[first] + leave[last])
    });
    let rest = order.into_iter().map(|n| Arc::clone(&rest[n]));
    rest.chain(breath).collect()
}

/// Times that add up, to five seconds: both sides get more than one, breath and what is done with
/// both at once less.
pub(super) fn timed(order: Vec<Arc<Use>>, total: Span) -> Vec<Step> {
    let weight = |turn: &Arc<Use>| match (turn.version().sides(), turn.of.action) {
        (Sides::Each, Some(Action::Stretch)) => 6,
        (Sides::Each, _) | (_, Some(Action::Travel)) => 5,
        _ => 4,
    };
    let all: u64 = order.iter().map(weight).sum::<u64>().max(1);
    let units = total.millis() / NICE.millis();
    let mut given = 0;
    let mut so_far = 0;
    let step = |turn: Arc<Use>| {
        so_far += weight(&turn);
        let upto = units * so_far / all;
        let time = NICE * (upto - given);
        given = upto;
        Step {
            turn,
            time: Some(time),
        }
    };
    order.into_iter().map(step).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::Library;
    use crate::session::Position::{self, Seated, Supine};

    fn turns(ids: &[&str]) -> Vec<Arc<Use>> {
        let library = Library::builtin();
        let turn = |id: &&str| Arc::new(Use::plain(Arc::clone(library.get(id).expect(id))));
        ids.iter().map(turn).collect()
    }

    fn ids(order: &[Arc<Use>]) -> Vec<&str> {
        order.iter().map(|turn| turn.of.id.as_str()).collect()
    }

    #[test]
    fn a_warm_up_begins_with_the_pulse_and_ends_with_the_hardest() {
        let order = warm_up_order(turns(&[
            "step-jack",
            "arm-circle",
            "march",
            "hip-circle",
            "good-morning",
        ]));
        assert_eq!(
            ids(&order),
            [
                "march",
                "arm-circle",
                "hip-circle",
                "good-morning",
                "step-jack"
            ]
        );
    }

    #[test]
    fn a_cool_down_goes_from_place_to_place_once_and_ends_with_breath() {
        let steps = turns(&[
            "supine-twist",
            "breath-seated",
            "seated-forward-fold",
            "hip-stretch",
            "butterfly-stretch",
        ]);
        let last = turns(&["bridge"]);
        let order = cool_down_order(steps, last.first(), &Cueing::default());
        let places: Vec<Position> = order.iter().map(|turn| turn.position()).collect();
        assert_eq!(places, [Supine, Supine, Seated, Seated, Seated]);
        assert_eq!(
            order.last().map(|turn| turn.of.id.as_str()),
            Some("breath-seated")
        );
    }

    #[test]
    fn times_add_up_and_both_sides_have_more() {
        let order = turns(&["hip-stretch", "child-pose", "breath-seated"]);
        for total in [120, 145, 300, 333] {
            let steps = timed(order.clone(), Span::from_secs(total));
            let sum: Span = steps.iter().map(Step::length).sum();
            assert_eq!(sum, Span::from_secs(total / 5 * 5));
            assert!(steps[0].length() > steps[1].length());
        }
    }
}

//! The best order of a few things, every one tried.

/// Up to so many every order is tried; what is beyond stays behind in its order.
const TRIED: usize = 8;

/// The order of so many things that costs least; of several the first.
pub(super) fn best(count: usize, cost: impl Fn(&[usize]) -> u64) -> Vec<usize> {
    let tried = count.min(TRIED);
    let mut least: Option<(u64, Vec<usize>)> = None;
    let mut order = Vec::with_capacity(tried);
    each(&mut order, tried, &mut |order: &[usize]| {
        let cost = cost(order);
        if least.as_ref().is_none_or(|(known, _)| cost < *known) {
            least = Some((cost, order.to_vec()));
        }
    });
    let order = least.map_or_else(Vec::new, |(_, order)| order);
    order.into_iter().chain(tried..count).collect()
}

fn each(order: &mut Vec<usize>, count: usize, look: &mut impl FnMut(&[usize])) {
    if order.len() == count {
        look(order);
        return;
    }
    for next in 0..count {
        if !order.contains(&next) {
            order.push(next);
            each(order, count, look);
            order.pop();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_cheapest_order_is_found_and_nothing_is_lost() {
        let ways = [[0, 9, 1, 9], [9, 0, 9, 1], [9, 1, 0, 9], [1, 9, 9, 0]];
        let cost = |order: &[usize]| order.windows(2).map(|pair| ways[pair[0]][pair[1]]).sum();
        assert_eq!(cost(&best(4, cost)), 3);
        assert_eq!(best(10, |_| 0), (0..10).collect::<Vec<_>>());
        assert!(best(0, |_| 0).is_empty());
    }
}

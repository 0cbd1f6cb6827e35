//! Size: nothing vanishes, the best is found, and the work grows as a power of the asks.

use super::crowded::{self, Ranks};
use super::legal;
use super::score::Score;
use super::search;
use super::{Ask, Hold, Item, Range, Rank, Stretch, Variant, Window, Worth};
use crate::time::{Offset, Span};

/// One stretch without gaps or counts in which asks of one rank are said, each by its own time.
fn jobs(rng: &mut fastrand::Rng, count: usize) -> Window<()> {
    let mut deadlines: Vec<u64> = (0..count).map(|_| rng.u64(1..count as u64 * 60)).collect();
    deadlines.sort_unstable();
    let until = Offset::from_millis(count as u64 * 60);
    let asks = deadlines.into_iter().map(|by| Ask {
        rank: Rank::below(0),
        needs: None,
        coming: false,
        variants: vec![Variant {
            say: (),
            long: Span::from_millis(rng.u64(1..200)),
            order: 0,
            ranges: vec![Range {
                stretch: 0,
                from: Offset::ZERO,
                by: Offset::from_millis(by),
                hold: Hold::Early,
                bonus: Worth::NONE,
                soft_from: None,
            }],
        }],
    });
    Window {
        asks: asks.collect(),
        calls: vec![],
        stretches: vec![Stretch {
            from: Offset::ZERO,
            until,
            closed: vec![],
            gap: Span::ZERO,
            budget: until.span(),
        }],
    }
}

/// Moore, An n Job, One Machine Sequencing Algorithm for Minimizing the Number of Late Jobs,
/// Management Science 15 (1968): in the order of the deadlines, and whenever one is late the
/// longest so far goes.
fn on_time(window: &Window<()>) -> usize {
    let (mut kept, mut end): (Vec<u64>, u64) = (Vec::new(), 0);
    for ask in &window.asks {
        let long = ask.variants[0].long.millis();
        kept.push(long);
        end += long;
        if end > ask.variants[0].ranges[0].by.millis() {
            let longest = (0..kept.len()).max_by_key(|&n| kept[n]).unwrap();
            end -= kept.swap_remove(longest);
        }
    }
    kept.len()
}

#[test]
fn of_many_asks_of_one_rank_as_many_are_said_as_there_can_be() {
    let mut rng = fastrand::Rng::with_seed(41);
    for count in [1, 2, 10, 40, 65, 100, 160] {
        let window = jobs(&mut rng, count);
        let chosen = window.select();
        assert_eq!(chosen.said.len(), on_time(&window), "{count}");
        assert_eq!(chosen.said.len() + chosen.missed.len(), count);
        assert_eq!(legal::worth(&window, &chosen.said), Some(chosen.worth));
    }
}

#[test]
fn a_hundred_and_sixty_sentences_are_said_to_where_the_time_ends() {
    let mut rng = fastrand::Rng::with_seed(42);
    let mut window = jobs(&mut rng, 160);
    let until = window.stretches[0].until;
    for (n, ask) in window.asks.iter_mut().enumerate() {
        ask.needs = n.checked_sub(1);
        ask.variants[0].ranges[0].by = until;
    }
    let mut end = 0;
    let lengths = window.asks.iter().map(|ask| ask.variants[0].long.millis());
    let fitting = lengths.take_while(|long| {
        end += long;
        end <= until.millis()
    });
    let fitting = fitting.count();
    let said: Vec<Item> = window.select().said.iter().map(|said| said.item).collect();
    let first: Vec<Item> = (0..fitting)
        .map(|ask| Item::Ask { ask, variant: 0 })
        .collect();
    assert!(fitting < 160, "the time ends before the sentences");
    assert_eq!(said, first);
}

#[test]
fn where_everything_fits_everything_is_said() {
    let mut rng = fastrand::Rng::with_seed(43);
    for count in [10, 64, 65, 160] {
        let mut window = jobs(&mut rng, count);
        window.stretches[0].until = Offset::from_millis(count as u64 * 1000);
        window.stretches[0].budget = Span::from_millis(count as u64 * 1000);
        for ask in &mut window.asks {
            ask.variants[0].ranges[0].by = window.stretches[0].until;
        }
        let chosen = window.select();
        assert_eq!((chosen.said.len(), chosen.missed.len()), (count, 0));
    }
}

/// The states that are looked at in windows of so many asks, the mean of a few.
fn visited(count: usize, ranks: Ranks) -> u64 {
    let mut rng = fastrand::Rng::with_seed(44);
    let few = 3;
    let all = (0..few).map(|_| {
        let window = crowded::window(&mut rng, count, ranks);
        let score = Score::of(&window);
        search::best(&score).visited
    });
    all.sum::<u64>() / few
}

#[test]
fn the_work_grows_as_a_power_of_the_asks() {
    for ranks in [Ranks::One, Ranks::Mixed] {
        let counts = [10, 40, 160].map(|count| visited(count, ranks));
        println!("{ranks:?}: {counts:?}");
        let limit = counts[1] * 4_u64.pow(3);
        assert!(counts[2] <= limit, "{ranks:?}: {counts:?}");
    }
}

/// Sentences of which each makes sense only after the one before it, and each of which may come
/// before a preview or after it; more than there is time for.
fn sentences(count: usize) -> Window<()> {
    let mut rng = fastrand::Rng::with_seed(45);
    let mut window = jobs(&mut rng, count + 1);
    let until = Offset::from_millis(count as u64 * 50);
    window.stretches[0].until = until;
    window.stretches[0].budget = until.span();
    for (n, ask) in window.asks.iter_mut().enumerate() {
        ask.variants[0].long = Span::from_millis(rng.u64(20..120));
        ask.variants[0].ranges[0].by = until;
        if n == count {
            ask.variants[0].order = 1;
            ask.variants[0].ranges[0].from = until.before(Span::from_millis(300));
            continue;
        }
        ask.rank = Rank::below(1);
        ask.needs = n.checked_sub(1);
        let late = Variant {
            order: 2,
            ..ask.variants[0].clone()
        };
        ask.variants.push(late);
    }
    window
}

#[test]
fn sentences_at_two_places_cost_no_more_than_a_power() {
    let visited = [6, 12, 24, 48].map(|count| {
        let window = sentences(count);
        search::best(&Score::of(&window)).visited
    });
    println!("{visited:?}");
    for pair in visited.windows(2) {
        assert!(pair[1] <= pair[0] * 16, "{visited:?}");
    }
}

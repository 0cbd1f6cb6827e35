//! The order of moves against every order there is, and against two libraries that know nothing of
//! moves: a solver of linear programs, and a search for the shortest path (Dijkstra 1959). The trouble
//! is reckoned here a second time, from the moves themselves.

use std::sync::Arc;

use matside::advice::{Arranged, Pins, arrange};
use matside::plan::{PositionChange, Transition};
use matside::session::{Action, Cueing, Impact, Library, Load, Position, Region, Session, Use};
use matside::time::Span;
use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};
use petgraph::algo::dijkstra;
use petgraph::graphmap::DiGraphMap;

const JOINTS: [Load; 8] = [
    Load::Wrist,
    Load::Elbow,
    Load::Shoulder,
    Load::Neck,
    Load::LowBack,
    Load::Hip,
    Load::Knee,
    Load::Ankle,
];

/// A block of moves alone in its class: so many rounds of 30 s, such a rest within and such a
/// recovery between.
struct Block {
    ids: Vec<String>,
    rounds: u64,
    rest: u64,
    recovery: u64,
}

impl Block {
    fn random(rng: &mut fastrand::Rng, library: &Library, moves: usize) -> Self {
        let all: Vec<&str> = library.iter().map(|of| &*of.id).collect();
        let ids = rng.choose_multiple(&all, moves);
        Self {
            ids: ids.into_iter().map(ToString::to_string).collect(),
            rounds: rng.u64(1..4),
            rest: *rng.choice(&[5, 10, 15, 20, 40]).expect("some"),
            recovery: *rng.choice(&[15, 60]).expect("some"),
        }
    }

    fn session(&self) -> Session {
        let ids: Vec<String> = self.ids.iter().map(|id| format!("\"{id}\"")).collect();
        let text = format!(
            "Session(title: \"t\", parts: [Ready(time: 60), Block(moves: [{}], \
             pattern: Same(rounds: {}, work: 30, rest: {}), recovery: {})])",
            ids.join(", "),
            self.rounds,
            self.rest,
            self.recovery
        );
        Session::read("t", &text, &Library::builtin()).unwrap_or_else(|faults| panic!("{faults}"))
    }

    fn arranged(&self) -> Arranged {
        let (blocks, _) = arrange(&self.session(), &Library::builtin(), &Pins::default());
        blocks.into_iter().next().expect("one block")
    }
}

/// The trouble of a block by the rules of the README, written without looking at how it is found.
struct Reckoned {
    first: Vec<u64>,
    last: Vec<u64>,
    step: Vec<Vec<u64>>,
    around: Vec<Vec<u64>>,
}

impl Reckoned {
    fn of(block: &Block) -> Self {
        let library = Library::builtin();
        let turn = |id: &String| Arc::new(Use::plain(library.get(id).expect("known").clone()));
        let turns: Vec<Arc<Use>> = block.ids.iter().map(turn).collect();
        let table = |pause: u64, times: u64| -> Vec<Vec<u64>> {
            let row = |a: &Arc<Use>| turns.iter().map(|b| times * between(a, b, pause)).collect();
            turns.iter().map(row).collect()
        };
        let enter = |turn: &Arc<Use>| way(&[], turn, 60);
        let screen = |turn: &Arc<Use>| {
            block.rounds
                * match turn.of.position {
                    Position::Standing | Position::Seated | Position::Kneeling => 0,
                    Position::Wall | Position::SideLying => 1,
                    Position::Prone => 3,
                    _ => 2,
                }
        };
        Self {
            first: turns.iter().map(enter).collect(),
            last: turns.iter().map(screen).collect(),
            step: table(block.rest, block.rounds),
            around: table(block.recovery, block.rounds - 1),
        }
    }

    fn total(&self, order: &[usize]) -> u64 {
        let (first, last) = (order[0], order[order.len() - 1]);
        let steps: u64 = order
            .windows(2)
            .map(|pair| self.step[pair[0]][pair[1]])
            .sum();
        self.first[first] + steps + self.last[last] + self.around[last][first]
    }
}

fn way(before: &[Arc<Use>], after: &Arc<Use>, pause: u64) -> u64 {
    let way = Transition::between(before, std::slice::from_ref(after), true);
    let level = matches!(way.change, PositionChange::Down | PositionChange::Up);
    let short = way.takes(&Cueing::default()) > Span::from_secs(pause);
    20 * u64::from(short) + 5 * u64::from(level) + 3 * way.fetch.len() as u64
}

fn between(a: &Arc<Use>, b: &Arc<Use>, pause: u64) -> u64 {
    let trouble = way(std::slice::from_ref(a), b, pause);
    if pause >= 30 {
        return trouble;
    }
    let region = |turn: &Use| {
        let regions = &turn.of.regions;
        if regions.contains(&Region::Total) {
            Region::Total
        } else {
            regions[0]
        }
    };
    let opposed = matches!(
        (a.of.action, b.of.action),
        (Some(Action::Push), Some(Action::Pull)) | (Some(Action::Pull), Some(Action::Push))
    );
    let same = region(a) == region(b) && a.of.id != b.of.id && !opposed;
    let (loads, others) = (a.loads(), b.loads());
    let joints = JOINTS
        .iter()
        .filter(|load| loads.contains(load) && others.contains(load));
    let lands = a.of.impact == Impact::High && b.of.impact == Impact::High;
    trouble + 4 * u64::from(same) + joints.count() as u64 + 3 * u64::from(lands)
}

fn every_order(of: usize) -> Vec<Vec<usize>> {
    let mut orders = vec![Vec::new()];
    for _ in 0..of {
        let longer = |order: &Vec<usize>| {
            let left = (0..of).filter(|n| !order.contains(n));
            left.map(|n| [order.clone(), vec![n]].concat())
                .collect::<Vec<_>>()
        };
        orders = orders.iter().flat_map(longer).collect();
    }
    orders
}

#[test]
fn to_eight_moves_no_order_of_all_is_better() {
    let (mut rng, library) = (fastrand::Rng::with_seed(5), Library::builtin());
    let all: Vec<Vec<Vec<usize>>> = (0..9).map(every_order).collect();
    let mut changed = 0;
    for n in 0..60 {
        let block = Block::random(&mut rng, &library, 2 + n % 7);
        let (found, told) = (block.arranged(), Reckoned::of(&block));
        let least = all[block.ids.len()]
            .iter()
            .map(|order| told.total(order))
            .min();
        assert_eq!(Some(found.after.total()), least, "{:?}", block.ids);
        assert_eq!(told.total(&found.order), found.after.total());
        let given: Vec<usize> = (0..block.ids.len()).collect();
        assert_eq!(told.total(&given), found.before.total(), "{:?}", block.ids);
        for other in &found.others {
            assert_eq!(Some(told.total(other)), least, "{other:?}");
            assert_ne!(*other, found.order);
        }
        // What is no better is left as it is.
        assert_eq!(
            found.is_changed(),
            found.after.total() < found.before.total()
        );
        changed += usize::from(found.is_changed());
    }
    assert!(changed > 40, "{changed}");
}

/// The order as a linear program: which move stands at which place, and which pair at which step.
fn solved(told: &Reckoned) -> u64 {
    let n = told.first.len();
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    #[expect(clippy::cast_precision_loss, reason = "small sums")]
    let cost = |of: u64| of as f64;
    let places: Vec<Vec<Variable>> = (0..n)
        .map(|place| {
            let own = |of: usize| {
                let first = if place == 0 { told.first[of] } else { 0 };
                first + if place + 1 == n { told.last[of] } else { 0 }
            };
            (0..n)
                .map(|of| problem.add_binary_var(cost(own(of))))
                .collect()
        })
        .collect();
    for k in 0..n {
        let one_move = places[k].iter().map(|v| (*v, 1.0));
        problem.add_constraint(one_move, ComparisonOp::Eq, 1.0);
        let one_place = places.iter().map(|row| (row[k], 1.0));
        problem.add_constraint(one_place, ComparisonOp::Eq, 1.0);
    }
    for place in 0..n {
        let (to, table) = if place + 1 < n {
            (place + 1, &told.step)
        } else {
            (0, &told.around)
        };
        let pairs: Vec<Vec<Variable>> = (0..n)
            .map(|a| {
                let most = |b: usize| if a == b { 0.0 } else { 1.0 };
                (0..n)
                    .map(|b| problem.add_var(cost(table[a][b]), (0.0, most(b))))
                    .collect()
            })
            .collect();
        for k in 0..n {
            let out = pairs[k]
                .iter()
                .map(|v| (*v, 1.0))
                .chain([(places[place][k], -1.0)]);
            problem.add_constraint(out, ComparisonOp::Eq, 0.0);
            let into = pairs
                .iter()
                .map(|row| (row[k], 1.0))
                .chain([(places[to][k], -1.0)]);
            problem.add_constraint(into, ComparisonOp::Eq, 0.0);
        }
    }
    let solution = problem
        .solve()
        .expect("solved")
        .into_solution()
        .expect("an order");
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a small sum"
    )]
    let objective = solution.objective().round() as u64;
    objective
}

#[test]
fn a_solver_of_linear_programs_finds_no_better_order() {
    no_better_order(9, solved);
}

/// The order as a shortest path: a place in it is what was done and the move done last, a step the
/// move that is done next.
fn shortest(told: &Reckoned) -> u64 {
    let firsts = 0..told.first.len();
    let least = firsts.map(|first| told.first[first] + shortest_from(told, first));
    least.min().expect("a move")
}

fn shortest_from(told: &Reckoned, first: usize) -> u64 {
    /// What was done, a bit each, and the last of it; nothing is left to do at `(0, 0)`.
    type Done = (u16, usize);
    const END: Done = (0, 0);
    let (moves, all) = (told.first.len(), (1_u16 << told.first.len()) - 1);
    let mut graph: DiGraphMap<Done, u64> = DiGraphMap::new();
    for done in (1..=all).filter(|done| done & (1 << first) != 0) {
        for last in (0..moves).filter(|last| done & (1 << last) != 0) {
            for next in (0..moves).filter(|next| done & (1 << next) == 0) {
                let with_it = (done | (1 << next), next);
                graph.add_edge((done, last), with_it, told.step[last][next]);
            }
            if done == all {
                let end = told.last[last] + told.around[last][first];
                graph.add_edge((done, last), END, end);
            }
        }
    }
    let ways = dijkstra(&graph, (1 << first, first), Some(END), |(_, _, trouble)| {
        *trouble
    });
    ways[&END]
}

#[test]
fn of_twelve_moves_a_search_for_the_shortest_path_finds_no_better_order() {
    no_better_order(12, shortest);
}

/// Thirty random blocks, beside a general library that is given the trouble as we reckon it here.
fn no_better_order(moves: usize, least: impl Fn(&Reckoned) -> u64) {
    let (mut rng, library) = (fastrand::Rng::with_seed(12), Library::builtin());
    for _ in 0..30 {
        let block = Block::random(&mut rng, &library, moves);
        let (found, told) = (block.arranged(), Reckoned::of(&block));
        assert_eq!(found.after.total(), least(&told), "{:?}", block.ids);
    }
}

/// Of more moves than can be tried a good order is found, which is said, and never a worse one; of
/// fourteen it is about as good as the best.
#[test]
fn of_many_moves_a_good_order_is_found_and_said_to_be_one() {
    let (mut rng, library) = (fastrand::Rng::with_seed(40), Library::builtin());
    for moves in [14, 15, 25, 60] {
        let block = Block::random(&mut rng, &library, moves);
        let (found, told) = (block.arranged(), Reckoned::of(&block));
        assert_eq!(found.is_exact, moves <= 14);
        assert_eq!(told.total(&found.order), found.after.total());
        assert!(found.after.total() < found.before.total());
    }
}

fn pinned(block: &Block, first: Option<&str>, last: Option<&str>) -> Arranged {
    let pins = Pins {
        block: Some(1),
        first: first.map(str::to_owned),
        last: last.map(str::to_owned),
    };
    let (blocks, _) = arrange(&block.session(), &Library::builtin(), &pins);
    blocks.into_iter().next().expect("one block")
}

#[test]
fn what_is_pinned_stays_first_or_last_and_the_rest_is_the_best_there_is() {
    let (mut rng, library) = (fastrand::Rng::with_seed(9), Library::builtin());
    let all = every_order(6);
    for moves in [6, 6, 6, 20] {
        let block = Block::random(&mut rng, &library, moves);
        let (first, last) = (&block.ids[3], &block.ids[1]);
        let found = pinned(&block, Some(first), Some(last));
        let ids = found.ids(&found.order);
        assert_eq!((ids[0], ids[moves - 1]), (&**first, &**last));
        if moves == 6 {
            let told = Reckoned::of(&block);
            let kept = all.iter().filter(|order| order[0] == 3 && order[5] == 1);
            let least = kept.map(|order| told.total(order)).min();
            assert_eq!(Some(found.after.total()), least);
        }
    }
}

/// What is told to help, helps as much as is told.
#[test]
fn a_remedy_takes_away_what_it_is_said_to() {
    let block = Block {
        ids: ["squat", "plank", "lunge"].map(str::to_owned).to_vec(),
        rounds: 2,
        rest: 10,
        recovery: 15,
    };
    let found = block.arranged();
    let best = found
        .remedies
        .first()
        .expect("two changes of level are left");
    assert!(best.less > 0 && best.less <= found.after.total());
    assert!(
        found
            .remedies
            .is_sorted_by_key(|remedy| std::cmp::Reverse(remedy.less))
    );
}

/// The patterns that go their own way: a grid that ends within its list, one move after the other,
/// a window.
#[test]
fn every_pattern_has_its_own_steps() {
    let of = |pattern: &str| {
        let text = format!(
            "Session(title: \"t\", parts: [Ready(time: 60), Block(moves: [\"squat\", \"bridge\", \"shadow-punch\", \"dead-bug\"], {pattern})])"
        );
        let session = Session::read("t", &text, &Library::builtin()).expect("whole");
        let (blocks, _) = arrange(&session, &Library::builtin(), &Pins::default());
        let found = blocks.into_iter().next().expect("one");
        (found.before.level, found.after.level)
    };
    // Up and down three times a round and once between two rounds; at best once each.
    assert_eq!(of("pattern: Same(rounds: 2, work: 30, rest: 20)"), (7, 3));
    assert_eq!(
        of("pattern: Same(rounds: 2, work: 30, rest: 20), order: ByMove"),
        (3, 1)
    );
    // Six minutes: four moves and two more, five ways in all.
    assert_eq!(of("pattern: Emom(minutes: 6, work: 30)"), (5, 2));
    assert_eq!(of("pattern: Amrap(time: 300)"), (4, 2));
}

//! The running class and its record: what one counts, the other tells; replayed, they are one.

use std::sync::Arc;

use matside::live::{Act, Fact, Harder, HoldReason, Input, Live, Output, View, What};
use matside::record::{Body, Entry, Header, Summary, Wall, read};
use matside::session::{Library, Load, Move, Session};
use matside::time::{Moment, Span};

use crate::sample::{bytes, entries, hour_class, short_class, start};

fn any_act(random: &mut fastrand::Rng, seen: Moment, now: Moment) -> Act {
    let span = Span::from_millis(random.u64(0..40_000));
    let from = now.before(span).max(seen);
    match random.u8(0..20) {
        0 | 1 => Act::Skip,
        2 => Act::GoOn,
        3 => Act::Back,
        4 => Act::Add(span),
        5 => Act::Take(span),
        6 | 7 => Act::Step([Harder::Easier, Harder::Harder][random.usize(0..2)]),
        8 => Act::OnceMore,
        9 => Act::DropRound,
        10 => Act::GoTo(random.usize(0..6)),
        11 => Act::Mark,
        12 => Act::Limits(vec![Load::Wrist]),
        13 => Act::Hold(HoldReason::Break),
        14 => Act::Slept {
            from,
            gap: now.since(from),
        },
        15 => Act::CatchUp,
        16 => Act::Hold(HoldReason::Moving),
        17 | 18 => Act::Swap(any_move(random)),
        _ => Act::Undo,
    }
}

fn any_move(random: &mut fastrand::Rng) -> Arc<Move> {
    let library = Library::builtin();
    let nth = random.usize(0..library.len());
    library.iter().nth(nth).cloned().unwrap()
}

pub(crate) fn wall_of(at: Moment) -> Wall {
    start() + chrono::TimeDelta::milliseconds(i64::try_from(at.millis()).unwrap())
}

/// A class with acts by chance; it is not left standing, so that every stand has its length.
pub(crate) fn taught(
    session: &Arc<Session>,
    random: &mut fastrand::Rng,
) -> (Live, Moment, Vec<Fact>) {
    let mut live = Live::new(session.clone());
    let mut now = Moment::from_millis(1_000);
    let mut facts = Vec::new();
    live.handle(now, &Input::Act(Act::Begin));
    for _ in 0..random.usize(0..40) {
        let seen = now;
        now = now + Span::from_millis(random.u64(1..60_000));
        let act = any_act(random, seen, now);
        if !matches!(act, Act::Slept { .. }) {
            live.handle(now, &Input::Wake);
        }
        live.handle(now, &Input::Act(act));
        if live.is_held() && random.bool() {
            live.handle(now, &Input::Act(Act::Resume));
        }
    }
    live.handle(now, &Input::Act(Act::Resume));
    now = now + Span::from_millis(3_001);
    live.handle(now, &Input::Wake);
    for _ in 0..random.usize(0..3) {
        live.handle(now, &Input::Act(Act::End));
        now = now + Span::from_millis(random.u64(0..90_000));
        if random.bool() {
            live.handle(now, &Input::Act(Act::Undo));
            live.handle(now, &Input::Act(Act::Resume));
            now = now + Span::from_millis(random.u64(3_001..60_000));
            live.handle(now, &Input::Wake);
        }
    }
    while let Some(output) = live.poll_output() {
        if let Output::Fact(fact) = output {
            facts.push(fact);
        }
    }
    (live, now, facts)
}

#[test]
fn the_record_tells_what_the_running_class_counts() {
    let mut random = fastrand::Rng::with_seed(21);
    for (round, session) in [short_class(), hour_class("Long Shore", 0)]
        .into_iter()
        .cycle()
        .take(150)
        .enumerate()
    {
        let session = Arc::new(session);
        let (live, now, facts) = taught(&session, &mut random);
        let on_the_wall = facts.iter().map(|fact| (wall_of(fact.at), fact.clone()));
        let mut told = entries(on_the_wall.collect());
        told.push(Entry {
            n: told.len() as u64 + 1,
            wall: wall_of(now),
            body: Body::Fact(Fact {
                at: now,
                offset: live.offset(now),
                what: What::Sound(true),
            }),
        });
        let header = Header::new((*session).clone(), start());
        let record = read(&bytes(&header, &told)).unwrap();
        let (class, done) = (Summary::of(&record), live.done(now));
        let seen = (
            class.taught.run,
            class.taught.work,
            class.changes.skips as usize,
        );
        assert_eq!(seen, (done.run, done.work, done.skipped), "class {round}");
        assert_eq!(class.held, done.held, "class {round}");
        assert_eq!(
            (class.holds.len(), class.marks.len()),
            (done.holds, done.marks),
            "class {round}"
        );
        if live.is_over() {
            assert_eq!(class.taught.works, done.works, "class {round}");
        }
        assert_eq!(class.planned.works, done.works_planned);
        let mut again = Live::replay(session.clone(), record.facts());
        again.handle(now, &Input::Wake);
        let seen = |live: &Live| View {
            notice: None, // what was refused is no fact
            ..live.view(now)
        };
        assert_eq!(seen(&again), seen(&live), "class {round}");
    }
}

/// Sides come out equal, or the page of the class says by how much: counted here second by second
/// from what the screen showed.
#[test]
fn the_record_tells_by_how_much_one_side_had_more() {
    let text = r#"(title: "Sides", parts: [
        Ready(time: 10),
        Block(moves: ["side-plank", "squat"], pattern: Same(rounds: 3, work: 40, rest: 20)),
        CoolDown([("hip-stretch", 60), ("arm-circle", 60), ("child-pose", 30)]),
    ])"#;
    let session = Session::read("sides", text, &Library::builtin()).unwrap();
    let session = Arc::new(session);
    let cases: [&[(u64, Act)]; 7] = [
        &[],
        // What turns about at half has no sides to be short of.
        &[(425, Act::GoOn)],
        &[(22, Act::Skip)],
        &[(45, Act::Skip)],
        &[(15, Act::Step(Harder::Easier)), (32, Act::Skip)],
        &[(152, Act::GoOn)],
        &[(32, Act::End)],
    ];
    let mut uneven = 0;
    for acts in cases {
        let mut live = Live::new(session.clone());
        let mut shown: Vec<(String, [u64; 2])> = Vec::new();
        live.handle(Moment::ZERO, &Input::Act(Act::Begin));
        let (mut now, mut seconds) = (Moment::ZERO, 0_u64);
        while !live.is_over() && seconds < 1_000 {
            let due = acts.iter().filter(|(at, _)| *at == seconds);
            for (_, act) in due {
                live.handle(now, &Input::Act(act.clone()));
                if matches!(act, Act::End) {
                    live.handle(now, &Input::Act(Act::End));
                }
            }
            let middle = now + Span::from_millis(500);
            live.handle(middle, &Input::Wake);
            let view = live.view(middle);
            let is = view.now.filter(|_| view.kind.is_moving());
            if let Some((is, side)) = is.and_then(|is| is.side.map(|side| (is, side))) {
                let known = shown.iter().position(|(name, _)| *name == is.name);
                let at = known.unwrap_or_else(|| {
                    shown.push((is.name, [0, 0]));
                    shown.len() - 1
                });
                shown[at].1[usize::from(side) - 1] += 1;
            }
            (now, seconds) = (now + Span::from_secs(1), seconds + 1);
            live.handle(now, &Input::Wake);
        }
        let mut facts = Vec::new();
        while let Some(output) = live.poll_output() {
            if let Output::Fact(fact) = output {
                facts.push((wall_of(fact.at), fact));
            }
        }
        let header = Header::new((*session).clone(), start());
        let record = read(&bytes(&header, &entries(facts))).unwrap();
        let class = Summary::of(&record);
        // What each side of each move had, told or not.
        let by_move: Vec<(String, [u64; 2])> = (class.moves.iter())
            .map(|done| (done.name.clone(), [done.first_side, done.second_side]))
            .filter(|(_, sides)| sides.iter().any(|side| !side.is_zero()))
            .map(|(name, sides)| (name, sides.map(|side| side.millis() / 1000)))
            .collect();
        assert_eq!(by_move, shown, "{acts:?}");
        let told: Vec<(String, [u64; 2])> = class
            .sides
            .into_iter()
            .map(|sides| {
                let secs = [sides.first, sides.second].map(|side| side.millis() / 1000);
                (sides.of, secs)
            })
            .collect();
        shown.retain(|(_, [first, second])| first.abs_diff(*second) >= 3);
        assert_eq!(told, shown, "{acts:?}");
        uneven += told.len();
    }
    assert!(uneven >= 4, "{uneven}");
}

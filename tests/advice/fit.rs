//! Timings that fill a slot: exact over thousands of plans, in shape, above the floors, and written
//! into the file without touching anything else.

use matside::advice::Fit;
use matside::plan::{Kind, Placed, Timeline, Transition, leaves_mat};
use matside::session::edit::Edits;
use matside::session::{Library, Session};
use matside::time::Span;

fn read(text: &str) -> Session {
    Session::read("a class", text, &Library::builtin())
        .unwrap_or_else(|faults| panic!("{faults}\n{text}"))
}

const MOVES: [&str; 8] = [
    "squat",
    "lunge",
    "plank",
    "dead-bug",
    "shadow-punch",
    "bent-row",
    "side-plank",
    "march",
];

/// A class of up to four blocks, with comments wherever a file may have some.
fn random(rng: &mut fastrand::Rng, library: &Library) -> (String, Session) {
    let five = |rng: &mut fastrand::Rng, low: u64, high: u64| {
        if rng.u8(0..6) == 0 {
            rng.u64(low..high)
        } else {
            rng.u64(low / 5 + 1..high / 5) * 5
        }
    };
    let steps = |rng: &mut fastrand::Rng| {
        let step = |rng: &mut fastrand::Rng| {
            let (id, time) = (rng.choice(MOVES).expect("some"), five(rng, 20, 90));
            format!("(\"{id}\", {time}), // {id} {}\n", rng.u8(0..9))
        };
        (0..rng.usize(1..6)).map(|_| step(rng)).collect::<String>()
    };
    let mut parts = Vec::new();
    if rng.bool() {
        parts.push(format!(
            "Talk(time: {}, say: \"Welcome 45, all.\"), /* 1:00 */\n",
            five(rng, 10, 90)
        ));
    }
    parts.push(format!(
        "WarmUp([\n{}]),\nReady(time: {}), // 15\n",
        steps(rng),
        five(rng, 10, 30)
    ));
    for _ in 0..rng.usize(1..4) {
        let moves: Vec<String> = (0..rng.usize(1..6))
            .map(|_| {
                let id = rng.choice(MOVES).expect("some");
                match rng.u8(0..8) {
                    0 => format!("Use(move: \"{id}\", rest: {})", five(rng, 5, 40)),
                    1 => format!("Use(move: \"{id}\", work: {})", five(rng, 20, 60)),
                    _ => format!("\"{id}\""),
                }
            })
            .collect();
        let moves = moves.join(", /* next */ ");
        let (work, rest) = (five(rng, 20, 60), five(rng, 5, 40));
        let pattern = match rng.u8(0..4) {
            0 => format!("Same(rounds: {}, work: {work}, rest: {rest})", rng.u8(1..5)),
            1 => format!(
                "Rounds(work: [{}, {}, {work}], /* down */ rest: [{rest}])",
                work + 20,
                work + 10
            ),
            2 => format!(
                "Rounds(work: [{work}, {}, {work}], rest: [{rest}, {}, {rest}])",
                work + 15,
                rest + 10
            ),
            _ => {
                parts.push(format!(
                    "Block(moves: [{}], pattern: Emom(minutes: {}, work: 40)), // grid\n",
                    "\"squat\"",
                    rng.u8(2..9)
                ));
                continue;
            }
        };
        let recovery = if rng.bool() {
            format!(", recovery: {}", five(rng, 15, 90))
        } else {
            String::new()
        };
        let order = if rng.u8(0..4) == 0 {
            ", order: ByMove"
        } else {
            ""
        };
        parts.push(format!(
            "Block(moves: [{moves}], pattern: {pattern}{recovery}{order}), // a block\n"
        ));
        if rng.bool() {
            parts.push(format!(
                "Recover(time: \"1:{:02}\", say: \"Water.\"),\n",
                rng.u8(0..12) * 5
            ));
        }
    }
    parts.push(format!("CoolDown([\n{}]),\n", steps(rng)));
    let parts = parts.concat();
    let text = format!("// a class, 33:45\nSession(title: \"t\", parts: [\n{parts}]) // end\n");
    let session = Session::read("t", &text, library);
    (
        text.clone(),
        session.unwrap_or_else(|faults| panic!("{faults}\n{text}")),
    )
}

fn written(text: &str, fit: &Fit) -> String {
    let mut edits = Edits::of("t", text).expect("a text");
    for change in &fit.changes {
        let at = &change.after;
        let done = if at.is_list {
            edits.set_times(&at.path, &at.spans)
        } else {
            edits.set_time(&at.path, at.spans[0])
        };
        assert!(done, "{change:?}");
    }
    edits.finish().expect("apart")
}

/// A text without what a time is written with.
fn without_times(text: &str) -> String {
    text.chars()
        .filter(|c| !c.is_ascii_digit() && !matches!(c, ':' | '.' | '"'))
        .collect()
}

/// The pause before each move, with what the way to it takes.
fn pauses(plan: &Timeline, session: &Session) -> Vec<(Span, Span)> {
    let (mut found, mut before, mut mat_lies) = (Vec::new(), None::<&Placed>, false);
    for next in plan.intervals().iter().filter(|one| one.kind.is_moving()) {
        let from = before.map(|one| &**one.interval());
        let way = Transition::of(from, next, mat_lies);
        let ended = before.map_or(Span::ZERO, |one| one.end.span());
        found.push((
            next.start.span().saturating_sub(ended),
            way.takes(&session.cueing),
        ));
        mat_lies |= leaves_mat(next);
        before = Some(next);
    }
    found
}

/// What holds of every fit, exact or not: written without looking at how it is found.
fn holds(session: &Session, fit: &Fit, text: &str) {
    let (before, after) = (Timeline::of(session), Timeline::of(&fit.session));
    assert_eq!(before.intervals().len(), after.intervals().len(), "{text}");
    assert_eq!(fit.after, after.total());
    let pairs = before.intervals().iter().zip(after.intervals());
    for (was, is) in pairs.clone() {
        let (old, new) = (was.span(), is.span());
        match was.kind {
            // A landing leaves works and the warm-up two thirds, the cool-down half.
            Kind::Work | Kind::WarmUp => assert!(new * 3 >= old * 2, "{old} {new} {text}"),
            Kind::CoolDown => assert!(new * 2 >= old, "{old} {new} {text}"),
            _ => assert!(new >= old.min(Span::from_secs(5)), "{old} {new} {text}"),
        }
        assert!(new <= old * 2, "{old} {new} {text}");
        assert!(was.grid().is_none() || old == new, "{text}");
    }
    // Works of a block keep their order and what is equal among them.
    let works: Vec<_> = pairs
        .filter(|(was, _)| was.kind == Kind::Work && was.place.is_some())
        .collect();
    for (n, (was, is)) in works.iter().enumerate() {
        for (other, then) in &works[n + 1..] {
            let same = was.turn().map(|turn| &turn.of.id) == other.turn().map(|turn| &turn.of.id);
            if was.block() == other.block()
                && was.place.as_ref().map(|p| p.place) == other.place.as_ref().map(|p| p.place)
                && same
            {
                assert_eq!(
                    was.span().cmp(&other.span()),
                    is.span().cmp(&then.span()),
                    "{text}"
                );
            }
        }
    }
    for ((was, takes), (is, _)) in pauses(&before, session)
        .into_iter()
        .zip(pauses(&after, &fit.session))
    {
        assert!(is >= was.min(takes), "{was} {is} {takes} {text}");
    }
}

#[test]
fn ten_thousand_plans_are_filled_to_the_second_and_stay_what_they_are() {
    let (mut rng, library) = (fastrand::Rng::with_seed(11), Library::builtin());
    let (mut exact, mut read_back) = (0, 0);
    for n in 0..10_000 {
        let (text, session) = random(&mut rng, &library);
        let total = Timeline::of(&session).total();
        let slot = Span::from_secs(total.secs_ceil() * rng.u64(85..120) / 100);
        let fit = Fit::of(&session, slot);
        holds(&session, &fit, &text);
        if fit.over.is_zero() && fit.in_hand.is_zero() {
            assert_eq!(fit.after, slot, "{text}");
            exact += 1;
        } else {
            assert!(!fit.ways_out.is_empty() || fit.over.is_zero(), "{text}");
        }
        if n % 10 == 0 {
            let new = written(&text, &fit);
            let again =
                Session::read("t", &new, &library).unwrap_or_else(|faults| panic!("{faults}"));
            assert_eq!(again, fit.session, "{new}");
            assert_eq!(without_times(&new), without_times(&text));
            read_back += 1;
        }
    }
    assert!(exact > 9_000, "{exact}");
    assert_eq!(read_back, 1_000);
}

/// A ladder stays a ladder, a pyramid a pyramid, and fives stay fives.
#[test]
fn a_ladder_stays_a_ladder_of_fives() {
    let text = "Session(title: \"t\", parts: [Talk(time: 60, say: \"Hello.\"), \
        Block(moves: [\"squat\", \"shadow-punch\", \"lunge\"], pattern: Rounds(work: [50, 40, 30], rest: [25, 20, 15]), recovery: 45), \
        Recover(time: 90, say: \"Water.\"), \
        Block(moves: [\"squat\", \"shadow-punch\"], pattern: Rounds(work: [20, 30, 40, 30, 20], rest: [20]), recovery: 30)])";
    let session = read(text);
    let total = Timeline::of(&session).total().secs_ceil();
    for slot in (total - 170..total + 240).step_by(10) {
        let fit = Fit::of(&session, Span::from_secs(slot));
        assert_eq!(fit.after, Span::from_secs(slot));
        for change in &fit.changes {
            let spans: Vec<i64> = change
                .after
                .spans
                .iter()
                .map(|span| i64::try_from(span.millis()).expect("small"))
                .collect();
            let apart = |spans: &[i64]| {
                spans
                    .windows(2)
                    .map(|pair| pair[1] - pair[0])
                    .collect::<Vec<_>>()
            };
            let was: Vec<i64> = change
                .before
                .iter()
                .map(|span| i64::try_from(span.millis()).expect("small"))
                .collect();
            let (was, is) = (apart(&was), apart(&spans));
            for (a, b) in was.iter().zip(&is) {
                assert_eq!(a * is[0], b * was[0], "even steps stay even: {change:?}");
                assert_eq!(a.signum(), b.signum(), "{change:?}");
            }
        }
        let mut spans = fit.changes.iter().flat_map(|change| &change.after.spans);
        let is_five = |span: &Span| span.millis().is_multiple_of(5_000);
        assert!(spans.all(is_five), "at {slot}: {:#?}", fit.changes);
    }
}

/// Where a class is made of fives and its slot is one, every time stays one; where the slot is not,
/// as few leave as must: one.
#[test]
fn fives_stay_fives_wherever_they_can() {
    let text = "Session(title: \"t\", parts: [Talk(time: 40, say: \"Hello.\"), WarmUp([(\"march\", 60), (\"arm-circle\", 45)]), Ready(time: 15), \
        Block(moves: [\"squat\", \"shadow-punch\", \"lunge\", \"bent-row\"], pattern: Same(rounds: 8, work: 20, rest: 10), recovery: 60, order: ByMove), \
        CoolDown([(\"chest-opener\", 50), (\"standing-side-bend\", 40)])])";
    let session = read(text);
    let total = Timeline::of(&session).total().secs_ceil();
    assert_eq!(total % 5, 0);
    for slot in total - 240..=total + 300 {
        let fit = Fit::of(&session, Span::from_secs(slot));
        assert_eq!(fit.after, Span::from_secs(slot));
        let spans = fit.changes.iter().flat_map(|change| &change.after.spans);
        let off = spans
            .filter(|span| !span.millis().is_multiple_of(5_000))
            .count();
        assert_eq!(
            off,
            usize::from(slot % 5 != 0),
            "at {slot}: {:#?}",
            fit.changes
        );
    }
}

/// What cannot be is told: by how much, and what would have to go.
#[test]
fn what_cannot_be_is_told_with_ways_out() {
    let text = "Session(title: \"t\", parts: [WarmUp([(\"march\", 300)]), \
        Block(title: \"Ebb\", moves: [\"squat\", \"lunge\"], pattern: Same(rounds: 4, work: 45, rest: 15)), \
        Recover(time: 60, say: \"Water.\"), \
        Block(title: \"Flow\", moves: [\"squat\"], pattern: Same(rounds: 3, work: 60, rest: 20))])";
    let session = read(text);
    // At the floors: warm-up 200, works 30 and 40, rests 7 (lead and count), recovery 10.
    let fit = Fit::of(&session, Span::from_secs(9 * 60 + 30));
    assert!(!fit.over.is_zero() && !fit.is_exact());
    assert!(
        fit.ways_out
            .iter()
            .any(|way| way == "without a round of block 1 (Ebb)"),
        "{:?}",
        fit.ways_out
    );
    let fit = Fit::of(&session, Span::from_secs(4 * 60));
    assert!(fit.ways_out[0].contains("and then"), "{:?}", fit.ways_out);
    let long = Fit::of(&session, Span::from_secs(60 * 60));
    assert!(!long.in_hand.is_zero());
    assert!(
        long.ways_out
            .iter()
            .any(|way| way.contains("one more round of block 2 (Flow) adds 1:")),
        "{:?}",
        long.ways_out
    );
}

/// Odd milliseconds are taken by one time that stands alone.
#[test]
fn odd_milliseconds_are_taken_by_one_time() {
    let text = "Session(title: \"t\", parts: [Talk(time: 60, say: \"Hello.\"), Block(moves: [\"squat\"], pattern: Same(rounds: 3, work: 40.5, rest: 20))])";
    let session = read(text);
    let fit = Fit::of(&session, Span::from_secs(220));
    assert_eq!(fit.after, Span::from_secs(220), "{:?}", fit.changes);
}

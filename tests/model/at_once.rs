//! Classes in which several moves are done at once, without a model: what must be true of them
//! whatever is pressed.
//!
//! Nobody misses a station that others have: as long as nothing but the class's own keys bent it,
//! each going round that is ahead has all its works in order, and one that has begun is finished.
//! A change taken back at once leaves no trace, the books of the class and of its record agree, and
//! its facts replayed are the same class.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::sync::Arc;

use fastrand::Rng;
use matside::live::{Act, Fact, Input, Live, Output, View, What};
use matside::plan::{Interval, Kind, Placed, Timeline};
use matside::record::{Header, Taught, Wall};
use matside::session::{Library, Session};
use matside::time::{Moment, Span};

use crate::random_class::{Family, MOVES, block_behind, head, moves, read};
use crate::random_keys::{Key, Press, presses};

/// A class with one block or more of several moves at once, among every other part that there is.
fn class(rng: &mut Rng) -> String {
    let names = ["red", "blue", "green", "gold", "grey", "white"];
    let mut text = head();
    if rng.bool() {
        let named: Vec<String> = names[..rng.usize(2..=names.len())]
            .iter()
            .map(|name| format!("\"{name}\""))
            .collect();
        text = text.replacen(
            "moves: [",
            &format!("groups: [{}], moves: [", named.join(", ")),
            1,
        );
    }
    if rng.bool() {
        let people = rng.u32(1..40);
        text = text.replacen("moves: [", &format!("people: {people}, moves: ["), 1);
    }
    text.push_str("], parts: [Talk(time: 20, say: \"Hello.\"), ");
    if rng.u8(..4) == 0 {
        text.push_str("WarmUp([(\"m0\", 20), Use(move: \"m4\", reps: 5, effort: 3)]), ");
    }
    for n in 0..rng.usize(1..4) {
        let block = match rng.u8(..4) {
            0 if n > 0 => block_behind(&text, rng, Family::Mixed),
            _ => several_behind(&text, rng),
        };
        let _ = match rng.u8(..9) {
            0 => write!(text, "Repeat(times: 2, parts: [{block}]), "),
            1 => write!(
                text,
                "Repeat(times: 2, between: Recover(time: 25, move: \"m4\"), parts: [{block}]), "
            ),
            2 => write!(text, "Recover(time: 30), {block}"),
            3 => write!(text, "Free(time: 40, title: \"Play\"), {block}"),
            4 => {
                // A little later than all before it is planned to take.
                let so_far = Timeline::of(&read(&format!("{text}])"))).total();
                let mark = so_far.secs_ceil() + rng.u64(1..60);
                write!(text, "Recover(time: Until({mark})), {block}")
            }
            _ => write!(text, "{block}"),
        };
    }
    if rng.bool() {
        text.push_str("CoolDown([(\"m3\", 30)]), ");
    }
    text.push_str("])");
    text
}

/// A block that can stand behind a beginning: a grid may end within a rotation.
fn several_behind(text: &str, rng: &mut Rng) -> String {
    loop {
        let block = several(rng);
        let whole = format!("{text}{block}])");
        if Session::read("random", &whole, &Library::builtin()).is_ok() {
            return block;
        }
    }
}

fn several(rng: &mut Rng) -> String {
    let (rounds, rest) = (rng.u32(1..4), rng.u32(0..25));
    let mut of = rounds;
    let (counted, pattern) = match rng.u8(..6) {
        0 => {
            let cap = match rng.u8(..3) {
                0 => format!(", cap: {}", rng.u32(60..400)),
                _ => String::new(),
            };
            let pattern = format!("Reps(rounds: {rounds}, rest: {rest}, pace: 2{cap})");
            (true, pattern)
        }
        1 => (
            false,
            format!("Emom(minutes: {}, work: 40)", rng.u32(2..13)),
        ),
        2 => {
            of = 2;
            let rests = format!("{rest}, {}", rng.u32(0..20));
            (false, format!("Rounds(work: [40, 30], rest: [{rests}])"))
        }
        _ => (
            false,
            format!(
                "Same(rounds: {rounds}, work: {}, rest: {rest})",
                rng.u32(5..70)
            ),
        ),
    };
    let is_grid = pattern.starts_with("Emom");
    let stations = |rng: &mut Rng| {
        let one = |rng: &mut Rng| {
            let id = rng.usize(..MOVES.len());
            if !is_grid && rng.u8(..5) == 0 {
                let reps: Vec<String> = (0..of).map(|_| rng.u32(3..12).to_string()).collect();
                let reps = reps.join(", ");
                format!("Use(move: \"m{id}\", reps: [{reps}], effort: 7, note: \"low\")")
            } else if counted || rng.u8(..4) == 0 {
                format!("Use(move: \"m{id}\", reps: {})", rng.u32(3..12))
            } else {
                format!("\"m{id}\"")
            }
        };
        let all: Vec<String> = (0..rng.usize(2..6)).map(|_| one(rng)).collect();
        all.join(", ")
    };
    let mut own = String::new();
    if !is_grid && rng.bool() {
        let _ = write!(own, ", swap: {}", rng.u32(0..20));
    }
    if !is_grid && rng.u8(..5) == 0 {
        own.push_str(", ends: ByKey");
    }
    if !is_grid && rng.u8(..5) == 0 {
        let _ = write!(own, ", work: {}, rest: {}", rng.u32(8..50), rng.u32(0..20));
    }
    if rng.u8(..6) == 0 {
        own.clear();
        own.push_str(", rotate: false");
    }
    let all = stations(rng);
    let mut block = match rng.u8(..3) {
        0 => format!("Block(moves: [{all}], pattern: {pattern}, order: Stations"),
        1 => format!("Block(moves: [Together(moves: [{all}]{own})], pattern: {pattern}"),
        _ => {
            let more = stations(rng);
            let alone = if counted {
                "Use(move: \"m0\", reps: 5)"
            } else {
                "\"m0\""
            };
            format!(
                "Block(moves: [Together(moves: [{all}]{own}), {alone}, Together(moves: [{more}])], pattern: {pattern}"
            )
        }
    };
    if !is_grid && rng.u8(..3) == 0 {
        let _ = write!(block, ", recovery: {}", rng.u32(0..60));
    }
    if rng.u8(..4) == 0 {
        block.push_str(", between: \"m0\"");
    }
    if !is_grid && rng.u8(..4) == 0 {
        block.push_str(", last_rest: true");
    }
    block.push_str("), ");
    block
}

/// A going round: its block, round and place.
type Ring = (usize, usize, usize);

/// The going round that a work is of, and which of its works it is.
fn turn(of: &Interval) -> Option<(Ring, usize, usize)> {
    let (place, rotation) = (of.place.as_ref()?, of.together()?);
    let key = (place.block, place.round.nth, place.place.nth);
    (rotation.turn.of > 1).then_some((key, rotation.turn.nth, rotation.turn.of))
}

/// What is wrong with the goings round from the interval that runs on: each is whole, in order and
/// in one piece, and the one that has begun is finished. Who goes back comes to a work again, and
/// misses none. Those that were left by a jump are not asked.
fn broken(left: &[Placed], jumped: &BTreeSet<Ring>) -> Option<String> {
    let works = left.iter().filter(|one| one.kind.is_moving());
    let mut open: Option<(Ring, usize, usize)> = None;
    for (n, work) in works.enumerate() {
        let is = turn(work).filter(|(key, ..)| !jumped.contains(key));
        match (open, is) {
            (Some((key, nth, _)), Some((next, then, _))) if next == key && then <= nth + 1 => {}
            (Some((key, nth, of)), other) if nth < of => {
                return Some(format!("{nth} of {of} in {key:?}, and then {other:?}"));
            }
            (_, Some((key, nth, of))) if nth > 1 && n > 0 => {
                return Some(format!("{key:?} begins with {nth} of {of}"));
            }
            _ => {}
        }
        open = is;
    }
    open.filter(|(_, nth, of)| nth < of)
        .map(|(key, nth, of)| format!("{key:?} ends with {nth} of {of}"))
}

struct Class {
    live: Live,
    facts: Vec<Fact>,
    now: u64,
    /// The goings round that were left, or entered, by a jump to another part.
    jumped: BTreeSet<Ring>,
}

/// How a class looks and is planned.
struct Seen {
    view: View,
    ahead: Vec<Placed>,
    end: Moment,
}

impl Class {
    fn at(&self) -> Moment {
        Moment::from_millis(self.now)
    }

    /// The going round that runs, or is to go on after the pause that runs.
    fn begun(&self) -> Option<Ring> {
        let mut left = self.live.plan().intervals()[self.live.running()..].iter();
        let next = left.find(|one| one.kind.is_moving())?;
        turn(next).map(|(key, ..)| key)
    }

    fn seen(&self) -> Seen {
        let mut view = self.live.view(self.at());
        (view.notice, view.asked, view.is_changed) = (None, None, false);
        Seen {
            view,
            ahead: self.live.plan().intervals()[self.live.running()..].to_vec(),
            end: self.live.projected_end(self.at()),
        }
    }

    fn input(&self, press: &Press) -> (u64, Input) {
        let (now, input) = press.input(self.now);
        let at = Moment::from_millis(now);
        let input = match press.key {
            Key::Swap(n) => Input::Act(Act::Swap(moves()[n].clone())),
            Key::Land { room, which } if !self.live.is_over() => {
                let left = self.live.left(at).millis();
                let room = Span::from_millis(left.saturating_add_signed(1_000 * room));
                let landing = self.live.landings(at, room, which == 1).pop();
                match landing.filter(|landing| !landing.changes.is_empty()) {
                    Some(landing) => Input::Act(Act::Land(landing.changes)),
                    None => input,
                }
            }
            _ => input,
        };
        (now, input)
    }

    fn press(&mut self, press: &Press) -> Result<(), String> {
        if matches!(press.key, Key::Land { .. } | Key::Swap(_)) {
            let now = self.now + press.after;
            self.live.handle(Moment::from_millis(now), &Input::Wake);
        }
        let (now, input) = self.input(press);
        self.now = now;
        let asleep = matches!(input, Input::Act(Act::Slept { .. }));
        if !asleep {
            self.live.handle(self.at(), &Input::Wake);
        }
        let before = self.seen();
        let jumps = matches!(input, Input::Act(Act::GoTo(_) | Act::CatchUp));
        let begun = self.begun();
        let changes = matches!(&input, Input::Act(act) if act.is_change());
        self.live.handle(self.at(), &input);
        let known = self.facts.len();
        while let Some(output) = self.live.poll_output() {
            if let Output::Fact(fact) = output {
                self.facts.push(fact);
            }
        }
        if jumps {
            self.jumped.extend(begun);
            self.jumped.extend(self.begun());
        }
        let ahead = &self.live.plan().intervals()[self.live.running()..];
        // A block that ends by itself ends for all of them at once.
        if let Some((running, behind)) = ahead.split_first()
            && (running.place.as_ref()).is_some_and(|place| place.cap.is_some())
            && !behind.iter().any(|one| one.part == running.part)
        {
            self.jumped.extend(turn(running).map(|(key, ..)| key));
        }
        if let Some(what) = broken(ahead, &self.jumped).filter(|_| !self.live.is_over()) {
            return Err(format!("{input:?}: {what}"));
        }
        let did = self.facts[known..]
            .iter()
            .any(|fact| matches!(&fact.what, What::Did(act) if act.is_change()));
        // What is skipped last, behind the end of its block, ends the class at once.
        let mut next = self.live.clone();
        next.handle(self.at(), &Input::Wake);
        let can = changes && did && !next.is_over();
        if can && !asleep && !matches!(input, Input::Act(Act::Undo | Act::CatchUp)) {
            self.undoes(&before)
                .map_err(|what| format!("{input:?}: {what}"))?;
        }
        Ok(())
    }

    /// A copy of the class in which what was just done is taken back is as it was.
    fn undoes(&self, before: &Seen) -> Result<(), String> {
        let mut copy = Self {
            live: self.live.clone(),
            facts: Vec::new(),
            now: self.now,
            jumped: BTreeSet::new(),
        };
        copy.live.handle(self.at(), &Input::Act(Act::Undo));
        let after = copy.seen();
        if after.ahead != before.ahead {
            return Err(differing(
                "the plan after undo",
                &before.ahead,
                &after.ahead,
            ));
        }
        if after.view != before.view {
            return Err(differing("the view after undo", &before.view, &after.view));
        }
        if after.end != before.end {
            return Err(differing("the end after undo", &before.end, &after.end));
        }
        Ok(())
    }

    /// Class time by kind and moves: in the class, and by its record.
    fn books_balance(&self, session: &Arc<Session>) -> Result<(), String> {
        let mut own: BTreeMap<(Kind, Vec<String>), u64> = BTreeMap::new();
        for (n, stay) in self.live.plan().intervals().iter().enumerate() {
            let end = match n.cmp(&self.live.running()) {
                std::cmp::Ordering::Less => stay.end,
                std::cmp::Ordering::Equal => self.live.offset(self.at()),
                std::cmp::Ordering::Greater => break,
            };
            let ids = stay.moves.iter().map(|turn| turn.of.id.clone()).collect();
            *own.entry((stay.kind, ids)).or_default() += end.since(stay.start).millis();
        }
        let wall = |at: Moment| Wall::default() + at.since(Moment::ZERO).duration();
        let last = Fact {
            at: self.at(),
            offset: self.live.offset(self.at()),
            what: What::Sound(true),
        };
        let header = Header::new((**session).clone(), Wall::default());
        let facts = self.facts.iter().map(|fact| (wall(fact.at), fact));
        let taught = Taught::of(&header, facts.chain([(wall(self.at()), &last)]));
        let mut told: BTreeMap<(Kind, Vec<String>), u64> = BTreeMap::new();
        for piece in &taught.pieces {
            *told.entry((piece.kind, piece.moves.clone())).or_default() += piece.ran.millis();
        }
        own.retain(|_, ran| *ran > 0);
        told.retain(|_, ran| *ran > 0);
        if own == told {
            return Ok(());
        }
        Err(differing("the books", &own, &told))
    }

    /// The facts replayed are the same class.
    fn replays(&self, session: &Arc<Session>) -> Result<(), String> {
        let mut again = Live::replay(session.clone(), &self.facts);
        again.handle(self.at(), &Input::Wake);
        let again = Self {
            live: again,
            facts: Vec::new(),
            now: self.now,
            jumped: BTreeSet::new(),
        };
        let (one, other) = (self.seen(), again.seen());
        if one.ahead != other.ahead {
            return Err(differing("the plan replayed", &one.ahead, &other.ahead));
        }
        if one.view != other.view {
            return Err(differing("the view replayed", &one.view, &other.view));
        }
        if one.end != other.end {
            return Err(differing("the end replayed", &one.end, &other.end));
        }
        Ok(())
    }
}

fn differing<T: std::fmt::Debug>(what: &str, one: &T, other: &T) -> String {
    let (one, other) = (format!("{one:#?}"), format!("{other:#?}"));
    let pairs = one.lines().zip(other.lines()).enumerate();
    let mut text = format!("{what}:\n");
    for (n, (one, other)) in pairs.filter(|(_, (one, other))| one != other).take(8) {
        let _ = writeln!(text, "  line {n}: {} / {}", one.trim(), other.trim());
    }
    text
}

fn drive(session: &Arc<Session>, presses: &[Press]) -> Result<usize, (usize, String)> {
    let mut class = Class {
        live: Live::new(session.clone()),
        facts: Vec::new(),
        now: 0,
        jumped: BTreeSet::new(),
    };
    for (n, press) in presses.iter().enumerate() {
        class.press(press).map_err(|what| (n, what))?;
        if class.live.is_over() || n + 1 == presses.len() {
            class.books_balance(session).map_err(|what| (n, what))?;
            class.replays(session).map_err(|what| (n, what))?;
            return Ok(n + 1);
        }
    }
    Ok(0)
}

/// The shortest story that still goes wrong in the same way.
fn shortened(session: &Arc<Session>, presses: &[Press]) -> String {
    let label = |what: &str| {
        what.chars()
            .filter(|c| !c.is_ascii_digit())
            .take(9)
            .collect::<String>()
    };
    let fails = |story: &[Press]| drive(session, story).err().map(|(_, what)| label(&what));
    let wanted = fails(presses);
    let mut story = presses.to_vec();
    let mut n = 0;
    while n < story.len() {
        let mut shorter = story.clone();
        let gone = shorter.remove(n);
        if let Some(next) = shorter.get_mut(n) {
            next.after += gone.after;
        }
        if fails(&shorter) == wanted {
            story = shorter;
        } else {
            n += 1;
        }
    }
    let mut text = String::new();
    for press in &story {
        let _ = writeln!(text, "    {press}");
    }
    let what = drive(session, &story)
        .err()
        .map_or_else(String::new, |(_, what)| what);
    text + &what
}

/// So many inputs to random classes with several moves at once.
fn inputs(seed: u64, count: usize) {
    let mut rng = Rng::with_seed(seed);
    let (mut taken, mut rotations) = (0, 0);
    while taken < count {
        let text = class(&mut rng);
        let session = read(&text);
        let all = Timeline::of(&session);
        let each: BTreeSet<_> = all.intervals().iter().filter_map(|one| turn(one)).collect();
        rotations += each.len();
        assert_eq!(broken(all.intervals(), &BTreeSet::new()), None, "{text}");
        for _ in 0..8 {
            let presses = presses(&mut rng, session.laid().len());
            match drive(&session, &presses) {
                Ok(more) => taken += more,
                Err((n, what)) => {
                    let story = shortened(&session, &presses[..=n]);
                    let (_, brief) = text.split_once("], parts: ").unwrap_or(("", &text));
                    panic!("after {taken} inputs, in\n{brief}\n{what}\nshorter:\n{story}");
                }
            }
        }
    }
    assert!(rotations > 1_000, "{rotations}");
}

#[test]
fn nobody_misses_a_station_whatever_is_pressed() {
    inputs(0xB0A7, 60_000);
}

#[test]
fn nobody_misses_a_station_in_other_classes_either() {
    inputs(0x5EA, 60_000);
}

//! Random classes, second by second, with keys pressed at random: the same words stand at the same
//! place, no fact stands twice, and what is said of the seconds is true.

use std::collections::HashMap;
use std::fmt::Write as _;
use std::sync::Arc;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::shown::{Reads, Shown};
use super::{still, words};
use crate::live::{
    Act, Digits, Harder, HoldReason, Input, Live, PositionChange, Stance, ThenView, View,
};
use crate::screen::around::Around;
use crate::screen::pen::{below, right_of};
use crate::screen::prompts::RAIL;
use crate::screen::zones::Zones;
use crate::screen::{sample, tests};
use crate::session::{Library, Session};
use crate::time::{Moment, Span};

const SIZES: [(u16, u16); 6] = [
    (40, 12),
    (80, 24),
    (97, 31),
    (120, 35),
    (160, 45),
    (200, 50),
];
const CLASSES: u64 = 18;

/// A class of a few minutes out of every kind of part, of moves at random.
fn class(rng: &mut fastrand::Rng, library: &Library) -> Live {
    let moves: Vec<&str> = library.iter().map(|of| of.id.as_str()).collect();
    let pick = |rng: &mut fastrand::Rng| *rng.choice(&moves).expect("not empty");
    let mut text = String::from("(title: \"Drift\", limits: [Wrist, Knee], parts: [\n");
    let _ = write!(
        text,
        "Talk(time: {}, say: \"Hello and welcome. Water by the door.\"),",
        rng.u8(8..20)
    );
    let _ = write!(
        text,
        "WarmUp([(\"{}\", {}), (\"{}\", 14)]),",
        pick(rng),
        rng.u8(12..30),
        pick(rng)
    );
    for n in 0..rng.u8(1..4) {
        let pattern = match rng.u8(0..5) {
            0 => format!(
                "Rounds(work: [{}, 20], rest: [{}, 8])",
                rng.u8(15..45),
                rng.u8(0..20)
            ),
            1 => format!(
                "Same(rounds: {}, work: {}, rest: {})",
                rng.u8(1..3),
                rng.u8(10..40),
                rng.u8(0..40)
            ),
            2 => format!("Emom(minutes: 2, work: {})", rng.u8(20..50)),
            3 => format!("Amrap(time: {})", rng.u8(40..90)),
            _ => format!("Reps(rounds: 1, rest: {}, pace: 3)", rng.u8(5..20)),
        };
        let counted = pattern.starts_with("Amrap") || pattern.starts_with("Reps");
        let recovery = if pattern.starts_with("Emom") || pattern.starts_with("Amrap") {
            String::new()
        } else {
            format!(", recovery: {}", rng.u8(5..25))
        };
        let uses: Vec<String> = (0..rng.u8(2..5))
            .map(|_| {
                if counted {
                    format!("Use(move: \"{}\", reps: {})", pick(rng), rng.u8(5..13))
                } else {
                    format!("\"{}\"", pick(rng))
                }
            })
            .collect();
        let _ = write!(
            text,
            "Ready(time: 10), Block(title: \"Wave {n}\", moves: [{}], pattern: {pattern}{recovery}), \
             Recover(time: {}, say: \"Water. The next block is much the same, only slower.\"),",
            uses.join(", "),
            rng.u8(20..50)
        );
    }
    let _ = write!(
        text,
        "CoolDown([(\"{}\", 20), (\"{}\", 15)])])",
        pick(rng),
        pick(rng)
    );
    let session = Session::read("drift", &text, library);
    Live::new(Arc::new(
        session.unwrap_or_else(|faults| panic!("{faults}\n{text}")),
    ))
}

fn act(rng: &mut fastrand::Rng) -> Option<Act> {
    Some(match rng.u8(0..120) {
        0 => Act::Skip,
        1 => Act::Back,
        2 => Act::Hold(HoldReason::Hold),
        3 => Act::Hold(HoldReason::Break),
        4..=6 => Act::Resume,
        7..=9 => Act::GoOn,
        10 => Act::Add(Span::from_secs(10)),
        11 => Act::Take(Span::from_secs(10)),
        12 => Act::Step(Harder::Easier),
        13 => Act::OnceMore,
        14 => Act::Undo,
        15 => Act::DropRound,
        _ => return None,
    })
}

/// What is drawn in a zone, by what is to stand there.
#[derive(Default)]
struct Places(HashMap<String, Vec<String>>);

impl Places {
    fn hold(&mut self, key: &str, buf: &Buffer, rect: Rect) {
        let ink: Vec<String> = rect
            .positions()
            .map(|at| buf[at].symbol().to_owned())
            .collect();
        let first = self.0.entry(key.to_owned()).or_insert_with(|| ink.clone());
        assert_eq!(*first, ink, "moved: {key}\n{}", tests::text(buf));
    }
}

#[test]
fn no_zone_moves_and_no_fact_stands_twice_in_a_random_class() {
    let (library, around) = (Library::builtin(), sample::around());
    let mut stances = [0_usize; 6];
    for seed in 0..CLASSES {
        let mut rng = fastrand::Rng::with_seed(seed);
        let size = SIZES[usize::try_from(seed).expect("small") % SIZES.len()];
        let (mut live, mut places) = (class(&mut rng, &library), Places::default());
        let end = Moment::ZERO + Span::from_secs(rng.u64(200..500));
        live.handle(Moment::ZERO, &Input::EndsAt(rng.bool().then_some(end)));
        live.handle(Moment::ZERO, &Input::Act(Act::Begin));
        for second in 0..260_u64 {
            let now = Moment::from_millis(second * 1000 + 20);
            live.handle(now, &Input::Wake);
            if let Some(act) = act(&mut rng) {
                live.handle(now, &Input::Act(act));
            }
            let view = live.view(now);
            stances[view.stance as usize] += 1;
            let shown = shown(&view, &around);
            is_true(&view, &shown);
            is_once(&view, &shown);
            if view.asked.is_some() {
                // The question stands in place of all but the figures.
                continue;
            }
            let buf = tests::plainly(size.0, size.1, &view);
            stands(&mut places, &buf, &view, &shown);
            is_apart(&buf, !shown.list.is_empty());
        }
    }
    // Each but the one before the class is come to.
    assert!(stances[1..].iter().all(|count| *count > 20), "{stances:?}");
}

fn shown(view: &View, around: &Around) -> Shown {
    match view.stance {
        Stance::AtWork | Stance::Turning | Stance::Open => Shown::of(view, around),
        Stance::Waiting | Stance::Held | Stance::Ended => still::of(view, around),
    }
}

/// The same words stand at the same place, whatever goes on besides.
fn stands(places: &mut Places, buf: &Buffer, view: &View, shown: &Shown) {
    let zones = Zones::of(buf.area).expect("large enough");
    let head = (&shown.head, &shown.length, &shown.list);
    places.hold(&format!("head {head:?}"), buf, right_of(zones.head, RAIL));
    if shown.list.is_empty() {
        let version = (&shown.version, shown.is_marked, still::over(view));
        places.hold(
            &format!("version {version:?}"),
            buf,
            right_of(zones.version, RAIL),
        );
    }
    if view.stance != Stance::Held {
        let figures = crate::screen::digits::text(view.digits);
        let panel = (&shown.first, &shown.second, figures.len(), view.length);
        let left = tests::digits_width(view.digits, zones);
        let used = left.max(crate::screen::digits::field(
            zones.band,
            view.length,
            zones.figures,
        ));
        places.hold(
            &format!("panel {panel:?} {left}"),
            buf,
            right_of(zones.band, used),
        );
    }
}

/// Between two large lines there is an empty row of pixels.
fn is_apart(buf: &Buffer, is_list: bool) {
    let zones = Zones::of(buf.area).expect("large enough");
    let low = ["▄", "█", "▌", "▐", "▙", "▟", "▖", "▗", "▚", "▞", "▛", "▜"];
    let high = ["▀", "█", "▌", "▐", "▛", "▜", "▘", "▝", "▚", "▞", "▙", "▟"];
    for (zone, under) in [(zones.head, zones.version), (zones.version, zones.say)] {
        // A list stands in both of the upper zones.
        let is_one = is_list && zone == zones.head;
        if is_one || zone.is_empty() || under.is_empty() {
            continue;
        }
        let last = right_of(below(zone, zone.height - 1), RAIL);
        for at in last.positions() {
            let (above, beneath) = (buf[at].symbol(), buf[(at.x, at.y + 1)].symbol());
            let touch = low.contains(&above) && high.contains(&beneath);
            assert!(!touch, "{at}\n{}", tests::text(buf));
        }
    }
}

/// What the seconds lead to is what comes; a position is shown where it changes and nowhere else.
fn is_true(view: &View, shown: &Shown) {
    let all = [&shown.first.texts, &shown.second.texts, &shown.head.texts]
        .into_iter()
        .flatten();
    let all: Vec<&String> = all.collect();
    let is_running = matches!(view.stance, Stance::AtWork | Stance::Turning | Stance::Open);
    let changes = view
        .next
        .as_ref()
        .is_some_and(|next| next.change != PositionChange::Same);
    let arrows = |text: &String| text.starts_with(['↑', '↓']) || text.contains("then ↓");
    assert!(changes || !all.iter().any(|text| arrows(text)), "{all:?}");
    assert!(
        !all.iter()
            .any(|text| text.contains("… in") || text.contains(" in 0:")),
        "{all:?}"
    );
    if !is_running {
        return;
    }
    let is_counted_in = matches!(view.digits, Digits::CountIn(_));
    let second = shown.second.texts.first().cloned().unwrap_or_default();
    if is_counted_in {
        assert_eq!(second, "about to start");
    } else if !view.kind.is_moving() {
        assert_eq!(shown.first.texts, [view.kind.label()]);
        if let Some(next) = view
            .next
            .as_ref()
            .filter(|next| next.change != PositionChange::Same)
        {
            assert_eq!(shown.second.texts, words::change(next), "{next:?}");
        } else if matches!(view.then, Some(ThenView::Pause { is_long: true, .. })) {
            assert!(!second.contains("straight on"), "a pause comes first");
        }
    } else if matches!(view.digits, Digits::Left(_)) && view.stance == Stance::Turning {
        match view.then {
            Some(ThenView::Pause { kind, length, .. }) => {
                assert_eq!(second, format!("then {} {length}", kind.label()));
            }
            Some(ThenView::End) => assert_eq!(second, "then the end"),
            Some(ThenView::Move) => assert!(second.starts_with("then "), "{second}"),
            None => panic!("something follows: {view:?}"),
        }
    }
}

/// No words stand in two places.
fn is_once(view: &View, shown: &Shown) {
    let plain = |text: &String| words::plain(text);
    let small: Vec<String> = shown
        .small
        .iter()
        .map(|(_, text)| plain(text))
        .filter(|text| !text.is_empty())
        .collect();
    let said = shown.say.as_ref().filter(|_| shown.reads == Reads::Say);
    let said = said.map(|say| plain(&say.say)).unwrap_or_default();
    for version in shown.version.iter().map(plain) {
        assert!(
            said != version && !small.contains(&version),
            "{version}: {small:?} {said}"
        );
    }
    for (n, text) in small.iter().enumerate() {
        let twice = small
            .iter()
            .enumerate()
            .any(|(m, other)| n != m && other == text);
        assert!(
            !twice && !said.contains(text.as_str()),
            "{text}: {small:?} {said}"
        );
    }
    if shown.reads == Reads::Head {
        let next = view.next.as_ref().expect("it is read there");
        let name = plain(&next.is.name);
        assert!(shown.head.is_loud && shown.list.is_empty(), "{name}");
    }
    let first = shown.first.texts.first().map(plain).unwrap_or_default();
    assert!(
        first.is_empty() || !small.contains(&first),
        "{first}: {small:?}"
    );
}

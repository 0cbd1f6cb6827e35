//! Classes from the first key to the last: undone, mended, previewed, wished for.

use super::super::finding::Taught;
use super::super::plan::Over;
use super::super::plan::Wish;
use super::super::reading::Reading;
use super::{CLASS, SQUAT, at, moves, plan, press, samples};
use crate::session::manuscript::RowKind as Kind;

/// Undo goes back to the bytes of the file, redo to what was.
#[test]
fn everything_is_taken_back_and_made_again() {
    let keys = "right down right down m =squat enter esc down x c , . enter down right esc l w esc";
    let mut plan = at(0, keys);
    let changed = plan.manuscript.text().to_owned();
    assert_ne!(changed, CLASS);
    let mut back = 0;
    while plan.manuscript.what_is_undone().is_some() {
        press(&mut plan, "u");
        back += 1;
    }
    assert_eq!(plan.manuscript.text(), CLASS);
    assert!(!plan.manuscript.is_changed());
    press(&mut plan, "u");
    assert!(plan.word.is_refused);
    press(&mut plan, &"r ".repeat(back));
    assert_eq!(plan.manuscript.text(), changed);
}

/// From nothing to a whole class by keys alone; what stands in the file is what the README says of
/// such a class.
#[test]
fn a_class_is_made_from_nothing() {
    let text = include_str!("../../../../assets/plan.ron");
    let mut plan = plan(text);
    press(
        &mut plan,
        "=40:00 enter end p down enter =march enter =arm_circle enter esc \
         p =x esc p down down enter p down down down enter =squat enter =plank enter esc \
         p end up up up enter =child enter esc s",
    );
    let session = plan.session().expect("a class");
    assert_eq!(session.slot, Some(crate::time::Span::from_secs(2400)));
    assert_eq!(session.parts.len(), 5);
    assert_eq!(moves(&plan).len(), 5, "{:?}", moves(&plan));
}

/// In every sample each line that is taught comes at some time, however often what is around it is
/// repeated; the parts take all the time there is, one after another; and what is said of a move stands
/// before what could be said about it.
#[test]
fn each_line_of_every_sample_has_its_time_and_is_told_beside() {
    let mut repeated = 0;
    for (name, text) in samples() {
        let plan = plan(&text);
        let becomes = plan.becomes.as_ref().expect(&name);
        let all = becomes.timeline.intervals();
        let (mut last, mut sum) = (crate::time::Offset::ZERO, crate::time::Span::ZERO);
        let taught = plan.lines.iter();
        let taught = taught.filter(|line| !matches!(line.kind, Kind::Class | Kind::OwnMove));
        for line in taught {
            let told = format!("{name}: {}", line.name);
            let start = becomes.start(line);
            assert!(start >= Some(last), "{told}: {start:?} after {last:?}");
            last = start.expect(&told);
            let depth = line.path.as_ref().map_or(0, Vec::len);
            if depth == 2 {
                let within = becomes.intervals(line);
                sum += within.iter().map(|&n| all[n].span()).sum();
            }
            repeated += usize::from(depth > 3 && line.kind == Kind::Block);
            let beside = becomes.beside(line, usize::MAX);
            assert!(beside.len() > 1, "{told}");
            let head = |head: &str| beside.iter().position(|said| said.text.starts_with(head));
            let (said, about) = (head("Said the first time"), head("A colleague"));
            assert_eq!(
                said.is_some(),
                line.id.is_some() && depth > 2 || line.kind == Kind::Together,
                "{told}"
            );
            assert!(about.is_none_or(|about| Some(about) > said), "{told}");
        }
        assert_eq!(sum, becomes.timeline.total(), "{name}");
    }
    assert!(repeated > 1, "{repeated}");
}

/// A rehearsal begins at the line, and nowhere where the line is never taught.
#[test]
fn a_rehearsal_begins_where_the_line_comes() {
    for (name, text) in samples() {
        let mut plan = plan(&text);
        for n in 0..plan.lines.len() {
            plan.chosen = n;
            let start = plan.start();
            let wished = press(&mut plan, "t enter esc");
            match (start, plan.lines[n].kind) {
                (None, Kind::OwnMove) => assert!(wished.is_empty(), "{name}: {n}"),
                (from, _) => {
                    let from = from.expect(&name);
                    assert_eq!(
                        wished.first(),
                        Some(&Wish::Rehearse(from, 1)),
                        "{name}: {n}"
                    );
                }
            }
        }
    }
    let own = CLASS.replace(
        "    parts: [",
        "    moves: [(id: \"sway\", name: \"Sway\")],\n    parts: [",
    );
    let mut plan = plan(&own);
    plan.chosen = plan
        .lines
        .iter()
        .position(|line| line.kind == Kind::OwnMove)
        .expect("there");
    press(&mut plan, "t");
    assert!(
        plan.word.is_refused && plan.over == Over::None,
        "{}",
        plan.word.text
    );
}

/// All that has no room beside is a page that scrolls, to its last line.
#[test]
fn what_is_told_beside_opens_as_a_page_that_is_read_to_its_end() {
    let mut plan = at(SQUAT, "b");
    let Over::Read(reading) = &plan.over else {
        panic!("something is read");
    };
    let heads = reading.says.iter().filter(|said| said.is_head);
    let heads: Vec<&str> = heads.map(|said| said.text.as_str()).collect();
    assert_eq!(heads.first(), Some(&"Squat"), "{heads:?}");
    assert_eq!(heads.last(), Some(&"Bring"), "{heads:?}");
    let long = |n: usize| {
        let words = format!("paragraph {n} ").repeat(60);
        crate::screen::pages::Said::line(crate::screen::Role::Now, words)
    };
    let mut says: Vec<_> = (0..30).map(long).collect();
    says.push(crate::screen::pages::Said::line(
        crate::screen::Role::Now,
        "the end",
    ));
    plan.over = Over::Read(Reading::new("Long", says, None));
    for size in [(80, 24), (120, 35), (60, 14)] {
        press(&mut plan, "home");
        let first = seen(&plan, size);
        press(&mut plan, "end");
        let end = seen(&plan, size);
        assert!(end.contains("the end") && !end.contains("more"), "{end}");
        press(&mut plan, "up");
        assert_ne!(seen(&plan, size), end, "{size:?}");
        press(&mut plan, &"down ".repeat(4));
        assert_eq!(seen(&plan, size), end, "{size:?}");
        press(&mut plan, "up down");
        assert_eq!(seen(&plan, size), end, "{size:?}");
        press(&mut plan, "pageup pageup home");
        assert_eq!(seen(&plan, size), first, "{size:?}");
    }
}

fn seen(plan: &super::Plan, (wide, high): (u16, u16)) -> String {
    use crate::app::shell::Painted as _;

    let area = ratatui::layout::Rect::new(0, 0, wide, high);
    let mut buf = ratatui::buffer::Buffer::empty(area);
    let page = super::super::drawn::drawn(plan, "tide.ron");
    page.paint(area, &mut buf, &crate::screen::Theme::default());
    buf.content
        .iter()
        .map(ratatui::buffer::Cell::symbol)
        .collect()
}

/// In the smallest window what is said of a move is seen beside it whatever a colleague would say, and
/// what has no room is told with its key.
#[test]
fn the_script_of_a_move_is_seen_in_the_smallest_window() {
    let (mut cut, mut whole) = (0, 0);
    for (name, text) in samples() {
        let mut plan = plan(&text);
        for n in 0..plan.lines.len() {
            plan.chosen = n;
            let line = plan.lines[n].clone();
            if line.kind != Kind::Move {
                continue;
            }
            let page = seen(&plan, (80, 24));
            assert!(
                page.contains("Said the first time"),
                "{name}: {}",
                line.name
            );
            let is_cut = page.contains("more: b");
            cut += usize::from(is_cut);
            whole += usize::from(seen(&plan, (120, 35)).contains("Bring"));
        }
    }
    assert!(cut > 0 && whole > 0, "{cut} {whole}");
}

/// What is to be spared is read from the file as it is, however faulty it is elsewhere; where nobody can
/// read it, it is left alone.
#[test]
fn the_limits_of_a_file_with_faults_are_its_own() {
    let with =
        |limits: &str| CLASS.replace("    equipment", &format!("    {limits}\n    equipment"));
    let faulty = with("limits: [Knee],").replace("\"squat\", // deep", "\"sqaut\", // deep");
    let mut broken = plan(&faulty);
    assert!(broken.session().is_none());
    press(&mut broken, "l w b esc");
    let text = broken.manuscript.text();
    assert!(text.contains("limits: [Knee, Wrist, Supine],"), "{text}");
    let whole = with("limits: [Knee, Wrist, Supine],");
    let found = |mut plan: super::Plan, keys: &str| {
        press(&mut plan, &format!("m {keys}"));
        let Over::Find(find) = &plan.over else {
            panic!("a move is looked for");
        };
        let lines = plan.found(find).lines;
        lines
            .into_iter()
            .map(|line| (line.name, line.is_marked))
            .collect::<Vec<_>>()
    };
    for keys in ["tab tab tab tab right", "tab tab tab right right", ""] {
        let broken = plan(broken.manuscript.text());
        assert_eq!(found(broken, keys), found(plan(&whole), keys), "{keys}");
    }
    for limits in [
        "limits: [Knie],",
        "limits: Knee,",
        "limits: [Knee",
        "limits [Knee],",
        "limits: [Knee, \"x],",
    ] {
        let text = with(limits);
        let mut plan = plan(&text);
        press(&mut plan, "l");
        assert!(plan.word.is_refused && plan.over == Over::None, "{limits}");
        press(&mut plan, "m tab tab tab tab right");
        let Over::Find(find) = &plan.over else {
            panic!("a move is looked for");
        };
        let page = plan.found(find);
        assert!(
            page.word.contains("cannot be read"),
            "{limits}: {}",
            page.word
        );
        assert_eq!(plan.manuscript.text(), text);
    }
}

/// ctrl-c goes back wherever esc does.
#[test]
fn one_key_leaves_whatever_lies_over_the_list() {
    for keys in [
        "enter",
        "enter enter",
        "=4",
        "m",
        "m =squ",
        "w",
        "p",
        "p end",
        "l",
        "v",
        "o",
        "i",
        "t",
        "h",
        "f",
        "b",
        "?",
        "s",
        "right q",
    ] {
        let (mut one, mut other) = (at(SQUAT, ""), at(SQUAT, ""));
        (one.is_named, other.is_named) = (false, false);
        press(&mut one, keys);
        press(&mut other, keys);
        assert_ne!(one.over, Over::None, "{keys}: {}", one.word.text);
        let before = one.over.clone();
        assert_eq!(
            press(&mut one, "ctrl-c"),
            press(&mut other, "esc"),
            "{keys}"
        );
        assert_eq!(one.over, other.over, "{keys}");
        assert_ne!(one.over, before, "{keys}");
        assert_eq!(one.manuscript.text(), other.manuscript.text());
    }
}

/// Whatever somebody else put in or took out, the mark stays on the line on which it was.
#[test]
fn the_mark_stays_on_its_line_when_a_file_is_settled() {
    let part = "        Talk(time: 30, say: \"Hi.\"),\n";
    let twice = format!("{part}        Ready(time: 20),\n");
    for (was, is) in [
        (part, ""),
        (part, twice.as_str()),
        ("\"squat\", // deep", "\"bridge\", \"squat\", // deep"),
        ("(\"march\", 45),", ""),
    ] {
        let theirs = CLASS.replacen(was, is, 1);
        for (n, line) in plan(CLASS).lines.iter().enumerate().filter(|(n, _)| *n > 3) {
            let mut plan = at(n, "");
            plan.settle(&theirs, theirs.clone());
            let now = plan.line().map(|line| (line.kind, line.name.clone()));
            assert_eq!(now, Some((line.kind, line.name.clone())), "{is}");
        }
    }
}

/// A file with faults opens: its fault is told with the caret, the rest is changed, and it cannot be
/// rehearsed before it is mended.
#[test]
fn a_file_with_faults_can_be_mended_at_the_page() {
    let text = CLASS.replace("\"squat\", // deep", "\"sqaut\", // deep");
    let mut plan = plan(&text);
    assert!(plan.session().is_none());
    let faulty = plan.lines.iter().position(|line| !line.faults.is_empty());
    assert_eq!(faulty, Some(SQUAT));
    assert_eq!(press(&mut plan, "t"), []);
    assert!(plan.word.is_refused);
    press(&mut plan, "down right");
    assert!(
        plan.manuscript.text().contains("time: 35"),
        "{}",
        plan.word.text
    );
    plan.chosen = SQUAT;
    press(&mut plan, "w =squat enter");
    assert!(plan.session().is_some(), "{}", plan.word.text);
}

#[test]
fn what_needs_a_file_or_a_clock_is_wished() {
    let mut changed = at(0, "right");
    assert_eq!(press(&mut changed, "s"), [Wish::Save]);
    assert_eq!(press(&mut changed, "q"), []);
    assert_eq!(press(&mut changed, "enter"), [Wish::SaveAndLeave]);
    assert_eq!(press(&mut changed, "q down enter"), [Wish::Leave(true)]);
    assert_eq!(
        press(&mut changed, "q down down enter"),
        [Wish::Leave(false)]
    );
    assert_eq!(press(&mut changed, "q esc"), []);
    let mut same = at(0, "");
    assert_eq!(press(&mut same, "esc"), [Wish::Leave(false)]);
    let line = CLASS
        .lines()
        .position(|line| line.contains("squat"))
        .expect("there")
        + 1;
    same.chosen = SQUAT;
    assert_eq!(press(&mut same, "e"), [Wish::Editor(line)]);
    let wishes = press(&mut same, "t down enter");
    assert!(
        matches!(wishes[..], [Wish::Rehearse(from, 10)] if from.span().secs_floor() == 135),
        "{wishes:?}"
    );
    assert_eq!(
        press(&mut same, "h enter"),
        [Wish::Sheet("tide.html".into())]
    );
    let mut new = at(0, "");
    new.is_named = false;
    assert_eq!(
        press(&mut new, "s enter"),
        [Wish::SaveAs("tide.ron".into())]
    );
}

/// Previews change nothing until they are taken.
#[test]
fn a_preview_is_taken_or_left() {
    for key in ["f", "o", "v"] {
        let mut plan = at(0, key);
        assert!(
            !matches!(plan.over, Over::None),
            "{key}: {}",
            plan.word.text
        );
        press(&mut plan, "esc");
        assert_eq!(plan.manuscript.text(), CLASS);
    }
    let mut plan = at(0, "=12:00 enter f down enter");
    let before = plan.manuscript.text().to_owned();
    press(&mut plan, "enter");
    let session = plan.session().expect("a class");
    let total = crate::plan::Timeline::of(session).total();
    assert_ne!(plan.manuscript.text(), before, "{}", plan.word.text);
    assert_eq!(total, crate::time::Span::from_secs(720));
}

/// A move that was taught lately is told so where it is looked for.
#[test]
fn what_was_taught_is_known_where_a_move_is_looked_for() {
    let mut plan = at(SQUAT, "m");
    plan.taught = Taught::from([("squat".to_owned(), 3)]);
    press(&mut plan, "=squat");
    let Over::Find(find) = &plan.over else {
        panic!("a move is looked for");
    };
    let card = plan.found(find).card;
    assert!(
        card.iter().any(|said| said.text == "taught 3 days ago"),
        "{card:?}"
    );
}

/// A warm-up that is repeated is as long as it is each time it comes.
#[test]
fn what_is_repeated_is_as_long_as_it_is_each_time() {
    let lasts = |plan: &super::Plan| {
        let becomes = plan.becomes.as_ref().expect("a class");
        let mut lines = plan.lines.iter();
        becomes.lasts(lines.find(|line| line.kind == Kind::WarmUp).expect("there"))
    };
    let once = at(super::WARM_UP, "");
    let twice = at(super::WARM_UP, "p end enter");
    assert!(twice.manuscript.text().contains("Repeat("));
    assert_eq!(lasts(&once), crate::time::Span::from_secs(105));
    assert_eq!(lasts(&twice), lasts(&once));
    let page = super::super::drawn::drawn(&twice, "tide.ron");
    let super::super::drawn::Drawn::Plan(page) = page else {
        panic!("the list is drawn");
    };
    let mut lines = page.lines.iter();
    let line = lines.find(|line| line.name == "Warm-up").expect("there");
    assert_eq!(line.figures, "1:45");
}

//! Three classes whose whole script was read through by eye: would a good instructor say this?
//! A changed script is printed; read it before it replaces the old one.

mod common;

use matside::plan::{CuePlan, Kind, Placed, Prompt, PromptKind, Timeline};
use matside::session::{Library, Session};

fn heading(interval: &Placed) -> String {
    let name = interval.turn().map_or("", |turn| &turn.of.call);
    let round = interval.place.as_ref().map(|place| place.round);
    let round = round.map_or(String::new(), |round| format!("round {} ", round.nth));
    let (start, kind) = (interval.start, interval.kind.label());
    let line = format!("{start} {kind} {} {round}{name}", interval.span());
    line.trim_end().to_owned()
}

fn script(session: &Session) -> String {
    let timeline = Timeline::of(session);
    let plan = CuePlan::of(&timeline, &session.cueing, &session.limits);
    let mut lines = Vec::new();
    for (n, interval) in timeline.intervals().iter().enumerate() {
        lines.push(heading(interval));
        for said in plan.prompts.iter().filter(|said| said.interval == n) {
            let mark = if said.marked { "* " } else { "" };
            let after = (said.at - interval.start).secs();
            lines.push(format!("  {after:5.1}  {mark}{}", said.say));
        }
    }
    for left in &plan.unplaced {
        let (about, short) = (left.about, left.short.secs());
        lines.push(format!(
            "unsaid for {about}, {short:.1} s short: {}; {}",
            left.say, left.why
        ));
    }
    lines.join("\n") + "\n"
}

/// Writes a script anew, with `MATSIDE_BLESS=1`.
#[expect(
    clippy::disallowed_methods,
    reason = "a script is written once it was read"
)]
fn write(name: &str, script: &str) {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/scripts");
    std::fs::write(format!("{folder}/{name}.txt"), script).expect("written");
}

#[test]
fn the_scripts_are_as_they_were_read() {
    let read = [
        (
            common::shrinking(),
            "shrinking",
            include_str!("scripts/shrinking.txt"),
        ),
        (
            common::two_blocks(),
            "two-blocks",
            include_str!("scripts/two-blocks.txt"),
        ),
        (
            common::short_work(),
            "short-work",
            include_str!("scripts/short-work.txt"),
        ),
    ];
    for (session, name, expected) in read {
        let script = script(&session);
        if std::env::var_os("MATSIDE_BLESS").is_some() {
            write(name, &script);
        } else {
            assert!(script == expected, "== {}\n{script}", session.title);
        }
    }
}

/// Rests of 30, 20, 15 and 10 s, down to the floor and up again twice a round (lead 4 s, change
/// 5 s): the previews lie in the rest as long as it has room, then late in the work before.
#[test]
fn as_rests_shrink_the_previews_move_forward() {
    let session = common::shrinking();
    let timeline = Timeline::of(&session);
    let plan = CuePlan::of(&timeline, &session.cueing, &session.limits);
    let mut table = Vec::new();
    for (n, interval) in timeline.intervals().iter().enumerate() {
        if interval.kind != Kind::Work {
            continue;
        }
        let about = |p: &&Prompt| p.about == n && p.kind == PromptKind::Preview;
        let preview = plan.prompts.iter().find(about).expect("a preview");
        let (call, place) = (
            &interval.turn().expect("a move").of.call,
            interval.place.as_ref(),
        );
        let place = place.expect("a place in the block");
        let room = timeline.intervals()[preview.interval].kind.label();
        let air = (interval.start - preview.until).secs();
        table.push(format!("{} {call}: {room}, {air:.1} s", place.round.nth));
    }
    let expected = [
        "1 squat: get ready, 10.7 s",
        "1 plank taps: rest, 23.9 s",
        "1 side lunges: rest, 21.9 s",
        "1 dead bug: rest, 22.3 s",
        "2 squat: recovery, 19.2 s",
        "2 plank taps: rest, 15.1 s",
        "2 side lunges: rest, 15.3 s",
        "2 dead bug: rest, 15.3 s",
        "3 squat: recovery, 17.0 s",
        "3 plank taps: rest, 10.1 s",
        "3 side lunges: rest, 10.3 s",
        "3 dead bug: rest, 10.3 s",
        "4 squat: recovery, 17.0 s",
        "4 plank taps: work, 13.0 s",
        "4 side lunges: work, 13.0 s",
        "4 dead bug: work, 13.0 s",
    ];
    assert_eq!(table, expected);
}

/// In no class that comes with the program does a move start unannounced.
#[test]
fn every_sample_announces_every_move() {
    let library = Library::builtin();
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/sessions");
    let mut samples = 0;
    for file in std::fs::read_dir(folder).expect("the samples") {
        let path = file.expect("a sample").path();
        let text = std::fs::read_to_string(&path).expect("a text");
        let session = Session::read("sample", &text, &library).expect("a whole session");
        let timeline = Timeline::of(&session);
        let plan = CuePlan::of(&timeline, &session.cueing, &session.limits);
        for (n, interval) in timeline.intervals().iter().enumerate() {
            let about = |p: &&Prompt| p.about == n && p.kind == PromptKind::Preview;
            let announced = plan.prompts.iter().any(|p| about(&p));
            let moves = interval.kind.is_moving();
            assert_eq!(announced, moves, "{} {n}", path.display());
        }
        samples += 1;
    }
    assert!(samples >= 2);
}

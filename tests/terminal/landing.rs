//! A class that began late, was held, lost a move, and is brought home.

use matside::live::What;
use matside::record::Recovered;

use crate::folders::Folders;
use crate::records;
use crate::run::{Run, Start};

/// 14:50 in all: 30 + 60 + 20 + (12·40 + 8·15 + 3·30) + 30 + 60.
const QUARTER: &str = r#"Talk(time: 30, say: "Welcome."), WarmUp([("march", 60)]), Ready(time: 20),
    Block(title: "Ebb", moves: ["squat", "lunge", "push-up"],
        pattern: Same(rounds: 4, work: 40, rest: 15), recovery: 30),
    Recover(time: 30), CoolDown([("child-pose", 60)])"#;

/// Holds for so long, skips a move, and takes the landing.
pub(crate) fn held_skipped_landed(run: &mut Run, hold: std::time::Duration) {
    run.press("space");
    run.is_held();
    run.watch(hold);
    run.press("space");
    run.runs();
    run.press("s");
    run.is_told("skipped");
    run.press("l");
    run.sees("then it ends");
    run.press("enter");
    run.is_told("landing taken");
}

/// A rehearsal at sixty times the pace: 90 s of hold are a second and a half.
#[test]
fn a_late_class_that_was_held_ends_on_the_slots_time() {
    let folders = Folders::new();
    let path = folders.session("Late", QUARTER);
    let args = ["rehearse", "--pace", "60", "--slot", "11:00"];
    let mut run = Start::new(&folders, &args).file(&path).run();
    run.sees("over");
    held_skipped_landed(&mut run, std::time::Duration::from_millis(1_500));
    run.until("the end", |screen| {
        let text = screen.contents();
        let told = ["on time", "0:01 over", "0:01 in hand"];
        text.contains("0:00 left") && told.iter().any(|words| text.contains(words))
    });
    run.ends_well();
}

/// How far the end of a class was from the end of its slot, in milliseconds: later is more.
pub(crate) fn off_the_slot(record: &Recovered) -> i64 {
    let (slot, mut ended) = (record.header.slot_end.expect("a slot"), None);
    for (wall, fact) in record.facts_on_the_wall() {
        if matches!(fact.what, What::Ended(_)) {
            ended = Some(wall);
        }
    }
    (ended.expect("an end") - slot).num_milliseconds()
}

/// In real time, with the record as witness: 30 s of class after a count-in of 3 s, for which there
/// are 25 s, less what the page of the class took. The recovery can give fourteen.
#[test]
fn a_landing_in_real_time_ends_within_a_second_of_the_slot() {
    let folders = Folders::new();
    let parts =
        r#"Block(moves: ["squat"], pattern: Same(rounds: 2, work: 3, rest: 5), recovery: 24)"#;
    let path = folders.session("Brief", parts);
    let args = ["teach", "--mute", "--slot", "0:25"];
    let mut run = Start::new(&folders, &args).file(&path).run();
    run.sees("room until");
    run.press("enter");
    run.sees("over");
    run.press("l");
    run.sees("then it ends");
    run.press("enter");
    run.is_told("landing taken");
    run.sees("class time");
    run.press("esc");
    run.ends_well();
    let off = off_the_slot(&records::only(&folders));
    assert!(off.abs() <= 1_000, "{off} ms");
}

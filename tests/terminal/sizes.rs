//! Whole classes at every size of window.

use std::thread;

use crate::folders::Folders;
use crate::run::{Cells, Start};

/// From the least window that has a face of its own to a large one.
pub(crate) const SIZES: [Cells; 5] = [(80, 24), (120, 35), (160, 45), (200, 50), (40, 12)];

/// 30 + 20 + 10 + (3·20 + 2·10) + 15 + 20 = 175 s.
const BRISK: &str = r#"Talk(time: 30, say: "Welcome."), WarmUp([("march", 20)]), Ready(time: 10),
    Block(moves: ["squat"], pattern: Same(rounds: 3, work: 20, rest: 10)), Recover(time: 15),
    CoolDown([("child-pose", 20)])"#;
/// Holds, side by side, and work that is counted: nobody counts in a fast rehearsal, so it lasts
/// as long as planned, three seconds a repetition.
const COUNTED: &str = r#"Ready(time: 10), Block(title: "Floor", moves: ["side-plank", "plank-tap"],
    pattern: Rounds(work: [30, 20], rest: [10, 10]), recovery: 15),
    Block(moves: [Use(move: "squat", reps: 12), Use(move: "push-up", reps: 8)],
    pattern: Reps(rounds: 1, rest: 20))"#;

/// The plan's arithmetic is done by hand here: 10 + (30+10+30) + 15 + (20+10+20) + (36+20+24) = 225 s.
#[test]
fn a_rehearsal_ends_by_itself_at_every_size_and_tells_its_total() {
    let folders = Folders::new();
    let classes = [
        (
            folders.session("Brisk", BRISK),
            "rehearsed 2:55 of 2:55 planned, 3 of 3 works",
        ),
        (
            folders.session("Counted", COUNTED),
            "rehearsed 3:45 of 3:45 planned, 6 of 6 works",
        ),
    ];
    thread::scope(|scope| {
        for ((path, told), cells) in classes.iter().flat_map(|c| SIZES.map(|cells| (c, cells))) {
            let folders = &folders;
            scope.spawn(move || {
                let start = Start::new(folders, &["rehearse", "--pace", "60"]).file(path);
                let mut run = start.cells(cells).run();
                run.ends_well();
                // A narrow window may break the line.
                let text = run.screen().contents().replace('\n', "");
                assert!(text.contains(told), "{cells:?}: {text}");
            });
        }
    });
}

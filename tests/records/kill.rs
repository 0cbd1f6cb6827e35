//! A program that is killed while it records: what was safe is there, and nothing holds the record.

use std::io::{BufRead, BufReader};
use std::process::{Command, Stdio};
use std::time::Duration;

use matside::store::Shelf;
use matside::time::{Moment, Offset};

use crate::sample::{as_planned, header, hour_class, start};

const FOLDER: &str = "MATSIDE_TEST_FOLDER";

/// Records a class and says after each fact that it is safe; never ends by itself.
#[test]
#[ignore = "is the program that the other test kills"]
fn teller() {
    let Some(folder) = std::env::var_os(FOLDER) else {
        return;
    };
    let session = hour_class("Long Shore", 0);
    let facts = as_planned(&session, start());
    let begun = Shelf::at(folder).begin(&header(session, start())).unwrap();
    for (n, (wall, fact)) in facts.iter().enumerate() {
        begun.recorder.beat(matside::record::Pulse {
            offset: Offset::from_millis(n as u64),
            at: Moment::from_millis(u64::MAX / 2 + n as u64),
            wall: *wall,
        });
        begun.recorder.entry(*wall, fact.clone());
        while begun.recorder.waiting() > 0 {
            std::thread::yield_now();
        }
        println!("\nsafe {}", n + 1);
    }
    loop {
        std::thread::park();
    }
}

#[test]
#[cfg(unix)]
fn what_was_safe_when_the_program_was_killed_is_there() {
    let mut random = fastrand::Rng::with_seed(4);
    let facts = as_planned(&hour_class("Long Shore", 0), start());
    for _ in 0..12 {
        let folder = tempfile::tempdir().unwrap();
        let mut program = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "kill::teller", "--ignored", "--nocapture"])
            .env(FOLDER, folder.path())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let lines = BufReader::new(program.stdout.take().unwrap()).lines();
        let safe = random.usize(1..facts.len());
        lines
            .map(Result::unwrap)
            .find(|line| *line == format!("safe {safe}"))
            .unwrap();
        program.kill().unwrap();
        program.wait().unwrap();

        let shelf = Shelf::at(folder.path());
        let unfinished = shelf.unfinished().unwrap();
        assert_eq!(unfinished.len(), 1);
        let taken = shelf.take_up(&unfinished[0].name).unwrap();
        let told: Vec<_> = taken.record.facts().cloned().collect();
        assert!(told.len() >= safe, "{} of {safe}", told.len());
        assert!(
            facts
                .iter()
                .map(|(_, fact)| fact)
                .take(told.len())
                .eq(&told)
        );
        let seen = taken.pulse.unwrap().offset.millis();
        assert!(seen + 1 >= safe as u64, "pulse {seen} of {safe}");
        taken.recorder.finish(Duration::from_secs(60)).unwrap();
    }
}

//! The journal over a medium that fails when it is told to, and the recorder's thread.

use std::io;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::{self, Receiver};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use matside::record::{Body, Pulse, read};
use matside::store::{Journal, Medium, NotRecording, Recorder};

use crate::sample::{eventful, header, short_class, start};

/// Keeps what is written in memory, and fails at the n-th operation and at all later ones; a
/// failing write leaves a part of it.
#[derive(Clone, Default)]
struct Failing {
    bytes: Arc<Mutex<Vec<u8>>>,
    left: Option<usize>,
    part: usize,
}

impl Failing {
    fn operation(&mut self) -> io::Result<()> {
        match &mut self.left {
            Some(0) => Err(io::ErrorKind::StorageFull.into()),
            Some(left) => {
                *left -= 1;
                Ok(())
            }
            None => Ok(()),
        }
    }
}

impl Medium for Failing {
    fn append(&mut self, bytes: &[u8]) -> io::Result<()> {
        let done = self.operation();
        let part = if done.is_ok() {
            bytes.len()
        } else {
            self.part.min(bytes.len())
        };
        self.bytes.lock().unwrap().extend(&bytes[..part]);
        done
    }

    fn sync(&mut self) -> io::Result<()> {
        self.operation()
    }
}

#[test]
fn wherever_the_medium_fails_all_that_was_accepted_reads_back() {
    let header = header(short_class(), start());
    let facts = eventful(start());
    for left in 0..=2 * facts.len() + 2 {
        for part in [0, 1, 40, 10_000] {
            let medium = Failing {
                left: Some(left),
                part,
                ..Failing::default()
            };
            let bytes = medium.bytes.clone();
            let mut accepted = Vec::new();
            match Journal::begin(medium, &header) {
                Err(why) => assert!(left < 2 && why.to_string().contains("full")),
                Ok(mut journal) => {
                    for (wall, fact) in &facts {
                        let body = Body::Fact(fact.clone());
                        match journal.append(*wall, body) {
                            Ok(_) => accepted.push(fact),
                            Err(why) => assert_eq!(Some(&why), journal.poison()),
                        }
                    }
                    assert_eq!(accepted.len(), facts.len().min(left / 2 - 1));
                    let back = read(&bytes.lock().unwrap()).unwrap();
                    let told: Vec<_> = back.facts().collect();
                    assert_eq!(
                        told[..accepted.len()],
                        accepted,
                        "failing at {left}, {part}"
                    );
                    assert!(
                        told.len() <= accepted.len() + 1,
                        "an unsynced line may be there"
                    );
                }
            }
        }
    }
}

#[test]
fn the_recorder_writes_everything_and_says_when_it_is_done() {
    let medium = Failing::default();
    let bytes = medium.bytes.clone();
    let journal = Journal::begin(medium, &header(short_class(), start())).unwrap();
    let recorder = Recorder::start(journal, None);
    for (wall, fact) in eventful(start()) {
        recorder.entry(wall, fact);
    }
    assert_eq!(recorder.finish(Duration::from_secs(60)), Ok(()));
    let back = read(&bytes.lock().unwrap()).unwrap();
    let facts: Vec<_> = eventful(start())
        .into_iter()
        .map(|(_, fact)| fact)
        .collect();
    assert_eq!(back.facts().cloned().collect::<Vec<_>>(), facts);
}

#[test]
fn a_recorder_that_fails_says_why_and_goes_on_taking_facts() {
    let medium = Failing {
        left: Some(7),
        ..Failing::default()
    };
    let bytes = medium.bytes.clone();
    let journal = Journal::begin(medium, &header(short_class(), start())).unwrap();
    let recorder = Recorder::start(journal, None);
    for (wall, fact) in eventful(start()) {
        recorder.entry(wall, fact);
    }
    let why = recorder.finish(Duration::from_secs(60)).unwrap_err();
    assert!(why.to_string().contains("the disk is full"), "{why}");
    assert_eq!(read(&bytes.lock().unwrap()).unwrap().facts().count(), 3);
}

/// A disk that does not answer until it is let go.
struct Hanging(Receiver<()>);

impl Medium for Hanging {
    fn append(&mut self, _: &[u8]) -> io::Result<()> {
        let _ = self.0.recv();
        Ok(())
    }

    fn sync(&mut self) -> io::Result<()> {
        Ok(())
    }
}

#[test]
fn a_disk_that_hangs_holds_nobody_up_and_is_given_up_when_the_queue_is_full() {
    let (_let_go, held) = mpsc::channel();
    let recorder = Recorder::start(Journal::go_on(Hanging(held), 1), None);
    let (wall, fact) = eventful(start()).swap_remove(0);
    for _ in 0..matside::store::QUEUE {
        recorder.entry(wall, fact.clone());
    }
    assert_eq!(recorder.state(), Ok(()));
    for _ in 0..2 {
        recorder.entry(wall, fact.clone());
    }
    let why = recorder.state().unwrap_err();
    assert!(why.to_string().contains("not answered"), "{why}");
}

/// A disk that hangs in its first write until it is let go, and tells when it is there and how often
/// it was looked at.
struct Slow {
    begun: mpsc::Sender<()>,
    let_go: Receiver<()>,
    looks: Arc<AtomicUsize>,
}

impl Medium for Slow {
    fn append(&mut self, _: &[u8]) -> io::Result<()> {
        let _ = self.begun.send(());
        let _ = self.let_go.recv();
        Ok(())
    }

    fn sync(&mut self) -> io::Result<()> {
        Ok(())
    }

    fn is_there(&mut self) -> io::Result<()> {
        self.looks.fetch_add(1, Ordering::Relaxed);
        Ok(())
    }
}

/// Beats into a full queue are left out; when the disk is back, so is the pulse.
#[test]
fn a_full_queue_does_not_stop_the_pulse_for_good() {
    let ((begun, writes), (let_go, held)) = (mpsc::channel(), mpsc::channel());
    let looks = Arc::new(AtomicUsize::new(0));
    let medium = Slow {
        begun,
        let_go: held,
        looks: looks.clone(),
    };
    let recorder = Recorder::start(Journal::go_on(medium, 1), None);
    let (wall, fact) = eventful(start()).swap_remove(0);
    let pulse = || Pulse {
        offset: fact.offset,
        at: fact.at,
        wall,
    };
    recorder.entry(wall, fact.clone());
    writes.recv().unwrap();
    for _ in 0..matside::store::QUEUE {
        recorder.entry(wall, fact.clone());
    }
    for _ in 0..3 {
        recorder.beat(pulse());
    }
    assert_eq!(recorder.state(), Ok(()));
    drop(let_go);
    for _ in 0..matside::store::QUEUE {
        writes.recv().unwrap();
    }
    recorder.beat(pulse());
    assert_eq!(recorder.finish(Duration::from_secs(60)), Ok(()));
    assert_eq!(looks.load(Ordering::Relaxed), 1);
}

#[test]
fn finishing_waits_no_longer_than_it_is_told() {
    let (_let_go, held) = mpsc::channel();
    let recorder = Recorder::start(Journal::go_on(Hanging(held), 1), None);
    let (wall, fact) = eventful(start()).swap_remove(0);
    recorder.entry(wall, fact);
    let why = recorder.finish(Duration::from_millis(1)).unwrap_err();
    assert!(why.to_string().contains("last 1 entries"), "{why}");
}

struct Panicking;

impl Medium for Panicking {
    fn append(&mut self, _: &[u8]) -> io::Result<()> {
        panic!("a mistake in the recorder")
    }

    fn sync(&mut self) -> io::Result<()> {
        Ok(())
    }
}

#[test]
fn a_recorder_that_dies_is_never_said_to_have_recorded() {
    let recorder = Recorder::start(Journal::go_on(Panicking, 1), None);
    let (wall, fact) = eventful(start()).swap_remove(0);
    recorder.entry(wall, fact);
    let why = recorder.finish(Duration::from_secs(60)).unwrap_err();
    assert!(why.to_string().contains("stopped"), "{why}");
}

#[test]
fn a_class_without_a_record_says_so_from_the_start() {
    let recorder = Recorder::none(NotRecording::since("the folder is missing"));
    let (wall, fact) = eventful(start()).swap_remove(0);
    recorder.entry(wall, fact);
    assert!(recorder.state().is_err());
    assert!(recorder.finish(Duration::ZERO).is_err());
}

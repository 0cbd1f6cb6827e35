//! The maker with programs that speak, and with programs that do not.

use std::io::Write as _;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::channel;

use super::*;

/// Keeps in memory, and counts.
#[derive(Clone, Default)]
struct Kept(Arc<Mutex<HashMap<String, Vec<u8>>>>, Arc<AtomicUsize>);

impl Keep for Kept {
    fn load(&self, name: &str) -> Option<Vec<u8>> {
        self.0.lock().unwrap().get(name).cloned()
    }
    fn has(&self, name: &str) -> bool {
        self.0.lock().unwrap().contains_key(name)
    }
    fn store(&self, name: &str, bytes: &[u8]) {
        self.1.fetch_add(1, Ordering::Relaxed);
        self.0.lock().unwrap().insert(name.into(), bytes.to_vec());
    }
}

fn rate() -> SampleRate {
    SampleRate::hertz(48_000)
}

/// A program that writes a quarter of a second of square wave for any words but `no`, and the file that it
/// has it from.
fn speaking() -> (tempfile::NamedTempFile, Program) {
    let clip = Clip {
        rate: SampleRate::hertz(16_000),
        samples: (0..4_000)
            .map(|n| if n % 80 < 40 { 0.3 } else { -0.3 })
            .collect(),
    };
    let mut file = tempfile::NamedTempFile::new().unwrap();
    file.write_all(&wav::written(&clip).unwrap()).unwrap();
    let mut program = shell("read -r words; [ \"$words\" = no ] && exit 1; cat \"$0\"");
    program.arguments.push(file.path().display().to_string());
    (file, program)
}

fn shell(script: &str) -> Program {
    Program {
        path: "/bin/sh".into(),
        arguments: vec!["-c".into(), script.into()],
    }
}

fn texts(list: &[&str]) -> Vec<Arc<str>> {
    list.iter().map(|text| Arc::from(*text)).collect()
}

/// Waits until something is so; the test fails where it never is.
fn until(is_so: impl Fn() -> bool) {
    let (_never, pause) = channel::<()>();
    for _ in 0..4_000 {
        if is_so() {
            return;
        }
        let _ = pause.recv_timeout(Duration::from_millis(5));
    }
    panic!("it never came");
}

/// What is needed is made once, is ready at the device's rate, and is there for the next class.
#[test]
fn what_is_needed_is_ready_and_kept() {
    let kept = Kept::default();
    let (_file, program) = speaking();
    let maker = Maker::begin(program.clone(), Some(Box::new(kept.clone())));
    maker.need(texts(&["one", "two", "one"]), rate());
    until(|| maker.ready("one", rate()).is_some() && maker.ready("two", rate()).is_some());
    let made = maker.ready("one", rate()).unwrap();
    assert!(
        made.samples.len().abs_diff(12_000) < 100,
        "{}",
        made.samples.len()
    );
    assert_eq!(maker.ready("one", SampleRate::hertz(44_100)), None);
    assert_eq!(kept.1.load(Ordering::Relaxed), 2);
    drop(maker);
    let again = Maker::begin(program, Some(Box::new(kept.clone())));
    again.need(texts(&["two"]), SampleRate::hertz(44_100));
    until(|| again.ready("two", SampleRate::hertz(44_100)).is_some());
    assert_eq!(kept.1.load(Ordering::Relaxed), 2, "it was not made again");
}

/// One prompt that fails leaves the others, and a program that always fails is said to.
#[test]
fn a_failure_is_said_and_goes_by() {
    let (_file, program) = speaking();
    let maker = Maker::begin(program, None);
    maker.need(texts(&["no", "one"]), rate());
    until(|| maker.ready("one", rate()).is_some());
    assert_eq!(maker.ready("no", rate()), None);
    assert_eq!(maker.state(), State::Speaks);
    for script in ["exit 1", "head -c 2000 /dev/urandom", "printf RIFF", ":"] {
        let maker = Maker::begin(shell(script), None);
        maker.need(texts(&["a", "b", "c", "d"]), rate());
        until(|| maker.state() != State::Speaks);
        assert_eq!(maker.ready("a", rate()), None);
    }
}

/// A later need takes the place of an earlier one that is not done.
#[test]
fn what_is_needed_now_comes_first() {
    let (_file, program) = speaking();
    let maker = Maker::begin(program, None);
    let many: Vec<Arc<str>> = (0..500).map(|n| format!("far {n}").into()).collect();
    maker.need(many, rate());
    maker.need(texts(&["now"]), rate());
    until(|| maker.ready("now", rate()).is_some());
    assert_eq!(maker.ready("far 499", rate()), None);
}

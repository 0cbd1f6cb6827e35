//! What was to be heard, as a text file between the two halves: a line a strike.

use std::fmt::Write;
use std::path::Path;

use super::meant::{Meant, Void};
use super::words::Meaning;
use super::{Moment, SignalKind, Span, Strike};

/// What was to be heard.
#[derive(Clone, Debug)]
pub(crate) struct Log {
    pub(crate) reach: Span,
    pub(crate) meant: Vec<Meant>,
    pub(crate) void: Vec<Void>,
    pub(crate) words: Vec<Meaning>,
}

const KINDS: [SignalKind; 7] = [
    SignalKind::Count,
    SignalKind::Go,
    SignalKind::Stop,
    SignalKind::Half,
    SignalKind::Switch,
    SignalKind::Warn,
    SignalKind::End,
];

impl Log {
    pub(crate) fn write(&self, path: &Path) {
        let mut text = format!("reach {}\n", self.reach.millis());
        let meant = self.meant.iter().map(|m| ("meant", m.strike, m.given));
        let void = self.void.iter().map(|v| ("void", v.strike, v.since));
        for (what, strike, moment) in meant.chain(void) {
            let (at, moment) = (strike.at.millis(), moment.millis());
            writeln!(text, "{what} {:?} {at} {moment}", strike.kind).unwrap();
        }
        for word in &self.words {
            let (at, length) = (word.at.millis(), word.length.millis());
            writeln!(text, "word {at} {length} {}", word.is_sure).unwrap();
        }
        #[expect(clippy::disallowed_methods, reason = "a test's own file")]
        std::fs::write(path, text).unwrap();
    }

    pub(crate) fn read(path: &Path) -> Self {
        let mut log = Self {
            reach: Span::ZERO,
            meant: Vec::new(),
            void: Vec::new(),
            words: Vec::new(),
        };
        for line in std::fs::read_to_string(path).unwrap().lines() {
            let words: Vec<&str> = line.split(' ').collect();
            match words[..] {
                ["reach", millis] => log.reach = Span::from_millis(millis.parse().unwrap()),
                ["meant", kind, at, given] => log.meant.push(Meant {
                    strike: strike(kind, at),
                    given: moment(given),
                }),
                ["void", kind, at, since] => log.void.push(Void {
                    strike: strike(kind, at),
                    since: moment(since),
                }),
                ["word", at, length, is_sure] => log.words.push(Meaning {
                    at: moment(at),
                    length: Span::from_millis(length.parse().unwrap()),
                    is_sure: is_sure.parse().unwrap(),
                }),
                _ => panic!("{line}"),
            }
        }
        log
    }

    /// The same for a player that has no reach of its own to be told: it beeps when it is time.
    pub(crate) fn for_naive(&self) -> Self {
        let on_time = |m: &&Meant| m.strike.at > m.given;
        let meant = self.meant.iter().filter(on_time).copied().collect();
        Self {
            meant,
            void: Vec::new(),
            ..self.clone()
        }
    }
}

fn moment(text: &str) -> Moment {
    Moment::from_millis(text.parse().unwrap())
}

fn strike(kind: &str, at: &str) -> Strike {
    let named = KINDS.into_iter().find(|k| format!("{k:?}") == kind);
    Strike {
        at: moment(at),
        kind: named.unwrap(),
    }
}

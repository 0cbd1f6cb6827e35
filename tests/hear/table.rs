//! Compares a recording with what was meant, and makes a table of it.

#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss,
    reason = "a recording has some ten million samples"
)]

use std::collections::BTreeMap;

use super::ear::{SILENCE, Tones};
use super::log::Log;
use super::meant::Meant;
use super::{Moment, SignalKind, Span};

/// Samples in a millisecond.
const MILLI: i64 = 48;
/// How far from its place a tone is looked for, in milliseconds.
const NEAR: i64 = 80;
/// Sound outside all that was meant is told from this many samples on.
const LEAST: usize = 96;
/// Only over more than this, in milliseconds, is drift told from chance.
const LONG: f64 = 60_000.0;

/// What was heard against what was meant.
#[derive(Clone, Debug, Default)]
pub(crate) struct Table {
    pub(crate) expected: usize,
    pub(crate) heard: usize,
    pub(crate) missing: Vec<Meant>,
    pub(crate) doubled: usize,
    pub(crate) extra: usize,
    pub(crate) cut: usize,
    /// The worst departure from a second between two beats of a count, in milliseconds.
    pub(crate) gap: f64,
    /// How much faster the recording's clock runs than the class's, in millionths.
    pub(crate) drift: f64,
    /// The worst departure from the clock, once distance and drift of the recording are taken out.
    pub(crate) off: f64,
    /// How far from its place a tone is in the middle, in milliseconds.
    pub(crate) level: f64,
    /// The place of the clock's origin in the recording.
    pub(crate) origin: i64,
    /// When by the class's clock there was sound that nothing explains, in milliseconds.
    pub(crate) unexplained: Vec<i64>,
}

impl Table {
    /// Nothing lost, nothing doubled, and no beat of a count displaced by more than this, in
    /// milliseconds.
    pub(crate) fn is_good(&self, displaced: f64) -> bool {
        self.missing.is_empty() && self.doubled + self.extra == 0 && self.gap <= displaced
    }

    pub(crate) fn of(tones: &Tones, log: &Log, samples: &[f32]) -> Self {
        let origin = origin(log, samples);
        let mut table = Self::against(tones, log, samples, origin);
        table.origin = origin;
        table
    }

    fn against(tones: &Tones, log: &Log, samples: &[f32], origin: i64) -> Self {
        let mut table = Self {
            expected: log.meant.len(),
            ..Self::default()
        };
        let place = |moment: Moment| origin + moment.millis() as i64 * MILLI;
        let mut explained: Vec<(i64, i64)> = Vec::new();
        let (mut beats, mut offs) = (Vec::new(), Vec::new());
        for one in &log.meant {
            let (due, latest) = (place(one.strike.at), place(one.latest(log.reach)));
            let from = (due - NEAR * MILLI).max(0) as usize;
            let to = (latest + NEAR * MILLI).max(0) as usize;
            let Some(at) = tones.find(one.strike.kind, samples, from..to) else {
                table.missing.push(*one);
                continue;
            };
            table.heard += 1;
            let end = at + tones.tone(one.strike.kind).len();
            explained.push((at as i64, end as i64));
            if one.is_in_time(log.reach) {
                let off = (at as i64 - due) as f64 / MILLI as f64;
                offs.push((one.strike.at.millis() as f64, off));
                beats.push((one.strike, at as i64));
            }
        }
        for void in &log.void {
            let (due, latest) = (place(void.strike.at), place(void.since + log.reach));
            explained.push((due - NEAR * MILLI, latest + 12 * MILLI));
            table.cut += 1;
        }
        table.gap = worst_gap(&beats);
        table.level = median(offs.iter().map(|(_, off)| *off).collect());
        (table.drift, table.off) = drift_and_worst(&offs);
        table.leftover(samples, explained);
        let by_clock = |place: &i64| (*place - origin) / MILLI;
        table.unexplained = table.unexplained.iter().map(by_clock).collect();
        table
    }

    /// Sound that nothing explains: close after a tone it is that tone once more.
    fn leftover(&mut self, samples: &[f32], mut explained: Vec<(i64, i64)>) {
        explained.sort_unstable();
        let mut next = explained.iter().peekable();
        let (mut until, mut last) = (i64::MIN, i64::MIN / 2);
        let (mut sounding, mut quiet) = (0, 0);
        for (n, sample) in samples.iter().enumerate() {
            let n = n as i64;
            while let Some((from, to)) = next.next_if(|(from, _)| *from <= n) {
                (until, last) = (until.max(*to + 8 * MILLI), *from);
            }
            if n < until || sample.abs() <= SILENCE {
                quiet += 1;
                if quiet > 100 * MILLI || n < until {
                    sounding = 0;
                }
                continue;
            }
            quiet = 0;
            sounding += 1;
            if sounding == LEAST {
                let is_double = n - last < 1_000 * MILLI;
                self.doubled += usize::from(is_double);
                self.extra += usize::from(!is_double);
                self.unexplained.push(n);
            }
        }
    }
}

/// What is wrong, a line each.
pub(crate) fn faults(table: &Table) -> String {
    let missing = table.missing.iter();
    let missing = missing.map(|one| format!("missing: {one:?}\n"));
    let unexplained = table.unexplained.iter();
    let unexplained = unexplained.map(|at| format!("not asked for, at {at} ms\n"));
    missing.chain(unexplained).collect()
}

/// The place of the clock's origin in the recording: where most strikes stand at an onset.
fn origin(log: &Log, samples: &[f32]) -> i64 {
    let mut onsets = Vec::new();
    let mut quiet = 0;
    for (n, sample) in samples.iter().enumerate() {
        if sample.abs() <= SILENCE {
            quiet += 1;
        } else {
            if quiet > 200 * MILLI {
                onsets.push(n as i64);
            }
            quiet = 0;
        }
    }
    let mut votes: BTreeMap<i64, usize> = BTreeMap::new();
    for onset in onsets.iter().take(200) {
        for one in log
            .meant
            .iter()
            .filter(|m| m.is_in_time(log.reach))
            .take(400)
        {
            let origin = onset - one.strike.at.millis() as i64 * MILLI;
            *votes.entry(origin.div_euclid(10 * MILLI)).or_default() += 1;
        }
    }
    let both = |bin: &i64| votes[bin] + votes.get(&(bin + 1)).copied().unwrap_or(0);
    let best = votes.keys().copied().max_by_key(both).unwrap_or(0);
    (best + 1) * 10 * MILLI
}

fn worst_gap(beats: &[(super::Strike, i64)]) -> f64 {
    let second = Span::from_secs(1);
    let counted = beats.windows(2).filter(|pair| {
        pair[0].0.kind == SignalKind::Count && pair[1].0.at.since(pair[0].0.at) == second
    });
    let gap = |pair: &[(super::Strike, i64)]| (pair[1].1 - pair[0].1 - 1_000 * MILLI).abs();
    counted.map(gap).max().unwrap_or(0) as f64 / MILLI as f64
}

/// The recording has a clock of its own: a distance that grows evenly is the server's. Of the
/// distances by time: how fast they grow, and the worst that remains, both by medians (Theil and
/// Sen), so that a few that are far off do not bend the line.
fn drift_and_worst(offs: &[(f64, f64)]) -> (f64, f64) {
    let mut slopes = Vec::new();
    for (n, (from, before)) in offs.iter().enumerate() {
        let far = offs[n..].iter().filter(|(to, _)| to - from > LONG);
        slopes.extend(far.map(|(to, after)| (after - before) / (to - from)));
    }
    let slope = median(slopes);
    let level: Vec<f64> = offs.iter().map(|(at, off)| off - slope * at).collect();
    let middle = median(level.clone());
    let far = level.iter().map(|off| (off - middle).abs());
    (slope * 1e6, far.fold(0.0, f64::max))
}

fn median(mut figures: Vec<f64>) -> f64 {
    figures.sort_by(f64::total_cmp);
    figures.get(figures.len() / 2).copied().unwrap_or(0.0)
}

/// Both players in one table.
pub(crate) fn side_by_side(ours: &Table, naive: &Table) -> String {
    let row = |what: &str, one: String, other: String| format!("{what:<34}{one:>12}{other:>22}\n");
    let count = |what: &str, of: fn(&Table) -> usize| {
        row(what, of(ours).to_string(), of(naive).to_string())
    };
    let millis = |what: &str, of: fn(&Table) -> f64| {
        row(
            what,
            format!("{:.2}", of(ours)),
            format!("{:.2}", of(naive)),
        )
    };
    [
        row("", "this program".into(), "a play call per beep".into()),
        count("tones expected", |t| t.expected),
        count("missing", |t| t.missing.len()),
        count("doubled", |t| t.doubled),
        count("extra", |t| t.extra),
        count("of them cut short by a key", |t| t.cut),
        millis("worst spacing inside a count, ms", |t| t.gap),
        millis("worst against the clock, ms", |t| t.off),
        millis("the recording's own drift, ppm", |t| t.drift),
    ]
    .concat()
}

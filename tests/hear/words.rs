//! Words in the ear: on the left channel by themselves, with the tones on the right one.

use matside::live::Live;
use matside::plan::Score;
use matside::sound::{Order, Sound, Talk, To};
use matside::speech::{Due, Heard, Maker, Program, Speaker, Talks};

use super::ear::{SILENCE, Tones};
use super::log::Log;
use super::table::{Table, faults};
use super::{Moment, Span};

/// Samples in a millisecond.
const MILLI: i64 = 48;
/// The most by which words may be off, in milliseconds.
const OFF: f64 = 10.0;
/// Silence within words is shorter than this, in milliseconds.
const WITHIN: i64 = 45;

/// Words that were to be heard.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Meaning {
    pub(crate) at: Moment,
    pub(crate) length: Span,
    /// Whether nothing called it back within the reach of the device, when it may have begun.
    pub(crate) is_sure: bool,
}

/// The voice of a class that is played.
pub(crate) struct Spoken {
    maker: Maker,
    talks: Talks,
    pub(crate) meant: Vec<Meaning>,
}

impl Spoken {
    pub(crate) fn begin() -> Self {
        let path = std::env::var_os("PATH");
        let program = Program::of(&Speaker::Found, "", 175, path.as_ref());
        Self {
            maker: Maker::begin(program.expect("a speaker program"), None),
            talks: Talks::to(To::Ear),
            meant: Vec::new(),
        }
    }

    pub(crate) fn look(&mut self, live: &Live, now: Moment, sound: &Sound, score: &Score) {
        let Some(format) = sound.format() else { return };
        let ahead = live.words_ahead(now).into_iter();
        let ahead: Vec<Due> = ahead
            .map(|words| Due {
                at: words.at,
                until: words.until,
                say: words.say,
            })
            .collect();
        let texts = ahead.iter().map(|due| due.say.as_str().into());
        self.maker.need(texts.collect(), format.rate);
        let heard = Heard {
            now,
            reach: sound.reach(),
            score,
            ready: &|say| self.maker.ready(say, format.rate),
        };
        let Some(order) = self.talks.decide(&ahead, &heard) else {
            return;
        };
        self.note(&order, now, sound.reach());
        sound.order(Order::Say(order));
    }

    /// What begins later than an order can reach is what the order says; what has begun and is no
    /// longer meant is cut short.
    fn note(&mut self, order: &[Talk], now: Moment, reach: Span) {
        self.meant.retain(|word| word.at < now + reach);
        for word in self.meant.iter_mut().filter(|word| word.at >= now) {
            word.is_sure &= order.iter().any(|talk| talk.at == word.at);
        }
        for talk in order {
            if !self.meant.iter().any(|word| word.at == talk.at) {
                let frames = u64::try_from(talk.what.samples.len()).unwrap();
                let length = Span::from_millis(frames * 1000 / u64::from(talk.what.rate.get()));
                let at = talk.at;
                self.meant.push(Meaning {
                    at,
                    length,
                    is_sure: true,
                });
            }
        }
    }
}

/// Compares both channels with what was meant; tells what was found, and whether it is good.
pub(crate) fn tell(log: &Log, ear: &[f32], room: &[f32]) -> (String, bool) {
    let table = Table::of(&Tones::ours(), log, room);
    let place = |moment: Moment| table.origin + i64::try_from(moment.millis()).unwrap() * MILLI;
    let runs = runs(ear);
    let (mut worst, mut missing) = (0.0_f64, 0);
    // The recording has a clock of its own; the tones beside the words tell how it runs.
    for word in &log.words {
        let due = place(word.at);
        let near = |from: &i64| (from - due).abs() < 60 * MILLI;
        match runs.iter().map(|run| run.0).find(near) {
            Some(from) => {
                #[expect(clippy::cast_precision_loss, reason = "milliseconds")]
                let off = (from - due) as f64 / MILLI as f64 - table.level;
                worst = worst.max(off.abs());
            }
            None if word.is_sure => missing += 1,
            None => {}
        }
    }
    let unmeant = runs.iter().filter(|(from, _)| {
        !log.words.iter().any(|word| {
            let end = word.at + word.length;
            place(word.at) - 60 * MILLI < *from && *from < place(end)
        })
    });
    let unmeant = unmeant.count();
    let told = format!(
        "tones expected {}, missing {}, doubled {}, extra {}, worst spacing inside a count {:.2} ms\nwords expected {}, missing {missing}, not asked for {unmeant}, worst onset {worst:.2} ms\n{}",
        table.expected,
        table.missing.len(),
        table.doubled,
        table.extra,
        table.gap,
        log.words.len(),
        faults(&table)
    );
    // Nothing of the ear is in the room's channel: what is no tone there would be told as extra, from
    // a step and a half of 16 bits on (-87 dB).
    let tones = table.expected > 0 && table.missing.is_empty() && table.doubled + table.extra == 0;
    let words = !log.words.is_empty() && missing + unmeant == 0 && worst <= OFF;
    (told, tones && words)
}

/// Stretches of sound: from and to.
fn runs(samples: &[f32]) -> Vec<(i64, i64)> {
    let mut runs: Vec<(i64, i64)> = Vec::new();
    for (n, _) in samples
        .iter()
        .enumerate()
        .filter(|(_, s)| s.abs() > SILENCE)
    {
        let n = i64::try_from(n).unwrap();
        match runs.last_mut().filter(|run| n - run.1 < WITHIN * MILLI) {
            Some(run) => run.1 = n,
            None => runs.push((n, n)),
        }
    }
    runs
}

//! Which prompts reach an instructor who cannot see the screen: every sample class, with the lengths that
//! a general speech synthesizer (`espeak-ng`) gives its words, as planned and under random keys. Where it is
//! not installed there is nothing to measure, and the test says so; continuous integration installs it.

#![expect(clippy::unwrap_used, reason = "a fault should stop it")]

use std::cell::RefCell;
use std::collections::HashMap;
use std::sync::Arc;

use matside::live::{Act, Harder, HoldReason, Input, Live, Output, is_blind};
use matside::plan::{CuePlan, Score, Strike, Timeline, signals};
use matside::session::{Library, Session};
use matside::sound::{SampleRate, To, Utterance};
use matside::speech::{
    Due, Heard, Placed, Program, Speaker, Talks, Tally, Word, make, place, walls,
};
use matside::time::{Moment, Offset, Span};

/// A voice at her rate, in words a minute.
const RATE: u32 = 175;
/// How far ahead a device commits that is slow to answer.
const REACH: Span = Span::from_millis(260);

struct Voice {
    program: Program,
    made: RefCell<HashMap<String, Option<Utterance>>>,
}

impl Voice {
    fn found() -> Option<Self> {
        let path = std::env::var_os("PATH");
        let program = Program::of(&Speaker::Found, "", RATE, path.as_ref())?;
        Some(Self {
            program,
            made: RefCell::default(),
        })
    }

    fn ready(&self, say: &str) -> Option<Utterance> {
        let mut made = self.made.borrow_mut();
        let made = made.entry(say.to_owned()).or_insert_with(|| {
            let clip = make(&self.program, None, say).ok()?;
            clip.at(SampleRate::hertz(8_000))
        });
        made.clone()
    }

    fn length(&self, say: &str) -> Span {
        let made = self.ready(say).unwrap();
        Span::from_millis(u64::try_from(made.samples.len()).unwrap() / 8)
    }
}

fn samples() -> Vec<Arc<Session>> {
    let files = std::fs::read_dir("sessions").unwrap();
    let mut paths: Vec<_> = files.map(|file| file.unwrap().path()).collect();
    paths.sort();
    let read = paths.into_iter().map(|path| {
        let text = std::fs::read_to_string(&path).unwrap();
        Arc::new(Session::read("sample", &text, &Library::builtin()).unwrap())
    });
    read.collect()
}

fn moment(at: Offset) -> Moment {
    Moment::ZERO + at.since(Offset::ZERO)
}

/// Of the prompts of a class that fall where nobody can see: how many there are, and how many an ear
/// hears.
fn planned(session: &Session, voice: &Voice) -> (usize, usize, usize) {
    let timeline = Timeline::of(session);
    let cues = CuePlan::of(&timeline, &session.cueing, &session.limits);
    let strikes = signals(&timeline, 0, &session.cueing).map(|signal| Strike {
        at: moment(signal.at),
        kind: signal.kind,
    });
    let walls = walls(&Score::of(strikes), Moment::ZERO, moment(timeline.end()));
    let blind = cues.prompts.iter();
    let blind = blind.filter(|p| is_blind(&timeline.intervals()[p.interval]));
    let words = blind.map(|prompt| Word {
        at: moment(prompt.at),
        until: moment(prompt.until),
        length: voice.length(&prompt.say),
    });
    let words: Vec<Word> = words.collect();
    let placed = place(&words, &walls, Span::from_secs(1), Moment::ZERO);
    let heard = placed.iter().filter(|placed| **placed != Placed::Nowhere);
    (cues.prompts.len(), words.len(), heard.count())
}

fn key(live: &Live, random: &mut fastrand::Rng) -> Input {
    Input::Act(match random.u8(0..12) {
        _ if live.is_held() => Act::Resume,
        0 | 1 => Act::Hold(HoldReason::Hold),
        2 => Act::Hold(HoldReason::Break),
        3 => Act::Back,
        4 | 5 => Act::Add(Span::from_secs(10)),
        6 => Act::Take(Span::from_secs(10)),
        7 => Act::Undo,
        8 => Act::Skip,
        9 => Act::Step(Harder::Easier),
        10 => Act::Mark,
        _ => Act::GoOn,
    })
}

/// The whole class, a key every half minute or so.
fn with_keys(session: &Arc<Session>, voice: &Voice, seed: u64) -> Tally {
    let mut random = fastrand::Rng::with_seed(seed);
    let (mut live, mut talks) = (Live::new(session.clone()), Talks::to(To::Ear));
    let (mut now, mut score) = (Moment::ZERO, Score::silence());
    live.handle(now, &Input::Reach(REACH));
    live.handle(now, &Input::Act(Act::Begin));
    let mut next_key = now + Span::from_secs(20);
    while !live.is_over() && now < Moment::ZERO + Span::from_secs(3 * 3600) {
        live.handle(now, &Input::Wake);
        if now >= next_key {
            live.handle(now, &key(&live, &mut random));
            next_key = now + Span::from_millis(random.u64(2_000..60_000));
        }
        while let Some(output) = live.poll_output() {
            if let Output::Sound(order) = output {
                score = score.then(order.from, &order.score);
            }
        }
        let ahead = live.words_ahead(now).into_iter();
        let ahead: Vec<Due> = ahead
            .filter(|words| words.is_blind)
            .map(|words| Due {
                at: words.at,
                until: words.until,
                say: words.say,
            })
            .collect();
        let heard = Heard {
            now,
            reach: REACH,
            score: &score,
            ready: &|say| voice.ready(say),
        };
        let _ = talks.decide(&ahead, &heard);
        // As often as the program looks when nothing else wakes it; keys come in between.
        now = now + Span::from_millis(500);
    }
    talks.tally()
}

fn percent(part: usize, of: usize) -> usize {
    part * 100 / of.max(1)
}

#[test]
fn words_reach_her_where_she_cannot_see() {
    let Some(voice) = Voice::found() else {
        println!("no speaker program is installed: nothing was measured");
        return;
    };
    let (mut of, mut heard, mut keyed) = (0, 0, Tally::default());
    println!(
        "{:<24}{:>8}{:>8}{:>8}{:>22}",
        "", "prompts", "blind", "heard", "with keys: not heard"
    );
    for (n, session) in samples().iter().enumerate() {
        let (all, blind, reached) = planned(session, &voice);
        let tally = with_keys(session, &voice, n as u64);
        println!(
            "{:<24}{all:>8}{blind:>8}{reached:>8}{:>15} of {}",
            session.title,
            tally.left_out,
            tally.left_out + tally.spoken
        );
        (of, heard) = (of + blind, heard + reached);
        keyed.spoken += tally.spoken;
        keyed.left_out += tally.left_out;
    }
    let (spoken, all) = (
        keyed.spoken as usize,
        (keyed.spoken + keyed.left_out) as usize,
    );
    println!(
        "where she cannot see, {heard} of {of} prompts are heard ({} %); under random keys {spoken} of {all} ({} %)",
        percent(heard, of),
        percent(spoken, all)
    );
    assert!(of > 50, "the samples have prompts on the mat: {of}");
    assert!(percent(heard, of) >= 90 && percent(spoken, all) >= 80);
}

//! Class, words and a simulated card together: random keys, and an ear that listens.

use std::path::Path;
use std::sync::Arc;

use crate::live::{Act, Harder, HoldReason, Input, Live, Output};
use crate::plan::{Score, SignalKind};
use crate::session::{Library, Session};
use crate::sound::card::{Card, Make, RATE};
use crate::sound::{Order, SampleRate, Talk, To, Utterance};
use crate::speech::{Counting, Due, Heard, ORDERING, Talks, Tally};
use crate::time::{Moment, Span};

/// Words of a length like that of speech: four words a second and a bit (English read aloud, Pellegrino
/// et al. 2011 in check values: some six syllables a second), each with a value of its own.
fn spoken(say: &str) -> Utterance {
    let frames = 9_000 * say.split_whitespace().count() + 8_000;
    Utterance {
        rate: SampleRate::hertz(RATE),
        samples: vec![1.0; frames].into(),
    }
}

fn samples() -> Vec<(String, Arc<Session>)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("sessions");
    let files = std::fs::read_dir(folder).unwrap();
    let mut paths: Vec<_> = files.map(|file| file.unwrap().path()).collect();
    paths.sort();
    let read = paths.into_iter().map(|path| {
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let text = std::fs::read_to_string(&path).unwrap();
        let session = Session::read(&name, &text, &Library::builtin());
        (name, Arc::new(session.unwrap()))
    });
    read.collect()
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
        10 => Act::OnceMore,
        _ => Act::GoOn,
    })
}

/// A class on a simulated card, with a voice in the ear.
struct Room {
    live: Live,
    card: Card,
    talks: Talks,
    score: Score,
    counting: Counting,
    /// Every word that was ordered to begin, by what stood at last.
    meant: Vec<Talk>,
    counts: Vec<(SignalKind, f64)>,
    /// Stretches of words: from, to, and the highest sample.
    words: Vec<(f64, f64, f32)>,
}

impl Room {
    fn of(session: &Arc<Session>, seed: u64) -> Self {
        let make = Make {
            ppm: 60.0,
            period: 4_096,
            offset: 0,
        };
        let mut card = Card::new(make, Card::clicks());
        card.random = fastrand::Rng::with_seed(seed);
        Self {
            live: Live::new(session.clone()),
            card,
            talks: Talks::to(To::Ear),
            score: Score::silence(),
            counting: Counting::default(),
            meant: Vec::new(),
            counts: Vec::new(),
            words: Vec::new(),
        }
    }

    fn say(&mut self, now: Moment, input: &Input) {
        self.live.handle(now, input);
        while let Some(output) = self.live.poll_output() {
            if let Output::Sound(order) = output {
                self.score = self.score.then(order.from, &order.score);
                let (from, score) = (order.from, order.score);
                let earliest = now + self.card.shared.reach.span() + ORDERING;
                let score = self.counting.tones(&self.score, &score, earliest);
                self.card.desk.order(Order::Play { from, score });
            }
        }
        let reach = self.card.shared.reach.span();
        if self.counting.is_spoken() {
            return self.say_numbers();
        }
        let ahead = self.live.words_ahead(now).into_iter();
        let ahead = ahead.map(|words| Due {
            at: words.at,
            until: words.until,
            say: words.say,
        });
        let ahead: Vec<Due> = ahead.collect();
        let heard = Heard {
            now,
            reach,
            score: &self.score,
            ready: &|say| Some(spoken(say)),
        };
        if let Some(order) = self.talks.decide(&ahead, &heard) {
            let begun = now + reach;
            self.meant.retain(|talk| talk.at < begun);
            let new = order.iter().filter(|talk| !self.meant.contains(talk));
            let new: Vec<Talk> = new.cloned().collect();
            self.meant.extend(new);
            self.card.desk.order(Order::Say(order));
        }
    }

    fn run_to(&mut self, until: Moment) {
        loop {
            let now = Moment::from_millis(self.card.millis());
            if now >= until {
                return;
            }
            self.say(now, &Input::Reach(self.card.shared.reach.span()));
            self.say(now, &Input::Wake);
            self.card.callback();
            self.counts.extend(self.card.take_clicks());
            for run in self.card.take_alone() {
                match self.words.last_mut().filter(|last| run.0 - last.1 < 0.01) {
                    Some(last) => (last.1, last.2) = (run.1, last.2.max(run.2)),
                    None => self.words.push(run),
                }
            }
        }
    }
}

/// Each beat of each count is heard once, by a word or by a tone, when it is heard where all are tones,
/// whatever is pressed; most are words, and those that a key asks for at once are tones.
#[test]
fn a_spoken_count_loses_and_doubles_no_beat() {
    let (mut said, mut all) = (0, 0);
    for (n, (name, session)) in samples().iter().enumerate().step_by(3) {
        let taught = [false, true].map(|spoken| {
            let mut random = fastrand::Rng::with_seed(n as u64 + 7);
            let mut room = Room::of(session, n as u64);
            room.run_to(Moment::from_millis(3_000));
            if spoken {
                room.counting.begin(Moment::ZERO);
            }
            let now = Moment::from_millis(room.card.millis());
            room.say(now, &Input::Act(Act::Begin));
            for _ in 0..20 {
                let next = Moment::from_millis(room.card.millis() + random.u64(500..9_000));
                room.run_to(next);
                if room.live.is_over() {
                    break;
                }
                let input = key(&room.live, &mut random);
                room.say(Moment::from_millis(room.card.millis()), &input);
            }
            room
        });
        // Without spoken counts the words are prompts.
        let beats = |room: &Room| -> Vec<f64> {
            let tones = room.counts.iter();
            let tones = tones.filter(|(kind, _)| *kind == SignalKind::Count);
            let is_spoken = room.counting.is_spoken();
            let words = room.words.iter().filter(|_| is_spoken).map(|word| word.0);
            let mut beats: Vec<f64> = tones.map(|(_, at)| *at).chain(words).collect();
            beats.sort_by(f64::total_cmp);
            beats
        };
        let [tones, words] = taught.each_ref().map(beats);
        assert_eq!(tones.len(), words.len(), "{name}: {tones:?} {words:?}");
        for (tone, word) in tones.iter().zip(&words) {
            assert!((tone - word).abs() < 0.010, "{name}: {tone} {word}");
        }
        said += taught[1].words.len();
        all += words.len();
    }
    assert!(said * 2 > all && said > 20, "{said} of {all}");
}

/// Words begin within 10 ms of their time, never two at once and never over a beat of a count; every
/// tone is where it would be without them; whatever is pressed.
#[test]
fn words_keep_their_time_beside_a_class_whatever_is_pressed() {
    let (mut begun, mut all) = (0, Tally::default());
    for (n, (name, session)) in samples().iter().enumerate() {
        let mut random = fastrand::Rng::with_seed(n as u64 + 1);
        let mut room = Room::of(session, n as u64);
        room.run_to(Moment::from_millis(3_000));
        let now = Moment::from_millis(room.card.millis());
        room.say(now, &Input::Act(Act::Begin));
        for _ in 0..30 {
            let most = if room.live.is_held() { 3_000 } else { 12_000 };
            let next = Moment::from_millis(room.card.millis() + random.u64(500..most));
            room.run_to(next);
            if room.live.is_over() {
                break;
            }
            let input = key(&room.live, &mut random);
            room.say(Moment::from_millis(room.card.millis()), &input);
        }
        begun += room.check(name);
        all.spoken += room.talks.tally().spoken;
        all.left_out += room.talks.tally().left_out;
    }
    println!("{begun} begun; {all:?}");
    assert!(begun > 200, "{begun}");
    assert!(all.left_out * 4 < all.spoken, "{all:?}");
}

impl Room {
    /// The numbers of the counts to come, and no other words.
    fn say_numbers(&mut self) {
        let numbers = self.counting.words().iter().map(|(at, _)| Talk {
            at: *at,
            what: Utterance {
                rate: SampleRate::hertz(RATE),
                samples: vec![1.0; 20_000].into(),
            },
            to: To::Ear,
        });
        let numbers: Vec<Talk> = numbers.collect();
        if numbers != self.meant {
            self.meant.clone_from(&numbers);
            self.card.desk.order(Order::Say(numbers));
        }
    }

    /// Compares what the ear heard with what was ordered; tells how many words it heard begin.
    fn check(&self, name: &str) -> usize {
        for (from, to, highest) in &self.words {
            let near = |talk: &&Talk| (secs(talk.at) - from).abs() < 0.010;
            let said = self.meant.iter().find(near);
            let said = said.unwrap_or_else(|| panic!("{name}: words at {from}"));
            // A breath parts them from the next.
            let longest = said.what.length().millis();
            #[expect(clippy::cast_precision_loss, reason = "seconds")]
            let longest = longest as f64 / 1000.0 + 0.010;
            assert!(to - from < longest, "{name}: no breath after {from}");
            assert!(*highest < 1.01, "{name}: two at once at {from}");
            let beats = self
                .counts
                .iter()
                .filter(|(kind, _)| *kind == SignalKind::Count);
            // What is no longer meant when a key asks for a count has 30 ms to fade, and the reach.
            let beat = beats
                .map(|(_, at)| *at)
                .find(|at| (*from..to - 0.3).contains(at));
            assert_eq!(beat, None, "{name}: words over a beat from {from} to {to}");
        }
        self.words.len()
    }
}

#[expect(clippy::cast_precision_loss, reason = "an hour")]
fn secs(moment: Moment) -> f64 {
    moment.millis() as f64 / 1000.0
}

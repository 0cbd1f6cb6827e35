//! `matside track`: a class as a sound file, by the voice that plays live.

use std::collections::VecDeque;
use std::io::{BufWriter, IsTerminal, Write};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use super::args::Track as Asked;
use super::folders;
use super::load::{self, Own};
use super::report::{self, Failure};
use crate::export::{Chapter, vtt_chapters};
use crate::plan::{CuePlan, Score, Signal, Strike, Timeline, signals};
use crate::record::Wall;
use crate::session::Session;
use crate::sound::{Rendering, SampleRate, Talk, To, render};
use crate::speech::{self, Keep, Placed, Program, Track, TrackFormat, Word, place, walls};
use crate::store::{Cache, Making, Present, hand_over};
use crate::time::{Moment, Offset, Span};

/// Words are fetched so long before they begin, and kept so long after.
const NEAR: Span = Span::from_secs(30);
/// How often, in frames, the progress is told.
const TOLD: usize = 1 << 20;

pub(super) fn track(asked: &Asked, own: Own) -> Result<(), Failure> {
    let library = load::library(own)?;
    let session = folders::session(asked.which.session.as_deref(), &library, own)?;
    let timeline = Timeline::of(&session);
    let format = TrackFormat {
        rate: SampleRate::hertz(asked.rate),
        bits: asked.bits,
        channels: if asked.mono { 1 } else { 2 },
    };
    let score: Vec<Signal> = signals(&timeline, 0, &session.cueing).collect();
    let from = asked.from.unwrap_or(Offset::ZERO);
    if from >= timeline.end() {
        return Err(Failure::Usage(format!(
            "the class is over at {}, before --from",
            timeline.total()
        )));
    }
    let mut rendering = render(&score, timeline.total(), format.rate).from(from);
    if let Some(long) = asked.long {
        rendering = rendering.no_longer_than(long);
    }
    if rendering.left() as u64 > format.most() {
        return Err(Failure::Usage(
            "a WAV cannot be larger than 4 GiB; take a part of it with --from and --for, or --mono"
                .into(),
        ));
    }
    let words = if asked.words {
        Some(Spoken::of(&session, &timeline, &score, own)?)
    } else {
        None
    };
    write(asked, rendering, words, format)?;
    if asked.chapters {
        let until = asked.long.map_or(timeline.end(), |long| from + long);
        let text = chapters(&timeline, from..until.min(timeline.end()));
        let path = asked.output.with_extension("vtt");
        let made = hand_over(&path, text.as_bytes(), present(asked.force));
        made.map_err(|error| Failure::Create { path, error })?;
    }
    Ok(())
}

const fn present(force: bool) -> Present {
    if force {
        Present::Replaced
    } else {
        Present::Kept
    }
}

fn write(
    asked: &Asked,
    mut rendering: Rendering,
    mut words: Option<Spoken>,
    format: TrackFormat,
) -> Result<(), Failure> {
    let path = &asked.output;
    let create = |error| Failure::Create {
        path: path.clone(),
        error,
    };
    let stopped = stops()?;
    let making = Making::begin(path, present(asked.force)).map_err(create)?;
    let out = BufWriter::with_capacity(1 << 18, making.file());
    let mut track = Track::begin(out, format).map_err(create)?;
    let all = rendering.left();
    let mut told = 0;
    loop {
        if let Some(words) = &mut words {
            words.look(&mut rendering, format.rate);
        }
        let Some(block) = rendering.next_block() else {
            break;
        };
        track.write(block).map_err(create)?;
        let done = all - rendering.left();
        if done - told >= TOLD {
            told = done;
            progress(done, all);
            if stopped.load(Ordering::Relaxed) {
                return Err(anyhow::anyhow!("stopped: nothing was written").into());
            }
        }
    }
    track.finish().map_err(create)?;
    making.finish().map_err(create)?;
    progress(all, all);
    if let Some(words) = words {
        report::note(&words.told());
    }
    Ok(())
}

/// Set when the program is asked to stop: a part of a file does not stay.
fn stops() -> Result<Arc<AtomicBool>, Failure> {
    let stopped = Arc::<AtomicBool>::default();
    #[cfg(unix)]
    for signal in [
        signal_hook::consts::SIGINT,
        signal_hook::consts::SIGTERM,
        signal_hook::consts::SIGHUP,
    ] {
        let set = signal_hook::flag::register(signal, Arc::clone(&stopped));
        set.map_err(|error| anyhow::Error::new(error).context("the signals of the system"))?;
    }
    Ok(stopped)
}

/// A line that is written over, where somebody looks at it.
fn progress(done: usize, all: usize) {
    let mut err = std::io::stderr();
    if err.is_terminal() {
        let end = if done == all { "\n" } else { "" };
        let share = done * 100 / all.max(1);
        let bar = "#".repeat(share / 4);
        // Nobody is stopped by a line that cannot be written.
        let _ = write!(err, "\r[{bar:<25}] {share:>3} %{end}");
        let _ = err.flush();
    }
}

/// The words of a class, each with its beginning.
struct Spoken {
    program: Program,
    cache: Option<Cache>,
    waiting: VecDeque<(Moment, String)>,
    near: Vec<Talk>,
    placed: usize,
    left_out: usize,
    failed: Option<String>,
}

impl Spoken {
    /// Has every prompt made, to know how long it is, and places it.
    fn of(
        session: &Session,
        timeline: &Timeline,
        score: &[Signal],
        own: Own,
    ) -> Result<Self, Failure> {
        let program = load::settings(own)?.program(std::env::var_os("PATH").as_ref());
        let Some(program) = program else {
            return Err(Failure::NotFound(
                "no speaker program was found; install one such as espeak-ng, or name yours in `speech` of the configuration".into(),
            ));
        };
        let cache = load::words_cache();
        let cues = CuePlan::of(timeline, &session.cueing, &session.limits);
        let moment = |at: Offset| Moment::ZERO + at.since(Offset::ZERO);
        let (mut words, mut says, mut failed) = (Vec::new(), Vec::new(), None);
        for prompt in &cues.prompts {
            let kept = cache.as_ref().map(|kept| kept as &dyn Keep);
            match speech::make(&program, kept, &prompt.say) {
                Ok(clip) => {
                    words.push(Word {
                        at: moment(prompt.at),
                        until: moment(prompt.until),
                        length: clip.length(),
                    });
                    says.push(prompt.say.clone());
                }
                Err(fault) => failed = Some(fault.to_string()),
            }
        }
        let strikes = score.iter().map(|signal| Strike {
            at: moment(signal.at),
            kind: signal.kind,
        });
        let walls = walls(&Score::of(strikes), Moment::ZERO, moment(timeline.end()));
        let placed = place(&words, &walls, Span::ZERO, Moment::ZERO);
        let placed = placed.into_iter().zip(says);
        let waiting: VecDeque<(Moment, String)> = placed
            .filter_map(|(placed, say)| match placed {
                Placed::At(begin) => Some((begin, say)),
                Placed::Nowhere => None,
            })
            .collect();
        Ok(Self {
            program,
            cache,
            placed: waiting.len(),
            left_out: cues.prompts.len() - waiting.len(),
            waiting,
            near: Vec::new(),
            failed,
        })
    }

    /// Hands over what begins soon.
    fn look(&mut self, rendering: &mut Rendering, rate: SampleRate) {
        let here = rendering.here();
        let is_near = |begin: Moment| begin <= here + NEAR;
        if !self
            .waiting
            .front()
            .is_some_and(|(begin, _)| is_near(*begin))
        {
            return;
        }
        self.near.retain(|talk| talk.at + NEAR >= here);
        let far = self.waiting.iter().position(|(begin, _)| !is_near(*begin));
        let near = self.waiting.drain(..far.unwrap_or(self.waiting.len()));
        for (at, say) in near {
            let kept = self.cache.as_ref().map(|kept| kept as &dyn Keep);
            let made = speech::make(&self.program, kept, &say).ok();
            if let Some(what) = made.and_then(|clip| clip.at(rate)) {
                let to = To::Room;
                self.near.push(Talk { at, what, to });
            }
        }
        rendering.say(self.near.clone());
    }

    fn told(&self) -> String {
        let all = self.placed + self.left_out;
        let why = self.failed.as_ref();
        let why = why.map_or_else(String::new, |why| format!(" ({why})"));
        match self.left_out {
            0 => format!("all {all} prompts are spoken"),
            n => format!(
                "{} of {all} prompts are spoken; {n} have no room as they are spoken{why}",
                self.placed
            ),
        }
    }
}

/// The intervals of a stretch of the class, as chapters in WebVTT.
fn chapters(timeline: &Timeline, stretch: std::ops::Range<Offset>) -> String {
    let wall = |at: Offset| -> Wall {
        let millis = i64::try_from(at.since(Offset::ZERO).millis()).unwrap_or(i64::MAX);
        chrono::DateTime::from_timestamp_millis(millis)
            .unwrap_or_default()
            .fixed_offset()
    };
    let intervals = timeline.intervals().iter();
    let inside = intervals.filter(|i| i.start < stretch.end && i.end > stretch.start);
    let chapters: Vec<Chapter> = inside
        .map(|interval| {
            let moves: Vec<&str> = interval
                .moves
                .iter()
                .map(|one| one.of.name.as_str())
                .collect();
            let label = interval.kind.label();
            let title = match moves.len() {
                0 => label.to_owned(),
                _ => format!("{label}: {}", moves.join(", ")),
            };
            Chapter {
                from: wall(interval.start.max(stretch.start)),
                to: wall(interval.end.min(stretch.end)),
                title,
            }
        })
        .collect();
    vtt_chapters(&chapters, wall(stretch.start))
}

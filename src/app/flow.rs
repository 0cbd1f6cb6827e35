//! From page to page: a class that broke off, the choice, the opening, the class, and after it.

use std::fmt::Write as _;
use std::path::PathBuf;
use std::sync::Arc;

use super::after::{self, Class};
use super::chooser::{Choice, choose};
use super::clock::{Both, Clock, Wall, delta, wall};
use super::comeback::{self, Answer};
use super::ears::Ears;
use super::opening::{self, Left};
use super::shell::Shell;
use super::slot::{SlotEnd, nearest};
use super::stage::Stage;
use super::{ComeBack, Room, Run, What};
use crate::export::happenings;
use crate::live::{Act, Input, Live};
use crate::record::{Header, Summary, wall as wall_time};
use crate::session::Session;
use crate::sound::{self, Volume};
use crate::store::{Recorder, TakenUp};
use crate::time::{Moment, Span};

/// The program from its first page to its last.
pub(super) struct Flow<'a> {
    run: &'a Run,
    shell: Shell,
    told: String,
}

impl<'a> Flow<'a> {
    pub(super) const fn new(run: &'a Run, shell: Shell) -> Self {
        Self {
            run,
            shell,
            told: String::new(),
        }
    }

    /// Goes from page to page until the program is left; tells what was done.
    pub(super) fn go(mut self) -> String {
        match &self.run.what {
            What::Rehearse {
                session,
                pace,
                from,
                go,
            } => {
                let slot = match self.run.room {
                    Room::For(slot) => Some(slot),
                    _ => session.slot,
                };
                let slot = slot.map_or(SlotEnd::Open, SlotEnd::FromBegin);
                let begun = if *go {
                    Left::Begin(Box::new(Live::new(session.clone())), slot)
                } else {
                    let clock = Clock::starting_at(Moment::ZERO, 1);
                    let mut ears = Ears::open(clock, self.sound());
                    opening::open(&mut self.shell, session, slot, &mut ears)
                };
                if let Left::Begin(live, slot) = begun {
                    let clock = Clock::starting_at(Moment::ZERO + from.span(), *pace);
                    self.rehearse(*live, slot, clock, *pace);
                }
            }
            What::Teach(session) => {
                if !self.come_back() {
                    let session = session.clone();
                    self.teach(&session);
                }
            }
            What::Choose => {
                if !self.come_back() {
                    self.choose();
                }
            }
        }
        self.told
    }

    fn choose(&mut self) {
        let mut folders = vec![PathBuf::from("sessions")];
        folders.extend_from_slice(self.run.settings.sessions());
        let Run {
            builtin,
            library,
            shelf,
            ..
        } = self.run;
        let choice = Choice::of(&folders, builtin, library, shelf.as_ref());
        while let Some(session) = choose(&mut self.shell, &choice) {
            if self.teach(&session) {
                return;
            }
        }
    }

    /// The opening page and the class; `false` where she went back instead.
    fn teach(&mut self, session: &Arc<Session>) -> bool {
        let clock = Clock::starting_at(Moment::ZERO, 1);
        let mut ears = Ears::open(clock, self.sound());
        let slot = match self.run.room {
            Room::AsPlanned => session.slot.map_or(SlotEnd::Open, SlotEnd::FromBegin),
            Room::For(slot) => SlotEnd::At(wall() + delta(slot)),
            Room::Until(hour) => nearest(hour, wall()).map_or(SlotEnd::Open, SlotEnd::At),
        };
        let Left::Begin(live, slot) = opening::open(&mut self.shell, session, slot, &mut ears)
        else {
            return false;
        };
        ears.quiet();
        let mut stage = self.stage(*live, clock, ears, None);
        let begun = wall();
        let (recorder, name) = self.begin_record(&stage.live, slot.wall(begun), begun);
        stage.recorder = Some(recorder);
        stage.ends_at(slot.wall(begun));
        let now = stage.clock.now();
        stage.live.handle(now, &Input::Act(Act::Begin));
        stage.settle(now);
        self.run_to_end(stage, name.as_deref());
        true
    }

    fn sound(&self) -> sound::Settings {
        let settings = &self.run.settings;
        sound::Settings {
            offset_ms: settings.sound_offset_ms,
            volume: Volume::new(settings.volume),
            muted: self.run.muted,
        }
    }

    fn stage(&self, live: Live, clock: Clock, ears: Ears, pace: Option<u32>) -> Stage {
        let keys = self.run.settings.keys();
        let zero = wall() - delta(clock.now().since(Moment::ZERO));
        let mut stage = Stage::new(live, (clock, zero), ears, keys, pace);
        stage.motion = self.run.settings.motion;
        stage
    }

    fn begin_record(
        &self,
        live: &Live,
        slot_end: Option<Wall>,
        begun: Wall,
    ) -> (Recorder, Option<String>) {
        let Some(shelf) = &self.run.shelf else {
            return (Recorder::none(no_place()), None);
        };
        let mut header =
            Header::new(live.session().as_ref().clone(), begun).limits(live.limits().to_vec());
        if let Some(end) = slot_end {
            header = header.ends_at(end);
        }
        match shelf.begin(&header) {
            Ok(begun) => (begun.recorder, Some(begun.name)),
            Err(error) => (
                Recorder::none(crate::store::NotRecording::since(error.to_string())),
                None,
            ),
        }
    }

    fn rehearse(&mut self, live: Live, slot: SlotEnd, clock: Clock, pace: u32) {
        let ears = Ears::open(clock, self.sound());
        let mut stage = self.stage(live, clock, ears, Some(pace));
        let begun = stage.hour(Moment::ZERO);
        stage.ends_at(slot.wall(begun));
        stage.live.handle(Moment::ZERO, &Input::Act(Act::Begin));
        let from = stage.clock.now();
        stage.live.handle(from, &Input::Wake);
        stage.pass_counted(from);
        stage.play(&mut self.shell);
        self.told = told(&stage, "rehearsed");
    }

    fn run_to_end(&mut self, mut stage: Stage, name: Option<&str>) {
        stage.play(&mut self.shell);
        let record = stage.finish_record();
        self.told.push_str(&told(&stage, "taught"));
        if !stage.live.is_over() {
            return;
        }
        let now = stage.clock.now();
        let kept = self.run.shelf.as_ref().zip(name);
        let recorded = kept.and_then(|(shelf, name)| shelf.read(name).ok());
        let lines = recorded.map_or_else(
            || after::lines(&stage.live.done(now), stage.against_slot(now)),
            |record| happenings(&Summary::of(&record)),
        );
        let class = Class {
            live: &stage.live,
            now,
            lines,
            record,
            kept,
        };
        if let Some(fault) = after::show(&mut self.shell, &class) {
            let _ = writeln!(self.told, "the note was not kept: {fault}");
        }
    }

    /// Offers a class that broke off; `true` where it was gone on with, or the program is left.
    fn come_back(&mut self) -> bool {
        let run = self.run;
        let Some(shelf) = run.shelf.as_ref() else {
            return false;
        };
        if run.come_back == ComeBack::Do(Answer::Later) {
            return false;
        }
        let Some(class) = comeback::broken_off(shelf, wall()) else {
            return false;
        };
        let answer = match run.come_back {
            ComeBack::Ask => comeback::ask(&mut self.shell, &class, &run.lost),
            ComeBack::Do(answer) => answer,
        };
        if answer == Answer::Later {
            return self.shell.is_leaving();
        }
        match shelf.take_up(&class.name) {
            Ok(taken) => self.take_up(taken, &class.name, answer),
            Err(error) => {
                self.told = format!("the class could not be taken up: {error}\n");
                false
            }
        }
    }

    fn take_up(&mut self, taken: TakenUp, name: &str, answer: Answer) -> bool {
        let TakenUp {
            record,
            pulse,
            recorder,
        } = taken;
        let session = Arc::new(record.header.session.clone());
        let live = Live::replay(session, record.facts());
        let last_fact = record
            .facts()
            .next_back()
            .map_or(Moment::ZERO, |fact| fact.at);
        let last_wall = record
            .facts_on_the_wall()
            .next_back()
            .map_or(record.header.started, |(wall, _)| wall);
        let (seen, seen_wall) = pulse.map_or((last_fact, last_wall), |p| (p.at, p.wall));
        let both = Both {
            now: seen,
            wall: seen_wall,
        };
        let gap = wall_time::since(wall(), seen_wall);
        let clock = Clock::starting_at(seen + gap, 1);
        if answer == Answer::Close {
            comeback::close(recorder, both, live.offset(seen));
            return false;
        }
        let ears = Ears::open(clock, self.sound());
        let mut stage = self.stage(live, clock, ears, None);
        stage.recorder = Some(recorder);
        stage.slot_end = stage.live.ends_at().map(|end| both.wall_at(end));
        stage.live.handle(seen, &Input::Wake);
        let now = stage.clock.now();
        let gap = gap.max(Span::from_millis(1));
        let slept = Act::Slept { from: seen, gap };
        stage.live.handle(now, &Input::Act(slept));
        if answer == Answer::WhereTheClockSays {
            stage.live.handle(now, &Input::Act(Act::CatchUp));
        }
        self.run_to_end(stage, Some(name));
        true
    }
}

fn no_place() -> crate::store::NotRecording {
    crate::store::NotRecording::since("there is no folder for records: set MATSIDE_DATA or HOME")
}

fn told(stage: &Stage, verb: &str) -> String {
    let done = stage.live.done(stage.clock.now());
    let whole = |span: Span| span.whole();
    format!(
        "{}: {verb} {} of {} planned, {} of {} works\n",
        stage.live.session().title,
        whole(done.run),
        whole(done.planned),
        done.works,
        done.works_planned
    )
}

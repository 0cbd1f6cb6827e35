//! From page to page: a class that broke off, the choice, the opening, the class, and after it.

use std::fmt::Write as _;
use std::path::PathBuf;
use std::sync::Arc;

use chrono::Local;

use super::after::{self, Class, Form, Kept, Leaves};
use super::chooser::{Looking, Places, choose};
use super::clock::{Both, Clock, at_home, wall};
use super::comeback;
use super::ears::Ears;
use super::errand::{Came, Errand};
use super::hours::{Reading, SlotEnds};
use super::last_time::{self, LastTime};
use super::opening::{self, Left};
use super::planning::{self, Desk};
use super::run::{Answer, ComeBack, PlanAsked, Run, SlotAsked, Wanted};
use super::shell::Shell;
use super::slot::{SlotEnd, nearest};
use super::stage::Stage;
use super::talking::Talking;
use super::trial::{Trial, no_place};
use super::waits::FINISH;
use crate::live::{Act, Input, Live};
use crate::record::{Header, SlotKind, wall as wall_time};
use crate::session::Session;
use crate::sound;
use crate::store::{NotRecording, Recorder, TakenUp};
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
            Wanted::Rehearse {
                session,
                pace,
                from,
                go,
            } => {
                if let Some((live, slot)) = self.before_rehearsal(session, *go) {
                    let clock = Clock::starting_at(Moment::ZERO + from.span(), *pace);
                    self.rehearse(live, slot, clock, *pace);
                }
            }
            Wanted::Teach(session) => {
                if !self.come_back() {
                    let session = session.clone();
                    self.teach(&session);
                }
            }
            Wanted::Plan(asked) => self.plan(asked),
            Wanted::Choose => {
                if !self.come_back() {
                    self.choose();
                }
            }
        }
        self.told
    }

    /// The page at which a class is planned, and from there to a rehearsal and back.
    fn plan(&mut self, asked: &PlanAsked) {
        let (library, shelf) = (&self.run.library, self.run.shelf.as_ref());
        let mut desk = Desk::open(&self.shell, asked, library, shelf);
        loop {
            match desk.work(&mut self.shell) {
                planning::Left::Out(told) => {
                    self.told = told;
                    return;
                }
                planning::Left::Rehearse(session, from, pace) => {
                    let slot = session.slot;
                    let clock = Clock::starting_at(Moment::ZERO + from.span(), pace);
                    self.rehearse(Live::new(session), slot, clock, pace);
                }
            }
        }
    }

    fn choose(&mut self) {
        let mut folders = vec![PathBuf::from("sessions")];
        folders.extend_from_slice(self.run.settings.sessions());
        let places = Places {
            folders,
            builtin: self.run.builtin.clone(),
            library: self.run.library.clone(),
            shelf: self.run.shelf.clone(),
        };
        let mut looking = Looking::of(&self.shell, places);
        while let Some(session) = choose(&mut self.shell, &mut looking) {
            if self.teach(&session) {
                return;
            }
        }
    }

    /// The opening page and the class; `false` where she went back instead.
    fn teach(&mut self, session: &Arc<Session>) -> bool {
        let clock = Clock::for_a_class();
        let mut ears = self.ears(clock);
        let open = |slot| Ok((slot, String::new()));
        let slot = match self.run.room {
            SlotAsked::AsPlanned => open(session.slot.map_or(SlotEnd::Open, SlotEnd::FromBegin)),
            SlotAsked::For(slot) => open(SlotEnd::after(slot, opening::reading(&ears))),
            SlotAsked::Until(hour) => nearest(hour, &wall().with_timezone(&Local))
                .map(|(end, word)| (SlotEnd::At(end), word))
                .map_err(|wrong| (hour, wrong)),
        };
        let mut trial = Trial::of(self.run.shelf.as_ref());
        let mut talking = self.talking(clock);
        talking.prepare(&Live::new(session.clone()));
        let asked = self.last_time(session);
        let asked = asked.as_ref();
        let library = &self.run.library;
        let left = opening::open(
            &mut self.shell,
            session,
            slot,
            &mut ears,
            &mut trial,
            library,
            asked,
        );
        let (live, slot) = match left {
            Left::Begin(live, slot) => (live, slot),
            Left::Back => return false,
            Left::Out => return true,
        };
        ears.quiet();
        let begun = opening::reading(&ears);
        let mut stage = self.stage(*live, clock, ears, None);
        stage.talking = talking;
        stage.recorder = Some(self.begin_record(&stage.live, slot, begun));
        stage.ends_at(slot.of_class(begun));
        let now = stage.clock.now();
        stage.tell_reach(now);
        stage.live.handle(now, &Input::Act(Act::Begin));
        stage.settle(now);
        self.run_to_end(stage, None);
        true
    }

    /// Sends for what was set before the last class of this title. What was said on the command line
    /// is not asked about again.
    fn last_time(&self, session: &Arc<Session>) -> Option<last_time::Asked> {
        let shelf = self.run.shelf.clone()?;
        let (title, is_open) = (session.title.clone(), self.run.room == SlotAsked::AsPlanned);
        Some(Errand::send(self.shell.back(), move || {
            let mut last = LastTime::of(&shelf, &title)?;
            last.slot = last.slot.filter(|_| is_open);
            Some(last)
        }))
    }

    fn talking(&self, clock: Clock) -> Talking {
        let cache = self.run.cache.clone();
        Talking::of(&self.run.settings.speech, cache, clock.pace() == 1)
    }

    fn ears(&self, clock: Clock) -> Ears {
        let settings = &self.run.settings;
        Ears::open(clock, self.sound(), &settings.device, &settings.speech)
    }

    fn sound(&self) -> sound::Settings {
        self.run.settings.sound(self.run.muted)
    }

    fn stage(&self, live: Live, clock: Clock, ears: Ears, pace: Option<u32>) -> Stage {
        let keys = self.run.settings.keys();
        let zero = wall() - wall_time::delta(clock.now().since(Moment::ZERO));
        let mut stage = Stage::new(live, (clock, zero), ears, keys, pace);
        stage.talking = self.talking(clock);
        stage.library = self.run.library.clone();
        stage.motion = self.run.settings.motion;
        stage
    }

    fn begin_record(&self, live: &Live, slot: SlotEnd, begun: Reading) -> Recorder {
        let Some(shelf) = &self.run.shelf else {
            return Recorder::none(no_place());
        };
        let mut header = Header::new(live.session().as_ref().clone(), begun.both.wall)
            .limits(live.limits().to_vec());
        if let Some(end) = slot.wall(begun) {
            let kind = match slot {
                SlotEnd::At(_) => SlotKind::Hour,
                _ => SlotKind::Length,
            };
            header = header.ends_at(at_home(end)).slot_kind(kind);
        }
        shelf.begin_in_background(header)
    }

    /// The page before class, unless it goes without; and how long the slot is from the start of the
    /// class, which a rehearsal may run through faster than the clock.
    fn before_rehearsal(
        &mut self,
        session: &Arc<Session>,
        go: bool,
    ) -> Option<(Live, Option<Span>)> {
        let slot = match self.run.room {
            SlotAsked::For(slot) => Some(slot),
            _ => session.slot,
        };
        if go {
            return Some((Live::new(session.clone()), slot));
        }
        let mut ears = self.ears(Clock::starting_at(Moment::ZERO, 1));
        let slot = Ok((
            slot.map_or(SlotEnd::Open, SlotEnd::FromBegin),
            String::new(),
        ));
        let left = opening::open(
            &mut self.shell,
            session,
            slot,
            &mut ears,
            &mut Trial::none(),
            &self.run.library,
            None,
        );
        let Left::Begin(live, slot) = left else {
            return None;
        };
        let begun = opening::reading(&ears);
        let end = slot.wall(begun);
        Some((*live, end.map(|end| wall_time::since(end, begun.both.wall))))
    }

    fn rehearse(&mut self, live: Live, slot: Option<Span>, clock: Clock, pace: u32) {
        let ears = self.ears(clock);
        let mut stage = self.stage(live, clock, ears, Some(pace));
        stage.ends_at(slot.map(|slot| SlotEnds::After(Moment::ZERO + slot)));
        stage.live.handle(Moment::ZERO, &Input::Act(Act::Begin));
        let from = stage.clock.origin();
        stage.live.handle(from, &Input::Wake);
        stage.pass_counted(from);
        stage.live.count_from(from);
        stage.play(&mut self.shell);
        self.told = told(&stage, "rehearsed");
    }

    fn run_to_end(&mut self, mut stage: Stage, name: Option<&str>) {
        let mut name = name.map(str::to_owned);
        let mut form = Form::default();
        let fault = loop {
            stage.play(&mut self.shell);
            let recorder = stage.recorder.take();
            if !stage.live.is_over() {
                // The system wants the program gone: what waits for the disk has a moment.
                let _ = recorder.map(|recorder| recorder.finish(FINISH));
                break None;
            }
            match self.after(&stage, recorder, name.take(), &mut form) {
                Leaves::Out(fault) => break fault,
                Leaves::TakenUp(record) => {
                    stage.recorder = Some(self.go_on_recording(record.as_deref()));
                    stage.take_up_again();
                    name = record;
                }
            }
        };
        self.told.push_str(&told(&stage, "taught"));
        if let Some(fault) = fault {
            let _ = writeln!(self.told, "{fault}");
        }
    }

    /// The page after class. `name` is that of a record that was taken up.
    fn after(
        &mut self,
        stage: &Stage,
        recorder: Option<Recorder>,
        name: Option<String>,
        form: &mut Form,
    ) -> Leaves {
        let now = stage.clock.now();
        let shelf = self.run.shelf.clone();
        let kept = Errand::send(self.shell.back(), move || {
            Kept::of(recorder, shelf.as_ref(), name)
        });
        let class = Class {
            live: &stage.live,
            now,
            lines: after::lines(&stage.live.done(now), stage.against_slot(now)),
            kept,
        };
        after::show(&mut self.shell, &class, form)
    }

    /// Goes on with a record whose class is not over after all.
    fn go_on_recording(&mut self, name: Option<&str>) -> Recorder {
        let place = self.run.shelf.clone().zip(name.map(str::to_owned));
        let Some((shelf, name)) = place else {
            return Recorder::none(no_place());
        };
        let going = Errand::send(self.shell.back(), move || shelf.go_on(&name));
        match going.wait(&mut self.shell, "Going on with the record.") {
            Came::Back(Ok(recorder)) => recorder,
            Came::Back(Err(error)) => Recorder::none(NotRecording::since(error.to_string())),
            Came::Without | Came::Leave => {
                Recorder::none(NotRecording::since("the disk did not answer"))
            }
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
        let (looked_at, now) = (shelf.clone(), wall());
        let look = move || comeback::looked_up(&looked_at, now);
        let looking = Errand::send(self.shell.back(), look);
        let what = "Looking whether a class broke off.";
        let class = match looking.wait(&mut self.shell, what) {
            Came::Back(Some(class)) => class,
            Came::Back(None) | Came::Without => return false,
            Came::Leave => return true,
        };
        let answer = match run.come_back {
            ComeBack::Ask => match comeback::ask(&mut self.shell, &class, &run.lost) {
                Some(answer) => answer,
                None => return true,
            },
            ComeBack::Do(answer) => answer,
        };
        if answer == Answer::Later {
            return false;
        }
        let (shelf, name) = (shelf.clone(), class.class.name.clone());
        let taking = Errand::send(self.shell.back(), move || shelf.take_up(&name));
        let what = "Taking up the class that broke off.";
        match taking.wait(&mut self.shell, what) {
            Came::Back(Ok(taken)) => self.take_up(taken, &class.class.name, answer),
            Came::Back(Err(error)) => {
                let fault = format!("the class could not be taken up: {error}");
                self.shell.say(fault.clone());
                self.told = format!("{fault}\n");
                false
            }
            Came::Without => false,
            Came::Leave => true,
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
            let offset = live.offset(seen);
            let close = move || comeback::close(recorder, both, offset);
            let closing = Errand::send(self.shell.back(), close);
            let came = closing.wait(&mut self.shell, "Closing the class that broke off.");
            return came == Came::Leave;
        }
        let ears = self.ears(clock);
        let mut stage = self.stage(live, clock, ears, None);
        stage.recorder = Some(recorder);
        let now = stage.clock.now();
        comeback::wake(&mut stage.live, &record.header, seen, now, gap);
        if let Some(end) = comeback::slot_ends(&record.header, &stage.live, both) {
            stage.goes_on_until(end);
        }
        if answer == Answer::WhereTheClockSays {
            stage.live.handle(now, &Input::Act(Act::CatchUp));
        }
        self.run_to_end(stage, Some(name));
        true
    }
}

fn told(stage: &Stage, verb: &str) -> String {
    let done = stage.live.done(stage.clock.now());
    let whole = |span: Span| span.floor_secs();
    format!(
        "{}: {verb} {} of {} planned, {} of {} works\n",
        stage.live.session().title,
        whole(done.run),
        whole(done.planned),
        done.works,
        done.works_planned
    )
}

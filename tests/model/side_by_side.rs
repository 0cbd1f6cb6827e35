//! The model and the class driven by the same keys, and compared after each.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::fmt::Write;
use std::sync::Arc;

use matside::live::{
    Act, Change, ChangeKind, Digits, Fact, HoldReason, Input, Live, Output, View, What,
};
use matside::plan::{Kind, Timeline};
use matside::record::{Header, Taught, Wall};
use matside::session::Session;
use matside::time::{Moment, Span};

use crate::model::{Clock, Model};
use crate::pieces::Ms;
use crate::random_class::moves;
use crate::random_keys::{Key, Press};

/// Class time by kind and first move.
type Books = BTreeMap<(Kind, String), Ms>;

/// Drives both; how many inputs they took, or what differed after which key.
pub(crate) fn drive(session: &Arc<Session>, presses: &[Press]) -> Result<usize, (usize, String)> {
    let mut pair = Pair::of(session);
    for (n, press) in presses.iter().enumerate() {
        pair.press(press).map_err(|what| (n, what))?;
        if pair.model.is_over() || n + 1 == presses.len() {
            pair.compare_books(session).map_err(|what| (n, what))?;
            return Ok(n + 1);
        }
    }
    Ok(0)
}

/// How the class looked and was planned before a change, and when that was made.
struct Before {
    now: Ms,
    view: View,
    plan: Timeline,
    end: Moment,
}

struct Pair {
    model: Model,
    live: Live,
    facts: Vec<Fact>,
    now: Ms,
    /// Before the change that was just made.
    unchanged: Option<Before>,
    /// The numbers of the class, and those of the model.
    names: HashMap<u32, u32>,
}

impl Pair {
    fn of(session: &Arc<Session>) -> Self {
        Self {
            model: Model::new(session),
            live: Live::new(session.clone()),
            facts: Vec::new(),
            now: 0,
            unchanged: None,
            names: HashMap::new(),
        }
    }

    /// What the class has before it, in a line.
    fn outlook(&self) -> String {
        let at = self.live.offset(Moment::from_millis(self.now));
        let ahead = self
            .live
            .plan()
            .intervals()
            .iter()
            .skip(self.live.running())
            .take(7);
        let ahead = ahead.map(|i| format!("{:?} {} {}", i.kind, id_of(&i.moves), i.span()));
        format!("{at}: {}", ahead.collect::<Vec<_>>().join(", "))
    }

    fn press(&mut self, press: &Press) -> Result<(), String> {
        let (now, input) = press.input(self.now);
        let at = Moment::from_millis(now);
        let input = self.meant(press, at).unwrap_or(input);
        let before = match &input {
            Input::Act(act) if act.is_change() && *act != Act::CatchUp => {
                self.live.handle(at, &Input::Wake);
                Some(self.seen(now))
            }
            _ => None,
        };
        self.live.handle(at, &input);
        let known = self.facts.len();
        while let Some(output) = self.live.poll_output() {
            if let Output::Fact(fact) = output {
                self.facts.push(fact);
            }
        }
        match &input {
            Input::Act(Act::Land(changes)) => {
                let changes = self.renamed(changes);
                self.model.act(now, &Act::Land(changes));
            }
            Input::Act(act) => drop(self.model.act(now, act)),
            Input::Cancel => self.model.cancel(now),
            Input::End => self.model.end(now),
            _ => self.model.advance(now),
        }
        self.now = now;
        self.compare()?;
        self.is_said_in_its_interval()?;
        if matches!(input, Input::Act(Act::Undo)) {
            self.is_as_before()?;
        }
        let did = self.facts[known..]
            .iter()
            .any(|fact| matches!(&fact.what, What::Did(act) if act.is_change()));
        self.unchanged = before.filter(|_| did);
        Ok(())
    }

    /// What a key is where that depends on the class: another move of it, a landing.
    fn meant(&mut self, press: &Press, at: Moment) -> Option<Input> {
        if !matches!(press.key, Key::Swap(_) | Key::Land { .. }) {
            return None;
        }
        self.live.handle(at, &Input::Wake);
        self.model.advance(at.millis());
        self.name_alike();
        match press.key {
            Key::Swap(n) => Some(Input::Act(Act::Swap(moves()[n].clone()))),
            Key::Land { room, which } => {
                let left = self.live.left(at).millis();
                let room = Span::from_millis(left.saturating_add_signed(1_000 * room));
                Some(Input::Act(Act::Land(self.landing(at, room, which)?)))
            }
            _ => None,
        }
    }

    fn landing(&self, at: Moment, room: Span, which: usize) -> Option<Vec<Change>> {
        let landing = self.live.landings(at, room, which == 1).pop()?;
        (!landing.changes.is_empty()).then_some(landing.changes)
    }

    /// Notes which number of the class is which of the model, as they stand in the same order.
    fn name_alike(&mut self) {
        let theirs = self.live.plan().intervals().iter().map(|i| i.id);
        let taught = self.model.taught.iter().map(|stay| &stay.piece);
        let rest = &self.model.rest;
        let left = rest.run.iter().map(|run| &run.piece).chain(&rest.ahead);
        self.names
            .extend(theirs.zip(taught.chain(left).map(|piece| piece.id)));
    }

    /// The changes with the numbers of the model.
    fn renamed(&self, changes: &[Change]) -> Vec<Change> {
        let name = |id: u32| self.names.get(&id).copied().unwrap_or(u32::MAX);
        let mut changes = changes.to_vec();
        for change in &mut changes {
            change.id = name(change.id);
            if let ChangeKind::Copy { after, .. } | ChangeKind::Round { after, .. } =
                &mut change.kind
            {
                *after = name(*after);
            }
        }
        changes
    }

    fn seen(&self, now: Ms) -> Before {
        let at = Moment::from_millis(now);
        let mut view = self.live.view(at);
        (view.notice, view.asked, view.is_changed) = (None, None, false);
        Before {
            now,
            view,
            plan: self.live.plan().clone(),
            end: self.live.projected_end(at),
        }
    }

    /// A change that is taken back where it was made leaves no trace but a notice.
    fn is_as_before(&self) -> Result<(), String> {
        let Some(before) = self.unchanged.as_ref().filter(|b| b.now == self.now) else {
            return Ok(());
        };
        let after = self.seen(self.now);
        let n = self.live.running();
        let ends = |plan: &Timeline| -> Vec<_> {
            let past = plan.intervals()[..n].iter();
            past.map(|stay| (stay.id, stay.start, stay.end)).collect()
        };
        same(
            "what is past after undo",
            &ends(&after.plan),
            &ends(&before.plan),
        )?;
        let ahead = |plan: &Timeline| -> Vec<_> { plan.intervals()[n..].to_vec() };
        same(
            "the plan after undo",
            &ahead(&after.plan),
            &ahead(&before.plan),
        )?;
        same("the end after undo", &after.end, &before.end)?;
        same("the view after undo", &after.view, &before.view)
    }

    fn compare(&self) -> Result<(), String> {
        let at = Moment::from_millis(self.now);
        let (model, live) = (&self.model, &self.live);
        same("whether it is over", &live.is_over(), &model.is_over())?;
        let asks = model.asks(self.now);
        same("whether it asks", &live.is_asking(at), &asks)?;
        same("whether it is held", &live.is_held(), &model.is_held())?;
        same("who is spared", &live.limits(), &&model.limits[..])?;
        let moving = live.held_for() == Some(HoldReason::Moving);
        let doing = live.view(at).held.is_some_and(|held| held.doing.is_some());
        same("whether they keep moving", &doing, &moving)?;
        same(
            "where it is",
            &live.offset(at).millis(),
            &model.at(self.now),
        )?;
        let offset = model.at(self.now);
        let run = model.rest.run.as_ref().filter(|_| !model.is_over());
        let ours = run.map(|run| (run.piece.kind, id_of(&run.piece.moves)));
        let now = live.now().filter(|_| !live.is_over());
        let theirs = now.map(|now| (now.kind, id_of(&now.moves)));
        same("what runs", &theirs, &ours)?;
        let view = live.view(at);
        if let (Some(run), Some(_)) = (run, now) {
            let placed = &live.plan().intervals()[live.running()];
            same("the end of what runs", &placed.end.millis(), &run.end())?;
            let side = view.now.as_ref().and_then(|now| now.side);
            same("the side", &side, &run.side(offset))?;
            if let (Digits::Left(secs), false) = (view.digits, run.piece.untimed) {
                same("the digits", &secs, &run.left(offset).div_ceil(1000))?;
            }
        }
        let ahead = live.plan().intervals().iter().skip(live.running() + 1);
        let theirs: Vec<_> = ahead
            .map(|i| (i.kind, id_of(&i.moves), i.length.millis()))
            .collect();
        let ours = model.rest.ahead.iter();
        let ours: Vec<_> = ours.map(|p| (p.kind, id_of(&p.moves), p.length)).collect();
        if !live.is_over() {
            let left = live.plan().intervals().iter().skip(live.running());
            let numbers: Vec<u32> = left.map(|i| i.id).collect();
            let own: BTreeSet<u32> = numbers.iter().copied().collect();
            same("the numbers of their own", &own.len(), &numbers.len())?;
            same("what is ahead", &theirs, &ours)?;
        }
        same(
            "class time left",
            &live.left(at).millis(),
            &model.left(self.now),
        )?;
        same(
            "the end",
            &live.projected_end(at).millis(),
            &model.ends(self.now),
        )
    }

    /// What is shown to be said now is a prompt of the interval that runs.
    fn is_said_in_its_interval(&self) -> Result<(), String> {
        let at = Moment::from_millis(self.now);
        let Some(say) = self.live.view(at).say else {
            return Ok(());
        };
        let (offset, running) = (self.live.offset(at), self.live.running());
        let mut prompts = self.live.cues().prompts.iter();
        let is_it = |p: &matside::plan::Prompt| {
            p.interval == running && p.until >= offset && p.say == say.say && p.kind == say.kind
        };
        if prompts.any(is_it) {
            return Ok(());
        }
        Err(format!(
            "{say:?} is shown at {offset} in {running}, but is no prompt of it"
        ))
    }

    /// Time by kind and move, moves left out, holds: in the class, its record and the model.
    fn compare_books(&self, session: &Arc<Session>) -> Result<(), String> {
        let at = Moment::from_millis(self.now);
        let (mut ours, mut theirs, mut told) = (Books::new(), Books::new(), Books::new());
        let offset = self.model.at(self.now);
        for stay in &self.model.taught {
            *ours
                .entry((stay.piece.kind, id_of(&stay.piece.moves)))
                .or_default() += stay.ran;
        }
        if let Some(run) = self
            .model
            .rest
            .run
            .as_ref()
            .filter(|_| !self.model.is_over())
        {
            *ours
                .entry((run.piece.kind, id_of(&run.piece.moves)))
                .or_default() += offset - run.start;
        }
        for (n, stay) in self.live.plan().intervals().iter().enumerate() {
            let end = match n.cmp(&self.live.running()) {
                std::cmp::Ordering::Less => stay.end,
                std::cmp::Ordering::Equal => self.live.offset(at),
                std::cmp::Ordering::Greater => break,
            };
            let of = (stay.kind, id_of(&stay.moves));
            *theirs.entry(of).or_default() += end.since(stay.start).millis();
        }
        let header = Header::new((**session).clone(), Wall::default());
        let facts = self.facts.iter().map(|fact| (wall(fact.at), fact));
        let last = Fact {
            at,
            offset: self.live.offset(at),
            what: What::Sound(true),
        };
        let taught = Taught::of(&header, facts.chain([(wall(at), &last)]));
        for piece in &taught.pieces {
            let of = (piece.kind, piece.moves.first().cloned().unwrap_or_default());
            *told.entry(of).or_default() += piece.ran.millis();
        }
        for books in [&mut ours, &mut theirs, &mut told] {
            books.retain(|_, ran| *ran > 0);
        }
        same("the time in each move", &theirs, &ours)?;
        same("the time in each move, by the record", &told, &ours)?;
        let done = self.live.done(at);
        same("moves left out", &done.skipped, &self.model.skipped.len())?;
        same(
            "skips, by the record",
            &(taught.changes.skips as usize),
            &self.model.skipped.len(),
        )?;
        same("marks", &done.marks, &self.model.marks)?;
        same(
            "marks, by the record",
            &taught.marks.len(),
            &self.model.marks,
        )?;
        same("holds", &done.holds, &self.model.holds)?;
        same(
            "holds, by the record",
            &taught.holds.len(),
            &self.model.holds,
        )?;
        if matches!(self.model.clock, Clock::Going { .. } | Clock::Over { .. }) {
            same("time held", &done.held.millis(), &self.model.held)?;
            let told: Ms = taught.holds.iter().map(|hold| hold.lasted.millis()).sum();
            same("time held, by the record", &told, &self.model.held)?;
        }
        Ok(())
    }
}

fn wall(at: Moment) -> Wall {
    Wall::default() + at.since(Moment::ZERO).duration()
}

fn id_of(moves: &[Arc<matside::session::Use>]) -> String {
    moves
        .first()
        .map_or_else(String::new, |of| of.of.id.clone())
}

fn same<T: PartialEq + std::fmt::Debug>(what: &str, theirs: &T, ours: &T) -> Result<(), String> {
    if theirs == ours {
        return Ok(());
    }
    Err(differing(
        what,
        &format!("{theirs:#?}"),
        &format!("{ours:#?}"),
    ))
}

/// The first lines that differ, of values written a line a field.
fn differing(what: &str, theirs: &str, ours: &str) -> String {
    let mut text = format!("{what}:\n");
    if theirs.len() < 2_000 {
        let flat = |all: &str| all.split_whitespace().collect::<Vec<_>>().join(" ");
        let _ = writeln!(text, "  live  {}\n  model {}", flat(theirs), flat(ours));
        return text;
    }
    let pairs = theirs.lines().zip(ours.lines()).enumerate();
    for (n, (theirs, ours)) in pairs.filter(|(_, (theirs, ours))| theirs != ours).take(8) {
        let _ = writeln!(text, "  line {n}: {} / {}", theirs.trim(), ours.trim());
    }
    text
}

/// Leaves out keys as long as both still differ in some way, and tells the shortest story.
pub(crate) fn shortened(session: &Arc<Session>, presses: &[Press]) -> String {
    let label = |what: &str| what.split(':').next().map(str::to_owned);
    let kind_of = |story: &[Press]| {
        drive(session, story)
            .err()
            .and_then(|(_, what)| label(&what))
    };
    let wanted = kind_of(presses);
    let mut story = presses.to_vec();
    let mut n = 0;
    while n < story.len() {
        let mut shorter = story.clone();
        let gone = shorter.remove(n);
        let mut at_once = shorter.clone();
        if let Some(next) = at_once.get_mut(n) {
            next.after += gone.after;
        }
        let fails = |story: &Vec<Press>| !story.is_empty() && kind_of(story) == wanted;
        match [shorter, at_once].into_iter().find(fails) {
            Some(shorter) => story = shorter,
            None => n += 1,
        }
    }
    let Err((last, what)) = drive(session, &story) else {
        return "it does not fail again".to_owned();
    };
    let mut text = String::new();
    let mut pair = Pair::of(session);
    for press in &story[..=last] {
        let _ = writeln!(text, "    {press}");
        let known = pair.facts.len();
        let _ = pair.press(press);
        for fact in &pair.facts[known..] {
            if !matches!(fact.what, What::Entered { .. }) {
                let _ = writeln!(text, "        {:?}", fact.what);
            }
        }
        let _ = writeln!(text, "        {}", pair.outlook());
    }
    text + &what
}

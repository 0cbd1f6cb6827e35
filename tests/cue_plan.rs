//! The rules of the cue plan over many random classes, checked from outside the plan.

mod common;
mod spoken_time;

use std::collections::HashMap;

use matside::plan::{
    CuePlan, Heard, Kind, Known, Past, Placed, Prompt, PromptKind, Timeline, Unplaced,
};
use matside::session::{Cueing, Load, Position, Room, Session, Sides, Use};
use matside::time::{Offset, Span};

const CLASSES: u64 = 4_000;
const BREATH: Span = Span::from_millis(500);
/// What belongs to different things lies so far apart (common practice, no source).
const AWAY: Span = Span::from_secs(8);

struct Class {
    name: String,
    cueing: Cueing,
    limits: Vec<Load>,
    timeline: Timeline,
    plan: CuePlan,
}

impl Class {
    fn of(session: &Session, name: &str) -> Self {
        let timeline = Timeline::of(session);
        let (cueing, limits) = (session.cueing, session.limits.clone());
        Self {
            name: name.to_owned(),
            plan: CuePlan::of(&timeline, &cueing, &limits),
            cueing,
            limits,
            timeline,
        }
    }

    fn intervals(&self) -> &[Placed] {
        self.timeline.intervals()
    }

    /// Where the instructor counts aloud.
    fn zones(&self) -> Vec<(Offset, Offset)> {
        let list = self.intervals();
        let mut zones = Vec::new();
        for (n, interval) in list.iter().enumerate() {
            let starts = list.get(n + 1).is_some_and(|next| next.kind == Kind::Work);
            if !interval.untimed && (interval.kind == Kind::Work || starts) {
                let count = Span::from_secs(u64::from(self.cueing.count));
                zones.push((interval.end.before(count), interval.end + BREATH));
            }
            // The last three repetitions are counted aloud, at the most half of them.
            let reps = interval.turn().and_then(|turn| turn.reps);
            if let Some(reps) = reps.filter(|_| interval.untimed) {
                let all = interval.length.millis();
                let aloud = Span::from_millis((all / u64::from(reps) * 3).min(all / 2));
                zones.push((interval.end.before(aloud), interval.end));
            }
        }
        zones
    }

    /// The moving interval before `n`.
    fn before(&self, n: usize) -> Option<usize> {
        (0..n).rev().find(|&k| self.intervals()[k].kind.is_moving())
    }

    /// The lead by what the body does alone: the longest change from any move before.
    fn body_lead(&self, n: usize) -> Span {
        let down = |turn: &Use| match turn.position() {
            Position::Standing | Position::Wall => false,
            Position::Seated => !turn.equipment().contains(&"chair"),
            _ => true,
        };
        let to = self.intervals()[n].turn().expect("a move");
        let change = |(was_down, from): (bool, Position)| match from {
            _ if was_down != down(to) => self.cueing.change,
            from if from != to.position() => self.cueing.shift,
            _ => Span::ZERO,
        };
        let standing = change((false, Position::Standing));
        let before = self.before(n).map(|k| self.intervals()[k].moves.iter());
        let before = before.into_iter().flatten();
        let longest = before
            .map(|turn| change((down(turn), turn.position())))
            .max();
        self.cueing.lead + longest.unwrap_or(standing)
    }

    /// What must be fetched: nothing the move before used, and no mat that lies there.
    fn fetches(&self, n: usize) -> bool {
        let needs = |k: usize| -> Vec<&str> {
            let moves = self.intervals()[k].moves.iter();
            moves.flat_map(|turn| turn.equipment()).collect()
        };
        let mat_lies = (0..n).any(|k| needs(k).contains(&"mat"));
        let at_hand = self.before(n).map(needs).unwrap_or_default();
        needs(n)
            .iter()
            .any(|thing| !(at_hand.contains(thing) || *thing == "mat" && mat_lies))
    }

    /// Whether a cool-down begins right where timed work ends: then the way there is its own.
    fn ends_work(&self, n: usize) -> bool {
        let before = n.checked_sub(1).map(|k| &self.intervals()[k]);
        let works = |i: &Placed| i.kind == Kind::Work && !i.untimed;
        self.intervals()[n].kind == Kind::CoolDown && before.is_some_and(works)
    }

    fn lead(&self, n: usize) -> Span {
        if self.ends_work(n) {
            return self.cueing.lead.min(Span::from_secs(4));
        }
        let fetch = if self.fetches(n) {
            self.cueing.fetch
        } else {
            Span::ZERO
        };
        self.body_lead(n) + fetch
    }

    /// Whether people change sides in it.
    fn has_switch(&self, n: usize) -> bool {
        let interval = &self.intervals()[n];
        let each = |turn: &std::sync::Arc<Use>| turn.version().sides() == Sides::Each;
        let alone = interval.moves.len() == 1 && !interval.untimed;
        alone && interval.turn().is_some_and(each)
    }

    fn said_in(&self, n: usize) -> Vec<&Prompt> {
        let prompts = self.plan.prompts.iter();
        prompts.filter(|prompt| prompt.interval == n).collect()
    }
}

fn classes(count: u64, mut check: impl FnMut(&Class)) {
    for seed in 0..count {
        let session = common::random(&mut fastrand::Rng::with_seed(seed));
        check(&Class::of(&session, &format!("class {seed}")));
    }
}

fn is_call(kind: PromptKind) -> bool {
    matches!(
        kind,
        PromptKind::Half | PromptKind::Switch | PromptKind::Seconds
    )
}

fn is_coming(prompt: &Prompt) -> bool {
    prompt.about > prompt.interval
}

#[test]
fn the_rules_hold_in_every_class() {
    let mut seen = HashMap::new();
    classes(CLASSES, |class| {
        never_two_at_once_and_never_over_a_count(class);
        every_move_is_previewed_in_time_or_named(class);
        words_fade(class);
        limits_are_told_every_time(class);
        calls_have_their_time(class);
        work_keeps_its_silence(class);
        unplaced_tells_the_truth(class);
        a_name_is_said_again(class);
        a_note_is_said_every_time(class);
        each_block_is_told_to_breathe(class);
        the_last_seconds_stand_alone(class);
        no_pause_hears_a_bare_time(class);
        a_block_of_one_work_has_no_last(class);
        for prompt in &class.plan.prompts {
            *seen.entry(prompt.kind).or_insert(0_u32) += 1;
        }
    });
    // A check that meets nothing cannot fail: every kind must have come often.
    assert_eq!(seen.len(), 11, "{seen:?}");
    assert!(seen.values().all(|&count| count > 100), "{seen:?}");
}

fn never_two_at_once_and_never_over_a_count(class: &Class) {
    let zones = class.zones();
    let pairs = class.plan.prompts.windows(2);
    for pair in pairs {
        assert!(pair[0].until <= pair[1].at, "{}: {pair:?}", class.name);
    }
    for prompt in &class.plan.prompts {
        let interval = &class.intervals()[prompt.interval];
        assert!(interval.start <= prompt.at && prompt.until <= interval.end);
        let (least, most) = spoken_time::bounds(&prompt.say, class.cueing.words_per_minute);
        let long = prompt.until - prompt.at;
        assert!(
            long >= least + BREATH && long <= most + BREATH,
            "{}: {least} to {most}, {prompt:?}",
            class.name
        );
        let over = zones.iter().find(|z| prompt.at < z.1 && prompt.until > z.0);
        assert_eq!(over, None, "{}: {prompt:?}", class.name);
    }
}

fn every_move_is_previewed_in_time_or_named(class: &Class) {
    for (n, interval) in class.intervals().iter().enumerate() {
        if !interval.kind.is_moving() {
            continue;
        }
        let about = |p: &&Prompt| p.about == n && p.kind == PromptKind::Preview;
        let previews: Vec<&Prompt> = class.plan.prompts.iter().filter(about).collect();
        let named = class
            .plan
            .unplaced
            .iter()
            .filter(|u| u.about == n && u.kind == PromptKind::Preview);
        let named = named.count();
        assert!(
            (1..=2).contains(&(previews.len() + named)),
            "{}: {n}",
            class.name
        );
        if let [preview] = previews[..] {
            let lead = interval.start - preview.until;
            let late = usize::from(lead < class.lead(n));
            assert_eq!(late, named, "{}: {preview:?}", class.name);
            let before = class
                .before(n)
                .map_or(Offset::ZERO, |k| class.intervals()[k].start);
            assert!(preview.at >= before, "{}: {preview:?}", class.name);
            let room = &class.intervals()[preview.interval];
            let after_move =
                preview.interval > 0 && class.intervals()[preview.interval - 1].kind.is_moving();
            if !room.kind.is_moving() && after_move {
                let air = preview.at - room.start;
                assert!(air >= Span::from_secs(2), "{}: {preview:?}", class.name);
            }
        }
    }
}

/// From the third time on a move has its preview and at most one more; the second time has no
/// setup; harder options come from the third time on. What a warm-up had of a move does not count
/// for its work.
fn words_fade(class: &Class) {
    let mut times: HashMap<&str, (usize, usize)> = HashMap::new();
    for (n, interval) in class.intervals().iter().enumerate() {
        let Some(turn) = interval.turn().filter(|_| interval.kind.is_moving()) else {
            continue;
        };
        let (warm, full) = times.get(turn.of.id.as_str()).copied().unwrap_or((0, 0));
        let came = full + if interval.kind == Kind::Work { 0 } else { warm };
        let about = class.plan.prompts.iter().filter(|p| p.about == n);
        let words: Vec<&Prompt> = about
            .filter(|p| {
                matches!(
                    p.kind,
                    PromptKind::Setup | PromptKind::Option | PromptKind::Form
                )
            })
            .collect();
        let is_breath = |p: &&&Prompt| p.say == "breathe out as you push";
        let plain = words.iter().filter(|p| !p.marked && !is_breath(p)).count();
        let setups = words.iter().filter(|p| p.kind == PromptKind::Setup).count();
        let harder = words.iter().any(|p| p.say.starts_with("harder"));
        let limited = words.len() > plain;
        let most = match (came, limited) {
            // A circuit has an option and a form cue for each of its moves, and a breath.
            _ if interval.moves.len() > 1 => 2 * interval.moves.len() + 1,
            (0 | 1, _) => 3,
            (_, true) => 0,
            _ => 1,
        };
        assert!(plain <= most, "{}: {words:?}", class.name);
        assert!(came == 0 || setups == 0, "{}: {words:?}", class.name);
        assert!(came > 1 || !harder, "{}: {words:?}", class.name);
        for turn in interval.moves.iter() {
            let (warm, full) = times.entry(&turn.of.id).or_default();
            *(if interval.kind == Kind::WarmUp {
                warm
            } else {
                full
            }) += 1;
        }
    }
}

fn limits_are_told_every_time(class: &Class) {
    for (n, interval) in class.intervals().iter().enumerate() {
        for turn in interval.moves.iter().filter(|_| interval.kind.is_moving()) {
            let spared = turn.option().map_or(&[][..], |option| &option.spares);
            let met = |load: &&Load| turn.of.loads.contains(load) && !spared.contains(load);
            for load in class.limits.iter().filter(met) {
                let names = |say: &str| {
                    let whom = say.split(':').next().unwrap_or("");
                    whom.contains(load.label())
                };
                let told = |p: &&Prompt| p.about == n && p.marked && names(&p.say);
                let told: Vec<&Prompt> = class.plan.prompts.iter().filter(told).collect();
                let missed = |u: &Unplaced| u.about == n && names(&u.say);
                let missed = class.plan.unplaced.iter().any(missed);
                assert!(!told.is_empty() || missed, "{}: {n} {load:?}", class.name);
                let half = interval.start + interval.length.half();
                assert!(
                    told.iter().all(|p| p.until <= half),
                    "{}: {told:?}",
                    class.name
                );
            }
        }
    }
}

fn calls_have_their_time(class: &Class) {
    let list = class.intervals();
    let last_work = list
        .iter()
        .rposition(|interval| interval.kind == Kind::Work);
    for (n, interval) in list.iter().enumerate() {
        let said = class.said_in(n);
        let of = |kind| said.iter().filter(move |p| p.kind == kind);
        let half = interval.start + interval.length.half();
        for switch in of(PromptKind::Switch) {
            let rolls = interval
                .turn()
                .is_some_and(|t| t.position() == Position::SideLying);
            let roll = if rolls {
                class.cueing.shift
            } else {
                Span::ZERO
            };
            let ahead = Span::from_secs(2) + roll;
            assert_eq!(switch.at + ahead, half, "{}", class.name);
            assert_eq!(switch.say.contains("roll over"), rolls, "{}", class.name);
        }
        for call in of(PromptKind::Half) {
            assert!(
                call.at >= half && call.at - half <= BREATH,
                "{}",
                class.name
            );
            assert!(interval.length >= Span::from_secs(30), "{}", class.name);
        }
        for call in of(PromptKind::Seconds) {
            let left = interval.end - call.at;
            let warn = class.cueing.warn;
            let minutes = [60, 120].map(Span::from_secs);
            let minute = interval.kind == Kind::Work && minutes.contains(&left);
            let warns = left <= warn && left + BREATH >= warn;
            assert!(minute || warns, "{}", class.name);
        }
        let each = interval
            .turn()
            .is_some_and(|turn| turn.version().sides() == Sides::Each);
        let timed = interval.kind == Kind::Work && !interval.untimed;
        let want = |kind, due: bool| {
            let unplaced = class.plan.unplaced.iter();
            let missed = unplaced.filter(|u| u.about == n && u.kind == kind).count();
            assert_eq!(
                of(kind).count() + missed,
                usize::from(due),
                "{}: {n} {kind:?}",
                class.name
            );
        };
        let switches = each && interval.moves.len() == 1 && !interval.untimed;
        want(PromptKind::Switch, switches && interval.kind.is_moving());
        want(
            PromptKind::Half,
            timed && !switches && interval.length >= Span::from_secs(30),
        );
        let is_last = last_work == Some(n);
        let circuit = interval.moves.len() > 1;
        if is_last && circuit {
            let last = said.iter().find(|p| p.say.contains("final move"));
            assert_eq!(last, None, "{}", class.name);
        } else if is_last {
            let mut prompts = class.plan.prompts.iter().filter(|p| p.about == n);
            let told = prompts.any(|p| p.say.contains("last one") || p.say.contains("final move"));
            let unplaced = &class.plan.unplaced;
            assert!(
                told || unplaced.iter().any(|u| u.about == n
                    && (u.say.contains("final move") || u.say.contains("last one")))
            );
        }
        let recovers = list
            .get(n + 1)
            .is_some_and(|next| next.kind == Kind::Recovery);
        if interval.kind == Kind::Work && recovers {
            let told = of(PromptKind::Recover).any(|p| p.about == n + 1);
            let unplaced = &class.plan.unplaced;
            assert!(
                told || unplaced
                    .iter()
                    .any(|u| u.about == n + 1 && u.kind == PromptKind::Recover)
            );
        }
    }
}

fn work_keeps_its_silence(class: &Class) {
    for (n, interval) in class.intervals().iter().enumerate() {
        if interval.kind != Kind::Work {
            continue;
        }
        let said = class.said_in(n);
        let spoken: Span = said.iter().map(|p| p.until - p.at).sum();
        assert!(spoken <= interval.length.half(), "{}: {said:?}", class.name);
        for pair in said.windows(2) {
            let calls = pair.iter().filter(|p| is_call(p.kind)).count();
            let bound = pair.iter().all(|p| is_call(p.kind) || is_coming(p));
            let chosen = calls == 0 || !bound;
            let silence = pair[1].at - pair[0].until;
            assert!(
                !chosen || silence >= Span::from_secs(4),
                "{}: {pair:?}",
                class.name
            );
        }
    }
}

/// Tries every tenth of a second again, beside what the plan says.
fn unplaced_tells_the_truth(class: &Class) {
    let zones = class.zones();
    for missed in &class.plan.unplaced {
        assert!(missed.short > Span::ZERO, "{}: {missed:?}", class.name);
        assert!(!missed.why.is_empty());
        match missed.kind {
            PromptKind::Preview => no_place_for_the_preview(class, &zones, missed),
            PromptKind::Form => no_place_for_the_form(class, &zones, missed),
            _ => {}
        }
    }
}

/// The longest that words may be planned for: where so much is open, they have their place.
fn takes(class: &Class, say: &str) -> Span {
    spoken_time::bounds(say, class.cueing.words_per_minute).1 + BREATH
}

fn no_place_for_the_preview(class: &Class, zones: &[(Offset, Offset)], missed: &Unplaced) {
    let n = missed.about;
    let long = takes(class, &missed.say);
    let last = class.intervals()[n].start.before(class.lead(n));
    for k in class.before(n).unwrap_or(0)..n {
        let room = &class.intervals()[k];
        let moving = room.kind.is_moving();
        let after_move = k > 0 && class.intervals()[k - 1].kind.is_moving();
        let air = if !moving && after_move {
            Span::from_secs(2)
        } else {
            BREATH
        };
        let by = last.min(room.end);
        let said = class.said_in(k);
        let switch = said.iter().filter(|p| p.kind == PromptKind::Switch);
        let switch: Vec<&&Prompt> = switch.collect();
        let spoken: Span = switch.iter().map(|p| p.until - p.at).sum();
        if moving && spoken + long > room.length.half() {
            continue;
        }
        let mut at = room.start + air;
        if class.ends_work(n) {
            at = at.max(after_the_calls(class, k));
        }
        while at + long <= by {
            let end = at + long;
            let counted = zones.iter().any(|z| at < z.1 && end > z.0);
            let switched = switch.iter().any(|p| at < p.until && end > p.at);
            assert!(counted || switched, "{}: at {at} {missed:?}", class.name);
            at = at + Span::from_millis(100);
        }
    }
}

/// Where halfway and a switch lie far enough back, and what is left has been told for the last time.
fn after_the_calls(class: &Class, n: usize) -> Offset {
    let (room, warn) = (&class.intervals()[n], class.cueing.warn);
    let rate = u64::from(class.cueing.words_per_minute.min(140));
    let call = Span::from_millis(3_000 * 140 / rate);
    let mut free = room.start;
    let (half, length) = (room.start + room.length.half(), room.length);
    if class.has_switch(n) || length >= Span::from_secs(30) {
        free = half + AWAY;
    }
    if length >= Span::from_secs(150) {
        free = free.max(room.end.before(Span::from_secs(60)) + call);
    }
    let counts = Span::from_secs(u64::from(class.cueing.count));
    if warn > counts && length > warn * 2 {
        free = free.max(room.end.before(warn) + call);
    }
    free
}

/// The bare name comes once more, four to eight counts before the start, where the preview lies more
/// than twelve seconds back and nothing else wants that time.
fn a_name_is_said_again(class: &Class) {
    for (n, interval) in class.intervals().iter().enumerate() {
        let about = |kind: PromptKind| {
            let mut prompts = class.plan.prompts.iter();
            prompts.find(move |p| p.about == n && p.kind == kind)
        };
        let (preview, name) = (about(PromptKind::Preview), about(PromptKind::Name));
        let far = preview.is_some_and(|p| interval.start - p.until > Span::from_secs(12));
        if let Some(name) = name {
            let call = &interval.turn().expect("a move").of.call;
            assert_eq!(&name.say, call, "{}", class.name);
            assert!(far, "{}: {name:?} after {preview:?}", class.name);
            assert!(
                interval.start - name.at <= Span::from_secs(8),
                "{}",
                class.name
            );
            continue;
        }
        let Some(before) = n.checked_sub(1).map(|k| &class.intervals()[k]) else {
            continue;
        };
        let alike = class.before(n).is_some_and(|k| {
            let (a, b) = (&class.intervals()[k].moves, &interval.moves);
            a.first().map(|t| (&t.of.id, t.pick)) == b.first().map(|t| (&t.of.id, t.pick))
        });
        let quiet_from = interval.start.before(Span::from_secs(8));
        let mut here = class.plan.prompts.iter();
        let busy = here.any(|p| p.until > quiet_from && p.at < interval.start);
        let open = before.length >= Span::from_secs(20) && !before.kind.is_moving();
        let long = takes(
            class,
            &interval.turn().map_or(String::new(), |t| t.of.call.clone()),
        );
        let count = Span::from_secs(u64::from(class.cueing.count).max(4));
        let fits = long + count <= Span::from_secs(8);
        assert!(
            !(far && open && fits) || busy || alike,
            "{}: {n} after {preview:?}",
            class.name
        );
    }
}

/// A note is a part of the place's name: said each time, or named as having no room.
fn a_note_is_said_every_time(class: &Class) {
    for (n, interval) in class.intervals().iter().enumerate() {
        let alone = interval.kind.is_moving() && interval.moves.len() == 1;
        let noted = interval.turn().is_some_and(|t| t.note.is_some());
        if !alone || !noted {
            continue;
        }
        let says = |say: &str| say.contains("long steps");
        let mut said = class.plan.prompts.iter().filter(|p| p.about == n);
        let mut missed = class.plan.unplaced.iter().filter(|u| u.about == n);
        assert!(
            said.any(|p| says(&p.say)) || missed.any(|u| says(&u.say)),
            "{}: {n}",
            class.name
        );
    }
}

/// In each block in which a move says how to breathe, it is said once or named; a circuit of less than
/// a minute leaves no ear for it (common practice, no source).
fn each_block_is_told_to_breathe(class: &Class) {
    let mut blocks: HashMap<usize, (bool, bool)> = HashMap::new();
    for (n, interval) in class.intervals().iter().enumerate() {
        let Some(block) = interval.block().filter(|_| interval.kind == Kind::Work) else {
            continue;
        };
        let (can, does) = blocks.entry(block).or_default();
        let own = |turn: &std::sync::Arc<Use>| turn.pick.is_none() && turn.of.breath.is_some();
        let heard = interval.moves.len() == 1 || interval.length >= Span::from_secs(60);
        *can |= heard && interval.moves.iter().any(own);
        let says = |say: &str| say.contains("out as you push");
        let mut said = class.plan.prompts.iter().filter(|p| p.about == n);
        let mut missed = class.plan.unplaced.iter().filter(|u| u.about == n);
        *does |= said.any(|p| says(&p.say)) || missed.any(|u| says(&u.say));
    }
    let silent = blocks.values().any(|(can, does)| *can && !does);
    assert!(!silent, "{}: {blocks:?}", class.name);
}

/// The last seconds come before a cool-down is announced, and neither lies within eight seconds of
/// halfway or a switch, where the work is long enough for that.
fn the_last_seconds_stand_alone(class: &Class) {
    for (n, interval) in class.intervals().iter().enumerate() {
        if interval.kind != Kind::Work || interval.untimed {
            continue;
        }
        let said = class.said_in(n);
        let middle: Vec<Offset> = said
            .iter()
            .filter(|p| matches!(p.kind, PromptKind::Half | PromptKind::Switch))
            .map(|_| interval.start + interval.length.half())
            .collect();
        let away = |at: Offset| {
            let apart = |m: &Offset| at.since(*m).max(m.since(at));
            middle.iter().all(|m| apart(m) >= Span::from_millis(7_500))
        };
        let warns = |p: &&&Prompt| p.kind == PromptKind::Seconds && !p.say.ends_with("left");
        let warning = said.iter().find(warns);
        assert!(warning.is_none_or(|p| away(p.at)), "{}: {n}", class.name);
        let preview = said
            .iter()
            .find(|p| p.about == n + 1 && p.kind == PromptKind::Preview);
        let preview = preview.filter(|_| n + 1 < class.intervals().len() && class.ends_work(n + 1));
        let Some(preview) = preview else { continue };
        let in_order = warning.is_none_or(|w| w.until <= preview.at);
        let count = Span::from_secs(u64::from(class.cueing.count) + 3);
        let fits = takes(class, &preview.say) + count <= class.cueing.warn;
        let room = interval.length >= Span::from_secs(45) && fits;
        assert!(
            !room || in_order && away(preview.at),
            "{}: {said:?}",
            class.name
        );
    }
}

/// A time alone, said in a pause, would be taken for that of the pause.
fn no_pause_hears_a_bare_time(class: &Class) {
    for prompt in &class.plan.prompts {
        let pause = !class.intervals()[prompt.interval].kind.is_moving();
        let last = prompt.say.rsplit(' ').next().unwrap_or("");
        let unit = ["second", "seconds", "minute", "minutes"].contains(&last);
        let bare = unit && prompt.say.split(' ').count() <= 3 && !prompt.say.contains(':');
        assert!(!(pause && bare), "{}: {prompt:?}", class.name);
    }
}

/// What is the only work of its block is not told as the last of it.
fn a_block_of_one_work_has_no_last(class: &Class) {
    let mut works: HashMap<usize, usize> = HashMap::new();
    let all = class.intervals().iter().filter(|i| i.kind == Kind::Work);
    for block in all.filter_map(|i| i.block()) {
        *works.entry(block).or_default() += 1;
    }
    for prompt in &class.plan.prompts {
        let block = class.intervals()[prompt.about].block();
        let one = block.is_some_and(|block| works.get(&block) == Some(&1));
        let last = prompt.say.contains("the block") || prompt.say == "last one";
        assert!(!(one && last), "{}: {prompt:?}", class.name);
    }
}

fn no_place_for_the_form(class: &Class, zones: &[(Offset, Offset)], missed: &Unplaced) {
    let n = missed.about;
    let (room, said) = (&class.intervals()[n], class.said_in(n));
    // In a circuit each cue waits for its move's turn.
    if room.moves.len() > 1 {
        return;
    }
    let long = takes(class, &missed.say);
    let spoken: Span = said.iter().map(|p| p.until - p.at).sum();
    if spoken + long > room.length.half() {
        return;
    }
    let free = |p: &&&Prompt| !is_call(p.kind);
    let before = said.iter().filter(free).filter(|p| !is_coming(p));
    let mut at = before.map(|p| p.until).max().unwrap_or(room.start) + Span::from_secs(4);
    let end = said
        .iter()
        .filter(free)
        .filter(|p| is_coming(p))
        .map(|p| p.at)
        .min();
    let end = end.map_or(room.end, |at| at.before(Span::from_secs(4)));
    while at + long <= end {
        let until = at + long;
        let counted = zones.iter().any(|z| at < z.1 && until > z.0);
        let near = said
            .iter()
            .any(|p| at < p.until + Span::from_secs(4) && until + Span::from_secs(4) > p.at);
        assert!(counted || near, "{}: at {at} {missed:?}", class.name);
        at = at + Span::from_millis(100);
    }
}

fn a_place(rng: &mut fastrand::Rng, class: &Class) -> Offset {
    let list = class.intervals();
    let interval = &list[rng.usize(..list.len())];
    let within = rng.u64(..interval.length.millis());
    let within = if rng.bool() { 0 } else { within };
    interval.start + Span::from_millis(within)
}

/// What is known at a place of a class that followed a plan, and of what was heard before.
struct There {
    running: usize,
    before: Option<Placed>,
    past: Past,
    heard: Vec<Heard>,
    speaking: Option<Prompt>,
}

fn moved_before(timeline: &Timeline, running: usize) -> Option<Placed> {
    let mut past = timeline.intervals()[..running].iter().rev();
    past.find(|past| past.kind.is_moving()).cloned()
}

impl There {
    fn of(
        timeline: &Timeline,
        limits: &[Load],
        plan: &CuePlan,
        before: &[Heard],
        from: Offset,
    ) -> Self {
        let list = timeline.intervals();
        let running = timeline.index_at(from).expect("a place in the class");
        let mut past = Past::of(&Room {
            limits,
            things: timeline.things(),
        });
        for interval in &list[..running] {
            past.add(interval.interval());
        }
        let heard = plan.prompts.iter().filter(|p| p.until <= from);
        let heard = heard.map(|p| Heard {
            said_in: list[p.interval].id,
            about: p.id,
            kind: p.kind,
            say: p.say.clone(),
            at: p.at,
            until: p.until,
        });
        Self {
            running,
            before: moved_before(timeline, running),
            past,
            heard: before.iter().cloned().chain(heard).collect(),
            speaking: plan.being_said(from, running).cloned(),
        }
    }

    fn known(&self) -> Known<'_> {
        Known {
            past: &self.past,
            before: self.before.as_deref(),
            heard: &self.heard,
            speaking: self.speaking.as_ref(),
        }
    }

    fn onward(&self, timeline: &Timeline, from: Offset, class: &Class) -> CuePlan {
        let stretch = from..timeline.end();
        CuePlan::ahead(
            timeline,
            self.running,
            stretch,
            self.known(),
            &class.cueing,
            &class.limits,
        )
    }
}

#[test]
fn a_plan_that_was_followed_goes_on_as_it_was() {
    let mut rng = fastrand::Rng::with_seed(8);
    classes(CLASSES, |class| {
        let from = a_place(&mut rng, class);
        let there = There::of(&class.timeline, &class.limits, &class.plan, &[], from);
        let onward = there.onward(&class.timeline, from, class);
        let unfinished = class.plan.prompts.iter().filter(|p| p.until > from);
        let unfinished: Vec<Prompt> = unfinished.cloned().collect();
        assert_eq!(onward.prompts, unfinished, "{} from {from}", class.name);
    });
}

/// Looking ahead a little at a time finds what looking ahead at once does.
#[test]
fn how_far_is_looked_ahead_makes_no_difference() {
    let mut rng = fastrand::Rng::with_seed(9);
    classes(1000, |class| {
        let timeline = &class.timeline;
        let nothing = Past::of(&Room {
            limits: &class.limits,
            things: timeline.things(),
        });
        let known = Known {
            past: &nothing,
            before: None,
            heard: &[],
            speaking: None,
        };
        let (cueing, limits) = (&class.cueing, &class.limits[..]);
        let mut until = a_place(&mut rng, class);
        let first = Offset::ZERO..until;
        let mut plan = CuePlan::ahead(timeline, 0, first, known, cueing, limits);
        while plan.until() < timeline.end() {
            let running = rng.usize(..=timeline.index_at(until).unwrap_or(0));
            let mut past = nothing.clone();
            for interval in &timeline.intervals()[..running] {
                past.add(interval.interval());
            }
            until = plan.until() + Span::from_millis(rng.u64(1..200_000));
            let before = moved_before(timeline, running);
            let known = Known {
                past: &past,
                before: before.as_deref(),
                ..known
            };
            plan = plan.further(timeline, running, until, known, cueing, limits);
        }
        assert_eq!(plan.prompts, class.plan.prompts, "{}", class.name);
        assert_eq!(plan.unplaced, class.plan.unplaced, "{}", class.name);
    });
}

/// A class changed under way, twice: the running interval is cut short, a later one taken out, or
/// one made longer. Whatever is announced next is next, and nothing heard is repeated.
#[test]
fn a_changed_class_announces_what_really_comes() {
    let mut rng = fastrand::Rng::with_seed(10);
    let (mut replaced, mut late) = (0, 0);
    classes(CLASSES, |class| {
        let from = a_place(&mut rng, class);
        let there = There::of(&class.timeline, &class.limits, &class.plan, &[], from);
        let first = changed(&mut rng, &class.timeline, from);
        let plan = there.onward(&first, from, class);
        let name = format!("{} from {from}", class.name);
        let (said, named) = announces(&name, &class.plan, &there.heard, &first, &plan, from);
        replaced += u32::from(said);
        late += u32::from(said && named);

        let again = from + Span::from_millis(rng.u64(..15_000));
        if first.index_at(again).is_some() {
            let there = There::of(&first, &class.limits, &plan, &there.heard, again);
            let second = changed(&mut rng, &first, again);
            let onward = there.onward(&second, again, class);
            let name = format!("{name} and {again}");
            announces(&name, &plan, &there.heard, &second, &onward, again);
        }
    });
    assert!(replaced > 1000 && late > 30, "{replaced} {late}");
}

/// The class with what runs ending at once or later, or with something ahead left out.
fn changed(rng: &mut fastrand::Rng, timeline: &Timeline, from: Offset) -> Timeline {
    let list = timeline.intervals();
    let now = timeline.index_at(from).expect("a place in the class");
    let mut placed = list[..=now].to_vec();
    let ahead = list[now + 1..].iter().map(|next| next.interval().clone());
    let mut ahead: Vec<_> = ahead.collect();
    match rng.u8(..3) {
        0 => placed[now].end = from.max(placed[now].start + Span::from_millis(1)),
        1 if !ahead.is_empty() => drop(ahead.remove(rng.usize(..ahead.len()))),
        _ => placed[now].end = placed[now].end + Span::from_secs(20),
    }
    timeline.followed_by(placed, ahead)
}

/// Whether the next move is announced from here on, and whether it is named in `unplaced`.
fn announces(
    name: &str,
    before: &CuePlan,
    heard: &[Heard],
    timeline: &Timeline,
    plan: &CuePlan,
    from: Offset,
) -> (bool, bool) {
    let list = timeline.intervals();
    let comes = |i: &Placed, at: Offset| i.start >= at && i.kind.is_moving() && !i.length.is_zero();
    for p in &plan.prompts {
        let same = |b: &Prompt| (b.at, b.id, b.kind, &b.say) == (p.at, p.id, p.kind, &p.say);
        let goes_on = p.until > from && before.prompts.iter().any(same);
        assert!(p.at >= from || goes_on, "{name}: {p:?}");
        let room = &list[p.interval];
        assert!(room.start <= p.at && p.until <= room.end, "{name}: {p:?}");
        assert_eq!(list[p.about].id, p.id, "{name}: {p:?}");
        let repeats = |h: &&Heard| (h.about, h.kind, &h.say) == (p.id, p.kind, &p.say);
        let again = heard.iter().find(repeats);
        // Where the end has moved, its last seconds come again.
        assert!(
            again.is_none() || p.kind == PromptKind::Seconds,
            "{name}: {p:?}"
        );
        if p.kind == PromptKind::Preview {
            let next = list.iter().position(|i| comes(i, p.until));
            assert_eq!(Some(p.about), next, "{name}: {p:?}");
        }
    }
    let apart = plan.prompts.windows(2).all(|w| w[0].until <= w[1].at);
    assert!(apart, "{name}");
    let Some(next) = list.iter().position(|i| i.start > from && comes(i, from)) else {
        return (false, false);
    };
    let previews = |p: &&Prompt| p.id == list[next].id && p.kind == PromptKind::Preview;
    let said = plan.prompts.iter().any(|p| previews(&p));
    let named = |u: &Unplaced| u.about == next && u.kind == PromptKind::Preview;
    let named = plan.unplaced.iter().any(named);
    let preview = |h: &&Heard| h.about == list[next].id && h.kind == PromptKind::Preview;
    let was_heard = heard.iter().any(|h| preview(&h));
    assert!(said || named || was_heard, "{name}: {next}");
    (said, named)
}

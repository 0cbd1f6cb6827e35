//! What is worth saying about a move, fewer words each time it comes round.
//!
//! First time: preview, setup, the easier option, a form cue. Second: preview, the option in a
//! few words, another form cue. From the third: preview and at most one more, the harder option or
//! a form cue. What spares a limit of someone in the room is wanted every time, and is then that
//! one, as is the planner's note; in the first round that stands in place of a form cue. Once in a
//! block it is said how to breathe. Whether there is time for any of it is not known here.

use std::collections::HashSet;

use super::occurrence::Occurrence;
use super::order;
use super::phrases::{self, Words};
use super::prompt::PromptKind;
use super::window::Rank;
use crate::plan::interval::Kind;
use crate::plan::speech::sentences;
use crate::session::Load;
use crate::time::Span;

/// The shortest circuit in which people have an ear for form cues (common practice, no source).
const FORM_FROM: Span = Span::from_secs(60);

/// What counts more, from the most on: one of a higher importance outweighs all that are lower.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Importance {
    Safety,
    Preview,
    /// That the preview has its lead.
    InTime,
    Limit,
    /// What a station is, before people go to it.
    Stations,
    Brief,
    Setup,
    /// That the preview is said in a pause.
    Place,
    Option,
    /// That the preview is said in full.
    Words,
    TimeCall,
    Form,
    Extra,
}

impl Importance {
    pub(super) const fn rank(self) -> Rank {
        Rank::below(self as usize)
    }
}

/// Something worth saying.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Topic {
    pub(super) kind: PromptKind,
    pub(super) importance: Importance,
    /// Whether it is for a limit.
    pub(super) marked: bool,
    pub(super) say: String,
    /// The same in fewer words, where there is no room for all.
    pub(super) short: Option<String>,
}

impl Topic {
    pub(super) const fn new(kind: PromptKind, importance: Importance, say: String) -> Self {
        Self {
            kind,
            importance,
            marked: false,
            say,
            short: None,
        }
    }

    /// The wordings, the fullest first.
    pub(super) fn wordings(&self) -> impl Iterator<Item = &str> {
        [self.say.as_str()].into_iter().chain(self.short.as_deref())
    }

    /// Its place in the order of what is said of a move.
    pub(super) const fn place(&self) -> u8 {
        match (self.kind, self.importance) {
            (PromptKind::Preview, _) => order::PREVIEW,
            (_, Importance::Limit) => order::LIMIT,
            (_, Importance::Stations) => order::EXPLAIN,
            (PromptKind::Form, _) => order::FORM,
            (_, Importance::Extra) => order::HARDER,
            (PromptKind::Brief, Importance::Option) => order::NOTE,
            (PromptKind::Option, _) => order::OPTION,
            _ => order::SETUP,
        }
    }

    /// Whether it can be said in the move itself where there was no room before it.
    pub(super) const fn may_wait(&self) -> bool {
        matches!(
            self.importance,
            Importance::Limit | Importance::Stations | Importance::Setup | Importance::Option
        )
    }
}

/// The planner's own words, sentence by sentence.
pub(super) fn written(say: &str) -> impl Iterator<Item = Topic> {
    let say = sentences(say).into_iter();
    say.map(|say| Topic::new(PromptKind::Brief, Importance::Brief, say))
}

/// What is worth saying before the move starts, beside the preview, or else early in it.
pub(super) fn ahead(next: &Occurrence, limits: &[Load]) -> Vec<Topic> {
    let spare = phrases::limits(&next.interval.moves, limits, next.things);
    let mut out = Vec::new();
    if next.interval.is_circuit() {
        let list = phrases::circuit(next);
        out.push(Topic::new(PromptKind::Brief, Importance::Setup, list));
    } else {
        out.extend(alone(next, &spare));
    }
    out.extend(spare.into_iter().map(|say| Topic {
        marked: true,
        ..Topic::new(PromptKind::Option, Importance::Limit, say)
    }));
    out
}

fn alone(next: &Occurrence, spare: &[String]) -> Vec<Topic> {
    let setup = phrases::setup(next.used).filter(|_| next.times == 0);
    let setup = setup.map(|say| Topic::new(PromptKind::Setup, Importance::Setup, say));
    let note = next.note().filter(|_| next.new_note().is_none());
    let note = note.map(phrases::spoken);
    let note = note.map(|say| Topic::new(PromptKind::Brief, Importance::Option, say));
    let option = option(next, spare);
    setup.into_iter().chain(note).chain(option).collect()
}

fn option(next: &Occurrence, spare: &[String]) -> Option<Topic> {
    // In a warm-up or cool-down the same move comes again without a pause: it was offered just now.
    if next.is_same_again() && next.interval.kind != Kind::Work {
        return None;
    }
    let &(_, offer) = next.offers.easier.first()?;
    let told = spare.iter().any(|say| say.ends_with(offer.call()));
    let short = phrases::easier(offer, Words::Short);
    let full = match next.times {
        0 => phrases::easier(offer, Words::Full),
        _ => short.clone(),
    };
    (!told).then(|| Topic {
        short: (short != full).then_some(short),
        ..Topic::new(PromptKind::Option, Importance::Option, full)
    })
}

/// What is worth saying while the move is done.
pub(super) fn during(now: &Occurrence, limits: &[Load]) -> Vec<Topic> {
    if now.interval.is_circuit() {
        return Vec::new();
    }
    let breath = phrases::breath(now.used).filter(|_| now.breathes);
    let breath = breath.map(|say| Topic::new(PromptKind::Form, Importance::Form, say));
    let form = phrases::form(now).filter(|_| now.times > 0 || now.note().is_none());
    let form = form.map(|say| Topic::new(PromptKind::Form, Importance::Form, say));
    let harder = now.offers.harder.as_ref();
    let harder = harder.map(|harder| phrases::harder(harder, now.used));
    let harder = harder.map(|say| Topic::new(PromptKind::Option, Importance::Extra, say));
    if now.times < 2 || breath.is_some() {
        return breath.or(form).into_iter().collect();
    }
    let one_more = if now.times.is_multiple_of(2) {
        harder.or(form)
    } else {
        form.or(harder)
    };
    let has_limit = !phrases::limits(&now.interval.moves, limits, now.things).is_empty();
    let is_full = has_limit || now.note().is_some();
    one_more.filter(|_| !is_full).into_iter().collect()
}

/// What is worth saying of the moves of a circuit while it runs, in their order: the planner's
/// note and the easier version of each.
pub(super) fn circuit(now: &Occurrence) -> Vec<Topic> {
    let mut out: Vec<Topic> = Vec::new();
    let is_circuit = now.interval.is_circuit();
    for used in now.interval.moves.iter().filter(|_| is_circuit) {
        let call = &used.of.call;
        if let Some(note) = used.note.as_deref() {
            let say = format!("in {call}, {}", phrases::spoken(note));
            out.push(Topic::new(PromptKind::Brief, Importance::Setup, say));
        }
        let offered = now
            .offers
            .easier
            .iter()
            .find(|(of, _)| *of == used.as_ref());
        if let Some(&(_, offer)) = offered {
            let say = format!("in {call}, {}", phrases::easier(offer, Words::Short));
            out.push(Topic::new(PromptKind::Option, Importance::Option, say));
        }
    }
    each_once(out)
}

/// Form cues for the moves of a circuit, by turns, and how to breathe in one of them.
pub(super) fn circuit_form(now: &Occurrence) -> Vec<Topic> {
    if !now.interval.is_circuit() || now.interval.span() < FORM_FROM {
        return Vec::new();
    }
    let moves = || now.interval.moves.iter();
    let breath = moves().find_map(|used| Some((used, phrases::breath(used)?)));
    let form = moves().filter_map(|used| {
        let cue = used.version().form().first()?;
        Some((used, phrases::spoken(cue)))
    });
    let cues = breath.into_iter().chain(form).map(|(used, cue)| {
        let say = format!("in {}, {cue}", used.of.call);
        Topic::new(PromptKind::Form, Importance::Form, say)
    });
    each_once(cues.collect())
}

/// A move may come twice in a circuit.
fn each_once(mut topics: Vec<Topic>) -> Vec<Topic> {
    let mut said = HashSet::new();
    topics.retain(|topic| said.insert(topic.say.clone()));
    topics
}

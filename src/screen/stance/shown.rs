//! What each zone of a running class shows, as plain values: the one place where it is decided.
//!
//! A fact has one place. The panel says what goes on and, under it, what the seconds lead to; the
//! head what comes next; then the version that somebody needs, and what to say. What changes from
//! one stance to the next are the words in a place and how loud they are.

use super::words;
use crate::live::{Digits, NextView, Nth, PromptView, Stance, ThenView, TogetherView, View};
use crate::plan::PromptKind;
use crate::screen::around::Around;
use crate::screen::digits;
use crate::screen::theme::Role;

/// A text in several wordings, the fullest first.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Wording {
    pub(super) texts: Vec<String>,
    pub(super) is_loud: bool,
}

impl Wording {
    pub(super) fn loud(texts: Vec<String>) -> Self {
        let is_loud = true;
        Self { texts, is_loud }
    }

    pub(super) fn quiet(texts: Vec<String>) -> Self {
        let is_loud = false;
        Self { texts, is_loud }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.texts.iter().all(String::is_empty)
    }
}

/// The zone in which the words to say now are read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Reads {
    /// In their own.
    #[default]
    Say,
    /// The next move says it: nothing is to be repeated.
    Head,
    /// The version says it.
    Version,
}

/// What is shown, zone by zone.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Shown {
    /// What goes on: the move, or the rest.
    pub(super) first: Wording,
    /// What it leads to.
    pub(super) second: Wording,
    /// The same in two parts, for want of room.
    pub(super) apart: Option<[String; 2]>,
    /// What comes next.
    pub(super) head: Wording,
    /// The version to have ready.
    pub(super) version: Vec<String>,
    /// Whether it is for a limit.
    pub(super) is_marked: bool,
    /// What to say now.
    pub(super) say: Option<PromptView>,
    /// Where that is read.
    pub(super) reads: Reads,
    /// What stands in place of words: free time, a key, that prompts are hidden.
    pub(super) instead: Option<(Role, Vec<String>)>,
    /// What is said after the words of another zone, where it is going to be said; else how to get
    /// into the next move.
    pub(super) soon: Option<String>,
    /// What is small.
    pub(super) small: Vec<(Role, String)>,
    /// How long what comes next is going to be.
    pub(super) length: String,
    /// The moves of a circuit, in place of head and version.
    pub(super) list: Vec<String>,
    /// Several moves at once, in place of the head, and of the version where there is none for a
    /// limit.
    pub(super) together: Option<TogetherView>,
}

/// Less free time than this is not worth saying: nobody gets off the mat and back.
const LEAST_FREE: u64 = 5;

/// Whether the next move is not what comes at the end of these seconds, nor soon after it.
fn leads_to_a_long_pause(view: &View) -> bool {
    matches!(view.then, Some(ThenView::Pause { is_long: true, .. }))
}

impl Shown {
    /// What is shown of a class that runs.
    pub(super) fn of(view: &View, around: &Around) -> Self {
        let is_far = leads_to_a_long_pause(view);
        let is_near = match view.stance {
            Stance::Turning => !(is_far && view.kind.is_moving()),
            Stance::Open => true,
            _ => matches!(view.digits, Digits::CountIn(_)),
        };
        let mut out = Self {
            head: head(view, is_near),
            length: view.next.as_ref().map(words::length).unwrap_or_default(),
            version: view
                .version
                .iter()
                .map(|version| version.words.clone())
                .collect(),
            is_marked: view.version.iter().any(|version| version.marked),
            ..Self::default()
        };
        out.panel(view, around);
        if view.circuit.len() > 1 && view.stance == Stance::AtWork {
            out.list.clone_from(&view.circuit);
        }
        out.words(view, around, is_near);
        if let Some(together) = &view.together {
            out.at_once(view, together, is_near);
        }
        out
    }

    /// Several moves at once: who is where stands in the middle, and beside the figures what people
    /// do next.
    fn at_once(&mut self, view: &View, together: &TogetherView, is_near: bool) {
        let coming = view.next.as_ref().map(|next| next.is.name.clone());
        let goes = coming.filter(|_| together.is_next && is_near);
        if let Some(goes) = goes.filter(|_| !matches!(view.digits, Digits::CountIn(_))) {
            let fetch = view.next.as_ref().map(|next| next.fetch.join(", "));
            let fetch = fetch.filter(|things| !things.is_empty());
            let texts = match fetch {
                Some(things) => vec![format!("{goes} · get {things}"), goes],
                None if view.kind.is_moving() && view.then != Some(ThenView::Move) => {
                    // What people do counts for more than how long they have for it.
                    let then = words::then(view).swap_remove(0);
                    let on = goes.to_lowercase();
                    vec![format!("{goes} · {then}"), format!("then {on}"), goes]
                }
                None => vec![goes],
            };
            self.second = Wording::loud(texts);
            self.apart = None;
        }
        // The stations stand in the middle; beside the figures, how far round people are.
        let runs = view.kind.is_moving() && (!together.is_next || together.is_swap);
        if runs && together.turn.of > 1 {
            let Nth { nth, of } = together.turn;
            self.first = Wording::loud(vec![format!("turn {nth} of {of}")]);
        }
        if !self.is_marked {
            self.version.clear();
        }
        if self.reads != Reads::Version || self.version.is_empty() {
            self.reads = Reads::Say;
        }
        self.together = Some(together.clone());
    }

    fn panel(&mut self, view: &View, around: &Around) {
        let is_counted_in = matches!(view.digits, Digits::CountIn(_));
        self.first = Wording::loud(first(view));
        if is_counted_in {
            self.second = Wording::loud(vec!["about to start".into(), "to start".into()]);
        } else if view.kind.is_moving() {
            let is_turning = view.stance == Stance::Turning;
            let counted = words::counted(view, around);
            let side = view.now.as_ref().and_then(words::side);
            let now = counted.or_else(|| Some(vec![side?]).filter(|_| !is_turning));
            let texts = now.unwrap_or_else(|| words::then(view));
            let is_loud = is_turning;
            self.second = Wording { texts, is_loud };
            if is_turning && view.then == Some(ThenView::Move) {
                self.apart = view.next.as_ref().and_then(words::change_apart);
            }
        } else if let Some(next) = &view.next {
            self.before(view, next);
        } else {
            self.second = Wording::quiet(words::then(view));
        }
    }

    /// The panel's second line while nobody moves: how to get to the next move.
    fn before(&mut self, view: &View, next: &NextView) {
        let change = words::change(next);
        if change.is_empty() && leads_to_a_long_pause(view) {
            self.second = Wording::quiet(words::then(view));
        } else if change.is_empty() {
            self.second = Wording::quiet(vec!["then straight on".into(), "then on".into()]);
        } else {
            self.second = Wording::loud(change);
            self.apart = words::change_apart(next);
        }
    }

    fn words(&mut self, view: &View, around: &Around, is_near: bool) {
        let quiet = |text: String| (Role::Quiet, text);
        self.small
            .extend(words::asides(view).into_iter().map(quiet));
        if around.prompts {
            self.say = view.say.clone().or_else(|| brief(view));
            self.reads = self.read_in(view, is_near);
            if self.say.is_none() {
                self.free(view);
            }
            self.then_say(view);
            self.how_to(view);
        } else {
            self.instead = Some((Role::Trouble, vec!["prompts hidden".into()]));
        }
        if let Some(next) = &view.next {
            if !self.list.is_empty() {
                let names = words::names(&next.is);
                self.small.push((Role::Next, format!("next: {}", names[0])));
            }
            if is_near {
                self.small.extend(words::about(next).into_iter().map(quiet));
            }
        }
        let form = view.now.as_ref().filter(|_| !is_near);
        let form = form.into_iter().flat_map(|now| now.form.iter());
        self.small.extend(form.cloned().map(quiet));
        self.once();
    }

    /// What is small and stands elsewhere already, larger or before it, is left out.
    fn once(&mut self) {
        let said = self.say.iter().map(|say| &say.say);
        let large = said.chain(&self.version).chain(&self.first.texts);
        let large = large.chain(&self.soon);
        let mut shown: Vec<String> = large.map(|text| words::plain(text)).collect();
        self.small.retain(|(_, text)| {
            let text = words::plain(text);
            let is_new = !text.is_empty() && !shown.iter().any(|other| other.contains(&text));
            shown.push(text);
            is_new
        });
    }

    /// The zone that says already what is to be said.
    fn read_in(&self, view: &View, is_near: bool) -> Reads {
        let Some(say) = &view.say else {
            return Reads::Say;
        };
        let is_changed = view
            .next
            .as_ref()
            .is_some_and(|next| !words::change(next).is_empty());
        let is_all_there =
            !is_changed || !view.kind.is_moving() || view.then == Some(ThenView::Move);
        let said = words::plain(&say.say);
        let first = self.version.first().map(|words| words::plain(words));
        match say.kind {
            kind if is_of_the_head(kind)
                && is_near
                && is_all_there
                && self.list.is_empty()
                && names_it(view, &said) =>
            {
                Reads::Head
            }
            _ if first.is_some_and(|first| first.contains(&said) && !said.is_empty()) => {
                Reads::Version
            }
            _ => Reads::Say,
        }
    }

    /// How to get into the next move, where another zone says what is to be said or nothing is, and
    /// nothing comes after it: there is room to read it from the mat.
    fn how_to(&mut self, view: &View) {
        let setup = view.next.as_ref().map(|next| &next.is.setup);
        let setup = setup.filter(|setup| !setup.is_empty() && !view.kind.is_moving());
        let is_silent = self.say.is_none() && self.instead.is_none();
        if (self.reads != Reads::Say || is_silent) && self.soon.is_none() {
            self.soon = setup.cloned();
        }
    }

    /// How long nothing need be said.
    fn free(&mut self, view: &View) {
        let Some(free) = view.free.filter(|free| free.secs_floor() >= LEAST_FREE) else {
            return;
        };
        let mut texts = vec![format!("free {free}")];
        if let Digits::Left(left) = view.digits
            && left > free.secs_floor()
        {
            let back = digits::text(Digits::Left(left - free.secs_floor()));
            texts.insert(0, format!("free {free} · back at {back}"));
        }
        self.instead = Some((Role::Quiet, texts));
    }

    fn then_say(&mut self, view: &View) {
        let Some(then) = &view.say_next else { return };
        let said = self.say.iter().map(|say| &say.say);
        let then_said = words::plain(&then.say);
        let small = self.small.iter().map(|(_, text)| text);
        let shown = said.chain(&self.version).chain(small);
        let mut shown = shown.map(|text| words::plain(text));
        let is_read = shown.any(|text| text.contains(&then_said));
        if is_read {
            return;
        }
        // Where nothing is said yet, what comes stands where it is going to be said.
        let is_silent = self.say.is_none() && self.instead.is_none();
        let is_of_the_head = is_of_the_head(then.kind) && names_it(view, &then_said);
        if self.reads != Reads::Say || is_silent && !is_of_the_head {
            self.soon = Some(then.say.clone());
        } else {
            let text = format!("then say: {}", then.say);
            self.small.push((Role::Quiet, text));
        }
    }
}

/// Whether such words are those of the next move and of the way to it.
const fn is_of_the_head(kind: PromptKind) -> bool {
    matches!(
        kind,
        PromptKind::Preview | PromptKind::Name | PromptKind::Fetch
    )
}

/// Whether what is said is about the next move by its name or call.
fn names_it(view: &View, said: &str) -> bool {
    let Some(next) = &view.next else { return false };
    let [name, call] = [&next.is.name, &next.is.call].map(|name| words::plain(name));
    let is_in = |name: &str| !name.is_empty() && said.contains(name);
    is_in(&name) || is_in(&call) || said.starts_with("get ")
}

fn first(view: &View) -> Vec<String> {
    let moves = view.circuit.len();
    match &view.now {
        Some(_) if moves > 1 => vec![format!("{moves} moves")],
        Some(now) if view.kind.is_moving() => words::names(now),
        _ => vec![view.kind.label().to_owned()],
    }
}

fn head(view: &View, is_near: bool) -> Wording {
    let texts = match (&view.next, view.then) {
        (Some(next), _) => words::names(&next.is),
        (None, _) => Vec::new(),
    };
    Wording {
        texts,
        is_loud: is_near,
    }
}

/// What the planner wrote for a recovery or briefing, phrase by phrase as its time goes.
fn brief(view: &View) -> Option<PromptView> {
    let is_open = view.stance == Stance::Open && !view.brief.is_empty();
    is_open.then(|| PromptView {
        say: view.brief.to_string(),
        kind: PromptKind::Brief,
        marked: false,
        left: turn_of(view),
    })
}

/// How long a phrase of the planner's words stands.
const PHRASE: u64 = 8;

/// A round of the clock for words that have no time of their own.
fn turn_of(view: &View) -> u8 {
    let Digits::Left(left) = view.digits else {
        return 12;
    };
    let gone = view.length.secs_ceil().saturating_sub(left);
    let twelfths = (gone / PHRASE * 4) % 12;
    12 - u8::try_from(twelfths).unwrap_or(0)
}

//! One segment of the class: from the start of a move to the start of the next, and what is said in
//! it.
//!
//! A segment is one window: the end of the work, the rest, the recovery and the time to get ready
//! are chosen for together, so that more time never says less. The order in which things are said
//! is fixed: what belongs to the move being done, then what is written for the pauses, what changes
//! with the block or the round, the preview, and what else there is to say of the coming move.
//!
//! The preview stands in a pause, as near to the start as its lead and the rest of the words allow;
//! where no pause has room for it and for the way into the move, in short words late in the move
//! before. What found no room before a move is said early in it. So a segment depends on what came
//! before it, never on what is chosen elsewhere, but for those leftovers. The segments after it are
//! not known here.

use std::ops::Range;

use super::context::{AIR, Context};
use super::missed;
use super::occurrence::Occurrence;
use super::phrases::{self, Words};
use super::prompt::{Prompt, PromptKind, Unplaced};
use super::told;
use super::topics::{self, Importance, Topic};
use super::window::{self, Ask, Call, Hold, Item, Said as Chosen, Variant, Window, Worth};
use crate::plan::interval::Kind;
use crate::plan::speech::BREATH;
use crate::time::{Offset, Span};

/// The last stretch of a move, in which the next one is announced where its rest is too short; and
/// how long before a start its preview begins at the earliest, besides all that is said after it.
const END: Span = Span::from_secs(8);

/// The order in which things are said.
pub(super) mod order {
    pub(in super::super) const LEFT: u8 = 10;
    pub(in super::super) const LAST: u8 = 20;
    pub(in super::super) const FORM: u8 = 30;
    pub(in super::super) const HARDER: u8 = 40;
    pub(in super::super) const RECOVERY: u8 = 80;
    pub(in super::super) const COMING: u8 = 90;
    /// A recovery after work that is counted, not timed.
    pub(in super::super) const LATE: u8 = 95;
    pub(in super::super) const WRITTEN: u8 = 101;
    pub(in super::super) const BRIEF: u8 = 102;
    pub(in super::super) const BRING: u8 = 103;
    /// The stations before the start, in the order in which people stand.
    pub(in super::super) const EXPLAIN: u8 = 104;
    pub(in super::super) const PREVIEW: u8 = 111;
    pub(in super::super) const SETUP: u8 = 112;
    pub(in super::super) const LIMIT: u8 = 113;
    pub(in super::super) const NOTE: u8 = 114;
    pub(in super::super) const OPTION: u8 = 115;
    /// What is written for a pause that comes after the preview.
    pub(in super::super) const WRITTEN_LAST: u8 = 116;
}

/// From the start of one move to the start of the next.
pub(super) struct Segment<'a> {
    pub(super) now: Option<Occurrence<'a>>,
    pub(super) between: Range<usize>,
    pub(super) next: Option<Occurrence<'a>>,
}

impl Segment<'_> {
    /// Where it begins.
    pub(super) fn begin(&self) -> Offset {
        let now = self.now.as_ref();
        now.map_or(Offset::ZERO, |now| now.interval.start)
    }

    /// Its intervals, in order.
    pub(super) fn intervals(&self) -> impl DoubleEndedIterator<Item = usize> + Clone {
        let now = self.now.as_ref().map(|now| now.at);
        now.into_iter().chain(self.between.clone())
    }
}

/// The prompts of a segment, and what is left for the next move's own time.
#[derive(Debug, Default)]
pub(super) struct Said {
    pub(super) prompts: Vec<Prompt>,
    pub(super) unplaced: Vec<Unplaced>,
    pub(super) left: Vec<Topic>,
}

/// Words with what they are about.
#[derive(Clone, Debug)]
pub(super) struct Line {
    pub(super) topic: Topic,
    pub(super) say: String,
    /// The interval that they are about.
    pub(super) about: usize,
}

/// Everything said in a segment, given the topics left over from before its own move.
pub(super) fn said(context: &Context, segment: &Segment, left: Vec<Topic>) -> Said {
    let mut draft = Draft::of(context, segment);
    if let Some(now) = &segment.now {
        draft.calls(0, now.at);
        draft.own(now, left);
    }
    for (stretch, n) in draft.pauses() {
        draft.calls(stretch, n);
    }
    draft.written();
    let preview = draft.coming();
    draft.finish(preview)
}

/// Words, their place in the order of saying, and where they may stand.
pub(super) type Wording = (String, u8, Vec<window::Range>);

/// Words in these ranges.
pub(super) fn wording(say: &str, order: u8, ranges: Vec<window::Range>) -> Wording {
    (say.to_owned(), order, ranges)
}

/// Where in a stretch something may be said.
pub(super) fn within(
    stretch: usize,
    (from, by): (Offset, Offset),
    hold: Hold,
    bonus: Worth,
) -> window::Range {
    window::Range {
        stretch,
        from,
        by,
        hold,
        bonus,
        soft_from: None,
    }
}

/// The same words in each of these ranges, the last one preferred; in none, where there is none.
pub(super) fn each_by_itself(say: &str, order: u8, ranges: Vec<window::Range>) -> Vec<Wording> {
    if ranges.is_empty() {
        return vec![(say.to_owned(), order, ranges)];
    }
    let ranges = ranges.into_iter().rev();
    ranges
        .map(|range| (say.to_owned(), order, vec![range]))
        .collect()
}

/// A window that is being filled.
pub(super) struct Draft<'c, 'a, 's> {
    pub(super) context: &'c Context<'a>,
    pub(super) segment: &'s Segment<'a>,
    /// The intervals of the window's stretches.
    pub(super) stretches: Vec<usize>,
    pub(super) window: Window<Line>,
}

/// What is known of the preview of the coming move.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Announced {
    /// It was heard.
    Heard,
    /// It is the ask with this number.
    Asked(usize),
}

impl<'c, 'a, 's> Draft<'c, 'a, 's> {
    fn of(context: &'c Context<'a>, segment: &'s Segment<'a>) -> Self {
        let stretches: Vec<usize> = segment.intervals().collect();
        let window = Window {
            stretches: stretches.iter().map(|&n| context.stretch(n)).collect(),
            asks: Vec::new(),
            calls: Vec::new(),
        };
        Self {
            context,
            segment,
            stretches,
            window,
        }
    }

    /// The calls of the move being done, or of a free window, that are still to come.
    fn calls(&mut self, stretch: usize, n: usize) {
        for (topic, at) in self.context.calls(n) {
            let from = self.context.told.from;
            if at < from && from > self.context.interval(n).start {
                continue;
            }
            let long = self.context.saying(&topic.say);
            let call = Call {
                rank: topic.importance.rank(),
                say: Line {
                    say: topic.say.clone(),
                    topic,
                    about: n,
                },
                stretch,
                at,
                long,
            };
            self.window.calls.push(call);
        }
    }

    /// What is said of the move being done.
    fn own(&mut self, now: &Occurrence, left: Vec<Topic>) {
        let (begin, end) = (now.interval.start, now.interval.end);
        let early = (begin + BREATH, now.interval.middle());
        for topic in left {
            self.ask(&topic, now.at, order::LEFT, 0, early);
        }
        for topic in told::during(now, self.context.limits) {
            let place = topic.place();
            self.ask(&topic, now.at, place, 0, (begin + AIR, end));
        }
        for (topic, from) in Context::circuit(now) {
            self.ask(&topic, now.at, order::LEFT, 0, (from, end));
        }
        self.ending(now);
    }

    /// Asks for one topic in one stretch, unless it was heard.
    pub(super) fn ask(
        &mut self,
        topic: &Topic,
        about: usize,
        order: u8,
        stretch: usize,
        range: (Offset, Offset),
    ) -> Option<usize> {
        let range = within(stretch, range, Hold::Early, Worth::NONE);
        let variants = topic.wordings();
        let variants = variants.map(|say| wording(say, order, vec![range.clone()]));
        self.ask_in(topic, about, false, variants.collect())
    }

    /// Asks for one topic in these variants, unless it was heard or its place in the order is past.
    pub(super) fn ask_in(
        &mut self,
        topic: &Topic,
        about: usize,
        coming: bool,
        mut variants: Vec<Wording>,
    ) -> Option<usize> {
        let interval = self.context.interval(about);
        let told = self.context.told;
        let is_heard = |say: &str| told.has(interval, topic.kind, say);
        if variants.iter().any(|(say, ..)| is_heard(say)) {
            return None;
        }
        if !topic.marked {
            let past = self.past_order();
            variants.retain(|(_, order, _)| *order > past);
        }
        if variants.is_empty() {
            return None;
        }
        for range in variants.iter_mut().flat_map(|(.., ranges)| ranges) {
            let gap = self.window.stretches[range.stretch].gap;
            let quiet = told.quiet_until(self.stretches[range.stretch], gap, coming);
            range.from = range.from.max(quiet);
        }
        let variants = variants.into_iter().map(|(say, order, ranges)| Variant {
            long: self.context.saying(&say),
            say: Line {
                topic: topic.clone(),
                say,
                about,
            },
            order,
            ranges,
        });
        self.window.asks.push(Ask {
            rank: topic.importance.rank(),
            needs: None,
            coming,
            variants: variants.collect(),
        });
        Some(self.window.asks.len() - 1)
    }

    /// Up to where the order of saying is past, since the preview was heard.
    fn past_order(&self) -> u8 {
        let next = self.segment.next.as_ref();
        match next.and_then(|next| self.context.told.preview_of(next.interval)) {
            Some(true) => order::COMING,
            Some(false) => order::PREVIEW,
            None => 0,
        }
    }

    /// The stretches without a move, with their intervals.
    pub(super) fn pauses(&self) -> impl Iterator<Item = (usize, usize)> + use<> {
        let moves = usize::from(self.segment.now.is_some());
        let pauses: Vec<(usize, usize)> = self
            .stretches
            .iter()
            .copied()
            .enumerate()
            .skip(moves)
            .collect();
        pauses.into_iter()
    }

    /// The planner's own words for the pauses, sentence by sentence; each makes sense only after
    /// the one before it.
    fn written(&mut self) {
        for (stretch, n) in self.pauses() {
            let interval = self.context.interval(n);
            let range = (self.context.open(n), interval.end);
            let mut before = None;
            for topic in topics::written(&interval.say) {
                let range = within(stretch, range, Hold::Early, Worth::NONE);
                let places = [order::WRITTEN, order::WRITTEN_LAST];
                let variants = places.map(|at| wording(&topic.say, at, vec![range.clone()]));
                let asked = self.ask_in(&topic, n, false, variants.into());
                if let Some(asked) = asked {
                    self.window.asks[asked].needs = before;
                    before = Some(asked);
                }
            }
            if self.context.names_the_scale(n) {
                let say = phrases::SCALE.to_owned();
                let topic = Topic::new(PromptKind::Brief, Importance::Setup, say);
                self.ask(&topic, n, order::WRITTEN_LAST, stretch, range);
            }
        }
    }

    /// What is said of the coming move, and how it is announced.
    fn coming(&mut self) -> Option<Announced> {
        let next = self.segment.next.clone()?;
        self.brief(&next);
        let announced = self.preview(&next);
        let topics = told::ahead(&next, self.context.limits);
        for topic in topics {
            let place = topic.place();
            let is_explaining = topic.importance == Importance::Stations;
            let ranges = self.pauses().map(|(stretch, n)| {
                let range = (self.context.open(n), self.context.interval(n).end);
                within(stretch, range, Hold::Early, Worth::NONE)
            });
            let ranges: Vec<window::Range> = ranges.collect();
            let full = topic.wordings();
            let mut variants: Vec<Wording> = full
                .map(|say| wording(say, place, ranges.clone()))
                .collect();
            // In a warm-up or a cool-down people follow: there is time once the move has begun.
            let early = next.interval.kind == Kind::Work || topic.marked;
            let early = early && !is_explaining;
            let range = self.in_the_move(&next, Worth::NONE, next.interval.start);
            if let Some(range) = range.filter(|_| early) {
                let place = place - order::PREVIEW + order::COMING;
                let short = topic.wordings().last().unwrap_or(&topic.say);
                variants.push(wording(short, place, vec![range]));
            }
            let asked = self.ask_in(&topic, next.at, true, variants);
            if let (Some(asked), Announced::Asked(preview), false) =
                (asked, announced, is_explaining)
            {
                self.window.asks[asked].needs = Some(preview);
            }
        }
        Some(announced)
    }

    /// The preview: in the pauses, or late in the move before; where that cannot be, without its
    /// lead, for late is better than never.
    fn preview(&mut self, next: &Occurrence) -> Announced {
        if self.context.told.preview_of(next.interval).is_some() {
            return Announced::Heard;
        }
        let start = next.interval.start;
        let by = start.before(next.lead(self.context.cueing));
        let full = told::preview(next, Words::Full);
        let short = told::preview(next, Words::Short);
        let is_new = next.times == 0 || next.interval.together().is_some();
        let said_full = is_new && full != short;
        let mut variants = Vec::new();
        let in_pause = Worth::of(Importance::Place.rank(), 1);
        let in_full = in_pause + Worth::of(Importance::Words.rank(), 1);
        let in_time = Worth::of(Importance::InTime.rank(), 1);
        if let Some(range) = self.in_the_move(next, in_time, by) {
            variants.push(wording(&short, order::COMING, vec![range]));
        }
        let mut say = |say: &str, bonus: Worth, by: Offset| {
            let talk = self.talk_of(next) + self.context.saying(say) + END;
            let ranges = self.pauses().map(|(stretch, n)| {
                let count = self.context.cueing.count_span();
                let end = self.context.interval(n).end;
                let range = (self.context.open(n), by.min(end));
                window::Range {
                    soft_from: Some(by.min(end.before(count)).before(talk)),
                    ..within(stretch, range, Hold::Early, bonus)
                }
            });
            variants.extend(each_by_itself(say, order::PREVIEW, ranges.collect()));
        };
        if said_full {
            say(&full, in_full + in_time, by);
        }
        say(&short, in_pause + in_time, by);
        say(&short, in_pause, start);
        if let Some(range) = self.in_the_move(next, Worth::NONE, start) {
            variants.push(wording(&short, order::COMING, vec![range]));
        }
        let topic = Topic::new(PromptKind::Preview, Importance::Preview, short);
        let asked = self.ask_in(&topic, next.at, true, variants);
        asked.map_or(Announced::Heard, Announced::Asked)
    }

    /// Where in the move before something may be said of the coming one: late in timed work, of
    /// counted work at about two thirds.
    fn in_the_move(&self, next: &Occurrence, bonus: Worth, by: Offset) -> Option<window::Range> {
        let now = self.segment.now.as_ref()?;
        let interval = now.interval;
        if interval.untimed {
            let by = by.min(self.context.counting_from(now.at));
            let two_thirds = interval.start + Span::from_millis(interval.span().millis() * 2 / 3);
            let preview = told::preview(next, Words::Short);
            let talk = self.talk_of(next) + self.context.saying(&preview) + END;
            let from = two_thirds.min(by.before(talk)).max(interval.start + BREATH);
            return Some(within(0, (from, by), Hold::Early, bonus));
        }
        let range = (interval.start + BREATH, by.min(interval.end));
        Some(within(0, range, Hold::Late, bonus))
    }

    /// How long all that is said about a move before it takes.
    fn talk_of(&self, next: &Occurrence) -> Span {
        let topics = told::ahead(next, self.context.limits);
        let says = topics.iter().map(|topic| self.context.saying(&topic.say));
        says.sum()
    }

    fn finish(self, announced: Option<Announced>) -> Said {
        let chosen = self.window.select();
        let mut out = Said::default();
        for missed in &chosen.missed {
            let words = self.words(missed.item);
            let ahead = self.segment.next.as_ref();
            let ahead = ahead.is_some_and(|next| next.at == words.about);
            if ahead && words.topic.may_wait() {
                out.left.push(words.topic.clone());
            } else if words.topic.importance != Importance::Extra {
                out.unplaced.push(missed::named(&self, missed, &chosen));
            }
        }
        out.unplaced.extend(missed::unexplained(&self, &out.left));
        let late = missed::late(&self, announced, &chosen);
        out.unplaced.extend(late);
        let speaking = self.context.told.speaking.iter();
        let here = speaking.filter(|prompt| self.stretches.contains(&prompt.interval));
        out.prompts.extend(here.cloned());
        let said = chosen.said.iter().map(|said| self.prompt(said));
        out.prompts.extend(said);
        out
    }

    /// The words of an ask or a call.
    pub(super) fn words(&self, item: Item) -> &Line {
        match item {
            Item::Ask { ask, variant } => &self.window.asks[ask].variants[variant].say,
            Item::Call(call) => &self.window.calls[call].say,
        }
    }

    fn prompt(&self, said: &Chosen) -> Prompt {
        let words = self.words(said.item);
        Prompt {
            at: said.at,
            until: said.until,
            kind: words.topic.kind,
            say: words.say.clone(),
            interval: self.stretches[said.stretch],
            about: words.about,
            id: self.context.interval(words.about).id,
            marked: words.topic.marked,
        }
    }
}

//! What is said of the coming move, and how it is announced.
//!
//! The preview stands in a pause, as near to the start as its lead and the rest of the words allow;
//! where no pause has room for it and for the way into the move, in short words late in the move
//! before.

use super::calls::AWAY;
use super::draft::{Announced, Draft, Wording, each_by_itself, within, wording};
use super::occurrence::Occurrence;
use super::order;
use super::phrases::Words;
use super::prompt::PromptKind;
use super::told;
use super::topics::{Importance, Topic};
use super::window::{self, Hold, Worth};
use crate::plan::interval::Kind;
use crate::plan::speech::BREATH;
use crate::time::{Offset, Span};

/// The last stretch of a move, in which the next one is announced where its rest is too short; and
/// how long before a start its preview begins at the earliest, besides all that is said after it.
const END: Span = Span::from_secs(8);

impl Draft<'_, '_, '_> {
    /// What is said of the coming move, and how it is announced.
    pub(super) fn coming(&mut self) -> Option<Announced> {
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
        let before_the_end = told::before_the_end(next);
        let is_new = next.times == 0 || next.interval.together().is_some();
        let said_full = is_new && full != short;
        let mut variants = Vec::new();
        let in_pause = Worth::of(Importance::Place.rank(), 1);
        let in_full = in_pause + Worth::of(Importance::Words.rank(), 1);
        let in_time = Worth::of(Importance::InTime.rank(), 1);
        if let Some(range) = self.in_the_move(next, in_time, by) {
            variants.push(wording(&before_the_end, order::COMING, vec![range]));
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
            variants.push(wording(&before_the_end, order::COMING, vec![range]));
        }
        if let Some(now) = self.segment.now.as_ref().filter(|_| next.ends_work) {
            // Too short for all that: better among the calls than never.
            let whole = (now.interval.start + BREATH, start);
            let range = within(0, whole, Hold::Late, Worth::NONE);
            variants.push(wording(&before_the_end, order::COMING, vec![range]));
        }
        let topic = Topic::new(PromptKind::Preview, Importance::Preview, short);
        let asked = self.ask_in(&topic, next.at, true, variants);
        asked.map_or(Announced::Heard, Announced::Asked)
    }

    /// Where in the move before something may be said of the coming one: late in timed work, of
    /// counted work at about two thirds, and before a cool-down only after what belongs to the work.
    fn in_the_move(&self, next: &Occurrence, bonus: Worth, by: Offset) -> Option<window::Range> {
        let now = self.segment.now.as_ref()?;
        let interval = now.interval;
        if interval.untimed {
            let by = by.min(self.context.counting_from(now.at));
            let two_thirds = interval.start + Span::from_millis(interval.span().millis() * 2 / 3);
            let preview = told::before_the_end(next);
            // Without a pause all that is said of hard work is said here.
            let has_pause = self.pauses().next().is_some() || next.interval.kind != Kind::Work;
            let more = if has_pause {
                Span::ZERO
            } else {
                self.talk_of(next)
            };
            let talk = more + self.context.saying(&preview);
            let from = two_thirds.min(by.before(talk)).max(interval.start + BREATH);
            return Some(within(0, (from, by), Hold::Early, bonus));
        }
        let (from, hold) = if next.ends_work {
            (self.after_the_calls(now.at), Hold::Early)
        } else {
            (interval.start + BREATH, Hold::Late)
        };
        Some(within(0, (from, by.min(interval.end)), hold, bonus))
    }

    /// From when on nothing of a move's own is called any more: the last seconds have been told, and
    /// halfway and a switch lie far enough back.
    fn after_the_calls(&self, n: usize) -> Offset {
        let interval = self.context.interval(n);
        let called = self.context.calls(n).into_iter();
        let called = called.map(|(topic, at)| at + self.context.saying(&topic.say));
        let middle = [interval.half_at, interval.switch_at].into_iter().flatten();
        let free = called.chain(middle.map(|at| at + AWAY));
        free.fold(interval.start + BREATH, Offset::max)
    }

    /// How long all that is said about a move between its preview and its start takes.
    fn talk_of(&self, next: &Occurrence) -> Span {
        let topics = told::ahead(next, self.context.limits).into_iter();
        let after = topics.filter(|topic| topic.importance != Importance::Stations);
        after.map(|topic| self.context.saying(&topic.say)).sum()
    }
}

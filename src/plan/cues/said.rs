//! What is said in a segment of the class.
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

use super::context::{AIR, Context};
use super::draft::{Announced, Draft, Line, within, wording};
use super::missed;
use super::occurrence::Occurrence;
use super::order;
use super::phrases;
use super::prompt::{Prompt, PromptKind, Unplaced};
use super::segment::Segment;
use super::told;
use super::topics::{self, Importance, Topic};
use super::window::{Call, Hold, Said as Chosen, Worth};
use crate::plan::speech::BREATH;

/// The prompts of a segment, and what is left for the next move's own time.
#[derive(Debug, Default)]
pub(super) struct Said {
    pub(super) prompts: Vec<Prompt>,
    pub(super) unplaced: Vec<Unplaced>,
    pub(super) left: Vec<Topic>,
}

/// Everything said in a segment, given the topics left over from before its own move.
pub(super) fn of(context: &Context, segment: &Segment, left: Vec<Topic>) -> Said {
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

impl Draft<'_, '_, '_> {
    /// The calls of the move being done, or of a free window, that are still to come.
    fn calls(&mut self, stretch: usize, n: usize) {
        let from = self.context.told.from;
        let gap = self.window.stretches[stretch].gap;
        let quiet = self.context.told.quiet_for_a_call(n, gap);
        for (topic, at) in self.context.calls(n) {
            let is_past = at < from && from > self.context.interval(n).start;
            let is_urgent = topic.importance == Importance::Safety;
            if is_past || at < quiet && !is_urgent {
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
            let place = topic.place().min(order::HARDER);
            self.ask(&topic, now.at, place, 0, (begin + AIR, end));
        }
        for (topic, range) in Context::circuit(now) {
            self.ask(&topic, now.at, order::LEFT, 0, range);
        }
        self.ending(now);
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

    fn finish(mut self, announced: Option<Announced>) -> Said {
        let chosen = self.chosen(announced);
        let mut out = Said::default();
        for missed in &chosen.missed {
            let words = self.words(missed.item);
            let ahead = self.segment.next.as_ref();
            let ahead = ahead.is_some_and(|next| next.at == words.about);
            if ahead && words.topic.may_wait() {
                out.left.push(words.topic.clone());
            } else if words.topic.importance != Importance::Extra {
                out.unplaced.push(missed::named(&self, missed));
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

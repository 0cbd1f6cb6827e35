//! The bare name of a move, shortly before it starts, where its preview lies too far back.
//!
//! A cue comes four to eight counts before the change (group-instructor study material of the
//! American College of Sports Medicine, seen in a secondary text).

use super::draft::{Announced, Draft, within, wording};
use super::occurrence::Occurrence;
use super::order;
use super::phrases;
use super::prompt::PromptKind;
use super::topics::{Importance, Topic};
use super::window::{Hold, Item, Selection, Worth};
use crate::plan::interval::Kind;
use crate::time::{Offset, Span};

/// How far back a preview lies that is still in everybody's ear (common practice, no source).
const IN_EAR: Span = Span::from_secs(12);
/// The earliest and the latest place of the name, before the start: eight and four counts.
const EIGHT: Span = Span::from_secs(8);
const FOUR: Span = Span::from_secs(4);

impl Draft<'_, '_, '_> {
    /// What is said, with the name of the coming move once more where its preview lies far back.
    pub(super) fn chosen(&mut self, announced: Option<Announced>) -> Selection {
        let chosen = self.window.select();
        let Some(next) = self.segment.next.clone() else {
            return chosen;
        };
        let until = self.previewed(&next, announced, &chosen);
        let is_far = until.is_some_and(|until| next.interval.start.since(until) > IN_EAR);
        // Several moves at once have no one name.
        let has_name = next.interval.together().is_none();
        if !is_far || !has_name || next.is_same_again() || !self.ask_for_the_name(&next) {
            return chosen;
        }
        self.window.select()
    }

    /// When the preview has been said.
    fn previewed(
        &self,
        next: &Occurrence,
        announced: Option<Announced>,
        chosen: &Selection,
    ) -> Option<Offset> {
        let Some(Announced::Asked(preview)) = announced else {
            let heard = self.context.told.preview_of(next.interval);
            return heard.map(|heard| heard.until);
        };
        let is_it = |item: Item| matches!(item, Item::Ask { ask, .. } if ask == preview);
        let mut said = chosen.said.iter();
        said.find(|said| is_it(said.item)).map(|said| said.until)
    }

    fn ask_for_the_name(&mut self, next: &Occurrence) -> bool {
        let Some((stretch, &n)) = self.stretches.iter().enumerate().next_back() else {
            return false;
        };
        let (start, now) = (next.interval.start, self.context.interval(n));
        if now.untimed {
            return false;
        }
        let counted = next.interval.kind == Kind::Work;
        let count = Some(self.context.cueing.count_span()).filter(|_| counted);
        let by = start.before(count.unwrap_or(FOUR));
        let open = if now.kind.is_moving() {
            now.start
        } else {
            self.context.open(n)
        };
        let from = open.max(start.before(EIGHT));
        let topic = Topic::new(PromptKind::Name, Importance::Extra, phrases::name(next));
        let range = within(stretch, (from, by), Hold::Late, Worth::NONE);
        let name = wording(&topic.say, order::NAME, vec![range]);
        self.ask_in(&topic, next.at, true, vec![name]).is_some()
    }
}

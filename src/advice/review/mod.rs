//! The review: every rule asked about the plan, the weightiest remarks first.
//!
//! Silence of a rule means that it found nothing; how much was looked at is told beside it. A rule
//! looks at the timeline and the prompts, so that it holds whatever pattern made them.

mod balance;
mod context;
mod envelope;
mod explain;
mod figures;
mod firsts;
mod frame;
mod kit;
mod limits;
mod pauses;
mod running;
mod stations;
mod stretches;
mod words;

use super::remark::{Remark, Weight};
use crate::plan::{CuePlan, Timeline};
use crate::session::{Library, Room, Session};
use context::Context;

/// What there is to say about a plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Review {
    /// The remarks, the weightiest first, and in each weight by their place in the class.
    pub remarks: Vec<Remark>,
    /// How many intervals were looked at.
    pub intervals: usize,
    /// How many prompts.
    pub prompts: usize,
}

type Rule = for<'a> fn(&Context<'a>) -> Vec<Remark>;

/// The rules by their names, as other programs read them.
const RULES: &[(&str, Rule)] = &[
    ("change_time", pauses::change_time),
    ("levels", pauses::levels),
    ("water", pauses::water),
    ("unsaid", words::unsaid),
    ("explaining", stations::too_much),
    ("talk_time", words::talk_time),
    ("screening", words::screening),
    ("may_stop", words::may_stop),
    ("closing", words::closing),
    ("long_list", words::long_list),
    ("explain", explain::too_much),
    ("joint_run", running::joints),
    ("impact_run", running::impact),
    ("posture_run", running::postures),
    ("long_hold", running::holds),
    ("region_run", balance::region_run),
    ("region_share", balance::region_share),
    ("action_share", balance::action_share),
    ("sides", balance::sides),
    ("warm_up", frame::warm_up),
    ("cool_down", frame::cool_down),
    ("prepared", frame::prepared),
    ("steep_start", frame::steep_start),
    ("bouts", envelope::bouts),
    ("main_part", envelope::main_part),
    ("dense", envelope::dense),
    ("recovery", envelope::recovery),
    ("slot", envelope::slot),
    ("limits", limits::unmet),
    ("kit", kit::undeclared),
    ("kit_few", kit::too_few),
    ("kit_unused", kit::unused),
    ("first_short", firsts::in_the_shortest),
];

impl Review {
    /// Everything that the rules find in a plan. The library is where other moves are looked for.
    #[must_use]
    pub fn of(session: &Session, library: &Library) -> Self {
        let timeline = Timeline::of(session);
        let cues = CuePlan::of(&timeline, &session.cueing, &session.limits);
        Self::of_laid(session, (&timeline, &cues), library)
    }

    /// The same of a plan that was laid out already, which is most of the work.
    #[must_use]
    pub fn of_laid(
        session: &Session,
        (timeline, cues): (&Timeline, &CuePlan),
        library: &Library,
    ) -> Self {
        let context = Context {
            session,
            library,
            timeline,
            cues,
            room: Room {
                limits: &session.limits,
                things: &session.equipment,
            },
        };
        let mut remarks: Vec<Remark> = RULES
            .iter()
            .flat_map(|(kind, rule)| {
                let found = rule(&context).into_iter();
                found.map(|remark| Remark { kind, ..remark })
            })
            .collect();
        remarks.sort_by_key(|remark| (remark.weight, remark.at.at));
        Self {
            remarks,
            intervals: timeline.intervals().len(),
            prompts: cues.prompts.len() + cues.unplaced.len(),
        }
    }

    /// The names of the rules that are asked, as other programs read them.
    pub fn rules() -> impl ExactSizeIterator<Item = &'static str> {
        RULES.iter().map(|(kind, _)| *kind)
    }

    /// How many remarks weigh so much.
    #[must_use]
    pub fn count(&self, weight: Weight) -> usize {
        self.remarks.iter().filter(|r| r.weight == weight).count()
    }

    /// Whether nothing was found but what is good to know.
    #[must_use]
    pub fn is_fine(&self) -> bool {
        self.count(Weight::MustMend) + self.count(Weight::ThinkAgain) == 0
    }
}

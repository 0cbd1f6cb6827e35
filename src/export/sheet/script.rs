//! What there is to say, a paragraph for each interval. Half-time and the last seconds, called in
//! every work alike, are left out.

use super::super::outline::{clock, name};
use crate::plan::{CuePlan, Placed, Prompt, PromptKind, Timeline};

/// An interval with what is said in it.
pub(super) struct Line {
    pub(super) time: String,
    pub(super) what: String,
    pub(super) say: String,
}

impl Line {
    /// How many letters it has.
    pub(super) fn letters(&self) -> usize {
        let words = [&self.time, &self.what, &self.say];
        words.iter().map(|words| words.chars().count()).sum()
    }
}

/// Whether it tells of nothing but time.
const fn is_of_time(prompt: &Prompt) -> bool {
    matches!(prompt.kind, PromptKind::Half | PromptKind::Seconds)
}

/// Every interval in which something is said or people move, with its words.
pub(super) fn script(timeline: &Timeline, cues: &CuePlan) -> Vec<Line> {
    let lines = timeline.intervals().iter().enumerate().map(|(n, one)| {
        let said = cues.prompts.iter().filter(|prompt| prompt.interval == n);
        let own = said.filter(|prompt| !is_of_time(prompt) && !one.say.contains(&prompt.say));
        let words: Vec<&str> = [&*one.say]
            .into_iter()
            .chain(own.map(|prompt| &*prompt.say))
            .collect();
        let words: Vec<&str> = words
            .into_iter()
            .filter(|words| !words.is_empty())
            .collect();
        Line {
            time: clock(one.start),
            what: what(one),
            say: words.join(" / "),
        }
    });
    let lines = lines.zip(timeline.intervals());
    let told = lines.filter(|(line, one)| !line.say.is_empty() || one.kind.is_moving());
    told.map(|(line, _)| line).collect()
}

fn what(one: &Placed) -> String {
    if one.turn().is_some() {
        format!("{} {}", name(one), one.span())
    } else {
        format!("{} {}", one.kind.label(), one.span())
    }
}

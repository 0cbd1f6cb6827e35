//! What there is to say, a paragraph for each interval.

use super::super::outline::{clock, name};
use crate::plan::{CuePlan, Placed, Timeline};

/// An interval with what is said in it.
pub(super) struct Line {
    pub(super) time: String,
    pub(super) what: String,
    pub(super) say: String,
}

/// Every interval in which something is said or people move, with its words.
pub(super) fn script(timeline: &Timeline, cues: &CuePlan) -> Vec<Line> {
    let lines = timeline.intervals().iter().enumerate().map(|(n, one)| {
        let said = cues.prompts.iter().filter(|prompt| prompt.interval == n);
        let own = said.filter(|prompt| !one.say.contains(&prompt.say));
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

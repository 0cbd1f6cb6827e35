//! What is said: prompts without time, and the words that no class should be without.

use super::super::remark::{Remark, Weight, Where};
use super::context::{Context, named};
use super::figures::{
    HARDLY_LATE, LEAD_SOURCE, LIST, LIST_SOURCE, PRACTICE, SCREENING_SOURCE, SPEECH_SOURCE,
    STOP_SOURCE,
};
use super::stations::is_unexplained;
use crate::plan::{PromptKind, Unplaced, time_to_say};

/// Prompts for which there is no time.
pub(super) fn unsaid(context: &Context) -> Vec<Remark> {
    let mut remarks = Vec::new();
    let mut small: Vec<&Unplaced> = Vec::new();
    for miss in &context.cues.unplaced {
        match heaviness(context, miss) {
            Some(Weight::Note) if miss.kind != PromptKind::Preview => small.push(miss),
            Some(weight) => remarks.push(not_said(context, miss, weight)),
            None => {}
        }
    }
    if let Some(first) = small.first() {
        let count = small.len();
        let what = match count {
            1 => format!("\"{}\" finds no time", first.say),
            _ => format!(
                "{count} options and cues find no time, the first of them \"{}\"",
                first.say
            ),
        };
        let remark = Remark::new(Weight::Note, context.at(first.about), what);
        let remark = remark.because(first.why.clone(), SPEECH_SOURCE);
        remarks
            .push(remark.so("longer works and rests make room; `matside outline` lists them all"));
    }
    remarks
}

fn heaviness(context: &Context, miss: &Unplaced) -> Option<Weight> {
    let about = &context.intervals()[miss.about];
    Some(match miss.kind {
        _ if miss.marked => Weight::MustMend,
        _ if is_unexplained(context, miss) => return None,
        // Told by the time that the briefing takes.
        PromptKind::Brief if about.turn().is_none() => return None,
        PromptKind::Preview if !is_announced(context, miss.about) => Weight::MustMend,
        PromptKind::Preview if miss.short < HARDLY_LATE => Weight::Note,
        PromptKind::Preview | PromptKind::Setup | PromptKind::Switch | PromptKind::Fetch => {
            Weight::ThinkAgain
        }
        _ => Weight::Note,
    })
}

/// Whether anything tells of a move before it begins; the class may also begin with it.
fn is_announced(context: &Context, about: usize) -> bool {
    let start = context.intervals()[about].start;
    let told = |kind| matches!(kind, PromptKind::Preview | PromptKind::Brief);
    let mut prompts = context.cues.prompts.iter();
    prompts.any(|prompt| prompt.about == about && told(prompt.kind) && prompt.at < start)
}

fn not_said(context: &Context, miss: &Unplaced, weight: Weight) -> Remark {
    let about = &context.intervals()[miss.about];
    let for_whom = if miss.marked {
        ", which somebody in the room needs,"
    } else {
        ""
    };
    let what = match miss.kind {
        PromptKind::Preview if is_announced(context, miss.about) => {
            format!("{} is announced late: \"{}\"", named(about), miss.say)
        }
        _ => format!("\"{}\"{for_whom} finds no time", miss.say),
    };
    let source = match miss.kind {
        PromptKind::Preview => LEAD_SOURCE,
        _ => SPEECH_SOURCE,
    };
    let more = miss.short.ceil_secs().secs_ceil().max(1);
    let remark =
        Remark::new(weight, context.at(miss.about), what).because(miss.why.clone(), source);
    remark.so(format!(
        "give the rest before {more} s more, or say it in the briefing"
    ))
}

/// Briefings whose words take longer than their time.
pub(super) fn talk_time(context: &Context) -> Vec<Remark> {
    let mut remarks = Vec::new();
    for (n, interval) in context.intervals().iter().enumerate() {
        let takes = time_to_say(&interval.say, &context.session.cueing);
        if interval.say.is_empty() || takes <= interval.span() {
            continue;
        }
        let kind = interval.kind.label();
        let what = format!(
            "the words of this {kind} take {}, and it has {}",
            takes.ceil_secs(),
            interval.span()
        );
        let rate = context.session.cueing.words_per_minute;
        let why = format!("at {rate} words a minute, with a breath after each sentence");
        let short = takes.saturating_sub(interval.span()).ceil_secs();
        let remark = Remark::new(Weight::ThinkAgain, context.at(n), what);
        let advice = format!("give it {short} more, or leave a sentence out");
        remarks.push(remark.because(why, SPEECH_SOURCE).so(advice));
    }
    remarks
}

/// What is said before anybody moves, the notes for the instructor included.
fn before_moving(context: &Context) -> String {
    let all = context.intervals().len();
    let first = context.moving().next().map_or(all, |(n, _)| n);
    let said = context.intervals()[..first].iter().map(|one| &*one.say);
    let mut text = context.session.brief.clone();
    for say in said {
        text.push(' ');
        text.push_str(say);
    }
    text.to_lowercase()
}

fn has_any(text: &str, words: &[&str]) -> bool {
    words.iter().any(|word| text.contains(word))
}

/// Words by which a class is asked for what its teacher should know.
const ASKS: &[&str] = &[
    "illness",
    "injur",
    "pregnan",
    "medicine",
    "medication",
    "doctor",
    "unwell",
    "in private",
    "should know",
    "not spoken",
];

/// Whether anybody is asked before class what the teacher should know.
pub(super) fn screening(context: &Context) -> Vec<Remark> {
    if has_any(&before_moving(context), ASKS) {
        return Vec::new();
    }
    let what =
        "nobody is asked about illness, injury, pregnancy or medicines before the first move";
    let remark = Remark::new(Weight::ThinkAgain, Where::default(), what);
    let why = "what speaks against a move must be known before it is done; licensed practice and the venue's rules come first";
    vec![
        remark.because(why, SCREENING_SOURCE).so(
            "ask in private at the door, and put a line into `brief`, or into the first `Talk`",
        ),
    ]
}

/// Words by which a class hears that it may stop.
const STOPS: &[&str] = &[
    "stop",
    "pause",
    "take a rest",
    "rest when",
    "break",
    "march instead",
    "leave some out",
    "make any move smaller",
];

/// Whether anybody is told that they may stop.
pub(super) fn may_stop(context: &Context) -> Vec<Remark> {
    let says = context.intervals().iter().map(|one| one.say.to_lowercase());
    let text: String = says.collect::<Vec<_>>().join(" ");
    if has_any(&text, STOPS) {
        return Vec::new();
    }
    let what = "no words of the class tell that anyone may stop or take a pause";
    let remark = Remark::new(Weight::Note, Where::default(), what);
    let why = "who asks to stop, stops; many only do when they have been told that they may";
    vec![
        remark
            .because(why, STOP_SOURCE)
            .so("say it in the first `Talk`"),
    ]
}

/// Whether the class is closed with words.
pub(super) fn closing(context: &Context) -> Vec<Remark> {
    let Some((last, _)) = context.moving().last() else {
        return Vec::new();
    };
    let mut after = context.intervals()[last + 1..].iter();
    if after.any(|one| !one.say.is_empty()) {
        return Vec::new();
    }
    let what = "nothing is said after the last move";
    let remark = Remark::new(Weight::Note, context.at(last), what);
    let why = "people rise slowly, drink, put things away and hear what is next when they are told";
    vec![
        remark
            .because(why, PRACTICE)
            .so("end with a `Talk` of half a minute"),
    ]
}

/// A list of moves that nobody keeps in mind.
pub(super) fn long_list(context: &Context) -> Vec<Remark> {
    let is_long =
        |(_, one): &(usize, &crate::plan::Placed)| one.is_circuit() && one.moves.len() > LIST;
    let long = context.works().filter(is_long);
    let told = long.map(|(n, one)| {
        let what = format!("{} moves must be kept in mind at once", one.moves.len());
        let remark = Remark::new(Weight::ThinkAgain, context.at(n), what);
        let why = format!("about four things are, and {LIST} with a board in sight");
        remark
            .because(why, LIST_SOURCE)
            .so("write the list on a board, or make two windows of it")
    });
    told.collect()
}

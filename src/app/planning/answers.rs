//! What comes of an answer.

use super::adding;
use super::asking::{self, Ask, Question};
use super::finding::{Find, Purpose};
use super::plan::{Over, Plan, Wish};
use super::previews;
use crate::session::manuscript::{Change, Merged, Take};
use crate::time::Span;

pub(super) fn answer(plan: &mut Plan, question: Question, n: usize) -> Option<Wish> {
    match question {
        Question::Part => put_part(plan, n),
        Question::Pace => {
            let from = plan.start()?;
            let pace = [1, 10, 60][n.min(2)];
            return Some(Wish::Rehearse(from, pace));
        }
        Question::Fill => fit(plan, Span::from_secs([120, 0, 300][n.min(2)])),
        Question::Leave => {
            return Some(match n {
                0 => Wish::SaveAndLeave,
                1 => Wish::Leave(true),
                _ => Wish::Leave(false),
            });
        }
        Question::Leftover(_, text) => {
            return Some(match n {
                0 => {
                    plan.change_and_say(vec![Change::Replace(text)], "taken up; s saves it");
                    Wish::TakenUp
                }
                1 => Wish::LeftAside,
                _ => Wish::ThrownAway,
            });
        }
        Question::Foreign(theirs, merged) => settle_with(plan, theirs, merged, n),
        Question::Clash(theirs, clashes, mut takes) => {
            takes.push([Take::Ours, Take::Theirs, Take::Both][n.min(2)]);
            if takes.len() < clashes.iter().count() {
                plan.ask(Question::Clash(theirs, clashes, takes));
            } else {
                let text = clashes.settled(&takes);
                plan.settle(&theirs, text);
            }
        }
        Question::Places(_, places) => {
            if let Some((_, _, line)) = places.get(n) {
                plan.chosen = (*line).min(plan.lines.len().saturating_sub(1));
            }
        }
        Question::Moves(_, moves) => {
            let change = plan.line().zip(moves.get(n));
            let change =
                change.map(|(line, of)| previews::instead(&plan.manuscript, line, &of.id, of.pick));
            if let Some((change, of)) = change.zip(moves.get(n)) {
                plan.change_and_say(change, &format!("{} in its place", of.name));
            }
        }
        Question::Name | Question::Sheet | Question::Shape => {}
    }
    None
}

/// Shows the timings that fill the slot but for this.
fn fit(plan: &mut Plan, leave: Span) {
    let Some(session) = plan.session() else {
        return;
    };
    match previews::fit(session, leave, (&plan.manuscript, &plan.library)) {
        Ok(reading) => plan.over = Over::Read(reading),
        Err(why) => plan.refuse(why),
    }
}

/// Settles with what somebody else has put into the file.
fn settle_with(plan: &mut Plan, theirs: String, merged: Merged, n: usize) {
    let own = plan.manuscript.text().to_owned();
    let n = n + usize::from(asking::is_theirs_alone(&theirs, &merged));
    match (merged, n) {
        (Merged::Clean(text), 0) => plan.settle(&theirs, text),
        (Merged::Both(clashes), 0) => {
            plan.ask(Question::Clash(theirs, Box::new(clashes), Vec::new()));
        }
        (_, 1) => plan.settle(&theirs.clone(), theirs),
        _ => plan.settle(&theirs, own),
    }
}

fn put_part(plan: &mut Plan, n: usize) {
    let (Some(new), Some(line)) = (adding::PARTS.get(n), plan.line()) else {
        return;
    };
    if new.name == adding::DRAFTED {
        let shape = "4 moves 3x40/20".to_owned();
        plan.over = Over::Ask(Ask::typing(Question::Shape, shape));
        return;
    }
    if new.text.is_empty() {
        return match adding::repeated(&plan.manuscript, line) {
            Some(changes) => plan.change_and_say(changes, "it comes twice now"),
            None => plan.refuse("choose a part first"),
        };
    }
    if new.text.contains("{move}") {
        plan.over = Over::Find(Find::new(Purpose::First(new.text)));
        return;
    }
    let at = adding::part_place(&plan.manuscript, line);
    let change = adding::part(&plan.manuscript, &at, new.text, "");
    plan.change_and_say(vec![change], "put in");
}

//! What a key does to the list of lines.

use super::asking::{Ask, Question};
use super::fields::fields;
use super::finding::{Find, Purpose};
use super::form::{self, Form};
use super::here::here;
use super::lines::{Line, field, to as step_to};
use super::plan::{Over, Plan, Wish};
use super::reading::Reading;
use super::{adding, previews};
use crate::advice::alternatives;
use crate::app::keys::Key;
use crate::session::edit::{Path, Step};
use crate::session::manuscript::{Change, RowKind as Kind};

pub(super) fn press_list(plan: &mut Plan, key: Key) -> Option<Wish> {
    let last = plan.lines.len().saturating_sub(1);
    match key.small().name().as_str() {
        "up" => plan.chosen = plan.chosen.saturating_sub(1),
        "down" => plan.chosen = (plan.chosen + 1).min(last),
        "pageup" => plan.chosen = plan.chosen.saturating_sub(10),
        "pagedown" => plan.chosen = (plan.chosen + 10).min(last),
        "home" => plan.chosen = 0,
        "end" => plan.chosen = last,
        "left" => arrow(plan, false),
        "right" => arrow(plan, true),
        "enter" => open(plan),
        "m" => plan.over = Over::Find(Find::new(Purpose::Behind)),
        "w" => instead(plan),
        "p" => plan.ask(Question::Part),
        "c" => copy(plan),
        "x" | "delete" => take_out(plan),
        "," => earlier(plan),
        "." => later(plan),
        "g" => at_once(plan),
        "u" => undo(plan),
        "r" => redo(plan),
        "l" if plan.limits().is_some() => plan.over = Over::Limits(0),
        "l" => plan.refuse("the limits cannot be read as they stand: e opens them in your editor"),
        "b" => beside_it(plan),
        "f" if plan.session().is_some() => plan.ask(Question::Fill),
        "o" => arrange(plan),
        "v" => review(plan),
        "i" => suggest(plan),
        "s" if plan.is_named => return Some(Wish::Save),
        "s" => plan.name(),
        "e" => return Some(Wish::Editor(plan.line().map_or(1, |line| line.lines.start))),
        "t" if plan.start().is_some() => plan.ask(Question::Pace),
        "t" if plan.session().is_some() => {
            plan.refuse("this line comes at no time of the class: choose a part, or a move");
        }
        "h" if plan.session().is_some() => {
            let name = format!("{}.html", plan.file_name());
            plan.over = Over::Ask(Ask::typing(Question::Sheet, name));
        }
        "t" | "h" | "f" => plan.refuse("what cannot be read has to be mended first"),
        "?" | "f1" => plan.over = Over::Keys(0),
        "q" | "esc" | "ctrl-c" if plan.manuscript.is_changed() => plan.ask(Question::Leave),
        "q" | "esc" | "ctrl-c" => return Some(Wish::Leave(false)),
        _ => digit(plan, key),
    }
    None
}

/// A digit begins to type the first figure of the line.
fn digit(plan: &mut Plan, key: Key) {
    let digit = key.letter().filter(char::is_ascii_digit);
    let Some((digit, line)) = digit.zip(plan.line()) else {
        return plan.refuse(format!("{key} does nothing here: ? shows the keys"));
    };
    if form::takes_digits(&plan.manuscript, line) {
        plan.over = Over::Form(Form::typing(digit));
    } else {
        plan.refuse("this line has no figure of its own");
    }
}

fn arrow(plan: &mut Plan, is_more: bool) {
    let did = plan
        .line()
        .and_then(|line| form::arrow((&plan.manuscript, line, &plan.known), is_more));
    match did {
        Some(form::Did::Change(changes, _)) => {
            let chosen = plan.chosen;
            plan.change(changes);
            plan.chosen = chosen;
        }
        Some(form::Did::Refused(why)) => plan.refuse(why),
        _ => plan.refuse("this line has no time of its own; what stands in it has"),
    }
}

fn open(plan: &mut Plan) {
    let Some(line) = plan.line() else { return };
    if line.kind == Kind::Faulty || plan.lines.is_empty() {
        plan.over = Over::Read(previews::faults(&plan.manuscript));
    } else if fields(&plan.manuscript, line).is_empty() {
        plan.refuse("nothing is written of this line itself; e opens it in your editor");
    } else {
        plan.over = Over::Form(Form::new());
    }
}

/// All that is told beside the line, as a page that scrolls.
fn beside_it(plan: &mut Plan) {
    let Some(line) = plan.line() else { return };
    let Some(becomes) = &plan.becomes else {
        plan.over = Over::Read(previews::faults(&plan.manuscript));
        return;
    };
    let mut says = becomes.beside(line, usize::MAX);
    if line.kind != Kind::Class {
        says.extend(becomes.bring());
    }
    plan.over = Over::Read(Reading::new(line.name.clone(), says, None));
}

fn instead(plan: &mut Plan) {
    let id = plan.line().and_then(|line| line.id.clone());
    match id {
        Some(id) => plan.over = Over::Find(Find::new(Purpose::Instead(id))),
        None => plan.refuse("choose a move, and another comes in its place"),
    }
}

fn copy(plan: &mut Plan) {
    match plan
        .line()
        .filter(|line| line.place().is_some())
        .and_then(|l| l.path.clone())
    {
        Some(path) => plan.change_and_say(vec![Change::Copy(path)], "copied; this is the copy"),
        None => plan.refuse("this line cannot be copied"),
    }
}

fn take_out(plan: &mut Plan) {
    let Some(line) = plan.line() else { return };
    let row = plan.manuscript.rows().get(plan.chosen);
    let bytes = row.and_then(|row| row.bytes.clone());
    let change = match &line.path {
        Some(path) if line.place().is_some() => Change::Delete(path.clone()),
        None => bytes.map_or_else(
            || Change::Lines {
                lines: line.lines.clone(),
                text: String::new(),
            },
            Change::Cut,
        ),
        Some(_) => return plan.refuse("the class itself cannot be taken out"),
    };
    let (chosen, name) = (plan.chosen, line.name.clone());
    if plan.change(vec![change]) {
        plan.chosen = chosen.min(plan.lines.len().saturating_sub(1));
        plan.say(format!("{name}: taken out; u puts it back"));
    }
}

fn earlier(plan: &mut Plan) {
    let Some((line, place)) = plan.line().and_then(|line| Some((line, line.place()?))) else {
        return plan.refuse("this line has no place to give up");
    };
    let (from, list) = (
        line.path.clone().unwrap_or_default(),
        line.list().unwrap_or_default(),
    );
    let to = match place.checked_sub(1) {
        Some(place) => Some(step_to(&list, Step::Item(place))),
        None => beside(plan, false),
    };
    shift(plan, from, to, "earlier");
}

fn later(plan: &mut Plan) {
    let Some((line, place)) = plan.line().and_then(|line| Some((line, line.place()?))) else {
        return plan.refuse("this line has no place to give up");
    };
    let (from, list) = (
        line.path.clone().unwrap_or_default(),
        line.list().unwrap_or_default(),
    );
    let to = if place + 1 < plan.manuscript.items(&list) {
        Some(step_to(&list, Step::Item(place + 1)))
    } else {
        beside(plan, true)
    };
    shift(plan, from, to, "later");
}

fn shift(plan: &mut Plan, from: Path, to: Option<Path>, word: &str) {
    match to {
        Some(to) => plan.change_and_say(vec![Change::Move { from, to }], word),
        None => plan.refuse(format!("there is no place {word}")),
    }
}

/// The end of the list before, or the beginning of the one behind, that holds what the chosen line
/// is.
fn beside(plan: &Plan, is_behind: bool) -> Option<Path> {
    let line = plan.line()?;
    let holds = |other: &&Line| match line.kind {
        Kind::Move | Kind::Together => other.kind == Kind::Block,
        Kind::Step => matches!(other.kind, Kind::WarmUp | Kind::CoolDown),
        _ => false,
    };
    let holder = |other: &Line| -> Option<Path> {
        let path = other.path.as_deref()?;
        Some(match other.kind {
            Kind::Block => field(path, "moves"),
            _ => step_to(path, Step::Item(0)),
        })
    };
    if is_behind {
        let other = plan.lines[plan.chosen + 1..].iter().find(holds)?;
        return Some(step_to(&holder(other)?, Step::Item(0)));
    }
    let mut before = plan.lines[..plan.chosen].iter().rev().filter(holds);
    // The first found is the one in which it stands.
    before.next()?;
    let list = holder(before.next()?)?;
    let end = plan.manuscript.items(&list);
    Some(step_to(&list, Step::Item(end)))
}

fn at_once(plan: &mut Plan) {
    let Some(line) = plan.line() else { return };
    // Before and after it is the first of them, or all of them.
    let at = line.path.clone().unwrap_or_default();
    match adding::at_once(&plan.manuscript, line) {
        Ok((changes, word)) => {
            if plan.change(changes) {
                plan.choose_at(&at);
                plan.say(word);
            }
        }
        Err(why) => plan.refuse(why),
    }
}

fn undo(plan: &mut Plan) {
    let what = plan.manuscript.what_is_undone();
    match plan.manuscript.undo() {
        Some(line) => went(
            plan,
            line,
            format!("{} taken back", what.unwrap_or("change")),
        ),
        None => plan.refuse("there is nothing to take back"),
    }
}

fn redo(plan: &mut Plan) {
    let what = plan.manuscript.what_is_redone();
    match plan.manuscript.redo() {
        Some(line) => went(plan, line, format!("{} again", what.unwrap_or("changed"))),
        None => plan.refuse("nothing was taken back"),
    }
}

fn went(plan: &mut Plan, line: usize, word: String) {
    plan.refresh();
    plan.choose_line(line);
    plan.say(word);
}

fn arrange(plan: &mut Plan) {
    let read = plan.session();
    match read.map(|session| previews::arrange(session, &plan.manuscript, &plan.library)) {
        Some(reading) => plan.over = Over::Read(reading),
        None => plan.refuse("what cannot be read has to be mended first"),
    }
}

/// Every remark, each with the line that it is about.
fn review(plan: &mut Plan) {
    let Some(becomes) = &plan.becomes else {
        plan.over = Over::Read(previews::faults(&plan.manuscript));
        return;
    };
    let places = becomes.review.remarks.iter().map(|remark| {
        let all = plan.lines.iter().enumerate();
        let touched = all.filter(|(_, line)| becomes.remarks(line).any(|one| one == remark));
        let line = touched
            .max_by_key(|(_, line)| line.depth)
            .map_or(0, |(n, _)| n);
        let title = format!("{}: {}", remark.weight.label(), here(&remark.what));
        (title, previews::about(remark), line)
    });
    let title = "What a colleague would say".to_owned();
    let places = places.collect();
    plan.ask(Question::Places(title, places));
}

/// Other moves that would suit in place of the chosen one.
fn suggest(plan: &mut Plan) {
    let place = plan
        .line()
        .and_then(|line| Some((line.name.clone(), line.turn.clone()?)));
    let Some((name, turn)) = place else {
        return plan.refuse("choose a move, and others that would suit there are told");
    };
    let Some(session) = plan.session() else {
        return plan.refuse("what cannot be read has to be mended first");
    };
    let found = alternatives(session, &turn, &plan.wishes(session), &plan.library);
    plan.ask(Question::Moves(format!("In place of {name}"), found));
}

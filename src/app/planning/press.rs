//! What a key does, by what lies over the list.

use super::answers::answer;
use super::asking::{self, Ask, Question};
use super::finding::{self, Find, Purpose};
use super::form::{self, Form};
use super::list::press_list;
use super::patterns;
use super::plan::{Over, Plan, Wish, Word};
use super::put::put;
use super::reading::Reading;
use super::{adding, previews};
use crate::app::keys::Key;
use crate::app::limits;
use crate::session::manuscript::Change;

/// What a key does; what it wants of the world outside.
pub(super) fn press(plan: &mut Plan, key: Key) -> Option<Wish> {
    plan.word = Word::default();
    // Over the list it goes back, as esc does; what lies on a page is never left by mistake.
    let key = match Key::named("esc").filter(|_| key.name() == "ctrl-c") {
        Some(esc) if plan.over != Over::None => esc,
        _ => key,
    };
    match std::mem::replace(&mut plan.over, Over::None) {
        Over::None => press_list(plan, key),
        Over::Form(form) => {
            press_form(plan, form, key);
            None
        }
        Over::Find(find) => {
            press_find(plan, find, key);
            None
        }
        Over::Ask(ask) => press_ask(plan, ask, key),
        Over::Read(reading) => {
            press_read(plan, reading, key);
            None
        }
        Over::Limits(page) => {
            press_limits(plan, page, key);
            None
        }
        Over::Keys(page) => {
            plan.over = match key.name().as_str() {
                "tab" => Over::Keys(page.wrapping_add(1)),
                _ => Over::None,
            };
            None
        }
    }
}

fn press_form(plan: &mut Plan, mut form: Form, key: Key) {
    let Some(line) = plan.line() else { return };
    let label = form.label(&plan.manuscript, line);
    match form.press(key, (&plan.manuscript, line, &plan.known)) {
        form::Did::Close => return,
        form::Did::Form => {}
        form::Did::Change(changes, then) => {
            let chosen = plan.chosen;
            let is_done = plan.change(changes);
            plan.chosen = chosen.min(plan.lines.len().saturating_sub(1));
            if is_done && then == form::Then::Close {
                return;
            }
            if let Some(line) = plan.lines.get(plan.chosen).filter(|_| is_done) {
                let typed = form.written(label, &plan.manuscript, line);
                if let form::Then::Go(is_down) = then {
                    form.pass(is_down, &plan.manuscript, line);
                    plan.say(match typed.as_deref().map(str::trim) {
                        None | Some("") => "written: nothing".to_owned(),
                        Some(typed) => format!("written: {typed}"),
                    });
                }
            }
        }
        form::Did::Pattern(is_more) => {
            turn_pattern(plan, &mut form, is_more);
            if let Some(line) = plan.line() {
                form.stay(label, &plan.manuscript, line);
            }
        }
        form::Did::Refused(why) => plan.refuse(why),
        form::Did::Nothing => plan.refuse(format!("{key} does nothing here")),
    }
    plan.over = Over::Form(form);
}

/// Turns the pattern of the chosen block, always from the text as it was before the first turn: what
/// one pattern cannot have is there again with the next. What cannot stand there is passed over.
fn turn_pattern(plan: &mut Plan, form: &mut Form, is_more: bool) {
    let Some(block) = plan.line().and_then(|line| line.path.clone()) else {
        return;
    };
    let chosen = plan.chosen;
    let now = patterns::place(&plan.manuscript, &block);
    let was_turned = form.is_turned && plan.manuscript.undo().is_some();
    let first = was_turned.then(|| patterns::place(&plan.manuscript, &block));
    let ring = patterns::PATTERNS.len();
    let mut refused = String::new();
    for by in 1..ring {
        let place = (now + if is_more { by } else { ring - by }) % ring;
        let called = patterns::PATTERNS[place].0;
        if first == Some(place) {
            form.is_turned = false;
            plan.refresh();
            plan.chosen = chosen;
            return plan.say(format!("{called}, as it was{refused}"));
        }
        let (changes, goes) = patterns::turned(&plan.manuscript, &block, place);
        if plan.change(changes) {
            form.is_turned = true;
            plan.chosen = chosen;
            return plan.say(format!("{called}{goes}{refused}"));
        }
        if refused.is_empty() {
            refused = format!("; {called} cannot be here: {}", plan.word.text);
        }
    }
    if was_turned {
        plan.manuscript.redo();
        plan.refresh();
        plan.chosen = chosen;
    }
    plan.refuse(refused.trim_start_matches("; "));
}

fn press_find(plan: &mut Plan, mut find: Find, key: Key) {
    match find.press(key, plan.scene()) {
        finding::Did::Close => return,
        finding::Did::Page => {}
        finding::Did::Nothing => find.word = format!("{key} does nothing here"),
        finding::Did::Take(id) => {
            if !take(plan, &mut find, &id) {
                return;
            }
        }
    }
    plan.over = Over::Find(find);
}

/// Takes a move that was found; whether more are looked for.
fn take(plan: &mut Plan, find: &mut Find, id: &str) -> bool {
    let Some(line) = plan.line() else {
        return false;
    };
    let name = plan
        .known
        .named(id)
        .map_or_else(|| id.to_owned(), |of| of.name.clone());
    match find.purpose.clone() {
        Purpose::Behind => {
            match adding::a_move(&plan.manuscript, line, id) {
                Ok(change) => {
                    if plan.change(vec![change]) {
                        find.taken(format!("{name} is in; esc goes back to the class"));
                    } else {
                        find.word.clone_from(&plan.word.text);
                    }
                }
                Err(why) => why.clone_into(&mut find.word),
            }
            true
        }
        Purpose::Instead(_) => {
            let change = previews::instead(&plan.manuscript, line, id, None);
            plan.change_and_say(change, &format!("{name} in its place"));
            false
        }
        Purpose::First(text) => {
            let at = adding::part_place(&plan.manuscript, line);
            let change = adding::part(&plan.manuscript, &at, text, id);
            if plan.change(vec![change]) {
                plan.choose_at(&at);
                find.purpose = Purpose::Behind;
                find.taken(format!("{name} is in; another, or esc"));
            } else {
                find.word.clone_from(&plan.word.text);
            }
            true
        }
    }
}

fn press_limits(plan: &mut Plan, page: usize, key: Key) {
    match key.name().as_str() {
        "esc" | "enter" => return,
        "tab" => {
            plan.over = Over::Limits(page.wrapping_add(1));
            return;
        }
        _ => {}
    }
    let on = plan.limits().map(<[_]>::to_vec);
    match on.and_then(|on| limits::toggled(&on, key)) {
        Some(on) => {
            let words: Vec<&str> = on.iter().map(|load| load.word()).collect();
            let text = format!("[{}]", words.join(", "));
            let chosen = plan.chosen;
            plan.change(vec![put(Vec::new(), "limits", Some(text))]);
            plan.chosen = chosen;
        }
        None => plan.refuse(format!("{key} does nothing here")),
    }
    plan.over = Over::Limits(page);
}

fn press_read(plan: &mut Plan, mut reading: Reading, key: Key) {
    match key.name().as_str() {
        "esc" | "q" => return,
        "enter" => match reading.take.take() {
            Some(text) => {
                let chosen = plan.chosen;
                plan.change_and_say(vec![Change::Replace(text)], "taken; u takes it back");
                plan.chosen = chosen.min(plan.lines.len().saturating_sub(1));
                return;
            }
            None => return,
        },
        _ => reading.scroll(&key.name()),
    }
    plan.over = Over::Read(reading);
}

fn press_ask(plan: &mut Plan, mut ask: Ask, key: Key) -> Option<Wish> {
    match ask.press(key) {
        asking::Did::Page => {}
        asking::Did::Close => {
            let is_leftover = matches!(ask.question, Question::Leftover(..));
            return is_leftover.then_some(Wish::LeftAside);
        }
        asking::Did::Nothing => plan.refuse(format!("{key} does nothing here")),
        asking::Did::Typed(text) => {
            return Some(match ask.question {
                Question::Name => Wish::SaveAs(text),
                Question::Shape => Wish::Draft(text),
                _ => Wish::Sheet(text),
            });
        }
        asking::Did::Answer(n) => return answer(plan, ask.question, n),
    }
    plan.over = Over::Ask(ask);
    None
}

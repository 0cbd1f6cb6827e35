//! Everything about one move, as plain text.

use std::fmt::Write as _;

use super::print::width;
use crate::export::broken;
use crate::session::{Action, Load, Move, MoveOption, Muscle, Region, Side, edition, met};

/// Columns of the names of the fields.
const FIELD: usize = 11;

/// A page about a move.
pub(super) fn page(of: &Move) -> String {
    let mut page = format!("{}: {}\n", of.id, of.name);
    let mut field = |name: &str, text: &str| put(&mut page, name, text);
    field("said as", &of.call);
    field("action", of.action.map_or("", Action::label));
    field("position", of.position.label());
    field("regions", &listed(&of.regions, Region::label));
    field("muscles", &listed(&of.muscles, Muscle::label));
    field("loads", &listed(&of.loads, Load::label));
    field("impact", of.impact.label());
    field("sides", of.sides.label());
    field("starts", of.lead.map_or("", Side::label));
    field("equipment", &of.equipment.join(", "));
    field("energy", &energy(of));
    field("setup", &of.setup);
    field("breath", of.breath.as_deref().unwrap_or_default());
    let fault = of.fault.as_ref();
    let fault = fault.map(|fault| format!("{}: {}", fault.see, fault.say));
    field("mend", &fault.unwrap_or_default());
    several(&mut page, "form", of.form.iter().cloned());
    several(&mut page, "easier", of.easier.iter().map(option));
    several(&mut page, "harder", of.harder.iter().map(option));
    several(&mut page, "instead", of.instead.iter().map(option));
    page
}

fn listed<W: Copy>(words: &[W], label: impl Fn(W) -> &'static str) -> String {
    let labels: Vec<&str> = words.iter().map(|word| label(*word)).collect();
    labels.join(", ")
}

/// The code and its figure.
fn energy(of: &Move) -> String {
    let Some(code) = &of.energy else {
        return String::new();
    };
    match met(code).zip(edition(code)) {
        Some((met, edition)) => {
            format!("{met} MET ({} Adult Compendium, {code})", edition.year())
        }
        None => format!("Adult Compendium, {code}"),
    }
}

/// An option: its call, and what is different.
fn option(of: &MoveOption) -> String {
    let mut text = of.call.clone();
    if let Some(other) = &of.stand_in {
        let _ = write!(text, "; it is {}", other.id);
    }
    if let Some(position) = of.position {
        let _ = write!(text, "; {}", position.label());
    }
    if !of.equipment.is_empty() {
        let _ = write!(text, "; needs {}", of.equipment.join(", "));
    }
    if !of.spares.is_empty() {
        let _ = write!(text, "; spares {}", listed(&of.spares, Load::label));
    }
    if !of.adds.is_empty() {
        let _ = write!(text, "; adds {}", listed(&of.adds, Load::label));
    }
    if let Some(impact) = of.impact {
        let _ = write!(text, "; {}", impact.label());
    }
    if let Some(sides) = of.sides {
        let _ = write!(text, "; {}", sides.label());
    }
    if let Some(setup) = of.setup.as_ref().filter(|setup| !setup.is_empty()) {
        let _ = write!(text, "; {setup}");
    }
    for cue in &of.form {
        let _ = write!(text, "; {cue}");
    }
    text
}

fn several(page: &mut String, name: &str, texts: impl Iterator<Item = String>) {
    for (n, text) in texts.enumerate() {
        let name = if n == 0 { name } else { "" };
        put(page, name, &format!("{}. {text}", n + 1));
    }
}

/// A field; its further lines stand under its first word. Nothing where there is nothing to tell.
fn put(page: &mut String, name: &str, text: &str) {
    if !text.is_empty() {
        let head = format!("  {name:FIELD$}");
        let further = " ".repeat(FIELD + 2);
        page.push_str(&broken(&head, &further, text.split_whitespace(), width()));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::Library;

    #[test]
    fn everything_that_a_move_says_is_on_its_page() {
        for of in &Library::builtin() {
            let page = page(of);
            let flat = page.split_whitespace().collect::<Vec<_>>().join(" ");
            let mut texts = vec![of.id.as_str(), &of.name, &of.call, of.position.label()];
            texts.extend([of.setup.as_str(), of.impact.label(), of.sides.label()]);
            texts.extend(of.form.iter().chain(&of.equipment).map(String::as_str));
            texts.extend(of.regions.iter().map(|region| region.label()));
            texts.extend(of.muscles.iter().map(|muscle| muscle.label()));
            texts.extend(of.loads.iter().map(|load| load.label()));
            texts.extend(of.breath.as_deref());
            texts.extend(of.action.map(Action::label));
            texts.extend(
                of.fault
                    .iter()
                    .flat_map(|f| [f.see.as_str(), f.say.as_str()]),
            );
            for (_, option) in of.options() {
                texts.push(&option.call);
                texts.extend(option.form.iter().map(String::as_str));
                texts.extend(option.adds.iter().map(|load| load.label()));
                texts.extend(option.setup.as_deref());
                texts.extend(option.spares.iter().map(|load| load.label()));
            }
            for text in texts {
                assert!(flat.contains(text), "{}: `{text}` in\n{page}", of.id);
            }
            assert!(
                page.lines().all(|line| line.chars().count() <= 80),
                "{page}"
            );
        }
    }
}

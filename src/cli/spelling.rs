//! `matside moves --words`: every word that a `Move` may use, as a file spells it.

use std::fmt::Write as _;

use crate::export::broken;
use crate::session::{Action, Impact, Load, Muscle, Position, Region, Side, Sides, Word};

use super::print::width;

/// The fields of a move that take words of a closed set, with all of their words.
pub(super) fn page() -> String {
    let mut page = String::new();
    field::<Position>(&mut page, "position", "one of", "it must be there");
    field::<Region>(&mut page, "regions", "a list of", "it must be there");
    field::<Muscle>(&mut page, "muscles", "a list of", "");
    field::<Action>(&mut page, "action", "one of", "");
    field::<Load>(
        &mut page,
        "loads",
        "a list of",
        "the words of `limits`, `spares` and `adds`, too",
    );
    field::<Impact>(&mut page, "impact", "one of", "None where nothing is said");
    field::<Sides>(&mut page, "sides", "one of", "Both where nothing is said");
    field::<Side>(&mut page, "lead", "one of", "where sides are Each");
    page.push_str(
        "\nA Move must have id, name, position and regions. call, equipment, energy, setup, form,\n\
         breath, fault, easier, harder and instead are written as the README shows;\n\
         `matside moves MOVE` shows a whole one.\n",
    );
    page
}

fn field<W: Word>(page: &mut String, name: &str, takes: &str, note: &str) {
    let gap = if note.is_empty() { "" } else { "; " };
    let _ = writeln!(page, "{name}: {takes}{gap}{note}");
    let words: Vec<&str> = W::ALL.iter().map(|word| word.word()).collect();
    let listed = words.join(", ");
    page.push_str(&broken("    ", "    ", listed.split(' '), width()));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::Library;

    /// Each word is taken from the page and written into a file.
    #[test]
    fn every_word_of_the_page_can_be_written_so() {
        let page = page();
        let mut lines = page.lines();
        let (mut field, mut read) = (String::new(), 0);
        while let Some(line) = lines.next().filter(|line| !line.is_empty()) {
            let Some(words) = line.strip_prefix("    ") else {
                line.split(':')
                    .next()
                    .unwrap_or_default()
                    .clone_into(&mut field);
                continue;
            };
            for word in words.split([',', ' ']).filter(|word| !word.is_empty()) {
                let value = match field.as_str() {
                    "position" | "impact" | "sides" | "action" | "lead" => word.to_owned(),
                    _ => format!("[{word}]"),
                };
                let rest = match field.as_str() {
                    "position" => "regions: [Core], ",
                    "regions" => "position: Standing, ",
                    "lead" => "position: Standing, regions: [Core], sides: Each, ",
                    _ => "position: Standing, regions: [Core], ",
                };
                let text = format!("[Move(id: \"a\", name: \"A\", {rest}{field}: {value})]");
                assert!(Library::read("a", &text).is_ok(), "{text}");
                read += 1;
            }
        }
        let all = Position::ALL.len() + Region::ALL.len() + Muscle::ALL.len();
        assert_eq!(
            read,
            all + [Load::ALL.len(), Impact::ALL.len(), Sides::ALL.len()]
                .iter()
                .sum::<usize>()
                + Action::ALL.len()
                + Side::ALL.len()
        );
    }
}

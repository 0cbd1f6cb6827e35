//! The outline on one page: a line or two a part, for a wall or a pocket.

use std::fmt::Write as _;

use super::fit::{broken, counted};
use super::outline::{Outline, name};
use crate::plan::{Kind, Nth, Placed};
use crate::session::{Block, Part, Pattern};
use crate::time::Span;

/// Columns before the words of a part: its start and its length.
const BEFORE: usize = 18;

impl Outline<'_> {
    /// The parts with their moves and times on one page, no wider than `width` columns where words
    /// allow it.
    #[must_use]
    pub fn short(&self, width: usize) -> String {
        let mut page = String::new();
        self.head(&mut page, width);
        for (n, laid) in self.session.laid().into_iter().enumerate() {
            let part = laid.part;
            let intervals = self.timeline.intervals();
            let of_part: Vec<&Placed> = intervals.iter().filter(|one| one.part == n).collect();
            let Some(first) = of_part.first() else {
                continue;
            };
            let length: Span = of_part.iter().map(|one| one.length).sum();
            let head = format!(
                "{:>8}{:>8}  ",
                first.start.span().floor_secs().to_string(),
                length.to_string()
            );
            let words = words(part, &of_part);
            let further = " ".repeat(BEFORE + 2);
            page.push_str(&broken(
                &head,
                &further,
                words.split_whitespace(),
                width.max(40),
            ));
        }
        let _ = writeln!(page, "{:>8}  the end", self.timeline.total().to_string());
        page
    }
}

/// What a part is, and its moves in order, each once.
fn words(part: &Part, intervals: &[&Placed]) -> String {
    let mut moves: Vec<String> = Vec::new();
    for interval in intervals.iter().filter(|one| one.turn().is_some()) {
        let is_moving = matches!(interval.kind, Kind::Work | Kind::WarmUp | Kind::CoolDown);
        let name = name(interval);
        if is_moving && !moves.contains(&name) {
            moves.push(name);
        }
    }
    let kind = intervals.first().map_or("", |one| one.kind.label());
    let title = match part {
        Part::Block(block) => {
            let title = block.title.as_deref().unwrap_or("Block");
            format!("{title}, {}", pattern(block))
        }
        Part::Free {
            title: Some(title), ..
        } => title.clone(),
        _ => kind.to_owned(),
    };
    let go = intervals.first().map_or(Nth::default(), |one| one.go);
    let title = if go.of > 1 {
        format!("{title} (go {} of {})", go.nth, go.of)
    } else {
        title
    };
    if moves.is_empty() {
        return title;
    }
    format!("{title}: {}", moves.join("; "))
}

fn pattern(block: &Block) -> String {
    let each = |spans: &[Span]| {
        let all: Vec<String> = spans.iter().map(ToString::to_string).collect();
        all.join(", ")
    };
    let rounds = |count: u32| counted(count, "round");
    match &block.pattern {
        Pattern::Rounds { work, rest } => {
            format!("rounds of {} work, {} rest", each(work), each(rest))
        }
        Pattern::Same {
            rounds: count,
            work,
            rest,
        } => {
            format!("{} of {work} work, {rest} rest", rounds(*count))
        }
        Pattern::Emom { times, every, work } => {
            let work = work.map_or_else(String::new, |work| format!(", {work} work"));
            if *every == Pattern::MINUTE {
                format!("a move each minute for {times} minutes{work}")
            } else {
                format!("a move every {every}, {times} times{work}")
            }
        }
        Pattern::Amrap { time } => format!("as many rounds as possible in {time}"),
        Pattern::Reps {
            rounds: count,
            rest,
            cap,
            ..
        } => {
            let cap = cap.map_or_else(String::new, |cap| format!(", {cap} at the most"));
            format!("{} by count, {rest} rest{cap}", rounds(*count))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::{Library, Session};

    /// A page of paper has some 60 lines (common practice, no source).
    #[test]
    fn every_session_fits_on_a_page_with_every_part_and_move() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("sessions");
        let mut seen = 0;
        for entry in std::fs::read_dir(folder).expect("the folder") {
            let path = entry.expect("an entry").path();
            let text = std::fs::read_to_string(&path).expect("text");
            let session = Session::read("a class", &text, &Library::builtin()).expect("whole");
            let outline = Outline::of(&session);
            let page = outline.short(80);
            assert!(page.lines().count() <= 60, "{}\n{page}", path.display());
            assert!(
                page.lines().all(|line| line.chars().count() <= 80),
                "{page}"
            );
            let flat = page.split_whitespace().collect::<Vec<_>>().join(" ");
            for turn in outline
                .timeline
                .intervals()
                .iter()
                .flat_map(|one| one.moves.iter())
            {
                assert!(flat.contains(&turn.of.name), "{}\n{page}", turn.of.name);
            }
            assert!(flat.ends_with(&format!("{} the end", outline.timeline.total())));
            seen += 1;
        }
        assert!(seen >= 10);
    }
}

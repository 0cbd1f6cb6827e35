//! The class on paper, as one HTML file that needs no network: a sheet to teach from, a card for
//! each move, a cover for whoever teaches it tonight. The templates stand in `templates`.

mod blocks;
mod curve;
mod script;

use askama::Template;

use super::cautions;
use super::outline::Outline;
use super::short;
use crate::advice::{Review, Weight};
use crate::plan::{Placed, Timeline};
use crate::session::{Library, Part, Room, Session};
use crate::time::{Offset, Span};
use blocks::{BlockRows, Card};
use curve::Curve;
use script::Line;

/// The paper that a page is laid out for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    /// 210 by 297 mm (ISO 216).
    #[default]
    A4,
    /// 8.5 by 11 inches.
    Letter,
}

impl Paper {
    /// The name of the size in a style sheet.
    const fn name(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::Letter => "letter",
        }
    }
}

/// How a page is laid out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Layout {
    /// The paper.
    pub paper: Paper,
    /// Whether its letters are large.
    pub is_large: bool,
}

/// Remarks on a cover: who teaches tonight can look out for so many.
const LOOK_OUT: usize = 8;

/// A script of more letters is set smaller (found by printing the samples).
const LONG_SCRIPT: usize = 8_000;

struct PartRow {
    start: String,
    length: String,
    what: String,
}

/// The class as both pages begin with it, and the cautions with which they end.
struct AtAGlance {
    title: String,
    stands: String,
    brief: String,
    facts: Vec<(&'static str, String)>,
    paper: Paper,
    is_large: bool,
    has_limits: bool,
    curve: Curve,
    parts: Vec<PartRow>,
    cautions: Vec<String>,
}

impl AtAGlance {
    fn of(session: &Session, outline: &Outline, layout: Layout) -> Self {
        Self {
            title: session.title.clone(),
            stands: outline.stands(),
            brief: session.brief.clone(),
            facts: facts(session),
            paper: layout.paper,
            is_large: layout.is_large,
            has_limits: !session.limits.is_empty(),
            curve: Curve::of(&outline.timeline, &begun(session, &outline.timeline)),
            parts: parts(session, &outline.timeline),
            cautions: cautions::lines(),
        }
    }
}

#[derive(Template)]
#[template(path = "sheet.html", config = "assets/askama.toml")]
struct SheetPage {
    class: AtAGlance,
    blocks: Vec<BlockRows>,
    script: Vec<Line>,
    /// Whether so much is said that only smaller letters bring it onto two pages.
    is_long: bool,
}

#[derive(Template)]
#[template(path = "stations.html", config = "assets/askama.toml")]
struct CardsPage {
    title: String,
    paper: Paper,
    cards: Vec<Card>,
}

#[derive(Template)]
#[template(path = "cover.html", config = "assets/askama.toml")]
struct CoverPage {
    class: AtAGlance,
    first_words: String,
    last_words: String,
    spares: Vec<(String, String)>,
    remarks: Vec<String>,
    /// How many remarks more there are than are printed.
    more: usize,
}

/// The sheet of a class: at a glance, each block, the script, cautions.
#[must_use]
pub fn sheet(session: &Session, layout: Layout) -> String {
    let outline = Outline::of(session);
    let script = script::script(&outline.timeline, &outline.cues);
    let letters = script.iter().map(Line::letters).sum::<usize>();
    rendered(&SheetPage {
        class: AtAGlance::of(session, &outline, layout),
        blocks: blocks::blocks(session, &outline.timeline, &room(session)),
        script,
        is_long: letters > LONG_SCRIPT,
    })
}

/// A card for each move of the blocks, in large type, one a page.
#[must_use]
pub fn cards(session: &Session, layout: Layout) -> String {
    rendered(&CardsPage {
        title: session.title.clone(),
        paper: layout.paper,
        cards: blocks::cards(session, &Timeline::of(session), &room(session)),
    })
}

/// The cover for a substitute.
#[must_use]
pub fn cover(session: &Session, library: &Library, layout: Layout) -> String {
    let outline = Outline::of(session);
    let timeline = &outline.timeline;
    let says: Vec<&Placed> = timeline
        .intervals()
        .iter()
        .filter(|one| !one.say.is_empty())
        .collect();
    let words = |one: Option<&&Placed>| one.map_or_else(String::new, |one| one.say.to_string());
    let last = says.last().filter(|_| says.len() > 1);
    let review = Review::of(session, library);
    let heavy = review
        .remarks
        .iter()
        .filter(|remark| remark.weight != Weight::Note);
    let mut remarks: Vec<String> = heavy.map(remark_in_a_line).collect();
    let more = remarks.len().saturating_sub(LOOK_OUT);
    remarks.truncate(LOOK_OUT);
    rendered(&CoverPage {
        class: AtAGlance::of(session, &outline, layout),
        first_words: words(says.first()),
        last_words: words(last),
        spares: blocks::spares(timeline, &room(session)),
        remarks,
        more,
    })
}

fn remark_in_a_line(remark: &crate::advice::Remark) -> String {
    match remark.at.at {
        Some(at) => format!("{}: {}", at.span().floor_secs(), remark.what),
        None => remark.what.clone(),
    }
}

/// A template fails only where a writer does, and text takes everything.
fn rendered(page: &impl Template) -> String {
    page.render().unwrap_or_default()
}

fn room(session: &Session) -> Room<'_> {
    Room {
        limits: &session.limits,
        things: &session.equipment,
    }
}

fn facts(session: &Session) -> Vec<(&'static str, String)> {
    let limits: Vec<&str> = session.limits.iter().map(|limit| limit.label()).collect();
    let facts = [
        ("Bring", session.equipment.join(", ")),
        ("Somebody spares", limits.join(", ")),
    ];
    facts
        .into_iter()
        .filter(|(_, words)| !words.is_empty())
        .collect()
}

/// Where each part begins, with its name.
fn begun(session: &Session, timeline: &Timeline) -> Vec<(Offset, String)> {
    let laid = session.laid().into_iter().enumerate();
    let found = laid.filter_map(|(n, laid)| {
        let first = timeline.intervals().iter().find(|one| one.part == n)?;
        let name = match laid.part {
            Part::Block(block) => block.title.as_deref().unwrap_or("Block").to_owned(),
            Part::Free {
                title: Some(title), ..
            } => title.clone(),
            _ => capital(first.kind.label()),
        };
        Some((first.start, name))
    });
    found.collect()
}

/// The words with a large first letter.
fn capital(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

fn parts(session: &Session, timeline: &Timeline) -> Vec<PartRow> {
    let row = |(n, part): (usize, &Part)| {
        let all = timeline.intervals().iter();
        let of_part: Vec<&Placed> = all.filter(|one| one.part == n).collect();
        let first = of_part.first()?;
        let length: Span = of_part.iter().map(|one| one.span()).sum();
        Some(PartRow {
            start: first.start.span().floor_secs().to_string(),
            length: length.to_string(),
            what: capital(&short::words(part, &of_part)),
        })
    };
    let laid = session.laid().into_iter().map(|laid| laid.part);
    laid.enumerate().filter_map(row).collect()
}

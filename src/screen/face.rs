//! Enlarged text: two faces at any height in pixels, and the choice among them for a given room.
//!
//! The terminal library's big-text widget has neither steps between its sizes nor letters of
//! their own width, so a name would be either too low to read or too long to fit; and its letters
//! have serifs, which blur at three metres. Text is set in capitals, since a small letter is a
//! third lower. A sign that the faces lack is left out; a text of nothing else is written in
//! ordinary cells.

use std::ops::Range;
use std::rc::Rc;

use ratatui::layout::Rect;
use ratatui::style::{Modifier, Style};

use super::fold::{fold, is_space};
use super::glyphs;
use super::memo::Memo;
use super::pen::{Pen, cells, width, wrap};
use super::raster::{Bitmap, Scale};

/// The lowest capital in pixels, half a cell each.
pub(super) const LOWEST: u16 = 5;

/// The height from which on capitals are drawn broad where there is room, and that from which on
/// they may be twice as wide: a short name in a large window is read from farther away so.
const BROAD: u16 = 12;
const BROADEST: u16 = 20;

thread_local! {
    static SETTINGS: Memo<(Fit, String), Option<Set>> = Memo::new();
    static DRAWN: Memo<(Cut, Vec<String>), Rc<Bitmap>> = Memo::new();
}

/// A set of letters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum Face {
    /// Drawn on seven rows, strokes two pixels wide.
    Bold,
    /// Drawn on five rows, or six, strokes one pixel wide.
    Narrow,
}

/// A face at a size.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) struct Cut {
    /// Which letters.
    pub(super) face: Face,
    /// Pixels from the foot of a capital to its head.
    pub(super) high: u16,
    /// The height that its width would go with: less than `high` where it is condensed.
    pub(super) wide: u16,
    /// Pixels between two letters, before they are enlarged.
    pub(super) gap: u16,
}

impl Cut {
    /// Blank pixels between two lines.
    pub(super) fn leading(self) -> u16 {
        (self.high / 7).max(1)
    }

    /// Pixels that so many lines take.
    fn pixels(self, lines: u16) -> u16 {
        lines * self.high + lines.saturating_sub(1) * self.leading()
    }

    /// Rows of the drawing that is enlarged.
    fn rows(self) -> u16 {
        match self.face {
            Face::Bold => 7,
            Face::Narrow if self.is_tall() => 6,
            Face::Narrow => 5,
        }
    }

    /// Whether the narrow face is drawn on six rows: whatever is no whole number of times five.
    fn is_tall(self) -> bool {
        !self.high.is_multiple_of(5)
    }

    fn across(self) -> Scale {
        Scale(self.wide, self.rows())
    }

    /// How many cells wide a text is.
    pub(super) fn columns(self, text: &str) -> u16 {
        let text = Folded::of(text);
        text.columns(self, 0..text.letters.len())
    }

    /// A text in one line, drawn.
    pub(super) fn draw(self, text: &str) -> Bitmap {
        let (across, mut out) = (self.across(), Bitmap::default());
        for (n, letter) in fold(text).chars().enumerate() {
            let gap = across.of(usize::from(self.gap)) * usize::from(n > 0);
            if let Some(glyph) = self.glyph(letter) {
                out.push(gap, &glyph.scaled(across, Scale(self.high, self.rows())));
            }
        }
        out
    }

    fn glyph(self, letter: char) -> Option<&'static Bitmap> {
        let glyph = glyphs::of(letter)?;
        Some(match self.face {
            Face::Bold => &glyph.bold,
            Face::Narrow if self.is_tall() => &glyph.tall,
            Face::Narrow => &glyph.narrow,
        })
    }

    /// The cuts from one height down to another, tallest first, the bolder and airier of two equals
    /// before the other.
    fn between(most: u16, least: u16) -> impl Iterator<Item = Self> {
        let heights = (least.max(LOWEST)..=most.max(LOWEST)).rev();
        heights.flat_map(move |high| {
            let of = move |face, wide, gap| Self {
                face,
                high,
                wide,
                gap,
            };
            let broad = |sixths: u16| {
                let most = if high < BROADEST { 4 } else { 6 };
                if high < BROAD {
                    high
                } else {
                    high + sixths.min(most) * high / 6
                }
            };
            let bold = [
                (broad(6), 2),
                (broad(4), 2),
                (broad(3), 2),
                (broad(2), 2),
                (broad(1), 2),
                (high, 2),
                (high, 1),
                (high - high / 7, 1),
            ];
            let bold = bold.into_iter().filter(|(wide, _)| *wide >= 7);
            let bold = bold.map(move |(wide, gap)| of(Face::Bold, wide, gap));
            // As high as the bold face may be, the narrow one would win little room.
            let narrow = (7 * high <= 6 * most || most < 7).then(|| of(Face::Narrow, high, 1));
            bold.chain(narrow)
        })
    }

    /// Every cut that may be used up to a height.
    #[cfg(test)]
    pub(super) fn all(most: u16) -> Vec<Self> {
        let of = |most| Self::between(most, LOWEST).collect::<Vec<_>>();
        let mut all: Vec<Self> = (LOWEST..=most).flat_map(of).collect();
        all.sort_by_key(|cut| (cut.high, cut.wide, cut.gap, cut.face == Face::Bold));
        all.dedup();
        all
    }
}

/// A text as the faces have it, with the widths of its letters in both.
struct Folded {
    letters: Vec<char>,
    widths: Vec<[usize; 2]>,
}

impl Folded {
    fn of(text: &str) -> Self {
        let letters: Vec<char> = fold(text).chars().collect();
        let wide = |letter: char| {
            let glyph = glyphs::of(letter);
            glyph.map_or([0; 2], |glyph| [glyph.bold.width(), glyph.narrow.width()])
        };
        Self {
            widths: letters.iter().map(|letter| wide(*letter)).collect(),
            letters,
        }
    }

    fn columns(&self, cut: Cut, part: Range<usize>) -> u16 {
        let (across, face) = (cut.across(), usize::from(cut.face == Face::Narrow));
        let gaps = across.of(usize::from(cut.gap)) * part.len().saturating_sub(1);
        let ink = self.widths[part].iter().map(|wide| across.of(wide[face]));
        cells((ink.sum::<usize>() + gaps).div_ceil(2))
    }

    fn part(&self, part: Range<usize>) -> Self {
        Self {
            letters: self.letters[part.clone()].to_vec(),
            widths: self.widths[part].to_vec(),
        }
    }

    fn text(&self, part: Range<usize>) -> String {
        self.letters[part].iter().collect()
    }

    /// Where a line may be broken.
    fn breaks(&self) -> impl Iterator<Item = usize> {
        let places = self.letters.iter().enumerate();
        places.filter(|(_, letter)| **letter == ' ').map(|(n, _)| n)
    }

    /// The text in one line, in two of like length, or in more, as far as a cut allows it.
    fn lines(&self, cut: Cut, room: Rect, most: u16) -> Option<Vec<Range<usize>>> {
        let fits = |part: &Range<usize>| self.columns(cut, part.clone()) <= room.width;
        let all = 0..self.letters.len();
        if fits(&all) {
            return Some(vec![all]);
        }
        let most = (1..=most)
            .rev()
            .find(|&n| cut.pixels(n) <= 2 * room.height)?;
        // Only the spaces between the lines go.
        let widest = room
            .width
            .saturating_mul(most)
            .saturating_add(4 * cut.wide * most);
        if most < 2 || self.columns(cut, all) > widest {
            return None;
        }
        let mut halves: Vec<usize> = self.breaks().collect();
        halves.sort_by_key(|&at| at.abs_diff(self.letters.len() - at));
        let mut halves = halves
            .into_iter()
            .map(|at| [0..at, at + 1..self.letters.len()]);
        match halves.find(|halves| halves.iter().all(fits)) {
            Some(halves) => Some(halves.into()),
            None => self.filled(usize::from(most), fits),
        }
    }

    /// The text in lines that are filled one after another, if no more than `most` are needed.
    fn filled(
        &self,
        most: usize,
        fits: impl Fn(&Range<usize>) -> bool,
    ) -> Option<Vec<Range<usize>>> {
        let mut lines: Vec<Range<usize>> = Vec::new();
        let mut from = 0;
        for to in self.breaks().chain([self.letters.len()]) {
            let longer = lines.last().map(|line| line.start..to);
            match longer.filter(&fits) {
                Some(line) => *lines.last_mut()? = line,
                None if lines.len() < most && fits(&(from..to)) => lines.push(from..to),
                None => return None,
            }
            from = to + 1;
        }
        Some(lines)
    }
}

/// How a text is set in a room.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Set {
    /// Enlarged, in these lines.
    Large(Cut, Vec<String>),
    /// In ordinary cells, bold, in these lines.
    Plain(Vec<String>),
}

/// The room for enlarged text: how many cells, how high its capitals may and must be, and in how
/// many lines.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) struct Fit {
    /// The cells.
    pub(super) room: Rect,
    /// The height of the tallest capital, in pixels.
    pub(super) most: u16,
    /// The height of the lowest.
    pub(super) least: u16,
    /// The most lines.
    pub(super) lines: u16,
}

impl Fit {
    /// Any size up to a height, in as many lines as have room.
    pub(super) const fn upto(room: Rect, most: u16) -> Self {
        Self {
            room,
            most,
            least: LOWEST,
            lines: 9,
        }
    }

    /// Up to which word a phrase from each of these words has room, enlarged at all.
    pub(super) fn phrases(self, words: &[&str]) -> Vec<usize> {
        let high = self.most.min(2 * self.room.height);
        let Some(cut) = Cut::between(high, self.least)
            .last()
            .filter(|cut| cut.high <= high)
        else {
            return (0..words.len()).collect();
        };
        let folded: Vec<String> = words.iter().map(|word| fold(word)).collect();
        let text = Folded::of(&folded.join("\u{20}"));
        let mut starts = vec![0];
        for word in folded.iter().filter(|word| !word.is_empty()) {
            let last = starts.last().copied().unwrap_or(0);
            starts.push(last + word.chars().count() + 1);
        }
        if starts.len() <= words.len() {
            // A word of which nothing is drawn: it would be lost.
            return (0..words.len()).collect();
        }
        let fits = |from: usize, to: usize| {
            let part = text.part(starts[from]..starts[to] - 1);
            part.lines(cut, self.room, self.lines).is_some()
        };
        (0..words.len())
            .map(|from| {
                (from + 1..=words.len())
                    .take_while(|to| fits(from, *to))
                    .last()
                    .unwrap_or(from)
            })
            .collect()
    }

    /// The tallest setting of a text, in as few lines as that allows; nothing where none is.
    pub(super) fn large(self, text: &str) -> Option<Set> {
        let Rect { width, height, .. } = self.room;
        let anywhere = Self {
            room: Rect::new(0, 0, width, height),
            ..self
        };
        let key = (anywhere, text.to_owned());
        SETTINGS.with(|settings| settings.get(key, |(fit, text)| fit.tallest(text)))
    }

    fn tallest(self, text: &str) -> Option<Set> {
        let text = Folded::of(text);
        if text.letters.iter().all(|letter| is_space(*letter)) {
            return None;
        }
        let high = self.most.min(2 * self.room.height);
        if high < self.least.max(LOWEST) {
            return None;
        }
        Cut::between(high, self.least).find_map(|cut| {
            let lines = text.lines(cut, self.room, self.lines)?;
            let lines = lines.into_iter().map(|line| text.text(line)).collect();
            Some(Set::Large(cut, lines))
        })
    }
}

/// The tallest setting for a room; where none is, ordinary text.
pub(super) fn set(text: &str, room: Rect, most: u16) -> Set {
    Fit::upto(room, most)
        .large(text)
        .unwrap_or_else(|| Set::Plain(wrap(text, room.width)))
}

/// The first of several wordings that has room in one line, none lower than five sevenths of the
/// others; else the first in as many lines as it takes; else ordinary text.
pub(super) fn set_name(wordings: &[String], room: Rect, most: u16) -> Set {
    let line = Fit {
        least: (5 * most).div_ceil(7).max(LOWEST),
        lines: 1,
        ..Fit::upto(room, most)
    };
    let first = wordings.first().map_or("", String::as_str);
    let in_a_line = wordings.iter().find_map(|text| line.large(text));
    in_a_line.unwrap_or_else(|| set(first, room, most))
}

impl Set {
    /// Lines of cells that it takes.
    pub(super) fn lines(&self) -> u16 {
        match self {
            Self::Large(cut, lines) => cut.pixels(cells(lines.len())).div_ceil(2),
            Self::Plain(lines) => cells(lines.len()),
        }
    }

    /// Whether there is ink down to the last pixel of so many lines of cells.
    pub(super) fn fills(&self, height: u16) -> bool {
        match self {
            Self::Large(cut, lines) => cut.pixels(cells(lines.len())) >= 2 * height,
            Self::Plain(_) => false,
        }
    }

    /// Cells that its widest line takes.
    pub(super) fn columns(&self) -> u16 {
        match self {
            Self::Large(cut, lines) => drawn(*cut, lines).columns(),
            Self::Plain(lines) => lines.iter().map(|line| width(line)).max().unwrap_or(0),
        }
    }

    /// Pixels from the foot of a capital to its head; nothing for ordinary text.
    pub(super) const fn high(&self) -> Option<u16> {
        match self {
            Self::Large(cut, _) => Some(cut.high),
            Self::Plain(_) => None,
        }
    }

    /// Draws it from the upper left of a room; gives the lines used.
    pub(super) fn draw(&self, pen: &mut Pen, room: Rect, style: Style) -> u16 {
        match self {
            Self::Large(cut, lines) => {
                drawn(*cut, lines).stamp(pen, room.x, room.y, style);
                self.lines()
            }
            Self::Plain(lines) => {
                pen.wrapped(room, &lines.join(" "), style.add_modifier(Modifier::BOLD))
            }
        }
    }
}

/// Lines one under another, drawn.
fn drawn(cut: Cut, lines: &[String]) -> Rc<Bitmap> {
    let draw = |(cut, lines): &(Cut, Vec<String>)| {
        let mut out = Bitmap::default();
        for (n, line) in lines.iter().enumerate() {
            let leading = usize::from(cut.leading()) * usize::from(n > 0);
            out.push_below(leading, cut.draw(line));
        }
        Rc::new(out)
    };
    DRAWN.with(|all| all.get((cut, lines.to_vec()), draw))
}

/// Sets a text as tall as its room allows and draws it; gives the lines used.
pub(super) fn headline(pen: &mut Pen, room: Rect, text: &str, most: u16, style: Style) -> u16 {
    set(text, room, most).draw(pen, room, style)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn room(width: u16, height: u16) -> Rect {
        Rect::new(0, 0, width, height)
    }

    #[test]
    fn the_width_is_known_without_drawing() {
        for cut in Cut::all(30) {
            for text in ["Side plank", "x", "Mountain climber: 12 & 3", "Щука №2"] {
                let set = Set::Large(cut, vec![fold(text)]);
                assert_eq!(
                    cut.columns(text),
                    cut.draw(text).columns(),
                    "{cut:?} {text}"
                );
                assert_eq!(set.columns(), cut.draw(text).columns(), "{cut:?} {text}");
            }
        }
    }

    #[test]
    fn a_name_steps_down_then_wraps_then_is_written_plain() {
        let step = |set: Set| match set {
            Set::Large(cut, lines) => (Some((cut.face, cut.high)), lines.len()),
            Set::Plain(lines) => (None, lines.len()),
        };
        let bold = Some((Face::Bold, 7));
        let narrow = |high| Some((Face::Narrow, high));
        assert_eq!(step(set("Plank tap", room(80, 4), 7)), (bold, 1));
        let long = "Mountain climber with a press";
        assert_eq!(step(set(long, room(80, 4), 7)), (narrow(6), 1));
        let long = "Side plank with a slow reach under and a turn";
        assert_eq!(step(set(long, room(80, 7), 7)), (narrow(6), 2));
        assert_eq!(step(set(long, room(80, 4), 7)), (None, 1));
        assert_eq!(step(set(long, room(50, 9), 7)), (narrow(5), 3));
        assert_eq!(step(set("漢字", room(80, 4), 7)), (None, 1));
        assert_eq!(step(set("", room(80, 4), 7)), (None, 0));
    }

    #[test]
    fn a_name_too_long_for_a_line_falls_back_on_its_call() {
        let names = [
            "Side plank with a slow reach under and a turn".to_owned(),
            "reach under".into(),
        ];
        let Set::Large(cut, lines) = set_name(&names, room(80, 4), 7) else {
            panic!("not enlarged");
        };
        assert_eq!((cut.high, lines), (7, vec!["REACH UNDER".to_owned()]));
    }

    /// Letters of neighbouring heights differ by no more than a pixel each way: there is no cliff.
    #[test]
    fn one_more_column_never_makes_a_text_lower() {
        for text in [
            "Plank tap",
            "Mountain climber",
            "side plank with a slow reach under",
        ] {
            let high = |width| set(text, room(width, 30), 40).high().unwrap_or(0);
            assert!(
                (40..300).all(|width| high(width) <= high(width + 1)),
                "{text}"
            );
        }
    }

    /// At least one empty row of pixels stands between two lines.
    #[test]
    fn two_lines_never_touch() {
        for most in 5..30 {
            for width in (40..200).step_by(7) {
                let room = room(width, 40);
                let set = set("Überstrecken Ångström plank & reach", room, most);
                let Set::Large(cut, lines) = &set else {
                    continue;
                };
                let high = cut.pixels(cells(lines.len()));
                assert!(set.lines() * 2 >= high && set.lines() <= room.height);
                assert!(cut.leading() >= 1 && high > cut.high * cells(lines.len()) - 1);
            }
        }
    }
}

//! Enlarged text: two faces, any half step of size, and the choice among them for a given room.
//!
//! The terminal library's big-text widget has neither steps between its sizes nor letters of
//! their own width, so a name would be either too low to read or too long to fit; and its letters
//! have serifs, which blur at three metres. Text is set in capitals, since a small letter is a
//! third lower. What a face lacks (another script, a pictogram) is written in ordinary cells.

use ratatui::layout::Rect;
use ratatui::style::{Modifier, Style};
use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

use super::bold;
use super::pen::{Pen, cells, width, wrap};
use super::raster::Bitmap;
use super::small;

/// A set of letters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Face {
    /// Seven pixels high, strokes two pixels wide.
    Bold,
    /// Five pixels high, strokes one pixel wide.
    Narrow,
}

/// A face at a size, in half steps: 2 is one pixel to a quarter cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Cut {
    /// Which letters.
    pub(super) face: Face,
    /// How large.
    pub(super) step: u16,
    /// Pixels between two letters.
    pub(super) gap: u8,
}

impl Cut {
    /// Lines of cells that a line of text takes.
    pub(super) const fn lines(self) -> u16 {
        (self.pixels() * self.step).div_ceil(4)
    }

    /// Half lines of ink of a capital.
    pub(super) const fn half_lines(self) -> u16 {
        (self.pixels() * self.step).div_ceil(2)
    }

    const fn pixels(self) -> u16 {
        match self.face {
            Face::Bold => 7,
            Face::Narrow => 5,
        }
    }

    /// How many cells wide the text is, if the face has all of it.
    pub(super) fn columns(self, text: &str) -> Option<u16> {
        let mut pixels = 0;
        for (n, letter) in plain(text).enumerate() {
            pixels += usize::from(self.gap) * usize::from(n > 0);
            pixels += width_of(self.face, letter)?;
        }
        Some(cells((pixels * usize::from(self.step)).div_ceil(4)))
    }

    /// The text drawn, if the face has all of it.
    pub(super) fn draw(self, text: &str) -> Option<Bitmap> {
        let mut out = Bitmap::default();
        for (n, letter) in plain(text).enumerate() {
            let gap = usize::from(self.gap) * usize::from(n > 0);
            out.push(gap, &glyph(self.face, letter)?);
        }
        let step = usize::from(self.step);
        Some(out.scaled(step, step))
    }

    /// The cuts no larger than `step` and no higher than `lines`, tallest first, the airier of
    /// two equals before the tighter.
    pub(super) fn within(step: u16, lines: u16) -> Vec<Self> {
        let of = |face, step, gap| Self { face, step, gap };
        let bold = (2..=step.max(2)).flat_map(|s| [2, 1].map(|gap| of(Face::Bold, s, gap)));
        let narrow = (1..=step.max(2) / 2).map(|half| of(Face::Narrow, half * 2, 1));
        let mut cuts: Vec<Self> = bold
            .chain(narrow)
            .filter(|cut| cut.lines() <= lines)
            .collect();
        cuts.sort_by_key(|cut| std::cmp::Reverse(cut.half_lines()));
        cuts
    }
}

/// The letters as the faces have them: capitals without accents.
fn plain(text: &str) -> impl Iterator<Item = char> {
    text.nfd()
        .filter(|c| !is_combining_mark(*c))
        .flat_map(char::to_uppercase)
        .flat_map(|c| {
            spelled(c)
                .chars()
                .chain(is_spelled_as_itself(c))
                .collect::<Vec<_>>()
        })
}

fn is_spelled_as_itself(c: char) -> Option<char> {
    spelled(c).is_empty().then_some(c)
}

/// Letters and signs that do not decompose, in the nearest that the faces have.
fn spelled(c: char) -> &'static str {
    match c {
        'Æ' => "AE",
        'Œ' => "OE",
        'Ø' => "O",
        'Ł' => "L",
        'Đ' | 'Ð' => "D",
        'Þ' => "TH",
        'ı' => "I",
        '’' | '‘' | 'ʼ' => "'",
        '“' | '”' => "\"",
        '–' | '—' | '‐' => "-",
        '×' => "X",
        '\u{a0}' => " ",
        _ => "",
    }
}

fn width_of(face: Face, letter: char) -> Option<usize> {
    match face {
        Face::Bold => bold::rows(letter)?.next().map(str::len),
        Face::Narrow => small::rows(letter)?.next().map(str::len),
    }
}

fn glyph(face: Face, letter: char) -> Option<Bitmap> {
    match face {
        Face::Bold => bold::rows(letter).map(Bitmap::of_rows),
        Face::Narrow => small::rows(letter).map(Bitmap::of_rows),
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

/// The tallest setting for a room, in as few lines as that allows; where none is, ordinary text.
pub(super) fn set(text: &str, room: Rect, step: u16) -> Set {
    let text = text.trim();
    if text.is_empty() {
        return Set::Plain(Vec::new());
    }
    Cut::within(step, room.height)
        .into_iter()
        .find_map(|cut| Some(Set::Large(cut, lines(text, room, cut)?)))
        .unwrap_or_else(|| Set::Plain(wrap(text, room.width)))
}

/// The text in one line, in two of like length, or in more, as far as a cut allows it in a room.
fn lines(text: &str, room: Rect, cut: Cut) -> Option<Vec<String>> {
    let fits = |line: &str| {
        cut.columns(line)
            .is_some_and(|columns| columns <= room.width)
    };
    if fits(text) {
        return Some(vec![text.to_owned()]);
    }
    let most = room.height / cut.lines();
    if most < 2 {
        return None;
    }
    match halves(text).find(|(a, b)| fits(a) && fits(b)) {
        Some((first, second)) => Some(vec![first.to_owned(), second.to_owned()]),
        None => filled(text, usize::from(most), fits),
    }
}

/// The text in lines that are filled one after another, if no more than `most` are needed.
fn filled(text: &str, most: usize, fits: impl Fn(&str) -> bool) -> Option<Vec<String>> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let longer = lines.last().map(|line| format!("{line} {word}"));
        match longer.filter(|line| fits(line)) {
            Some(line) => *lines.last_mut()? = line,
            None if lines.len() < most && fits(word) => lines.push(word.to_owned()),
            None => return None,
        }
    }
    Some(lines)
}

/// Every way to part a text in two between words, the most even first.
fn halves(text: &str) -> impl Iterator<Item = (&str, &str)> {
    let mut all: Vec<(&str, &str)> = text
        .match_indices(' ')
        .map(|(at, _)| (text[..at].trim(), text[at..].trim()))
        .collect();
    all.sort_by_key(|(a, b)| a.len().abs_diff(b.len()));
    all.into_iter()
}

impl Set {
    /// Lines of cells that it takes.
    pub(super) fn lines(&self) -> u16 {
        match self {
            Self::Large(cut, lines) => cut.lines() * cells(lines.len()),
            Self::Plain(lines) => cells(lines.len()),
        }
    }

    /// Cells that its widest line takes.
    pub(super) fn columns(&self) -> u16 {
        let widest = |lines: &[String], of: &dyn Fn(&str) -> u16| {
            lines.iter().map(|line| of(line)).max().unwrap_or(0)
        };
        match self {
            Self::Large(cut, lines) => widest(lines, &|line| cut.columns(line).unwrap_or(0)),
            Self::Plain(lines) => widest(lines, &width),
        }
    }

    /// Whether it is enlarged.
    pub(super) const fn is_large(&self) -> bool {
        matches!(self, Self::Large(..))
    }

    /// Draws it from the upper left of a room; gives the lines used.
    pub(super) fn draw(&self, pen: &mut Pen, room: Rect, style: Style) -> u16 {
        match self {
            Self::Large(cut, lines) => {
                let mut y = room.y;
                for bitmap in lines.iter().filter_map(|line| cut.draw(line)) {
                    bitmap.stamp(pen, room.x, y, style);
                    y = y.saturating_add(cut.lines());
                }
                self.lines()
            }
            Self::Plain(lines) => {
                pen.wrapped(room, &lines.join(" "), style.add_modifier(Modifier::BOLD))
            }
        }
    }
}

/// Sets a text as tall as its room allows and draws it; gives the lines used.
pub(super) fn headline(pen: &mut Pen, room: Rect, text: &str, step: u16, style: Style) -> u16 {
    set(text, room, step).draw(pen, room, style)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn room(width: u16, height: u16) -> Rect {
        Rect::new(0, 0, width, height)
    }

    #[test]
    fn accents_fall_back_to_their_letters() {
        let spelt = |text: &str| plain(text).collect::<String>();
        assert_eq!(spelt("Élan d’été"), "ELAN D'ETE");
        assert_eq!(spelt("straße Øre æ"), "STRASSE ORE AE");
    }

    #[test]
    fn both_faces_have_letters_figures_and_the_signs_of_names() {
        let all =
            "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789 -'&/,.:!?+()~·↓↑→";
        for face in [Face::Bold, Face::Narrow] {
            assert!(
                Cut {
                    face,
                    step: 2,
                    gap: 1
                }
                .draw(all)
                .is_some(),
                "{face:?}"
            );
            assert!(
                Cut {
                    face,
                    step: 2,
                    gap: 1
                }
                .draw("漢")
                .is_none(),
                "{face:?}"
            );
        }
    }

    #[test]
    fn the_width_is_known_without_drawing() {
        for cut in Cut::within(7, 40) {
            for text in ["Side plank", "x", "Mountain climber: 12 & 3"] {
                let drawn = cut.draw(text).expect("all letters").columns();
                assert_eq!(cut.columns(text), Some(drawn), "{cut:?} {text}");
            }
        }
    }

    #[test]
    fn a_name_steps_down_then_wraps_then_is_written_plain() {
        let step = |set: Set| match set {
            Set::Large(cut, lines) => (Some((cut.face, cut.step)), lines.len()),
            Set::Plain(lines) => (None, lines.len()),
        };
        let bold = Some((Face::Bold, 2));
        let narrow = Some((Face::Narrow, 2));
        assert_eq!(step(set("Plank tap", room(80, 4), 2)), (bold, 1));
        assert_eq!(
            step(set("Mountain climber with a press", room(80, 4), 2)),
            (narrow, 1)
        );
        let long = "Side plank with a slow reach under and a turn";
        assert_eq!(step(set(long, room(80, 7), 2)), (narrow, 2));
        assert_eq!(step(set(long, room(80, 4), 2)), (None, 1));
        assert_eq!(step(set(long, room(50, 9), 2)), (narrow, 3));
        assert_eq!(step(set("漢字", room(80, 4), 2)), (None, 1));
        assert_eq!(step(set("", room(80, 4), 2)), (None, 0));
    }
}

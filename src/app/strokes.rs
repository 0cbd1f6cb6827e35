//! From the bytes that a terminal sends to strokes of keys and pasted text.
//!
//! A terminal sends keys, answers to questions that some program asked it long ago, and now and then
//! half of either. Answers are swallowed to their end; what does not come to an end is given up
//! after a moment, so that the next key is heard. Text that is pasted is no keys, also where its
//! marks are missing or its end comes late: no hand types several letters at once. What a key does is
//! not known here.

use crossterm::event::KeyCode;
use vte::{Params, Parser, Perform};

use super::keys::Key;
use crate::time::{Moment, Span};

/// How long an escape that stands alone may still be the beginning of something.
const ESCAPE: Span = Span::from_millis(50);
/// How long the next byte of a sequence or a paste may take.
const NEXT_BYTE: Span = Span::from_millis(250);
/// How long a sequence may take in all, so that keys pressed into it do not keep it open.
const SEQUENCE: Span = Span::from_millis(1_000);
/// How long a piece of a paste that paused may still come, after the last one.
const ASTRAY: Span = Span::from_millis(10_000);
/// How many letters that come at once, not all the same, are pasted text without its marks.
const AT_ONCE: usize = 4;
/// How soon after such a piece of text the next one comes. The terminal is read in pieces.
const NEXT_PIECE: Span = Span::from_millis(50);
/// The longest paste that is kept, in characters; the rest of it is swallowed.
const LONGEST_PASTE: usize = 4096;
/// Ctrl-C. It is heard whatever came before it; only in the midst of a pasted text it belongs to that.
const INTERRUPT: u8 = 3;
const ESC: u8 = 0x1b;

/// What was heard of the terminal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Heard {
    /// A key moved.
    Stroke(Stroke),
    /// Text was pasted, on one line.
    Paste(String),
    /// The window has the focus again.
    Focus,
}

/// A key moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Stroke {
    pub(super) key: Key,
    /// What the same key writes in the layout of the Latin letters, where the terminal tells.
    pub(super) latin: Option<Key>,
    pub(super) motion: Motion,
}

/// Which way a key moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Motion {
    /// Down, or held down and repeated: this terminal does not say which.
    DownOrHeld,
    /// Down.
    Down,
    /// Held down, and repeated by the keyboard.
    Held,
    /// Up.
    Up,
}

impl Stroke {
    /// The key as a page knows its commands: small, and of the Latin layout where the letter is of
    /// another.
    pub(super) fn command(self) -> Key {
        let latin = self.latin.filter(|_| self.key.is_foreign());
        latin.unwrap_or(self.key).small()
    }

    /// A stroke of which no more is known than its key.
    pub(super) const fn of(key: Key) -> Self {
        Self {
            key,
            latin: None,
            motion: Motion::DownOrHeld,
        }
    }
}

/// Reads strokes out of bytes.
#[derive(Default)]
pub(super) struct Strokes {
    parser: Parser,
    taken: Taken,
    /// Since when something is unfinished.
    open: Option<Moment>,
    /// Whether that is an escape and nothing behind it.
    alone: bool,
    last: Moment,
    /// Until when what comes several letters at once belongs to a paste that was given up.
    astray: Option<Moment>,
    /// Until when what comes belongs to text that was pasted without marks.
    pasting: Option<Moment>,
}

impl Strokes {
    /// Takes bytes that came now in one read, and gives what was heard. Nothing is given up here: bytes
    /// may have waited for longer than a moment where the program did not run.
    pub(super) fn take(&mut self, bytes: &[u8], now: Moment) -> Vec<Heard> {
        self.find_astray(bytes, now);
        if let Some(text) = self.unmarked(bytes, now) {
            self.last = now;
            self.taken.heard.push(Heard::Paste(text));
            if bytes.contains(&INTERRUPT) {
                self.taken.key(Key::ctrl('c'));
            }
            return std::mem::take(&mut self.taken.heard);
        }
        for (left, byte) in (0..bytes.len()).rev().zip(bytes) {
            self.take_one(*byte, left == 0, now);
        }
        self.last = now;
        std::mem::take(&mut self.taken.heard)
    }

    /// Text that was pasted without marks.
    fn unmarked(&mut self, bytes: &[u8], now: Moment) -> Option<String> {
        let goes_on = self.pasting.take().is_some_and(|until| now < until);
        if self.open.is_some() || bytes.contains(&ESC) {
            return None;
        }
        let text = letters(bytes);
        let is_text = goes_on && bytes != [INTERRUPT] || is_pasted(&text);
        is_text.then(|| {
            self.pasting = Some(now + NEXT_PIECE);
            text
        })
    }

    /// Opens a paste again that paused and was given up, where more of it comes.
    fn find_astray(&mut self, bytes: &[u8], now: Moment) {
        let Some(until) = self.astray else { return };
        if until <= now {
            self.astray = None;
        } else if self.open.is_none() && bytes.first() != Some(&ESC) && letters(bytes).len() > 1 {
            let one = std::str::from_utf8(bytes).is_ok_and(|text| text.chars().count() == 1);
            if !one {
                self.taken.paste = Some(String::new());
                self.open = Some(now);
            }
        }
    }

    fn take_one(&mut self, byte: u8, is_last: bool, now: Moment) {
        if byte == INTERRUPT && (is_last || self.taken.paste.is_none()) {
            self.drop_unfinished();
            return self.taken.key(Key::ctrl('c'));
        }
        if self.alone && (byte == ESC || byte < b' ') {
            self.drop_unfinished();
        }
        let open = self.open;
        self.taken.done = false;
        self.parser.advance(&mut self.taken, &[byte]);
        if std::mem::take(&mut self.taken.ended) {
            self.astray = None;
        }
        self.alone = byte == ESC && open.is_none();
        let finished = self.taken.done && !self.taken.wants_more();
        self.open = match byte {
            ESC => Some(open.filter(|_| !finished).unwrap_or(now)),
            _ if finished => None,
            0x80.. => open.or(Some(now)),
            _ => open,
        };
    }

    /// When to look again whether what is unfinished is to be given up.
    pub(super) fn due(&self) -> Option<Moment> {
        let since = self.open?;
        Some(if self.alone {
            self.last + ESCAPE
        } else if self.taken.paste.is_some() {
            self.last + NEXT_BYTE
        } else {
            (self.last + NEXT_BYTE).min(since + SEQUENCE)
        })
    }

    /// Gives up what has been unfinished for too long. An escape alone was the key.
    pub(super) fn give_up(&mut self, now: Moment) -> Vec<Heard> {
        if self.due().is_some_and(|due| due <= now) {
            self.drop_unfinished();
        }
        std::mem::take(&mut self.taken.heard)
    }

    fn drop_unfinished(&mut self) {
        if self.alone {
            self.taken.key(Key::plain(KeyCode::Esc));
        }
        if self.taken.paste.is_some() {
            self.astray = Some(self.last + ASTRAY);
            // Of a mark without text nobody need be told.
            self.taken.paste = self.taken.paste.take().filter(|text| !text.is_empty());
            self.taken.end_paste();
        }
        self.taken.after = After::Nothing;
        (self.parser, self.open, self.alone) = (Parser::new(), None, false);
    }
}

/// The letters of bytes that came at once; what breaks a line is a space.
fn letters(bytes: &[u8]) -> String {
    let text = String::from_utf8_lossy(bytes);
    let one_line = text.chars().map(|letter| match letter {
        '\t' | '\r' | '\n' => ' ',
        letter => letter,
    });
    let letters = one_line.filter(|letter| !letter.is_control());
    letters.take(LONGEST_PASTE).collect()
}

/// Whether no hand types this at once. A key that is held is one letter again and again.
fn is_pasted(text: &str) -> bool {
    let mut letters = text.chars().filter(|letter| *letter != ' ');
    let first = letters.clone().next();
    letters.clone().count() >= AT_ONCE && letters.any(|letter| Some(letter) != first)
}

/// What the next characters belong to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum After {
    #[default]
    Nothing,
    /// `ESC O`: a key of the keypad, an arrow or F1 to F4.
    SingleShift,
    /// `ESC [ [`: F1 to F5 of the console of Linux.
    Console,
    /// A report of the mouse: so many bytes of it.
    Mouse(u8),
}

#[derive(Default)]
struct Taken {
    heard: Vec<Heard>,
    paste: Option<String>,
    after: After,
    /// Whether the terminal tells holding and letting go: it once did.
    tells: bool,
    /// Whether something came to its end.
    done: bool,
    /// Whether that was a paste.
    ended: bool,
}

impl Taken {
    const fn wants_more(&self) -> bool {
        self.paste.is_some() || !matches!(self.after, After::Nothing)
    }

    fn key(&mut self, key: Key) {
        self.stroke(Stroke::of(key));
    }

    fn stroke(&mut self, stroke: Stroke) {
        if self.paste.is_none() {
            self.heard.push(Heard::Stroke(stroke));
        }
    }

    fn end_paste(&mut self) {
        if let Some(text) = self.paste.take() {
            self.heard.push(Heard::Paste(text));
        }
    }

    fn pasted(&mut self, letter: char) -> bool {
        let Some(text) = &mut self.paste else {
            return false;
        };
        if !letter.is_control() && text.chars().count() < LONGEST_PASTE {
            text.push(letter);
        }
        true
    }

    fn shifted(&mut self, letter: char) {
        let code = match letter {
            'M' => Some(KeyCode::Enter),
            'j'..='y' => "*+,-./0123456789"
                .chars()
                .nth(letter as usize - 'j' as usize)
                .map(KeyCode::Char),
            _ => u8::try_from(letter).ok().and_then(lettered),
        };
        self.key(code.map_or(Key::OTHER, Key::plain));
    }

    /// A key with the number of its modifiers and of its motion.
    fn modified(&mut self, key: Key, latin: Option<Key>, with: Modifiers) {
        let held = |key: Key| match with {
            Modifiers { other: true, .. } => Key::OTHER,
            Modifiers { ctrl: true, .. } => key.with_ctrl(),
            _ => key,
        };
        self.tells |= with.event > 1;
        self.stroke(Stroke {
            key: held(key),
            latin: latin.map(held),
            motion: match with.event {
                2 => Motion::Held,
                3 => Motion::Up,
                _ if self.tells => Motion::Down,
                _ => Motion::DownOrHeld,
            },
        });
    }

    /// `CSI code ; modifiers ; text u`, as the keyboard protocol of the kitty terminal has it.
    fn coded(&mut self, params: &Params) {
        let field = |n: usize| params.iter().nth(n).unwrap_or(&[]);
        let part = |n: usize, m: usize| field(n).get(m).copied().filter(|code| *code > 0);
        let letter = |code: u16| char::from_u32(u32::from(code));
        let with = Modifiers::of(params);
        let written = part(2, 0).filter(|_| field(2).len() == 1 && !with.ctrl);
        let shifted = part(0, 1).filter(|_| with.shift);
        let Some(code) = part(0, 0).or(written) else {
            return;
        };
        let key = match named(code) {
            Named::Key(code) => Key::plain(code),
            Named::Unknown => return,
            Named::Letter => {
                let Some(letter) = written.or(shifted).or(Some(code)).and_then(letter) else {
                    return;
                };
                Key::plain(KeyCode::Char(letter))
            }
        };
        let latin = part(0, 2).and_then(letter);
        self.modified(key, latin.map(|l| Key::plain(KeyCode::Char(l))), with);
    }

    fn numbered(&mut self, number: u16, with: Modifiers) {
        let code = match number {
            200 => {
                self.paste.get_or_insert_default();
                return;
            }
            1 | 7 => KeyCode::Home,
            2 => KeyCode::Insert,
            3 => KeyCode::Delete,
            4 | 8 => KeyCode::End,
            5 => KeyCode::PageUp,
            6 => KeyCode::PageDown,
            11..=15 => KeyCode::F(number.to_le_bytes()[0] - 10),
            17..=21 => KeyCode::F(number.to_le_bytes()[0] - 11),
            23 | 24 => KeyCode::F(number.to_le_bytes()[0] - 12),
            _ => return self.modified(Key::OTHER, None, with),
        };
        self.modified(Key::plain(code), None, with);
    }
}

/// The modifiers and the motion of a key, in the second field of its sequence.
#[derive(Clone, Copy)]
struct Modifiers {
    shift: bool,
    ctrl: bool,
    /// Alt and the like: a key that nothing is bound to.
    other: bool,
    event: u16,
}

impl Modifiers {
    fn of(params: &Params) -> Self {
        let field = params.iter().nth(1).unwrap_or(&[]);
        let bits = field.first().map_or(0, |number| number.saturating_sub(1));
        Self {
            shift: bits & 1 > 0,
            ctrl: bits & 4 > 0,
            other: bits & 0b11_1010 > 0,
            event: field.get(1).copied().unwrap_or(1),
        }
    }
}

enum Named {
    Key(KeyCode),
    Letter,
    /// A key that only changes others, or one that no keyboard of ours has.
    Unknown,
}

/// Codes of keys that write nothing, and of the keypad: the protocol's table, from memory.
fn named(code: u16) -> Named {
    let pad = |code: u16| "0123456789./*-+".chars().nth(usize::from(code - 57_399));
    Named::Key(match code {
        9 => KeyCode::Tab,
        13 | 57_414 => KeyCode::Enter,
        27 => KeyCode::Esc,
        8 | 127 => KeyCode::Backspace,
        57_399..=57_413 => match pad(code) {
            Some(letter) => KeyCode::Char(letter),
            None => return Named::Unknown,
        },
        57_415 => KeyCode::Char('='),
        57_417 => KeyCode::Left,
        57_418 => KeyCode::Right,
        57_419 => KeyCode::Up,
        57_420 => KeyCode::Down,
        57_421 => KeyCode::PageUp,
        57_422 => KeyCode::PageDown,
        57_423 => KeyCode::Home,
        57_424 => KeyCode::End,
        57_425 => KeyCode::Insert,
        57_426 => KeyCode::Delete,
        0xE000..=0xF8FF => return Named::Unknown,
        _ => return Named::Letter,
    })
}

/// The key of a sequence that ends in this letter.
const fn lettered(end: u8) -> Option<KeyCode> {
    Some(match end {
        b'A' => KeyCode::Up,
        b'B' => KeyCode::Down,
        b'C' => KeyCode::Right,
        b'D' => KeyCode::Left,
        b'F' => KeyCode::End,
        b'H' => KeyCode::Home,
        b'P'..=b'S' => KeyCode::F(end - b'O'),
        _ => return None,
    })
}

impl Perform for Taken {
    fn print(&mut self, letter: char) {
        self.done = true;
        match std::mem::take(&mut self.after) {
            After::Mouse(left @ 2..) => self.after = After::Mouse(left - 1),
            After::Mouse(_) => {}
            _ if self.pasted(letter) => {}
            After::SingleShift => self.shifted(letter),
            After::Console => {
                let number = u8::try_from(letter).unwrap_or(0).wrapping_sub(b'@');
                if (1..=5).contains(&number) {
                    self.key(Key::plain(KeyCode::F(number)));
                }
            }
            After::Nothing if letter == '\u{7f}' => self.key(Key::plain(KeyCode::Backspace)),
            After::Nothing => self.key(Key::plain(KeyCode::Char(letter))),
        }
    }

    fn execute(&mut self, byte: u8) {
        if matches!(byte, b'\t' | b'\r' | b'\n') && self.pasted(' ') {
            return;
        }
        self.key(match byte {
            b'\r' => Key::plain(KeyCode::Enter),
            b'\t' => Key::plain(KeyCode::Tab),
            0 => Key::ctrl(' '),
            1..=0x1a => Key::ctrl((byte - 1 + b'a') as char),
            0x1c..=0x1f => Key::ctrl((byte - 0x1c + b'4') as char),
            _ => return,
        });
    }

    fn unhook(&mut self) {
        self.done = true;
    }

    fn osc_dispatch(&mut self, _: &[&[u8]], _: bool) {
        self.done = true;
    }

    fn csi_dispatch(&mut self, params: &Params, between: &[u8], ignore: bool, end: char) {
        self.done = true;
        let first = params
            .iter()
            .next()
            .and_then(|field| field.first().copied());
        let first = first.unwrap_or(0);
        match (between, end) {
            _ if ignore => {}
            ([], '~') if first == 201 => {
                self.end_paste();
                self.ended = true;
            }
            _ if self.paste.is_some() => {}
            ([], '~') => self.numbered(first, Modifiers::of(params)),
            ([], 'u') => self.coded(params),
            ([], '[') => self.after = After::Console,
            ([], 'M') if first == 0 => self.after = After::Mouse(3),
            ([], 'I') => self.heard.push(Heard::Focus),
            ([], 'Z') => self.modified(Key::plain(KeyCode::BackTab), None, Modifiers::of(params)),
            // The place of the cursor is told so; F3 has other ways.
            ([], 'R') => {}
            ([], end) => {
                let code = u8::try_from(end).ok().and_then(lettered);
                if let Some(code) = code {
                    self.modified(Key::plain(code), None, Modifiers::of(params));
                }
            }
            // Answers of the terminal.
            _ => {}
        }
    }

    fn esc_dispatch(&mut self, between: &[u8], _: bool, byte: u8) {
        self.done = true;
        match (between, byte) {
            ([], b'O') => self.after = After::SingleShift,
            // The end of an answer.
            ([], b'\\') => {}
            ([], _) => self.key(Key::OTHER),
            _ => {}
        }
    }
}

#[cfg(test)]
#[path = "strokes_tests.rs"]
mod tests;

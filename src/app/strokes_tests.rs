//! What terminals send against what is heard of it.
//!
//! Sequences of keys: ECMA-48 and xterm's control sequences; the keyboard protocol of the kitty
//! terminal; from memory where no page was at hand.

use super::*;

fn at(millis: u64) -> Moment {
    Moment::from_millis(millis)
}

fn named(heard: &[Heard]) -> Vec<String> {
    let name = |heard: &Heard| match heard {
        Heard::Stroke(stroke) if stroke.key == Key::OTHER => "other".into(),
        Heard::Stroke(stroke) => stroke.key.name(),
        Heard::Paste(text) => format!("paste {text}"),
        Heard::Focus => "focus".into(),
    };
    heard.iter().map(name).collect()
}

/// All that is heard of bytes that come at once, and of the silence after them.
fn heard(bytes: &[u8]) -> Vec<String> {
    let mut strokes = Strokes::default();
    let mut heard = strokes.take(bytes, at(0));
    heard.extend(strokes.give_up(at(5_000)));
    assert_eq!(strokes.due(), None, "{bytes:?}");
    named(&heard)
}

const KEYS: &[(&[u8], &str)] = &[
    (b"a", "a"),
    (b"Q", "Q"),
    (b" ", "space"),
    (b"\r", "enter"),
    (b"\t", "tab"),
    (b"\x7f", "backspace"),
    (b"\x03", "ctrl-c"),
    (b"\x1a", "ctrl-z"),
    (b"\0", "ctrl-space"),
    ("\u{e9}".as_bytes(), "\u{e9}"),
    ("\u{444}".as_bytes(), "\u{444}"),
    (b"\x1b", "esc"),
    (b"\x1b[A", "up"),
    (b"\x1b[D", "left"),
    (b"\x1bOC", "right"),
    (b"\x1bOP", "f1"),
    (b"\x1b[15~", "f5"),
    (b"\x1b[17~", "f6"),
    (b"\x1b[21~", "f10"),
    (b"\x1b[24~", "f12"),
    (b"\x1b[[E", "f5"),
    (b"\x1b[5~", "pageup"),
    (b"\x1b[6~", "pagedown"),
    (b"\x1b[H", "home"),
    (b"\x1b[4~", "end"),
    (b"\x1b[3~", "delete"),
    (b"\x1b[1;2A", "up"),
    (b"\x1b[1;5C", "ctrl-right"),
    (b"\x1bOM", "enter"),
    (b"\x1bOk", "+"),
    (b"\x1b[97u", "a"),
    (b"\x1b[97:65;2;65u", "A"),
    (b"\x1b[13u", "enter"),
    (b"\x1b[32u", "space"),
    (b"\x1b[27u", "esc"),
    (b"\x1b[99;5u", "ctrl-c"),
    (b"\x1b[57422u", "pagedown"),
    (b"\x1b[57413;;43u", "+"),
    (b"\x1bs", "other"),
    (b"\x1b[115;3u", "other"),
];

#[test]
fn every_key_is_heard_however_it_is_sent() {
    for (bytes, name) in KEYS {
        assert_eq!(heard(bytes), [*name], "{}", bytes.escape_ascii());
        let mut strokes = Strokes::default();
        let split: Vec<Heard> = bytes
            .iter()
            .zip(0..)
            .flat_map(|(byte, n)| strokes.take(&[*byte], at(n * 40)))
            .collect();
        let whole = [split, strokes.give_up(at(9_000))].concat();
        assert_eq!(named(&whole), [*name], "{}", bytes.escape_ascii());
    }
}

/// Answers to what some program asked before: colours, the terminal's kind and version, the cursor's
/// place, its modes, its keyboard, a status string, the mouse (xterm's control sequences).
const ANSWERS: &[&[u8]] = &[
    b"\x1b]11;rgb:abab/cdcd/efef\x1b\\",
    b"\x1b]10;rgb:0000/ffff/0000\x07",
    b"\x1b]4;1;rgb:aa/bb/cc\x1b\\",
    b"\x1b]52;c;aGVsbG8gcSBxIHE=\x07",
    b"\x1b[?62;4c",
    b"\x1b[>41;354;0c",
    b"\x1b[24;80R",
    b"\x1b[?2026;2$y",
    b"\x1b[?31u",
    b"\x1b[8;24;80t",
    b"\x1b[0n",
    b"\x1bP1$r0m\x1b\\",
    b"\x1bP>|a terminal(3)\x1b\\",
    b"\x1b_Gi=1;OK\x1b\\",
    b"\x1b[<35;40;12M",
    b"\x1b[M !!",
    b"\x1b[57441;2u",
    b"\x1b[O",
];

#[test]
fn answers_of_the_terminal_are_no_keys() {
    for answer in ANSWERS {
        let mut bytes = answer.to_vec();
        bytes.push(b'm');
        assert_eq!(heard(&bytes), ["m"], "{}", answer.escape_ascii());
    }
}

/// Whatever comes to a halt in the middle, a key is heard as soon as the moment is over, and Ctrl-C at
/// once. What was begun may still come to its end within that moment, so a key pressed into it is lost.
#[test]
fn what_does_not_come_to_its_end_deafens_nobody() {
    let mut halves: Vec<&[u8]> = vec![
        b"\x1b[<",
        b"\x1b[?",
        b"\x1b[1;",
        b"\x1b[200~",
        b"\x1b]11;rgb:",
        b"\x1bP1$r",
        b"\x1bO",
        b"\x1b_",
        b"\x1b[M",
        b"\x1b[[",
        b"\xf0\x9f",
        b"\x1b[200~some text",
    ];
    for answer in ANSWERS {
        halves.extend((1..answer.len()).map(|end| &answer[..end]));
    }
    for half in halves {
        let mut strokes = Strokes::default();
        strokes.take(half, at(0));
        let given_up = strokes.due().unwrap_or(at(0));
        assert!(given_up <= at(250), "{}", half.escape_ascii());
        strokes.give_up(given_up);
        let then = named(&strokes.take(b"m", at(251)));
        assert_eq!(then, ["m"], "{}", half.escape_ascii());

        let at_once = named(&Strokes::default().take(&[half, b"\x03"].concat(), at(0)));
        assert_eq!(at_once.last().map(String::as_str), Some("ctrl-c"));

        let mut strokes = Strokes::default();
        strokes.take(half, at(0));
        let stop = named(&strokes.take(b"\x03", at(10)));
        assert_eq!(
            stop.last().map(String::as_str),
            Some("ctrl-c"),
            "{}",
            half.escape_ascii()
        );
    }
}

/// Keys pressed into something unfinished must not keep it open.
#[test]
fn a_sequence_is_given_up_whatever_is_pressed_into_it() {
    for half in [&b"\x1b[<"[..], b"\x1b]11;", b"\x1bP1"] {
        let mut strokes = Strokes::default();
        strokes.take(half, at(0));
        for press in 1..=5 {
            comes(&mut strokes, b"0", at(press * 200));
        }
        assert_eq!(named(&comes(&mut strokes, b"m", at(1_100))), ["m"]);
    }
}

/// Bytes that come while the loop listens: it has looked whether something is to be given up when
/// that was due.
fn comes(strokes: &mut Strokes, bytes: &[u8], now: Moment) -> Vec<Heard> {
    let due = strokes.due().filter(|due| *due <= now);
    let given_up = due.map(|due| strokes.give_up(due)).unwrap_or_default();
    [given_up, strokes.take(bytes, now)].concat()
}

fn keys(heard: &[Heard]) -> Vec<String> {
    let named = named(heard).into_iter();
    named.filter(|name| !name.starts_with("paste")).collect()
}

/// However a paste pauses, and wherever: what comes of it is no key, and the key after it is one.
#[test]
fn a_paste_that_pauses_is_no_keys() {
    const PASTE: &[u8] = b"\x1b[200~so we mend sore knees\r and go on: quit q now.\x1b[201~";
    let mut random = fastrand::Rng::with_seed(4);
    for pause in [100, 249, 251, 400, 2_000, 9_000] {
        for _ in 0..200 {
            let mut strokes = Strokes::default();
            let (mut heard, mut now, mut from) = (Vec::new(), 0, 0);
            while from < PASTE.len() {
                // Neither inside of the marks, nor a single letter: that could be a key.
                let to = random.usize(from + 2..=from + 30).clamp(7, PASTE.len());
                let to = if to > PASTE.len() - 8 {
                    PASTE.len()
                } else {
                    to
                };
                heard.extend(comes(&mut strokes, &PASTE[from..to], at(now)));
                (from, now) = (to, now + pause);
            }
            assert_eq!(keys(&heard), [""; 0], "{pause}");
            assert_eq!(named(&comes(&mut strokes, b"m", at(now))), ["m"], "{pause}");
            assert_eq!(named(&comes(&mut strokes, b"sl", at(now + 9))), ["s", "l"]);
        }
    }
}

/// While the end of a paste is awaited, keys are keys; and it is not awaited for ever.
#[test]
fn a_paste_without_an_end_takes_no_keys() {
    for key in [
        &b"m"[..],
        b" ",
        b"\x1b[A",
        b"\x1bOP",
        "\u{444}".as_bytes(),
        b"\x03",
        b"\r",
    ] {
        let mut strokes = Strokes::default();
        strokes.take(b"\x1b[200~so we", at(0));
        assert_eq!(named(&strokes.give_up(at(250))), ["paste so we"]);
        let name = named(&comes(&mut strokes, key, at(400)));
        let plain = named(&Strokes::default().take(key, at(400)));
        assert_eq!(name, plain, "{}", key.escape_ascii());
        assert_eq!(named(&comes(&mut strokes, b"sl", at(20_000))), ["s", "l"]);
    }
}

/// A mark with no text behind it is nothing that anybody need be told.
#[test]
fn a_lone_mark_of_a_paste_says_nothing() {
    let mut strokes = Strokes::default();
    strokes.take(b"\x1b[200~", at(0));
    assert_eq!(named(&comes(&mut strokes, b" ", at(400))), ["space"]);
}

/// The program did not run while the rest of something waited to be read: a stop, a busy machine.
#[test]
fn what_waited_to_be_read_is_not_given_up() {
    for (whole, expected) in [
        (
            &b"\x1b[200~so we mend\x1b[201~"[..],
            &["paste so we mend"][..],
        ),
        (b"\x1b]11;rgb:abab/cdcd/efef\x1b\\", &[]),
        (b"\x1bP1$r0m\x1b\\", &[]),
        (b"\x1b[1;2A", &["up"]),
        ("\u{444}".as_bytes(), &["\u{444}"]),
    ] {
        for cut in 1..whole.len() {
            let mut strokes = Strokes::default();
            let first = strokes.take(&whole[..cut], at(0));
            let rest = strokes.take(&whole[cut..], at(6_000));
            assert_eq!(named(&[first, rest].concat()), expected, "{cut}");
        }
    }
}

/// A terminal that marks no paste: several letters at once are text, whatever they would do.
#[test]
fn several_letters_at_once_are_pasted_text() {
    for (bytes, text) in [
        (&b"so we mend sore knees"[..], "paste so we mend sore knees"),
        (b"quit q now\rmm\r", "paste quit q now mm "),
        (b"skip", "paste skip"),
        (b"s k i p", "paste s k i p"),
        (
            "\u{444}\u{44b}\u{432}\u{430}".as_bytes(),
            "paste \u{444}\u{44b}\u{432}\u{430}",
        ),
        (b"++--", "paste ++--"),
    ] {
        assert_eq!(heard(bytes), [text], "{}", bytes.escape_ascii());
    }
    for bytes in [
        &b"mmmmmmmm"[..],
        b"        ",
        b"\r\r\r\r\r",
        b"+++++",
        b"sle",
        b"   s   ",
    ] {
        let heard = heard(bytes);
        assert!(
            heard.iter().all(|heard| !heard.starts_with("paste")),
            "{heard:?}"
        );
    }
    assert_eq!(heard(b"mesl\x03"), ["paste mesl", "ctrl-c"]);
    let arrows = b"\x1b[A\x1b[B\x1b[C\x1b[D\x1b[32u\x1b[109u";
    assert_eq!(heard(arrows), ["up", "down", "right", "left", "space", "m"]);
}

/// A long text is read in pieces, the last of them perhaps a letter; the next key is one again.
#[test]
fn the_last_piece_of_pasted_text_is_no_key() {
    let mut strokes = Strokes::default();
    for (bytes, millis) in [
        (&b"so we mend so"[..], 0),
        (b"re", 2),
        (b" ", 4),
        (b"q", 40),
    ] {
        let heard = strokes.take(bytes, at(millis));
        assert_eq!(keys(&heard), [""; 0], "{millis}");
    }
    assert_eq!(named(&strokes.take(b"q", at(100))), ["q"]);
}

#[test]
fn a_paste_is_text_on_one_line_and_no_keys() {
    for (bytes, text) in [
        (&b"\x1b[200~quit q now\x1b[201~"[..], "paste quit q now"),
        (
            b"\x1b[200~one\r\ntwo\tthree\x1b[201~",
            "paste one  two three",
        ),
        (b"\x1b[200~\x1b[31mred\x1b[0m\x1b[201~", "paste red"),
        (
            "\x1b[200~\u{e9}t\u{e9}\x1b[201~".as_bytes(),
            "paste \u{e9}t\u{e9}",
        ),
        (b"\x1b[200~\x1b[201~", "paste "),
        (b"\x1b[200~q\x03q\x1b[201~", "paste qq"),
    ] {
        assert_eq!(heard(bytes), [text]);
    }
    let long = [b"\x1b[200~", &b"x".repeat(100_000)[..], b"\x1b[201~q"].concat();
    let heard = heard(&long);
    assert_eq!(heard.len(), 2);
    assert_eq!(heard[0].len(), "paste ".len() + LONGEST_PASTE);
    assert_eq!(heard[1], "q");
}

/// Press, repeat and release of the keyboard protocol; and a plain terminal, of which nothing is known.
#[test]
fn holding_and_letting_go_are_told_apart_where_the_terminal_does() {
    use Motion::{Down, DownOrHeld, Held, Up};

    let motions = |bytes: &[u8]| -> Vec<Motion> {
        let heard = Strokes::default().take(bytes, at(0));
        let motion = |heard: Heard| match heard {
            Heard::Stroke(stroke) => stroke.motion,
            other => panic!("{other:?}"),
        };
        heard.into_iter().map(motion).collect()
    };
    for (bytes, expected) in [
        (&b"  "[..], &[DownOrHeld, DownOrHeld][..]),
        (b"\x1b[32u\x1b[32;1:2u\x1b[32;1:3u", &[DownOrHeld, Held, Up]),
        (
            b"\x1b[13;1:3u\x1b[32u\x1b[C\x1b[1;1:3C",
            &[Up, Down, Down, Up],
        ),
        (b"\x1b[6;1:2~", &[Held]),
    ] {
        assert_eq!(motions(bytes), expected, "{}", bytes.escape_ascii());
    }
}

/// A key of another layout also tells its letter in the Latin one.
#[test]
fn a_key_of_another_layout_is_known_by_its_place() {
    for (bytes, key, command) in [
        (&b"\x1b[1084::109u"[..], "\u{43c}", "m"),
        (b"\x1b[1084:1052:109;2;1052u", "\u{41c}", "m"),
        (b"\x1b[233::50u", "\u{e9}", "2"),
        (b"\x1b[1089::99;5u", "ctrl-\u{441}", "ctrl-c"),
        (b"\x1b[97::113u", "a", "a"),
        (b"Q", "Q", "q"),
    ] {
        let heard = Strokes::default().take(bytes, at(0));
        let [Heard::Stroke(stroke)] = heard[..] else {
            panic!("{heard:?}");
        };
        assert_eq!(stroke.key.name(), key);
        assert_eq!(stroke.command().name(), command, "{}", bytes.escape_ascii());
    }
}

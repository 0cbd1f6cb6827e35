//! Every kind of terminal: what colours it has, and none.

use std::thread;

use crate::folders::Folders;
use crate::run::Start;

/// The surroundings, and which select-graphic-rendition parameters may be sent besides attributes
/// and the ground colours 39 and 49 (ECMA-48, 8.3.117; 38;2 and 38;5 as in ISO 8613-6).
const TERMINALS: [(&[(&str, &str)], Colours); 5] = [
    (
        &[("TERM", "xterm-256color"), ("COLORTERM", "truecolor")],
        Colours::True,
    ),
    (&[("TERM", "xterm-256color")], Colours::Indexed(256)),
    (&[("TERM", "linux")], Colours::Indexed(16)),
    (&[("TERM", "xterm"), ("NO_COLOR", "1")], Colours::None),
    (
        &[
            ("TERM", "xterm-256color"),
            ("COLORTERM", "truecolor"),
            ("NO_COLOR", "1"),
        ],
        Colours::None,
    ),
];

#[derive(Clone, Copy, Debug, PartialEq)]
enum Colours {
    None,
    Indexed(u16),
    True,
}

#[test]
fn every_terminal_shows_the_figures_in_the_colours_it_has() {
    thread::scope(|scope| {
        for (env, allowed) in TERMINALS {
            scope.spawn(move || shown(env, allowed));
        }
    });
}

fn shown(env: &[(&'static str, &str)], allowed: Colours) {
    let folders = Folders::new();
    let mut run = Start::new(&folders, &["rehearse", "--mute"]).env(env).run();
    run.sees("left");
    run.until("figures", |screen| screen.contents().contains("██"));
    run.press("space");
    run.is_held();
    run.signal(rustix::process::Signal::TERM);
    run.ends_well();
    for colour in colours(&run.sent) {
        let fits = match (colour, allowed) {
            (Colours::Indexed(n), Colours::Indexed(most)) => n < most,
            _ => allowed == Colours::True,
        };
        assert!(fits, "{env:?}: {colour:?} sent");
    }
    let coloured = !colours(&run.sent).is_empty();
    assert_eq!(coloured, allowed != Colours::None, "{env:?}");
}

/// Every colour that is set by select graphic rendition.
fn colours(sent: &[u8]) -> Vec<Colours> {
    let text = String::from_utf8_lossy(sent);
    let sequences = text.split("\x1b[").skip(1).filter_map(|rest| {
        let end = rest.find(|c: char| !(c.is_ascii_digit() || c == ';' || c == ':'))?;
        rest[end..].starts_with('m').then_some(&rest[..end])
    });
    sequences.flat_map(of_sequence).collect()
}

fn of_sequence(parameters: &str) -> Vec<Colours> {
    let mut numbers = parameters
        .split([';', ':'])
        .map(|n| n.parse::<u16>().unwrap_or(0));
    let mut found = Vec::new();
    while let Some(number) = numbers.next() {
        match number {
            38 | 48 | 58 => {
                let is_index = numbers.next() == Some(5);
                let first = numbers.next().unwrap_or(u16::MAX);
                found.push(if is_index {
                    Colours::Indexed(first)
                } else {
                    let _ = numbers.nth(1);
                    Colours::True
                });
            }
            30..=37 | 40..=47 => found.push(Colours::Indexed(number % 10)),
            90..=97 | 100..=107 => found.push(Colours::Indexed(8 + number % 10)),
            _ => {}
        }
    }
    found
}

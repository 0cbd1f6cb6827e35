//! Listens to the terminal: what is typed and pasted, stamped with the moment at which it came.
//!
//! It reads the terminal itself, since the library that draws blocks in the middle of a sequence
//! until the rest of it comes, and would keep every key and the size of the window waiting.

use std::sync::mpsc::Sender;

use super::clock::Clock;
use super::lent::Lent;
use super::signal::Signal;
use super::strokes::Heard;

fn tell(sender: &Sender<Signal>, heard: Vec<Heard>, hand: Clock) -> Result<(), ()> {
    for heard in heard {
        let signal = match heard {
            Heard::Focus => Signal::Redraw,
            heard => Signal::Heard(heard, hand.now()),
        };
        sender.send(signal).map_err(drop)?;
    }
    Ok(())
}

/// Until the terminal has gone, or nobody listens any more.
#[cfg(unix)]
pub(super) fn listen(sender: &Sender<Signal>, hand: Clock, lent: &Lent) {
    use std::io::IsTerminal as _;

    let stdin = std::io::stdin();
    if stdin.is_terminal() {
        listen_at(&stdin, sender, hand, lent);
    } else if let Ok(terminal) = std::fs::File::open("/dev/tty") {
        listen_at(&terminal, sender, hand, lent);
    }
}

#[cfg(unix)]
fn listen_at(terminal: &impl std::os::fd::AsFd, sender: &Sender<Signal>, hand: Clock, lent: &Lent) {
    use rustix::event::{PollFd, PollFlags, Timespec, poll};
    use rustix::io::{Errno, read};

    /// Without waiting.
    const AT_ONCE: Timespec = Timespec {
        tv_sec: 0,
        tv_nsec: 0,
    };
    let mut strokes = super::strokes::Strokes::default();
    let mut bytes = [0; 1024];
    loop {
        let due = strokes.due().map(|due| hand.until(due));
        let wait = due.and_then(|wait| Timespec::try_from(wait).ok());
        let mut ready = [PollFd::new(terminal, PollFlags::IN)];
        let heard = match poll(&mut ready, wait.as_ref()) {
            Ok(0) => strokes.give_up(hand.now()),
            Ok(_) => {
                // While the terminal is lent, what is typed is for the other program: it is looked
                // again for what is left of it afterwards.
                let _reads = lent.reading();
                if matches!(poll(&mut ready, Some(&AT_ONCE)), Ok(0)) {
                    continue;
                }
                match read(terminal, &mut bytes) {
                    Ok(read @ 1..) => strokes.take(&bytes[..read], hand.now()),
                    Err(Errno::INTR | Errno::AGAIN) => continue,
                    _ => return,
                }
            }
            Err(Errno::INTR | Errno::AGAIN) => continue,
            Err(_) => return,
        };
        if tell(sender, heard, hand).is_err() {
            return;
        }
    }
}

/// Elsewhere the console tells keys by itself, and the library reads them.
#[cfg(not(unix))]
pub(super) fn listen(sender: &Sender<Signal>, hand: Clock, _: &Lent) {
    use super::keys::Key;
    use super::strokes::{Motion, Stroke};
    use crossterm::event::{Event, KeyEventKind, KeyModifiers, read};

    while let Ok(event) = read() {
        let heard = match event {
            Event::Key(key) => {
                let plain = Key::plain(key.code);
                let with_ctrl = key.modifiers.contains(KeyModifiers::CONTROL);
                Heard::Stroke(Stroke {
                    motion: match key.kind {
                        KeyEventKind::Press => Motion::DownOrHeld,
                        KeyEventKind::Repeat => Motion::Held,
                        KeyEventKind::Release => Motion::Up,
                    },
                    ..Stroke::of(if with_ctrl { plain.with_ctrl() } else { plain })
                })
            }
            Event::Paste(text) => Heard::Paste(text.replace(['\r', '\n', '\t'], " ")),
            Event::Resize(..) | Event::FocusGained => Heard::Focus,
            _ => continue,
        };
        if tell(sender, vec![heard], hand).is_err() {
            return;
        }
    }
}

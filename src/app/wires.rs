//! What reaches the loop from outside: keys, the size of the window, signals of the system.
//!
//! Each source has a thread of its own. A terminal that has died may keep its reader busy for ever;
//! the signals arrive all the same, and the program leaves.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;

use crossterm::event::{Event, KeyEvent, KeyEventKind, read};

/// Something from outside.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Signal {
    /// A key was pressed.
    Key(KeyEvent),
    /// The window has another size, or has the focus again: draw everything.
    Redraw,
    /// The system asks the program to stop for a while (Ctrl-Z from elsewhere).
    Stop,
    /// The program goes on after a stop.
    Continue,
    /// The system asks the program to end, or the terminal has gone.
    Leave,
}

/// Listens from now on.
///
/// # Errors
/// The system refuses to hand its signals over.
pub(crate) fn listen() -> std::io::Result<Receiver<Signal>> {
    let (sender, receiver) = channel();
    listen_to_system(sender.clone())?;
    thread::Builder::new().name("keys".into()).spawn(move || {
        // However it ends: a program that hears no key any more must not sit there.
        let _ = catch_unwind(AssertUnwindSafe(|| listen_to_terminal(&sender)));
        let _ = sender.send(Signal::Leave);
    })?;
    Ok(receiver)
}

/// Until the terminal has gone, or nobody listens any more.
fn listen_to_terminal(sender: &Sender<Signal>) {
    while let Ok(event) = read() {
        let signal = match event {
            Event::Key(key) if key.kind == KeyEventKind::Press => Signal::Key(key),
            Event::Resize(..) | Event::FocusGained => Signal::Redraw,
            _ => continue,
        };
        if sender.send(signal).is_err() {
            return;
        }
    }
}

#[cfg(unix)]
fn listen_to_system(sender: Sender<Signal>) -> std::io::Result<()> {
    use signal_hook::consts::{SIGCONT, SIGHUP, SIGINT, SIGTERM, SIGTSTP};
    let mut signals =
        signal_hook::iterator::Signals::new([SIGHUP, SIGINT, SIGTERM, SIGTSTP, SIGCONT])?;
    thread::Builder::new()
        .name("signals".into())
        .spawn(move || {
            for signal in signals.forever() {
                let told = match signal {
                    SIGTSTP => Signal::Stop,
                    SIGCONT => Signal::Continue,
                    _ => Signal::Leave,
                };
                if sender.send(told).is_err() {
                    return;
                }
            }
        })?;
    Ok(())
}

#[cfg(not(unix))]
fn listen_to_system(_: Sender<Signal>) -> std::io::Result<()> {
    Ok(())
}

//! What reaches the loop from outside: keys, the size of the window, signals of the system.
//!
//! Each source has a thread of its own. A terminal that has died may keep its reader busy for ever;
//! the signals arrive all the same, and the program leaves.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;

use crossterm::event::{Event, KeyEvent, KeyEventKind, read};

/// How long the loop has to leave in good order once it was asked to: longer than it waits for the
/// disk.
#[cfg(unix)]
const GRACE: std::time::Duration = super::FINISH.saturating_mul(2);
/// The exit status of a program whose terminal took nothing more (`EX_IOERR`).
#[cfg(unix)]
const STUCK: i32 = 74;

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

/// Sees to it that a program that was asked to end does. The loop may wait for a terminal that
/// takes nothing, and then it hears nobody. What the record was told is safe by then: it has a
/// thread of its own.
#[cfg(unix)]
fn end_at_last() {
    let wait = || {
        let (_ours, never) = channel::<()>();
        let _ = never.recv_timeout(GRACE);
        let _ = crossterm::terminal::disable_raw_mode();
        std::process::exit(STUCK);
    };
    // Without a thread to spare there is only the loop.
    let _ = thread::Builder::new().name("end".into()).spawn(wait);
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
                if told == Signal::Leave {
                    end_at_last();
                }
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

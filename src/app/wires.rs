//! What reaches the loop from outside: keys, the size of the window, signals of the system.
//!
//! Each source has a thread of its own, so that none waits for another: a terminal that has died or
//! hangs in the middle of something keeps neither a new size nor the end from the loop.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;

use super::clock::Clock;
use super::lent::Lent;
use super::signal::Signal;

/// How long the loop has to leave in good order once it was asked to: longer than it waits for the
/// disk.
#[cfg(unix)]
const GRACE: std::time::Duration = super::waits::FINISH.saturating_mul(2);
/// The exit status of a program whose terminal took nothing more (`EX_IOERR`).
#[cfg(unix)]
const STUCK: i32 = 74;

/// What the loop listens to.
pub(super) struct Wires {
    /// What comes.
    pub(super) signals: Receiver<Signal>,
    /// For threads that come back with something.
    pub(super) back: Sender<Signal>,
    /// Set by whoever stops the whole group of processes, which is told to this one as well.
    pub(super) own_stop: Arc<AtomicBool>,
    /// Whether another program has the terminal.
    pub(super) lent: Lent,
}

/// Listens from now on; strokes are stamped by this clock.
///
/// # Errors
/// The system refuses to hand its signals over.
pub(super) fn listen(hand: Clock) -> std::io::Result<Wires> {
    let (back, signals) = channel();
    let own_stop = Arc::new(AtomicBool::new(false));
    let lent = Lent::default();
    listen_to_system(back.clone(), own_stop.clone(), lent.clone())?;
    let (sender, reads) = (back.clone(), lent.clone());
    thread::Builder::new().name("keys".into()).spawn(move || {
        // However it ends: a program that hears no key any more must not sit there.
        let _ = catch_unwind(AssertUnwindSafe(|| {
            super::tty::listen(&sender, hand, &reads);
        }));
        let _ = sender.send(Signal::Leave);
    })?;
    Ok(Wires {
        signals,
        back,
        own_stop,
        lent,
    })
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
fn listen_to_system(
    sender: Sender<Signal>,
    own_stop: Arc<AtomicBool>,
    lent: Lent,
) -> std::io::Result<()> {
    use signal_hook::consts::{SIGCONT, SIGHUP, SIGINT, SIGTERM, SIGTSTP, SIGWINCH};
    let all = [SIGHUP, SIGINT, SIGTERM, SIGTSTP, SIGCONT, SIGWINCH];
    let mut signals = signal_hook::iterator::Signals::new(all)?;
    thread::Builder::new()
        .name("signals".into())
        .spawn(move || {
            for signal in signals.forever() {
                let told = match signal {
                    // The other program does with them what it likes; where it stops, so do we.
                    SIGINT | SIGCONT if lent.is_away() => continue,
                    SIGTSTP if lent.is_away() => {
                        let _ = signal_hook::low_level::raise(signal_hook::consts::SIGSTOP);
                        continue;
                    }
                    SIGTSTP if own_stop.swap(false, Ordering::AcqRel) => continue,
                    SIGTSTP => Signal::Stop,
                    SIGCONT => Signal::Continue,
                    SIGWINCH => Signal::Redraw,
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
fn listen_to_system(_: Sender<Signal>, _: Arc<AtomicBool>, _: Lent) -> std::io::Result<()> {
    Ok(())
}

//! The terminal and what comes from outside, for whichever page is shown.
//!
//! A page is a value. It is drawn when it differs from the one before or when the terminal forgot
//! what it shows, and at no other time.

use std::io;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError};
use std::time::Duration;

use crossterm::event::KeyCode;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::clock::Clock;
use super::keys::BOUNCE;
use super::terminal::Screen;
use super::wires::{Signal, listen};
use crate::screen::Theme;
use crate::sound::Hush;
use crate::time::Moment;

/// Something that can be drawn, and compared with what was drawn before.
pub(super) trait Page: Clone + PartialEq {
    /// Draws it.
    fn paint(&self, area: Rect, buf: &mut Buffer, theme: &Theme);
}

/// The terminal in our hands.
pub(super) struct Shell {
    screen: Screen,
    signals: Receiver<Signal>,
    theme: Theme,
    stale: bool,
    leaving: bool,
    hand: Clock,
    /// When Enter was last heard: held down, it must not run through one page after another.
    enter: Option<Moment>,
}

impl Shell {
    /// Takes the terminal and listens.
    ///
    /// # Errors
    /// The terminal or the system refuses.
    pub(super) fn take(theme: Theme, hush: Arc<Hush>) -> io::Result<Self> {
        Ok(Self {
            signals: listen()?,
            screen: Screen::take(hush)?,
            theme,
            stale: true,
            leaving: false,
            hand: Clock::starting_at(Moment::ZERO, 1),
            enter: None,
        })
    }

    /// Whether the system wants the program gone, or the terminal is.
    pub(super) const fn is_leaving(&self) -> bool {
        self.leaving
    }

    /// Draws a page if it differs from the one before. A terminal that has gone ends the program
    /// in good order, it does not fail it.
    pub(super) fn show<P: Page>(&mut self, page: &P, last: &mut Option<P>) {
        if !self.stale && last.as_ref() == Some(page) {
            return;
        }
        let theme = self.theme;
        let forgot = if self.stale {
            self.screen.forget()
        } else {
            Ok(())
        };
        let drawn =
            forgot.and_then(|()| self.screen.draw(|area, buf| page.paint(area, buf, &theme)));
        self.stale = drawn.as_ref().is_err_and(passes);
        self.leaving |= drawn.is_err() && !self.stale;
        *last = Some(page.clone());
    }

    /// The next thing from outside, or nothing after this long. Stops and sizes are dealt with
    /// here; keys and the rest are for the page.
    pub(super) fn next(&mut self, wait: Duration) -> Option<Signal> {
        let signal = match self.signals.recv_timeout(wait) {
            Ok(signal) => signal,
            Err(RecvTimeoutError::Timeout) => return None,
            Err(RecvTimeoutError::Disconnected) => Signal::Leave,
        };
        self.take_in(&signal);
        (!self.is_echo(&signal)).then_some(signal)
    }

    fn is_echo(&mut self, signal: &Signal) -> bool {
        let Signal::Key(key) = signal else {
            return false;
        };
        if key.code != KeyCode::Enter {
            self.enter = None;
            return false;
        }
        let now = self.hand.now();
        let before = self.enter.replace(now);
        before.is_some_and(|at| now.since(at) < BOUNCE)
    }

    fn take_in(&mut self, signal: &Signal) {
        let done = match signal {
            Signal::Key(_) => return,
            Signal::Redraw => {
                self.stale = true;
                return;
            }
            Signal::Leave => {
                self.leaving = true;
                return;
            }
            Signal::Stop => self.screen.stop(),
            Signal::Continue => self.screen.retake(),
        };
        self.stale = true;
        self.leaving |= done.is_err();
    }

    /// Stops the program as Ctrl-Z does, and comes back.
    pub(super) fn stop(&mut self) {
        self.take_in(&Signal::Stop);
    }
}

/// Whether a terminal that did not take a page may take the next one. It may have been set by
/// another program not to let anyone wait, and be full for the moment.
fn passes(error: &io::Error) -> bool {
    use io::ErrorKind::{Interrupted, TimedOut, WouldBlock};
    matches!(error.kind(), Interrupted | TimedOut | WouldBlock)
}

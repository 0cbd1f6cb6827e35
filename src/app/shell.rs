//! The terminal and what comes from outside, for whichever page is shown.
//!
//! A page is a value. It is drawn when it differs from the one before or when the terminal forgot
//! what it shows, and at no other time. Strokes of keys are judged here, for all pages alike.

use std::collections::VecDeque;
use std::io;
use std::sync::Arc;
use std::sync::atomic::Ordering;
use std::sync::mpsc::{RecvTimeoutError, Sender};
use std::time::Duration;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::clock::Clock;
use super::hands::{Hands, Meant, Nature};
use super::keys::Key;
use super::signal::Signal;
use super::strokes::{Heard, Stroke};
use super::terminal::Screen;
use super::wires::{Wires, listen};
use crate::screen::{Hint, Theme};
use crate::sound::Hush;
use crate::time::{Moment, Span};

/// How long a word about a key stands.
const WORD: Span = Span::from_secs(4);
/// How long it takes to see that another page is shown, and to keep a hand from its key. Common
/// practice, no source.
const SEEN: Span = Span::from_millis(800);
/// What is said of pasted text where nothing can be written.
pub(super) const NO_PASTE: &str = "pasted text is no keys: left out";

/// Something that can be drawn, and compared with what was drawn before.
pub(super) trait Painted: Clone + PartialEq {
    /// Draws it.
    fn paint(&self, area: Rect, buf: &mut Buffer, theme: &Theme);
}

/// What a page is told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Told {
    /// A key was pressed, and meant.
    Key(Stroke),
    /// Text was pasted.
    Paste(String),
}

/// The terminal in our hands.
pub(super) struct Shell {
    screen: Screen,
    wires: Wires,
    theme: Theme,
    stale: bool,
    leaving: bool,
    /// Real time, by which a hand is judged whatever the pace.
    hand: Clock,
    hands: Hands,
    /// A stroke that is to be judged by the page that comes of the one before it.
    next: Option<(Stroke, Moment)>,
    /// What was told to a page that had no use for it, for the one behind it.
    again: VecDeque<Told>,
    word: Option<(String, Moment)>,
    waits: Moment,
    /// Until then no key is meant for what is shown.
    deaf: Moment,
}

impl Shell {
    /// Takes the terminal and listens.
    ///
    /// # Errors
    /// The terminal or the system refuses.
    pub(super) fn take(theme: Theme, hush: Arc<Hush>) -> io::Result<Self> {
        let hand = Clock::starting_at(Moment::ZERO + WORD, 1);
        let screen = Screen::take(hush)?;
        Ok(Self {
            screen,
            wires: listen(hand)?,
            theme,
            stale: true,
            leaving: false,
            hand,
            hands: Hands::at_the_start(hand.now()),
            next: None,
            again: VecDeque::new(),
            word: None,
            waits: hand.now(),
            deaf: hand.now(),
        })
    }

    /// Whether the system wants the program gone, or the terminal is.
    pub(super) const fn is_leaving(&self) -> bool {
        self.leaving
    }

    /// For threads that come back with something: the loop looks when they send
    /// [`Signal::Back`].
    pub(super) fn back(&self) -> Sender<Signal> {
        self.wires.back.clone()
    }

    /// Begins to wait for something that is no key.
    pub(super) fn begin_waiting(&mut self) {
        self.waits = self.hand.now();
    }

    /// Whether so long has passed since then.
    pub(super) fn waited(&self, long: Duration) -> bool {
        let waited = self.hand.now().since(self.waits);
        u128::from(waited.millis()) >= long.as_millis()
    }

    /// What is shown now came by itself: a key that was on its way is not meant for it.
    pub(super) fn came_unasked(&mut self) {
        self.deaf = self.hand.now() + SEEN;
    }

    /// Has a word said about a key for a moment.
    pub(super) fn say(&mut self, word: impl Into<String>) {
        self.word = Some((word.into(), self.hand.now() + WORD));
    }

    /// Has it said that a key does nothing here.
    pub(super) fn say_unbound(&mut self, key: Key) {
        let key = if key == Key::OTHER {
            "this key".to_owned()
        } else {
            key.to_string()
        };
        self.say(format!("{key} does nothing here"));
    }

    /// The word, while it stands.
    pub(super) fn word(&self) -> Option<&str> {
        let (word, until) = self.word.as_ref()?;
        (self.hand.now() < *until).then_some(word)
    }

    /// The hints of a page, or the word in their place.
    pub(super) fn or_word(&self, hints: Vec<Hint>) -> Vec<Hint> {
        match self.word() {
            Some(word) => vec![Hint::new(word, "")],
            None => hints,
        }
    }

    /// Draws a page if it differs from the one before. A terminal that has gone ends the program
    /// in good order, it does not fail it.
    pub(super) fn show<P: Painted>(&mut self, page: &P, last: &mut Option<P>) {
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

    /// What is next told to a page on which keys are of these natures, or nothing after this long or
    /// where something else happened. Stops, sizes and strokes that are not meant are dealt with
    /// here.
    pub(super) fn next(
        &mut self,
        wait: Duration,
        nature: impl Fn(Stroke) -> Nature,
    ) -> Option<Told> {
        if let Some(told) = self.again.pop_front() {
            return Some(told);
        }
        let told = match self.next.take() {
            Some((stroke, at)) => self.judge(stroke, at, nature),
            None => self.listen(wait, nature),
        }?;
        match told {
            Told::Key(stroke) if stroke.command() == Key::ctrl('z') => {
                self.stop();
                None
            }
            told => Some(told),
        }
    }

    /// Has the page that comes next told this first.
    pub(super) fn hear_again(&mut self, told: Vec<Told>) {
        self.again.extend(told);
    }

    fn listen(&mut self, wait: Duration, nature: impl Fn(Stroke) -> Nature) -> Option<Told> {
        let settles = self.hands.due().map(|due| self.hand.until(due));
        let wait = settles.map_or(wait, |settles| settles.min(wait));
        match self.wires.signals.recv_timeout(wait) {
            Ok(Signal::Heard(Heard::Stroke(stroke), at)) => self.judge(stroke, at, nature),
            Ok(Signal::Heard(Heard::Paste(text), _)) => Some(Told::Paste(text)),
            Ok(signal) => {
                self.take_in(&signal);
                None
            }
            Err(RecvTimeoutError::Timeout) => {
                self.hands.settled(self.hand.now(), None).map(Told::Key)
            }
            Err(RecvTimeoutError::Disconnected) => {
                self.leaving = true;
                None
            }
        }
    }

    fn judge(
        &mut self,
        stroke: Stroke,
        at: Moment,
        nature: impl Fn(Stroke) -> Nature,
    ) -> Option<Told> {
        if let Some(before) = self.hands.settled(at, Some(stroke.key)) {
            self.next = Some((stroke, at));
            return Some(Told::Key(before));
        }
        let meant = self.hands.judge(stroke, nature(stroke), at);
        (meant == Meant::Press && at >= self.deaf).then_some(Told::Key(stroke))
    }

    fn take_in(&mut self, signal: &Signal) {
        let done = match signal {
            Signal::Heard(..) | Signal::Back => return,
            Signal::Redraw => {
                self.stale = true;
                return;
            }
            Signal::Leave => {
                self.leaving = true;
                return;
            }
            Signal::Stop => self.screen.stop(stop_this),
            Signal::Continue => self.screen.retake(),
        };
        self.stale = true;
        self.leaving |= done.is_err();
    }

    /// Gives the terminal to another program until that is done with it, and takes it back.
    pub(super) fn lend<T>(&mut self, to: impl FnOnce() -> T) -> Option<T> {
        let lent = self.wires.lent.clone();
        let mut came = None;
        let done = lent.lend(|| {
            self.screen.stop(|| {
                came = Some(to());
                Ok(())
            })
        });
        self.stale = true;
        self.leaving |= done.is_err();
        came
    }

    /// Stops the program as Ctrl-Z does, with whatever started it and waits for it, and comes back.
    fn stop(&mut self) {
        if !has_shell() {
            return self.say("no shell waits here: ctrl-z does nothing");
        }
        let own = self.wires.own_stop.clone();
        let done = self.screen.stop(|| {
            own.store(true, Ordering::Release);
            if stop_group().is_err() {
                own.store(false, Ordering::Release);
            }
            stop_this()
        });
        self.stale = true;
        self.leaving |= done.is_err();
    }
}

#[cfg(unix)]
fn stop_this() -> io::Result<()> {
    signal_hook::low_level::raise(signal_hook::consts::SIGSTOP)
}

#[cfg(unix)]
fn stop_group() -> io::Result<()> {
    Ok(rustix::process::kill_current_process_group(
        rustix::process::Signal::TSTP,
    )?)
}

/// Whether somebody could bring the program back: a shell with jobs gives each a group of its own.
#[cfg(unix)]
fn has_shell() -> bool {
    use rustix::process::{getpgrp, getsid};
    getsid(None).is_ok_and(|session| session != getpgrp())
}

#[cfg(not(unix))]
fn has_shell() -> bool {
    false
}

/// There is no such stop here.
#[cfg(not(unix))]
fn stop_this() -> io::Result<()> {
    Ok(())
}

#[cfg(not(unix))]
fn stop_group() -> io::Result<()> {
    Ok(())
}

/// Whether a terminal that did not take a page may take the next one. It may have been set by
/// another program not to let anyone wait, and be full for the moment.
fn passes(error: &io::Error) -> bool {
    use io::ErrorKind::{Interrupted, TimedOut, WouldBlock};
    matches!(error.kind(), Interrupted | TimedOut | WouldBlock)
}

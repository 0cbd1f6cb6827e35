//! What is sent for on another thread, so that the loop never waits for a disk, and the page that
//! says so when it takes long.
//!
//! A disk may answer in an hour or never. Whoever waits can always go on without.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};
use std::thread;
use std::time::Duration;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::footer;
use super::hands::Nature;
use super::keys::Key;
use super::shell::{Painted, Shell, Told};
use super::signal::Signal;
use super::strokes::Stroke;
use crate::screen::{Role, Theme};

/// How long something may take before a word is said.
pub(super) const PATIENCE: Duration = Duration::from_secs(1);

/// What is told of a disk that takes long.
const DISK: &str = "The disk has not answered yet.";

/// Something that was sent for.
pub(super) struct Errand<T> {
    from: Receiver<T>,
}

/// What became of an errand.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Came<T> {
    /// It is back.
    Back(T),
    /// It is gone on without.
    Without,
    /// The program is to be left.
    Leave,
}

impl<T: Send + 'static> Errand<T> {
    /// Sends for something; `back` is told when it is there.
    pub(super) fn send(back: Sender<Signal>, work: impl FnOnce() -> T + Send + 'static) -> Self {
        let (to, from) = channel();
        let thread = thread::Builder::new().name("errand".into());
        // Without a thread to spare, or where the work panics, nothing comes back, and that is seen.
        let _ = thread.spawn(move || {
            let done = catch_unwind(AssertUnwindSafe(work));
            let _ = done.map(|done| to.send(done));
            drop(to);
            let _ = back.send(Signal::Back);
        });
        Self { from }
    }

    /// What came back, once: or that nothing will.
    pub(super) fn look(&self) -> Option<Result<T, ()>> {
        match self.from.try_recv() {
            Ok(done) => Some(Ok(done)),
            Err(TryRecvError::Empty) => None,
            Err(TryRecvError::Disconnected) => Some(Err(())),
        }
    }

    /// Waits for the disk with the page that says what for, which Esc and Enter close.
    pub(super) fn wait(self, shell: &mut Shell, what: &'static str) -> Came<T> {
        self.wait_saying(shell, what, DISK)
    }

    /// The same where whoever types need not see that there was a wait: what is pressed before its
    /// page is shown is heard behind it.
    pub(super) fn wait_unseen(self, shell: &mut Shell, what: &'static str) -> Came<T> {
        let mut heard = Vec::new();
        let came = self.wait_hearing(shell, &Waiting { what, why: DISK }, |told| heard.push(told));
        shell.hear_again(heard);
        came
    }

    /// The same, with what is to be said of something that is no disk.
    pub(super) fn wait_saying(
        self,
        shell: &mut Shell,
        what: &'static str,
        why: &'static str,
    ) -> Came<T> {
        self.wait_hearing(shell, &Waiting { what, why }, drop)
    }

    /// Waits; `hear` is given what is pressed before the page is shown.
    fn wait_hearing(
        self,
        shell: &mut Shell,
        page: &Waiting,
        mut hear: impl FnMut(Told),
    ) -> Came<T> {
        shell.begin_waiting();
        let mut last = None;
        while !shell.is_leaving() {
            let is_late = shell.waited(PATIENCE);
            match self.look() {
                Some(Ok(done)) => return Came::Back(done),
                Some(Err(())) => return Came::Without,
                None if is_late => shell.show(page, &mut last),
                None => {}
            }
            match shell.next(PATIENCE, nature) {
                Some(Told::Key(stroke)) if is_late || stroke.command() == Key::ctrl('c') => {
                    match stroke.command().name().as_str() {
                        "ctrl-c" => return Came::Leave,
                        "esc" | "enter" | "space" => return Came::Without,
                        _ => {}
                    }
                }
                Some(told) if !is_late => hear(told),
                Some(_) | None => {}
            }
        }
        Came::Leave
    }
}

/// A key that is still held from the page before must not close this one.
fn nature(_: Stroke) -> Nature {
    Nature::Begin
}

/// The page of something that takes long.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Waiting {
    what: &'static str,
    why: &'static str,
}

impl Painted for Waiting {
    fn paint(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let width = usize::from(area.width.saturating_sub(1));
        let keys = footer::of_page(&[("esc", "go on without"), ("ctrl-c", "leave")]);
        let keys: Vec<String> = keys
            .iter()
            .map(|hint| format!("{} {}", hint.key, hint.action))
            .collect();
        let lines = [
            (self.what, Role::Trouble),
            (self.why, Role::Now),
            (&keys.join("   "), Role::Quiet),
        ];
        for (row, (line, role)) in (area.top()..area.bottom()).zip(lines) {
            if width > 0 {
                buf.set_stringn(area.x + 1, row, line, width, theme.style(role));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What never comes back holds nobody up, what panics is seen, and what is done is told.
    #[test]
    fn an_errand_comes_back_or_is_seen_not_to() {
        let (back, told) = channel();
        let (answer, never) = channel::<()>();
        let hangs = Errand::send(back.clone(), move || {
            let _ = never.recv();
            1
        });
        assert!(hangs.look().is_none());
        let done = Errand::send(back.clone(), || 2);
        assert_eq!(told.recv(), Ok(Signal::Back));
        assert_eq!(done.look(), Some(Ok(2)));
        assert_eq!(done.look(), Some(Err(())));
        let broken = Errand::send(back, || -> u8 { panic!("a fault of the disk's reader") });
        assert_eq!(told.recv(), Ok(Signal::Back));
        assert_eq!(broken.look(), Some(Err(())));
        assert!(hangs.look().is_none());
        drop(answer);
        assert_eq!(told.recv(), Ok(Signal::Back));
        assert_eq!(hangs.look(), Some(Ok(1)));
    }
}

//! The terminal: taken whole, given back whole, whatever happens.

use std::cell::Cell;
use std::io::{self, Stdout, Write, stdout};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;

use crossterm::cursor::{Hide, Show};
use crossterm::event::{DisableBracketedPaste, EnableBracketedPaste};
use crossterm::execute;
use crossterm::style::{Print, ResetColor, force_color_output};
use crossterm::terminal::{
    BeginSynchronizedUpdate, Clear, ClearType, EndSynchronizedUpdate, EnterAlternateScreen,
    LeaveAlternateScreen, disable_raw_mode, enable_raw_mode, size,
};
use ratatui::backend::CrosstermBackend;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::{Terminal, TerminalOptions, Viewport};

use crate::sound::Hush;

/// What stands in the place of a page that cannot be drawn.
const UNDRAWN: &str = "This page cannot be drawn here. The class goes on; another size may help.";

/// The screen while the program has it.
#[derive(Debug)]
pub(crate) struct Screen {
    terminal: Terminal<CrosstermBackend<Stdout>>,
}

impl Screen {
    /// Takes the terminal.
    ///
    /// # Errors
    /// The terminal refuses.
    pub(crate) fn take(hush: Arc<Hush>) -> io::Result<Self> {
        give_back_on_panic(hush);
        // With NO_COLOR set the library below would answer bold and reverse with a full reset.
        force_color_output(true);
        let taken = enter().and_then(|()| blank());
        if taken.is_err() {
            leave();
        }
        Ok(Self { terminal: taken? })
    }

    /// Draws one frame; only cells that changed are sent, between the marks of one update.
    ///
    /// # Errors
    /// The terminal has gone.
    pub(crate) fn draw(&mut self, paint: impl FnOnce(Rect, &mut Buffer)) -> io::Result<()> {
        execute!(stdout(), BeginSynchronizedUpdate)?;
        self.terminal.draw(|frame| {
            let area = frame.area();
            painted(area, frame.buffer_mut(), paint);
        })?;
        execute!(stdout(), EndSynchronizedUpdate)
    }

    /// Has the next frame sent whole and in the window's present size, whatever the terminal shows
    /// now.
    ///
    /// # Errors
    /// The terminal has gone.
    pub(crate) fn forget(&mut self) -> io::Result<()> {
        execute!(stdout(), ResetColor, Clear(ClearType::All))?;
        self.terminal = blank()?;
        Ok(())
    }

    /// Gives the terminal back, stops the program, and takes the terminal again once it goes on.
    ///
    /// # Errors
    /// The terminal has gone meanwhile.
    pub(crate) fn stop(&mut self, stop: impl FnOnce() -> io::Result<()>) -> io::Result<()> {
        leave();
        stop()?;
        self.retake()
    }

    /// Takes the terminal again after a stop from outside. The shell has set it as it likes it
    /// meanwhile, and the library below does nothing to a terminal that it takes for raw already.
    ///
    /// # Errors
    /// The terminal has gone meanwhile.
    pub(crate) fn retake(&mut self) -> io::Result<()> {
        let _ = disable_raw_mode();
        // Asked twice it would tell keys so still when it was taken back once.
        execute!(stdout(), asked(TELL_KEYS_NO_MORE))?;
        enter()?;
        self.forget()
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        leave();
    }
}

/// A terminal that is taken for empty. Its size is fixed until the window tells another one: the
/// library's own way to follow the window asks the terminal where the cursor stands, and the answer
/// would be read by the thread that waits for keys.
fn blank() -> io::Result<Terminal<CrosstermBackend<Stdout>>> {
    let (width, height) = told(size()?);
    let viewport = Viewport::Fixed(Rect::new(0, 0, width, height));
    let backend = CrosstermBackend::new(stdout());
    Terminal::with_options(backend, TerminalOptions { viewport })
}

/// A terminal that tells no size, as a serial line does, has the usual one.
const fn told((width, height): (u16, u16)) -> (u16, u16) {
    let width = if width == 0 { 80 } else { width };
    (width, if height == 0 { 24 } else { height })
}

/// Has keys told with holding, letting go and their place in the Latin layout, by the protocol of
/// the kitty terminal, and takes that back. Whoever does not know it passes over it, but the console
/// of Linux and a terminal that can do nothing are not asked.
const TELL_KEYS: &str = "\x1b[>31u";
const TELL_KEYS_NO_MORE: &str = "\x1b[<u";

fn asked(what: &'static str) -> Print<&'static str> {
    let term = std::env::var("TERM").unwrap_or_default();
    let knows = !matches!(term.as_str(), "linux" | "dumb" | "");
    Print(if knows { what } else { "" })
}

fn enter() -> io::Result<()> {
    enable_raw_mode()?;
    let keys = asked(TELL_KEYS);
    execute!(
        stdout(),
        EnterAlternateScreen,
        Hide,
        EnableBracketedPaste,
        keys
    )
}

/// Gives back all that can be; a terminal that has gone takes nothing.
fn leave() {
    let _ = execute!(
        stdout(),
        EndSynchronizedUpdate,
        asked(TELL_KEYS_NO_MORE),
        DisableBracketedPaste,
        LeaveAlternateScreen,
        Show
    );
    let _ = disable_raw_mode();
    let _ = stdout().flush();
}

/// A panic of the thread that draws ends the program, so the terminal is given back before the
/// report. Another thread's ends that thread alone: the class goes on, and the screen says what is
/// missing now.
fn give_back_on_panic(hush: Arc<Hush>) {
    let next = std::panic::take_hook();
    let owner = std::thread::current().id();
    std::panic::set_hook(Box::new(move |panic| {
        if std::thread::current().id() != owner || PAINTING.get() {
            return;
        }
        leave();
        hush.lift();
        next(panic);
    }));
}

thread_local! {
    static PAINTING: Cell<bool> = const { Cell::new(false) };
}

/// Paints a page. One that panics, as it may in a window of some odd size, must not end the class:
/// its place is taken by a line that says so.
fn painted(area: Rect, buf: &mut Buffer, paint: impl FnOnce(Rect, &mut Buffer)) {
    PAINTING.set(true);
    let done = catch_unwind(AssertUnwindSafe(|| paint(area, buf)));
    PAINTING.set(false);
    if done.is_err() {
        buf.reset();
        let width = usize::from(area.width);
        buf.set_stringn(area.x, area.y, UNDRAWN, width, Style::default());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ioctl_tty(2): a size that nobody set is zero.
    #[test]
    fn a_size_that_is_not_told_is_the_usual_one() {
        for (size, taken) in [
            ((0, 0), (80, 24)),
            ((0, 30), (80, 30)),
            ((120, 0), (120, 24)),
            ((1, 1), (1, 1)),
            ((200, 50), (200, 50)),
        ] {
            assert_eq!(told(size), taken);
        }
    }

    #[test]
    fn a_page_that_panics_is_a_line_and_not_the_end() {
        for (width, height) in [(80, 24), (5, 1), (0, 0)] {
            let area = Rect::new(0, 0, width, height);
            let mut buf = Buffer::empty(area);
            painted(area, &mut buf, |area, buf| {
                buf.set_string(0, 0, "torn", Style::default());
                let _ = &buf[(area.width, area.height)];
            });
            let text: String = buf
                .content
                .iter()
                .map(ratatui::buffer::Cell::symbol)
                .collect();
            let room = usize::from(width).min(UNDRAWN.len());
            assert!(text.starts_with(&UNDRAWN[..room]), "{text}");
            assert!(!PAINTING.get());
        }
    }
}

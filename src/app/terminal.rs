//! The terminal: taken whole, given back whole, whatever happens.

use std::io::{self, Stdout, Write, stdout};
use std::sync::Arc;

use crossterm::cursor::{Hide, Show};
use crossterm::execute;
use crossterm::style::{ResetColor, force_color_output};
use crossterm::terminal::{
    BeginSynchronizedUpdate, Clear, ClearType, EndSynchronizedUpdate, EnterAlternateScreen,
    LeaveAlternateScreen, disable_raw_mode, enable_raw_mode, size,
};
use ratatui::backend::CrosstermBackend;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use crate::sound::Hush;
use ratatui::{Terminal, TerminalOptions, Viewport};

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
        enter()?;
        Ok(Self { terminal: blank()? })
    }

    /// Draws one frame; only cells that changed are sent, between the marks of one update.
    ///
    /// # Errors
    /// The terminal has gone.
    pub(crate) fn draw(&mut self, paint: impl FnOnce(Rect, &mut Buffer)) -> io::Result<()> {
        execute!(stdout(), BeginSynchronizedUpdate)?;
        self.terminal.draw(|frame| {
            let area = frame.area();
            paint(area, frame.buffer_mut());
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

    /// Stops the program as Ctrl-Z does, and comes back with the terminal taken again.
    ///
    /// # Errors
    /// The terminal has gone meanwhile.
    #[cfg(unix)]
    pub(crate) fn stop(&mut self) -> io::Result<()> {
        leave();
        signal_hook::low_level::raise(signal_hook::consts::SIGSTOP)?;
        self.retake()
    }

    /// There is no such stop here.
    ///
    /// # Errors
    /// Never.
    #[cfg(not(unix))]
    pub(crate) fn stop(&mut self) -> io::Result<()> {
        Ok(())
    }

    /// Takes the terminal again after a stop from outside.
    ///
    /// # Errors
    /// The terminal has gone meanwhile.
    pub(crate) fn retake(&mut self) -> io::Result<()> {
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
    let (width, height) = size()?;
    let viewport = Viewport::Fixed(Rect::new(0, 0, width, height));
    let backend = CrosstermBackend::new(stdout());
    Terminal::with_options(backend, TerminalOptions { viewport })
}

fn enter() -> io::Result<()> {
    enable_raw_mode()?;
    execute!(stdout(), EnterAlternateScreen, Hide)
}

/// Gives back all that can be; a terminal that has gone takes nothing.
fn leave() {
    let _ = execute!(stdout(), EndSynchronizedUpdate, LeaveAlternateScreen, Show);
    let _ = disable_raw_mode();
    let _ = stdout().flush();
}

fn give_back_on_panic(hush: Arc<Hush>) {
    let next = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |panic| {
        if std::thread::current().name() == Some(super::awake::THREAD) {
            return;
        }
        leave();
        hush.lift();
        next(panic);
    }));
}

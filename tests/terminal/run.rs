//! The program in a pseudo-terminal of its own: started, pressed, looked at, and never left behind.

use std::collections::HashMap;
use std::io::{Read, Write};
use std::num::NonZeroU16;
use std::os::unix::process::ExitStatusExt;
use std::path::Path;
use std::process::{Child, ExitStatus};
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use matside::record::Wall;
use pty_process::Size;
use pty_process::blocking::{Command, Pty, open};
use rustix::event::{PollFd, PollFlags, Timespec, poll};
use rustix::process::{Pid, Signal, kill_process};

use crate::folders::Folders;

/// How long a test waits for something to be seen before it gives up: long, for slow machines.
pub(crate) const PATIENCE: Duration = Duration::from_secs(30);
/// The same key again sooner than this is the chatter of its switch, or the first repeat of a held
/// one: of what is counted by presses, of what turns something, of what begins or records a class.
const APART: Duration = Duration::from_millis(200);
const TURNS: Duration = Duration::from_millis(900);
const BEGINS: Duration = Duration::from_millis(1_300);

/// One start at a time: a terminal that another start inherited would never be seen to close.
static STARTING: Mutex<()> = Mutex::new(());

/// Columns and rows.
pub(crate) type Cells = (u16, u16);

/// A running program and its terminal.
pub(crate) struct Run {
    child: Child,
    pty: Option<Pty>,
    screen: vt100::Parser,
    /// All that the program ever sent.
    pub(crate) sent: Vec<u8>,
    pieces: usize,
    last: Option<(String, Instant)>,
    pressed: HashMap<String, Instant>,
    /// When the program was first seen.
    started: Option<Instant>,
}

/// What is to be started, and in what surroundings.
pub(crate) struct Start<'a> {
    folders: &'a Folders,
    args: Vec<String>,
    cells: Cells,
    env: Vec<(&'static str, String)>,
    below: Option<Shell>,
}

/// A shell that waits for the program, and goes on with it at the next Enter once it was stopped.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Shell {
    /// And nothing between.
    Alone,
    /// And a script between them, in one group of processes with the program.
    AndAScript,
}

/// What that shell says when it is heard again.
pub(crate) const HEARD: &str = "the shell is heard";

impl Shell {
    /// What it runs, with the program and its arguments as its own.
    fn script(self) -> String {
        let job = match self {
            Self::Alone => "\"$@\"",
            Self::AndAScript => "sh -c '\"$@\"; exit $?' sh \"$@\"",
        };
        // 148 is 128 and the number of SIGTSTP, 147 that and the number of SIGSTOP (signal(7)).
        format!(
            "{job}; is=$?; while [ $is -ge 147 ] && [ $is -le 148 ]; \
             do echo {HEARD}; read line; fg; is=$?; done; exit $is"
        )
    }
}

impl<'a> Start<'a> {
    /// A rehearsal begins at once.
    pub(crate) fn new(folders: &'a Folders, args: &[&str]) -> Self {
        let go = args.first().is_some_and(|word| *word == "rehearse");
        let mut start = Self::paged(folders, args);
        start.args.extend(go.then(|| "--go".to_owned()));
        start
    }

    /// The same, and a rehearsal begins with the page of the class.
    pub(crate) fn paged(folders: &'a Folders, args: &[&str]) -> Self {
        Self {
            folders,
            args: args.iter().map(|&arg| arg.to_owned()).collect(),
            cells: (80, 24),
            env: vec![
                ("TERM", "xterm-256color".into()),
                ("COLORTERM", "truecolor".into()),
            ],
            below: None,
        }
    }

    /// The session's file, after the words of the command.
    pub(crate) fn file(mut self, path: &Path) -> Self {
        self.args.push(path.display().to_string());
        self
    }

    pub(crate) fn cells(self, cells: Cells) -> Self {
        Self { cells, ..self }
    }

    /// Started by a shell with jobs.
    pub(crate) fn below(self, shell: Shell) -> Self {
        Self {
            below: Some(shell),
            ..self
        }
    }

    /// These variables and no `TERM` or `COLORTERM` besides.
    pub(crate) fn env(self, env: &[(&'static str, &str)]) -> Self {
        let env = env.iter().map(|&(name, value)| (name, value.to_owned()));
        Self {
            env: env.collect(),
            ..self
        }
    }

    pub(crate) fn run(self) -> Run {
        let _one_at_a_time = STARTING.lock().unwrap_or_else(PoisonError::into_inner);
        let (pty, pts) = open().expect("a pseudo-terminal");
        let (columns, rows) = self.cells;
        pty.resize(Size::new(rows, columns)).expect("a size");
        let program = env!("CARGO_BIN_EXE_matside");
        let command = match self.below {
            Some(shell) => Command::new("sh").args(["-m", "-c", &shell.script(), "sh", program]),
            None => Command::new(program),
        };
        let command = command
            .args(&self.args)
            .env_clear()
            .envs(self.env)
            .env("PATH", std::env::var_os("PATH").unwrap_or_default())
            .env("HOME", self.folders.root())
            .env("MATSIDE_DATA", self.folders.data())
            .env("MATSIDE_CONFIG", self.folders.config())
            .current_dir(self.folders.root());
        Run {
            child: command.spawn(pts).expect("the program starts"),
            pty: Some(pty),
            screen: vt100::Parser::new(least_one(rows), least_one(columns), 0),
            sent: Vec::new(),
            pieces: 0,
            last: None,
            pressed: HashMap::new(),
            started: None,
        }
    }
}

impl Drop for Run {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Run {
    /// Takes in what the program sends, for so long or until it has said something.
    fn listen(&mut self, wait: Duration) -> bool {
        let Some(pty) = &self.pty else { return false };
        let mut ready = [PollFd::new(pty, PollFlags::IN)];
        let wait = Timespec::try_from(wait).expect("a short wait");
        if !matches!(poll(&mut ready, Some(&wait)), Ok(1..)) {
            return false;
        }
        let mut bytes = [0; 16 * 1024];
        let mut pty = pty;
        let Ok(read @ 1..) = pty.read(&mut bytes) else {
            return false;
        };
        self.started.get_or_insert_with(now);
        self.pieces += 1;
        self.screen.process(&bytes[..read]);
        self.sent.extend_from_slice(&bytes[..read]);
        true
    }

    /// Takes in what the program sends for the whole of this time.
    pub(crate) fn watch(&mut self, time: Duration) {
        let from = now();
        while let Some(left) = time.checked_sub(from.elapsed()).filter(|l| !l.is_zero()) {
            if !self.listen(left) && self.is_over() {
                return;
            }
        }
    }

    /// Waits until the screen is as it should be.
    pub(crate) fn until(&mut self, what: &str, is_so: impl Fn(&vt100::Screen) -> bool) {
        self.wait_until(what, is_so);
        // A key that was answered late may only be pressed again from here on.
        if let Some((_, at)) = &mut self.last {
            *at = now();
        }
    }

    fn wait_until(&mut self, what: &str, is_so: impl Fn(&vt100::Screen) -> bool) {
        let from = now();
        while !is_so(self.screen.screen()) {
            let heard = self.listen(Duration::from_millis(50));
            let over = !heard && self.is_over();
            assert!(
                !over && from.elapsed() < PATIENCE,
                "{what}: not seen{}; the screen was\n{}",
                if over { ", the program ended" } else { "" },
                self.text()
            );
        }
    }

    /// Waits until these words are on the screen.
    pub(crate) fn sees(&mut self, words: &str) {
        self.until(words, |screen| screen.contents().contains(words));
    }

    /// Waits until the last line, which tells what was just done, begins with these words.
    pub(crate) fn is_told(&mut self, words: &str) {
        self.until(words, |screen| {
            let (_, columns) = screen.size();
            let last = screen.rows(0, columns.get()).last();
            last.is_some_and(|told| told.trim_start().starts_with(words))
        });
    }

    /// Waits until the class is held; what the footer says then may be hidden for some seconds by
    /// what was just done.
    pub(crate) fn is_held(&mut self) {
        self.until("held", |screen| {
            let text = screen.contents();
            text.contains("goes on with") || text.contains("resume, counted in")
        });
    }

    /// Waits until the class runs, or is counted in.
    pub(crate) fn runs(&mut self) {
        self.sees("space hold");
    }

    /// Waits until these words are not on the screen.
    pub(crate) fn sees_no_more(&mut self, words: &str) {
        self.until(words, |screen| !screen.contents().contains(words));
    }

    /// The screen as text.
    pub(crate) fn text(&self) -> String {
        self.screen.screen().contents()
    }

    pub(crate) fn screen(&self) -> &vt100::Screen {
        self.screen.screen()
    }

    /// Presses a key, not sooner after the same key than a hand would. The program was started with
    /// Enter.
    pub(crate) fn press(&mut self, key: &str) {
        if let Some((_, at)) = self.last.take().filter(|(last, _)| last == key) {
            let apart = match key {
                "enter" => BEGINS,
                "+" | "=" | "-" | "e" | "h" | "m" | "up" | "down" => APART,
                _ => TURNS,
            };
            self.watch(apart.saturating_sub(at.elapsed()));
        }
        if let Some(at) = self.pressed.get(key) {
            self.watch(APART.saturating_sub(at.elapsed()));
        }
        if let ("enter", Some(started)) = (key, self.started) {
            // It may still be down from the start of the program.
            self.watch(BEGINS.saturating_sub(started.elapsed()));
        }
        self.send(bytes_of(key));
        self.pressed.insert(key.to_owned(), now());
        self.last = Some((key.to_owned(), now()));
    }

    /// Sends bytes as they are.
    pub(crate) fn send(&mut self, bytes: &[u8]) {
        let mut pty = self.pty.as_ref().expect("the terminal is open");
        pty.write_all(bytes).expect("the terminal takes keys");
    }

    pub(crate) fn resize(&mut self, (columns, rows): Cells) {
        let pty = self.pty.as_ref().expect("the terminal is open");
        pty.resize(Size::new(rows, columns)).expect("a size");
        self.screen
            .screen_mut()
            .set_size(least_one(rows), least_one(columns));
    }

    /// The terminal dies: its window is closed, its cable is pulled.
    pub(crate) fn close_terminal(&mut self) {
        drop(self.pty.take());
    }

    pub(crate) fn signal(&self, signal: Signal) {
        kill_process(self.pid(), signal).expect("the program is there");
    }

    /// Tells the program a size, whatever the screen has.
    pub(crate) fn tell_size(&mut self, (columns, rows): Cells) {
        let pty = self.pty.as_ref().expect("the terminal is open");
        pty.resize(Size::new(rows, columns)).expect("a size");
    }

    fn pid(&self) -> Pid {
        Pid::from_child(&self.child)
    }

    fn is_over(&mut self) -> bool {
        matches!(self.child.try_wait(), Ok(Some(_)))
    }

    /// The third field of `/proc/PID/stat`: `T` is stopped (proc(5)).
    pub(crate) fn state(&self) -> char {
        self.stat()[0].chars().next().expect("a letter")
    }

    /// How often the program has read and written so far: `syscr` and `syscw` of `/proc/PID/io`
    /// (proc(5)); none once it has gone.
    pub(crate) fn calls(&self) -> Option<u64> {
        let path = format!("/proc/{}/io", self.child.id());
        let text = std::fs::read_to_string(path).ok()?;
        let calls = text.lines().filter(|line| line.starts_with("sysc"));
        let calls = calls.filter_map(|line| line.split(' ').nth(1)?.parse::<u64>().ok());
        Some(calls.sum())
    }

    /// How many pieces the program has sent so far; a drawing is one, a large one more.
    pub(crate) const fn pieces(&self) -> usize {
        self.pieces
    }

    /// The fields of `/proc/PID/stat` from the third on; the second may have spaces in it.
    fn stat(&self) -> Vec<String> {
        let path = format!("/proc/{}/stat", self.child.id());
        let text = std::fs::read_to_string(path).expect("the process is there");
        let fields = text.rsplit(')').next().expect("fields").split_whitespace();
        fields.map(str::to_owned).collect()
    }

    /// Waits for the program to end by itself, taking in what it still sends.
    pub(crate) fn ends(&mut self) -> ExitStatus {
        self.ends_within(PATIENCE * 2)
    }

    /// The same for a class that takes longer.
    pub(crate) fn ends_within(&mut self, most: Duration) -> ExitStatus {
        let from = now();
        loop {
            let heard = self.listen(Duration::from_millis(20));
            if heard {
                continue;
            }
            if let Some(status) = self.child.try_wait().expect("a child of ours") {
                while self.listen(Duration::ZERO) {}
                return status;
            }
            let late = from.elapsed() > most;
            assert!(!late, "still running; the screen was\n{}", self.text());
            if self.pty.is_none() {
                pause(Duration::from_millis(20));
            }
        }
    }

    /// Waits for the end, which must be a good one, with the terminal given back.
    pub(crate) fn ends_well(&mut self) {
        let status = self.ends();
        assert!(
            status.success(),
            "{status}, signal {:?}:\n{}",
            status.signal(),
            self.text()
        );
        self.gave_the_terminal_back();
    }

    /// The alternate screen left, the cursor shown, no colour left behind.
    pub(crate) fn gave_the_terminal_back(&self) {
        let screen = self.screen();
        assert!(!screen.alternate_screen(), "the alternate screen is left");
        assert!(!screen.hide_cursor(), "the cursor is shown");
    }

    /// Ends the program at once, as a power cut would; gives the hour just before it.
    pub(crate) fn kill(mut self) -> Wall {
        let at = wall();
        self.child.kill().expect("a child of ours");
        self.child.wait().expect("a child of ours");
        at
    }
}

/// The clock on the wall, to compare with what a record says.
#[expect(
    clippy::disallowed_methods,
    reason = "tests of a running program compare its record with the clock"
)]
pub(crate) fn wall() -> Wall {
    chrono::Local::now().fixed_offset()
}

fn least_one(cells: u16) -> NonZeroU16 {
    NonZeroU16::new(cells).unwrap_or(NonZeroU16::MIN)
}

/// The steady clock, for deadlines.
#[expect(
    clippy::disallowed_methods,
    reason = "tests of a running program wait with deadlines"
)]
pub(crate) fn now() -> Instant {
    Instant::now()
}

/// Lets time go by where there is nothing to listen to.
pub(crate) fn pause(time: Duration) {
    let (_keep, nothing) = std::sync::mpsc::channel::<()>();
    let _ = nothing.recv_timeout(time);
}

/// What a terminal sends for a key: ECMA-48 and the usual sequences of xterm.
fn bytes_of(key: &str) -> &[u8] {
    match key {
        "enter" => b"\r",
        "space" => b" ",
        "esc" => b"\x1b",
        "tab" => b"\t",
        "backspace" => b"\x7f",
        "up" => b"\x1b[A",
        "down" => b"\x1b[B",
        "right" => b"\x1b[C",
        "left" => b"\x1b[D",
        "f1" => b"\x1bOP",
        "ctrl-c" => b"\x03",
        "ctrl-z" => b"\x1a",
        plain => plain.as_bytes(),
    }
}

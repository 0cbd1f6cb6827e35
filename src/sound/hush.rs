//! Keeps what C libraries print off the screen.
//!
//! ALSA's own library writes to file descriptor 2 when a device is missing or fails, from any
//! thread and at any time, and tears the drawn screen. So the app redirects the descriptor for as
//! long as the screen is drawn, and a panic hook puts it back before it prints.

use std::io;

/// Standard error turned away from the terminal, until lifted or dropped.
#[derive(Debug)]
pub struct Hush {
    #[cfg(unix)]
    kept: Option<std::os::fd::OwnedFd>,
}

/// Turns file descriptor 2 away, if it is a terminal: what a person has redirected to a file
/// stays there. On systems without such descriptors nothing is done.
///
/// # Errors
/// Where the system has no descriptor to spare.
#[cfg(unix)]
pub fn hush_stderr() -> io::Result<Hush> {
    use std::io::IsTerminal;
    if !io::stderr().is_terminal() {
        return Ok(Hush { kept: None });
    }
    turn_away()
}

/// Turns file descriptor 2 away, whatever it is.
#[cfg(unix)]
fn turn_away() -> io::Result<Hush> {
    use rustix::fs::{Mode, OFlags};
    let kept = rustix::io::fcntl_dupfd_cloexec(rustix::stdio::stderr(), 3)?;
    let flags = OFlags::WRONLY | OFlags::CLOEXEC;
    let nowhere = rustix::fs::open("/dev/null", flags, Mode::empty())?;
    rustix::stdio::dup2_stderr(&nowhere)?;
    Ok(Hush { kept: Some(kept) })
}

/// Nothing is done on this system.
///
/// # Errors
/// None.
#[cfg(not(unix))]
pub fn hush_stderr() -> io::Result<Hush> {
    Ok(Hush {})
}

impl Hush {
    /// Puts standard error back; harmless when repeated. For a panic hook, before it prints.
    pub fn lift(&self) {
        #[cfg(unix)]
        if let Some(kept) = &self.kept {
            // There is nowhere left to complain.
            let _ = rustix::stdio::dup2_stderr(kept);
        }
    }
}

impl Drop for Hush {
    fn drop(&mut self) {
        self.lift();
    }
}

#[cfg(all(test, unix))]
mod tests {
    use std::process::Command;

    use super::*;

    /// Runs in a process of its own, started by the test below.
    #[test]
    #[ignore = "started by the other test, since it turns the whole process's descriptor"]
    fn child() {
        eprintln!("before");
        let hush = turn_away().unwrap();
        eprintln!("hushed");
        hush.lift();
        eprintln!("lifted");
        drop(turn_away().unwrap());
        eprintln!("dropped");
    }

    #[test]
    fn nothing_reaches_standard_error_until_it_is_put_back() {
        let child = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "sound::hush::tests::child"])
            .args(["--ignored", "--nocapture"])
            .output()
            .unwrap();
        let said = String::from_utf8(child.stderr).unwrap();
        let lines: Vec<&str> = said.lines().filter(|line| !line.is_empty()).collect();
        assert_eq!(lines, ["before", "lifted", "dropped"]);
    }
}

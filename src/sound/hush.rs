//! Keeps what C libraries print off the screen.
//!
//! ALSA's own library writes to file descriptor 2 when a device is missing or fails, from any
//! thread and at any time, and tears the drawn screen. So the app redirects the descriptor for as
//! long as the screen is drawn, and a panic hook puts it back before it prints. (The library takes a
//! handler for its messages instead; to set it needs `unsafe`, and it has no setting for it.)

use std::io;

/// Standard error turned away, until lifted or dropped.
#[derive(Debug)]
pub struct Hush {
    #[cfg(unix)]
    kept: std::os::fd::OwnedFd,
}

/// Turns file descriptor 2 away, whatever it is: without a device ALSA writes some ten lines at each
/// attempt to find one, nine megabytes an hour, which nobody wants in a file either. On systems
/// without such descriptors nothing is done.
///
/// # Errors
/// Where the system has no descriptor to spare.
#[cfg(unix)]
pub fn hush_stderr() -> io::Result<Hush> {
    use rustix::fs::{Mode, OFlags};
    let kept = rustix::io::fcntl_dupfd_cloexec(rustix::stdio::stderr(), 3)?;
    let flags = OFlags::WRONLY | OFlags::CLOEXEC;
    let nowhere = rustix::fs::open("/dev/null", flags, Mode::empty())?;
    rustix::stdio::dup2_stderr(&nowhere)?;
    Ok(Hush { kept })
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
        {
            // There is nowhere left to complain.
            let _ = rustix::stdio::dup2_stderr(&self.kept);
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
        let hush = hush_stderr().unwrap();
        eprintln!("hushed");
        hush.lift();
        eprintln!("lifted");
        drop(hush_stderr().unwrap());
        eprintln!("dropped");
    }

    /// Though it is no terminal, but a pipe.
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

//! One run of a speaker program, bounded in time and in what it may write.
//!
//! Nothing here trusts the program: it may hang, fail, write without end, close its output and stay,
//! or leave children that hold it open. It gets a process group of its own, which is ended whole.

use std::io::{Read, Write};
use std::process::{Child, ChildStdout, Command, Stdio};
use std::sync::mpsc::{Receiver, sync_channel};
use std::thread;
use std::time::Duration;

use super::fault::SpeechFault;
use super::program::Program;

/// How long a prompt may take to be made: hundreds of times what it takes.
const PATIENCE: Duration = Duration::from_secs(5);
/// No prompt is larger: a minute of two channels of 16 bits at 48 kHz.
const MOST: u64 = 12 << 20;
/// How long a program that has closed its output may take to end.
const ENDING: Duration = Duration::from_secs(1);
/// Between two looks at whether it has ended.
const LOOK: Duration = Duration::from_millis(5);

/// What a program writes for some words.
pub(super) fn run(program: &Program, words: &str) -> Result<Vec<u8>, SpeechFault> {
    run_within(program, words, PATIENCE)
}

fn run_within(program: &Program, words: &str, patience: Duration) -> Result<Vec<u8>, SpeechFault> {
    let by_file = program.arguments.iter().any(|a| a.contains("{out}"));
    let file = by_file.then(tempfile::NamedTempFile::new).transpose();
    let file = file.map_err(|error| no_start(program, &error))?;
    let out = file.as_ref().map(|file| file.path().display().to_string());
    let mut command = Command::new(&program.path);
    let mut on_input = true;
    for argument in &program.arguments {
        on_input &= !argument.contains("{text}");
        // The words last: what is said may contain anything.
        let argument = argument.replace("{out}", out.as_deref().unwrap_or_default());
        command.arg(argument.replace("{text}", words));
    }
    command
        .stdin(if on_input {
            Stdio::piped()
        } else {
            Stdio::null()
        })
        .stdout(Stdio::piped())
        .stderr(Stdio::null());
    #[cfg(unix)]
    std::os::unix::process::CommandExt::process_group(&mut command, 0);
    let child = command.spawn().map_err(|error| no_start(program, &error))?;
    let written = Running(Some(child)).written(words, patience)?;
    let Some(file) = file else {
        return Ok(written);
    };
    let mut bytes = Vec::new();
    let read = file.as_file().take(MOST + 1).read_to_end(&mut bytes);
    read.map_err(|error| SpeechFault::NoWav(error.to_string()))?;
    bounded(bytes)
}

fn no_start(program: &Program, error: &std::io::Error) -> SpeechFault {
    SpeechFault::NoStart {
        program: program.path.display().to_string(),
        why: error.to_string(),
    }
}

fn bounded(bytes: Vec<u8>) -> Result<Vec<u8>, SpeechFault> {
    if bytes.len() as u64 > MOST {
        return Err(SpeechFault::Babbles);
    }
    Ok(bytes)
}

/// A program that runs, ended with all its children when dropped.
struct Running(Option<Child>);

impl Running {
    fn written(mut self, words: &str, patience: Duration) -> Result<Vec<u8>, SpeechFault> {
        let Some(child) = &mut self.0 else {
            return Err(SpeechFault::Failed("it is gone".into()));
        };
        if let Some(mut input) = child.stdin.take() {
            let words = format!("{words}\n");
            // A program that reads nothing must not be waited for; one that has closed its input
            // may have its reasons.
            thread::spawn(move || input.write_all(words.as_bytes()));
        }
        let read = child.stdout.take().map(reading);
        let read = read.map(|reading| reading.recv_timeout(patience));
        let bytes = match read {
            Some(Ok(Ok(bytes))) => bounded(bytes)?,
            Some(Ok(Err(error))) => return Err(SpeechFault::Failed(error.to_string())),
            Some(Err(_)) | None => return Err(SpeechFault::Hangs(patience)),
        };
        self.end()?;
        Ok(bytes)
    }

    /// Waits a moment until it has ended by itself.
    fn end(&mut self) -> Result<(), SpeechFault> {
        let Some(child) = &mut self.0 else {
            return Ok(());
        };
        let (_never, pause) = sync_channel::<()>(0);
        let mut waited = Duration::ZERO;
        loop {
            match child.try_wait() {
                Ok(Some(status)) if status.success() => return Ok(()),
                Ok(Some(status)) => return Err(SpeechFault::Failed(status.to_string())),
                Ok(None) if waited < ENDING => {}
                Ok(None) => return Err(SpeechFault::Hangs(ENDING)),
                Err(error) => return Err(SpeechFault::Failed(error.to_string())),
            }
            let _ = pause.recv_timeout(LOOK);
            waited += LOOK;
        }
    }
}

/// Reads what a program writes, on a thread that ends with the output.
fn reading(output: ChildStdout) -> Receiver<std::io::Result<Vec<u8>>> {
    let (told, reading) = sync_channel(1);
    thread::spawn(move || {
        let mut bytes = Vec::new();
        let read = output.take(MOST + 1).read_to_end(&mut bytes);
        let _ = told.send(read.map(|_| bytes));
    });
    reading
}

impl Drop for Running {
    fn drop(&mut self) {
        let Some(mut child) = self.0.take() else {
            return;
        };
        #[cfg(unix)]
        {
            let group = rustix::process::Pid::from_child(&child);
            // The leader may be gone and its children there.
            let _ = rustix::process::kill_process_group(group, rustix::process::Signal::KILL);
        }
        let _ = child.kill();
        // A process in the midst of a call to the system ends when that does: nobody waits for it.
        thread::spawn(move || child.wait());
    }
}

#[cfg(test)]
#[cfg(unix)]
mod tests {
    use super::*;

    fn shell(script: &str) -> Program {
        Program {
            path: "/bin/sh".into(),
            arguments: vec!["-c".into(), script.into()],
        }
    }

    fn ran(script: &str) -> Result<Vec<u8>, SpeechFault> {
        run_within(&shell(script), "knees down", Duration::from_millis(600))
    }

    /// A program that does what it should, in every way to hand words and WAV over.
    #[test]
    fn words_go_in_and_bytes_come_out() {
        assert_eq!(ran("cat").unwrap(), b"knees down\n");
        assert_eq!(ran("echo no >&2; printf x").unwrap(), b"x");
        let own = |arguments: &[&str]| Program {
            path: "/bin/sh".into(),
            arguments: arguments.iter().map(ToString::to_string).collect(),
        };
        let text = own(&["-c", "printf %s \"$1\"", "sh", "{text}"]);
        let said = run(&text, "a; $(echo b) {out} 'c'").unwrap();
        assert_eq!(said, b"a; $(echo b) {out} 'c'");
        let file = own(&["-c", "cat >\"$1\"; echo chatter", "sh", "{out}"]);
        assert_eq!(run(&file, "by file").unwrap(), b"by file\n");
    }

    /// Whatever a program does, it is given up within its time and nothing of it stays.
    #[test]
    fn a_program_that_misbehaves_is_given_up() {
        let hangs = SpeechFault::Hangs(Duration::from_millis(600));
        assert_eq!(ran("exec sleep 60"), Err(hangs.clone()));
        assert_eq!(ran("sleep 60 & wait"), Err(hangs.clone()));
        assert_eq!(
            ran("exec >&-; exec sleep 60"),
            Err(SpeechFault::Hangs(ENDING))
        );
        assert_eq!(
            ran("trap '' TERM HUP INT; while :; do sleep 1; done"),
            Err(hangs)
        );
        assert!(matches!(ran("exit 1"), Err(SpeechFault::Failed(_))));
        assert!(matches!(ran("kill -9 $$"), Err(SpeechFault::Failed(_))));
        assert_eq!(ran("exec yes"), Err(SpeechFault::Babbles));
        let gone = Program {
            path: "/no/such/program".into(),
            arguments: Vec::new(),
        };
        assert!(matches!(run(&gone, "x"), Err(SpeechFault::NoStart { .. })));
    }
}

//! A home with nothing in it, and the program run in it.

use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use tempfile::TempDir;

/// A home with nothing in it, and the program run in it.
pub(crate) struct Home(TempDir);

impl Home {
    pub(crate) fn new() -> Self {
        Self(tempfile::tempdir().expect("a folder for tests"))
    }

    pub(crate) fn path(&self) -> &Path {
        self.0.path()
    }

    /// A file in the configuration folder.
    #[expect(
        clippy::disallowed_methods,
        reason = "a test prepares the files it reads"
    )]
    pub(crate) fn with(self, file: &str, text: &str) -> Self {
        fs::create_dir_all(self.path().join("config")).expect("made");
        fs::write(self.path().join("config").join(file), text).expect("written");
        self
    }

    /// A file below the home, and the folders that it needs.
    #[expect(
        clippy::disallowed_methods,
        reason = "a test prepares the files it reads"
    )]
    pub(crate) fn put(&self, file: &str, text: &str) {
        let path = self.path().join(file);
        fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        fs::write(path, text).expect("written");
    }

    pub(crate) fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_matside"));
        command
            .args(args)
            .env_clear()
            .env("HOME", self.path())
            .env("MATSIDE_CONFIG", self.path().join("config"))
            .env("MATSIDE_DATA", self.path().join("data"))
            .env("TERM", "xterm-256color")
            .env("COLORTERM", "truecolor")
            .current_dir(self.path())
            .stdin(Stdio::null());
        command
    }

    pub(crate) fn run(&self, args: &[&str]) -> Output {
        self.command(args).output().expect("the program runs")
    }
}

pub(crate) fn status(output: &Output) -> Option<i32> {
    output.status.code()
}

pub(crate) fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("text")
}

pub(crate) fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("text")
}

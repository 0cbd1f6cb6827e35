//! Which program speaks, and with which arguments.
//!
//! A program and its arguments, never a line for a shell: what is to be said can say anything.

use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// A speaker program that is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Preset {
    /// The synthesizer of that name, as Debian has it.
    EspeakNg,
    /// The program of macOS (from memory: it has not been tried with this program).
    Say,
}

impl Preset {
    /// All, in the order in which they are looked for.
    pub const ALL: &'static [Self] = &[Self::EspeakNg, Self::Say];

    /// The name of its program.
    #[must_use]
    pub const fn program(self) -> &'static str {
        match self {
            Self::EspeakNg => "espeak-ng",
            Self::Say => "say",
        }
    }

    const fn arguments(self) -> &'static [&'static str] {
        match self {
            Self::EspeakNg => &["--stdin", "--stdout", "-b", "1", "-z", "-s", "{rate}"],
            Self::Say => &[
                "-o",
                "{out}",
                "--file-format=WAVE",
                "--data-format=LEI16@22050",
                "-r",
                "{rate}",
                "-f",
                "-",
            ],
        }
    }
}

/// Who is to speak.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Speaker {
    /// The first preset that is installed.
    #[default]
    Found,
    /// A preset.
    Preset(Preset),
    /// A program of one's own with its arguments. `{text}`, `{voice}`, `{rate}` and `{out}` stand for
    /// the words, the voice, words a minute, and a file that it is to write. Without `{text}` the words
    /// come on standard input; without `{out}` the WAV goes to standard output.
    Own(Vec<String>),
}

/// A program with all that is known before there is a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Program {
    pub(super) path: PathBuf,
    pub(super) arguments: Vec<String>,
}

impl Program {
    /// The program for a speaker, a voice (empty: the program's usual one) and words a minute. Programs
    /// are looked for in the folders of `path`, as a `PATH` lists them. Nothing where none is there.
    #[must_use]
    pub fn of(
        speaker: &Speaker,
        voice: &str,
        words_per_minute: u32,
        path: Option<&OsString>,
    ) -> Option<Self> {
        let preset = |preset: Preset| {
            let mut arguments: Vec<String> =
                preset.arguments().iter().map(ToString::to_string).collect();
            if !voice.is_empty() {
                arguments.splice(0..0, ["-v".to_owned(), "{voice}".to_owned()]);
            }
            Some((found(preset.program(), path)?, arguments))
        };
        let (path, arguments) = match speaker {
            Speaker::Found => Preset::ALL.iter().find_map(|one| preset(*one))?,
            Speaker::Preset(one) => preset(*one)?,
            Speaker::Own(words) => {
                let (program, arguments) = words.split_first()?;
                (found(program, path)?, arguments.to_vec())
            }
        };
        let rate = words_per_minute.to_string();
        let fill = |argument: String| argument.replace("{voice}", voice).replace("{rate}", &rate);
        Some(Self {
            path,
            arguments: arguments.into_iter().map(fill).collect(),
        })
    }

    /// Where it is.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// What a prompt that was made must have in common with another to be the same.
    pub(super) fn voice(&self) -> String {
        format!("{}\0{}", self.path.display(), self.arguments.join("\0"))
    }
}

/// A program by its path, or by its name in the folders of a `PATH`.
fn found(program: &str, path: Option<&OsString>) -> Option<PathBuf> {
    let named = Path::new(program);
    if named.components().count() > 1 {
        return named.is_file().then(|| named.to_owned());
    }
    let folders = std::env::split_paths(path?).map(|folder| folder.join(program));
    folders.into_iter().find(|file| is_program(file))
}

#[cfg(unix)]
fn is_program(file: &Path) -> bool {
    use std::os::unix::fs::PermissionsExt;
    file.metadata()
        .is_ok_and(|meta| meta.is_file() && meta.permissions().mode() & 0o111 != 0)
}

#[cfg(not(unix))]
fn is_program(file: &Path) -> bool {
    file.is_file() || file.with_extension("exe").is_file()
}

/// The words as they may be handed to a program: on one line, and never to be taken for an option.
pub(super) fn speakable(text: &str) -> String {
    let plain = text.chars().map(|c| if c.is_control() { ' ' } else { c });
    let plain: String = plain.collect();
    let words = plain.trim_start_matches(|c: char| c.is_whitespace() || "-–—+/@".contains(c));
    words.trim_end().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_never_an_option_nor_more_than_a_line() {
        for (text, words) in [
            ("-w /etc/passwd", "w /etc/passwd"),
            (" --stdin\nsit", "stdin sit"),
            ("knees down; $(rm)", "knees down; $(rm)"),
            ("  ", ""),
        ] {
            assert_eq!(speakable(text), words);
        }
    }

    #[test]
    fn nothing_is_found_where_nothing_is() {
        for speaker in [
            Speaker::Found,
            Speaker::Preset(Preset::Say),
            Speaker::Own(vec!["/no/such".into()]),
            Speaker::Own(Vec::new()),
        ] {
            let empty = OsString::from("/nowhere");
            assert_eq!(Program::of(&speaker, "en", 170, Some(&empty)), None);
        }
        assert_eq!(Program::of(&Speaker::Found, "", 170, None), None);
    }
}

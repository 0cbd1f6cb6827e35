//! The person's own editor: the text lent to it in a file of its own, and taken back.

use std::path::Path;
use std::process::{Command, ExitStatus};

/// Where an editor is named, the first that is set.
const NAMED_IN: [&str; 2] = ["VISUAL", "EDITOR"];
/// What stands for the file and the line among its words.
const FILE: &str = "{file}";
const LINE: &str = "{line}";

/// The words of the editor, as the environment names it (POSIX.1-2024, 8.3: `EDITOR` and `VISUAL`).
pub(super) fn named(of: impl Fn(&str) -> Option<String>) -> Option<Vec<String>> {
    let set = NAMED_IN.iter().filter_map(|name| of(name));
    let mut words = set.map(|set| {
        set.split_whitespace()
            .map(str::to_owned)
            .collect::<Vec<_>>()
    });
    words.find(|words| !words.is_empty())
}

/// The words with which it is run for a line of a file. Where nothing stands for them, the line goes
/// before the file, `+12`: the usual way (common practice, no source).
fn words(named: &[String], file: &str, line: usize) -> Vec<String> {
    let line = line.to_string();
    let put = |word: &String| word.replace(FILE, file).replace(LINE, &line);
    let mut words: Vec<String> = named.iter().map(put).collect();
    if !named.iter().any(|word| word.contains(FILE)) {
        if !named.iter().any(|word| word.contains(LINE)) {
            words.push(format!("+{line}"));
        }
        words.push(file.to_owned());
    }
    words
}

/// Runs it until it is left.
///
/// # Errors
/// It cannot be started.
pub(super) fn run(named: &[String], file: &Path, line: usize) -> std::io::Result<ExitStatus> {
    let words = words(named, &file.display().to_string(), line);
    let (program, arguments) = words.split_first().ok_or(std::io::ErrorKind::NotFound)?;
    Command::new(program).args(arguments).status()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn owned(words: &[&str]) -> Vec<String> {
        words.iter().map(|&word| word.to_owned()).collect()
    }

    #[test]
    fn the_line_goes_before_the_file_or_where_the_person_says() {
        for (set, run) in [
            (&["ed"][..], &["ed", "+7", "a b.ron"][..]),
            (&["quill", "--wait"], &["quill", "--wait", "+7", "a b.ron"]),
            (&["quill", "--at={line}"], &["quill", "--at=7", "a b.ron"]),
            (&["quill", "{file}:{line}"], &["quill", "a b.ron:7"]),
        ] {
            assert_eq!(words(&owned(set), "a b.ron", 7), owned(run));
        }
    }

    /// `VISUAL` is for a screen, and comes first (POSIX.1-2024, 8.3).
    #[test]
    fn the_editor_is_the_one_that_the_environment_names() {
        let of = |visual: &str, editor: &str| {
            named(|name| Some(if name == "VISUAL" { visual } else { editor }.to_owned()))
        };
        assert_eq!(of("quill -w", "ed"), Some(owned(&["quill", "-w"])));
        assert_eq!(of(" ", "ed"), Some(owned(&["ed"])));
        assert_eq!(of("", ""), None);
        assert_eq!(named(|_| None), None);
    }
}

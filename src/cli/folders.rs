//! The folders of sessions, and the session that a word on the command line means: the name of its
//! file or its title.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use super::load::{self, Own};
use super::report::{self, Failure};
use crate::session::{Library, Session, nearest};
use crate::store::session_files;

/// The folder of sessions in the working folder.
pub(super) const HERE: &str = "sessions";

/// The folders that sessions are looked for in: the working folder's, and those of the settings.
pub(super) fn folders(own: Own) -> Result<Vec<PathBuf>, Failure> {
    let mut folders = vec![PathBuf::from(HERE)];
    folders.extend_from_slice(load::settings(own)?.sessions());
    Ok(folders)
}

/// Every session file of these folders, each once. A folder that cannot be read is told.
pub(super) fn files(folders: &[PathBuf]) -> Vec<PathBuf> {
    let (mut seen, mut all) = (BTreeSet::new(), Vec::new());
    for folder in folders {
        match session_files(folder) {
            Ok(files) => all.extend(files.into_iter().filter(|path| {
                let same = std::fs::canonicalize(path).unwrap_or_else(|_| path.clone());
                seen.insert(same)
            })),
            Err(why) => {
                let why = crate::store::said(&why);
                report::note(&format!("`{}` cannot be read: {why}", folder.display()));
            }
        }
    }
    all
}

/// The session that was asked for, or the demonstration class.
pub(super) fn session(
    asked: Option<&Path>,
    library: &Library,
    own: Own,
) -> Result<Session, Failure> {
    match asked {
        None => load::demo(library),
        Some(asked) => load::read(&found(asked, own)?, library),
    }
}

/// The file that was meant: the path itself, or where there is none, the session of that name in
/// one of the folders.
pub(super) fn found(asked: &Path, own: Own) -> Result<PathBuf, Failure> {
    if asked.exists() {
        return Ok(asked.to_owned());
    }
    let bare = asked.components().count() == 1;
    let folders = match asked.parent() {
        _ if bare => folders(own)?,
        Some(folder) => vec![folder.to_owned()],
        None => Vec::new(),
    };
    let files = files(&folders);
    let wanted = name(asked);
    let meant = |path: &&PathBuf| bare && name(path) == wanted;
    let mut fitting: Vec<&PathBuf> = files.iter().filter(meant).collect();
    if bare && fitting.is_empty() {
        fitting = titled(&files, &wanted, own)?;
    }
    match fitting[..] {
        [] => Err(missing(asked, bare, &folders, &files)),
        [first, ref others @ ..] => {
            for other in others {
                let (first, other) = (first.display(), other.display());
                report::note(&format!("`{first}` is taken; `{other}` has the same name"));
            }
            Ok(first.clone())
        }
    }
}

/// The files whose sessions have this title, which is what lists show first. Files are read for it
/// only where none has the name; a fault in one is of no concern here.
fn titled<'a>(files: &'a [PathBuf], wanted: &str, own: Own) -> Result<Vec<&'a PathBuf>, Failure> {
    let library = load::library(own)?;
    let has_it = |path: &&PathBuf| {
        load::read(path, &library).is_ok_and(|session| compared(&session.title) == wanted)
    };
    Ok(files.iter().filter(has_it).collect())
}

/// A file's name as it is compared: without its ending, in small letters, spaces as hyphens.
fn name(path: &Path) -> String {
    let name = compared(&path.file_name().unwrap_or_default().to_string_lossy());
    name.strip_suffix(".ron")
        .map_or(name.clone(), str::to_owned)
}

fn compared(name: &str) -> String {
    name.to_lowercase().replace([' ', '_'], "-")
}

fn missing(asked: &Path, bare: bool, folders: &[PathBuf], files: &[PathBuf]) -> Failure {
    let shown = |path: &PathBuf| format!("`{}`", path.display());
    let mut told = format!("there is no session `{}`", asked.display());
    if bare {
        let mut looked = vec!["the working folder".to_owned()];
        looked.extend(folders.iter().map(|folder| {
            let gone = if folder.is_dir() { "" } else { " (not there)" };
            format!("{}{gone}", shown(folder))
        }));
        let _ = write!(told, "; looked in {}", looked.join(", "));
    } else if let Some(folder) = folders.first().filter(|folder| !folder.is_dir()) {
        let _ = write!(told, "; there is no folder {}", shown(folder));
    }
    let names: Vec<String> = files.iter().map(|path| name(path)).collect();
    let wanted = name(asked);
    let part = || {
        names
            .iter()
            .map(String::as_str)
            .find(|name| name.contains(&wanted))
    };
    let near = nearest(&wanted, names.iter().map(String::as_str)).or_else(part);
    let near = near.and_then(|near| files.iter().find(|path| name(path) == near));
    match near {
        Some(near) => {
            let _ = write!(told, "\n  did you mean {}?", shown(near));
        }
        None if bare => told.push_str("\n  `matside sessions` lists those that are found"),
        None => {}
    }
    Failure::NotFound(told)
}

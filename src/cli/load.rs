//! Files read: sessions, the library of moves, the settings, and the folder of records.

use std::path::{Path, PathBuf};

use super::report::Failure;
use crate::app::Settings;
use crate::session::{Library, Session, is_blank};
use crate::store::{Places, Shelf, SourceError, config_folder, read_source};

/// The file of the settings in its folder.
const CONFIG: &str = "config.ron";

/// Whether what the user has set is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Own {
    /// It is.
    Read,
    /// It is left aside.
    Aside,
}

/// The demonstration class, which is part of the program.
pub(super) const DEMO: &str = include_str!("../../sessions/demo.ron");

/// The demonstration class.
pub(super) fn demo(library: &Library) -> Result<Session, Failure> {
    Session::read("demo.ron (built in)", DEMO, library).map_err(Failure::Faults)
}

/// The session of a file.
pub(super) fn read(path: &Path, library: &Library) -> Result<Session, Failure> {
    let name = path.display().to_string();
    let bytes = read_source(path).map_err(Failure::Source)?;
    Session::read_bytes(&name, &bytes, library).map_err(Failure::Faults)
}

/// The built-in moves, and over them the user's own.
pub(super) fn library(own: Own) -> Result<Library, Failure> {
    let builtin = Library::builtin();
    let Some((name, bytes)) = of_the_user("moves.ron", own)? else {
        return Ok(builtin);
    };
    let own = builtin.read_more(&name, &bytes);
    let own = own.map_err(Failure::Faults)?;
    Ok(builtin.with(own))
}

/// What the user has set, or the usual.
pub(super) fn settings(own: Own) -> Result<Settings, Failure> {
    let Some((name, bytes)) = of_the_user(CONFIG, own)? else {
        return Ok(Settings::default());
    };
    let home = variable("HOME").map(PathBuf::from);
    Settings::read(&name, &bytes, home.as_deref()).map_err(Failure::Faults)
}

/// Where the settings are, if any folder is known.
pub(super) fn config_path() -> Option<PathBuf> {
    Some(config_folder(variable)?.join(CONFIG))
}

/// The records in their folder.
pub(super) fn shelf() -> Result<Shelf, Failure> {
    let places = Places::of(|name| std::env::var_os(name))?;
    Ok(Shelf::at(places.records()))
}

/// A file in the configuration folder with its name in reports, where it is there.
fn of_the_user(file: &str, own: Own) -> Result<Option<(String, Vec<u8>)>, Failure> {
    let folder = config_folder(variable).filter(|_| own == Own::Read);
    let Some(folder) = folder else {
        return Ok(None);
    };
    let path = folder.join(file);
    match read_source(&path) {
        // A file that was only begun sets nothing.
        Ok(bytes) if is_blank(&bytes) => Ok(None),
        Ok(bytes) => Ok(Some((path.display().to_string(), bytes))),
        Err(SourceError::Missing(_)) => Ok(None),
        Err(error) => Err(Failure::Source(error)),
    }
}

fn variable(name: &str) -> Option<std::ffi::OsString> {
    std::env::var_os(name).filter(|value| !value.is_empty())
}

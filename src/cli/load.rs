//! Files read: sessions, the library of moves, the settings, and the folder of records.

use std::path::{Path, PathBuf};

use super::report::Failure;
use crate::app::Settings;
use crate::session::{Library, Session, is_blank};
use crate::store::{Cache, Places, Shelf, SourceError, cache_folder, config_folder, read_source};

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

/// A text that was changed, where it says what is meant; if not, nothing is written.
pub(super) fn as_meant(
    text: Option<String>,
    name: &str,
    meant: &Session,
    library: &Library,
) -> Result<String, Failure> {
    let is_meant = |text: &String| {
        let read = Session::read(name, text, library);
        read.is_ok_and(|read| read == *meant)
    };
    text.filter(is_meant).ok_or_else(|| {
        let why =
            format!("`{name}` is laid out in a way that could not be changed; nothing is written");
        Failure::System(anyhow::anyhow!(why))
    })
}

/// The text of a file that was read as a session before.
pub(super) fn text(path: &Path) -> Result<String, Failure> {
    let bytes = read_source(path).map_err(Failure::Source)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// The built-in moves, and over them the user's own.
pub(super) fn library(own: Own) -> Result<Library, Failure> {
    let builtin = Library::builtin();
    let Some((name, bytes)) = of_the_user("moves.ron", own)? else {
        return Ok(builtin);
    };
    let own = builtin.read_more(&name, &bytes);
    let own = own.map_err(Failure::OwnFaults)?;
    Ok(builtin.with(own))
}

/// What the user has set, or the usual.
pub(super) fn settings(own: Own) -> Result<Settings, Failure> {
    let Some((name, bytes)) = of_the_user(CONFIG, own)? else {
        return Ok(Settings::default());
    };
    Settings::read(&name, &bytes, home().as_deref()).map_err(Failure::OwnFaults)
}

/// The home folder, if it is known.
pub(super) fn home() -> Option<PathBuf> {
    variable("HOME").map(PathBuf::from)
}

/// The text of the settings' file, where there is one that sets something.
pub(super) fn config_text() -> Result<Option<String>, Failure> {
    let file = of_the_user(CONFIG, Own::Read)?;
    Ok(file.map(|(_, bytes)| String::from_utf8_lossy(&bytes).into_owned()))
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

/// Bytes of spoken prompts that are kept: those of some ten classes.
const WORDS_KEPT: u64 = 256 << 20;

/// Where spoken prompts are kept from class to class, if anywhere.
pub(super) fn words_cache() -> Option<Cache> {
    let folder = cache_folder(|name| std::env::var_os(name))?;
    Some(Cache::of(folder.join("words"), WORDS_KEPT))
}

//! From what was asked for to a session: the file found, the library read, the faults told.

use std::path::{Path, PathBuf};

use super::report::Failure;
use crate::session::{Library, Session};
use crate::store::{Places, SourceError, read_source};

/// The demonstration class, which is part of the program.
pub(super) const DEMO: &str = include_str!("../../sessions/demo.ron");

/// A session that was asked for.
#[derive(Debug)]
pub(super) struct Loaded {
    pub(super) session: Session,
}

/// The session that was asked for, or the demonstration class.
pub(super) fn session(asked: Option<&Path>, library: &Library) -> Result<Loaded, Failure> {
    let Some(asked) = asked else {
        let session =
            Session::read("demo.ron (built in)", DEMO, library).map_err(Failure::Faults)?;
        return Ok(Loaded { session });
    };
    let path = found(asked);
    let name = path.display().to_string();
    let bytes = read_source(&path).map_err(Failure::Source)?;
    let session = Session::read_bytes(&name, &bytes, library).map_err(Failure::Faults)?;
    Ok(Loaded { session })
}

/// The path itself, or where there is no such file, the session of that name in `sessions`.
fn found(asked: &Path) -> PathBuf {
    let named = Path::new("sessions").join(asked).with_extension("ron");
    if !asked.exists() && asked.components().count() == 1 && named.exists() {
        named
    } else {
        asked.to_owned()
    }
}

/// The built-in moves, and over them the user's own.
pub(super) fn library() -> Result<Library, Failure> {
    let builtin = Library::builtin();
    let Ok(places) = Places::of(|name| std::env::var_os(name)) else {
        return Ok(builtin);
    };
    let path = places.config().join("moves.ron");
    match read_source(&path) {
        Ok(bytes) => {
            let name = path.display().to_string();
            let own = Library::read_bytes(&name, &bytes).map_err(Failure::Faults)?;
            Ok(builtin.with(own))
        }
        Err(SourceError::Missing(_)) => Ok(builtin),
        Err(error) => Err(Failure::Source(error)),
    }
}

//! A field written where it stands or belongs, or taken away.

use crate::session::edit::Path;
use crate::session::manuscript::Change;

/// Writes a field, or takes it away.
pub(super) fn put(at: Path, field: &'static str, text: Option<String>) -> Change {
    match text {
        Some(text) => Change::Put { at, field, text },
        None => Change::Unset { at, field },
    }
}

//! A class of a record as a session file.

use super::load::{self, Own};
use super::report::{self, Failure};
use crate::export::kept;
use crate::record::Recovered;

/// The text of the file: the class as it was taught, under its own title or another.
pub(super) fn session(
    record: &Recovered,
    title: Option<&str>,
    own: Own,
) -> Result<String, Failure> {
    if let Some(torn) = record.torn {
        report::note(&torn.to_string());
    }
    let library = load::library(own)?;
    kept(record, &library, title).map_err(|why| Failure::Usage(why.to_string()))
}

//! What a shell offers while a command is typed: sessions, records and moves as they are now.
//!
//! A shell asks at every press of a key, so nothing here tells a fault: what cannot be read is not
//! offered.

use clap_complete::CompletionCandidate;

use super::folders;
use super::load::{self, Own};
use crate::store::session_files;

/// The sessions of the folders by their names.
pub(super) fn sessions() -> Vec<CompletionCandidate> {
    let folders = folders::folders(Own::Read).unwrap_or_else(|_| vec![folders::HERE.into()]);
    let files = folders
        .iter()
        .flat_map(|folder| session_files(folder).unwrap_or_default());
    let named = files.filter_map(|path| {
        let stem = path.file_stem()?.to_str()?.to_owned();
        Some(CompletionCandidate::new(stem).help(Some(path.display().to_string().into())))
    });
    named.collect()
}

/// The records, the latest first.
pub(super) fn records() -> Vec<CompletionCandidate> {
    let listing = load::shelf().ok().and_then(|shelf| shelf.listing().ok());
    let classes = listing.map(|listing| listing.classes).unwrap_or_default();
    let named = classes
        .into_iter()
        .rev()
        .map(|class| CompletionCandidate::new(class.name).help(Some(class.summary.title.into())));
    named.collect()
}

/// The moves by their ids.
pub(super) fn moves() -> Vec<CompletionCandidate> {
    let library = load::library(Own::Read).unwrap_or_else(|_| crate::session::Library::builtin());
    let named = library
        .iter()
        .map(|of| CompletionCandidate::new(of.id.clone()).help(Some(of.name.clone().into())));
    named.collect()
}

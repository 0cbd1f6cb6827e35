//! The lists of a move's versions, from the one in force on, and in the order in which they are
//! looked through.

use super::super::moves::{Move, Pick, Use};
use super::version::Version;

/// The versions of some picks, without the one in force and those of which nothing is known.
pub(super) fn rungs(used: &Use, picks: Vec<Option<Pick>>) -> impl Iterator<Item = Version<'_>> {
    let versions = picks
        .into_iter()
        .map(|pick| Version::of(&used.of, pick))
        .filter(|version| version.is_known());
    let now = used.version().pick();
    versions.filter(move |version| version.pick() != now)
}

fn easier_from(of: &Move, n: usize) -> impl Iterator<Item = Option<Pick>> + use<> {
    (n..of.easier.len()).map(|n| Some(Pick::Easier(n)))
}

fn instead_of(of: &Move) -> impl Iterator<Item = Option<Pick>> + use<> {
    (0..of.instead.len()).map(|n| Some(Pick::Instead(n)))
}

fn harder_from(of: &Move, n: usize) -> impl Iterator<Item = Option<Pick>> + use<> {
    (n..of.harder.len()).map(|n| Some(Pick::Harder(n)))
}

fn down_to(n: usize, pick: fn(usize) -> Pick) -> impl Iterator<Item = Option<Pick>> {
    (0..n).rev().map(move |n| Some(pick(n)))
}

/// The ladder of ease below the version in force.
pub(super) fn below(used: &Use) -> Vec<Option<Pick>> {
    let of = &used.of;
    match used.version().pick() {
        None | Some(Pick::Instead(_)) => easier_from(of, 0).collect(),
        Some(Pick::Easier(n)) => easier_from(of, n + 1).collect(),
        Some(Pick::Harder(n)) => down_to(n, Pick::Harder)
            .chain([None])
            .chain(easier_from(of, 0))
            .collect(),
    }
}

/// What is harder than the version in force.
pub(super) fn above(used: &Use) -> Vec<Option<Pick>> {
    let of = &used.of;
    match used.version().pick() {
        None => harder_from(of, 0).collect(),
        Some(Pick::Harder(n)) => harder_from(of, n + 1).collect(),
        Some(Pick::Easier(n)) => down_to(n, Pick::Easier)
            .chain([None])
            .chain(harder_from(of, 0))
            .collect(),
        Some(Pick::Instead(_)) => [None].into_iter().chain(harder_from(of, 0)).collect(),
    }
}

/// The versions for a joint or a position, from the one in force round to the one before it.
pub(super) fn round_instead(used: &Use) -> Vec<Option<Pick>> {
    let all: Vec<Option<Pick>> = instead_of(&used.of).collect();
    match used.version().pick() {
        Some(Pick::Instead(n)) => {
            let (before, after) = all.split_at(n);
            let after = after.iter().copied();
            after.chain([None]).chain(before.iter().copied()).collect()
        }
        _ => all,
    }
}

/// Where a version for a limit is looked for: never among the harder ones, and nearest first.
pub(super) fn for_a_limit(used: &Use) -> Vec<Option<Pick>> {
    let of = &used.of;
    let mut picks = below(used);
    picks.extend(round_instead(used));
    if let Some(Pick::Easier(n)) = used.version().pick() {
        picks.extend(down_to(n, Pick::Easier));
    }
    if !picks.contains(&None) {
        picks.push(None);
    }
    picks.retain(|pick| !matches!(pick, Some(Pick::Harder(n)) if *n >= of.harder.len()));
    picks
}

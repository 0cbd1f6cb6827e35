//! Things listed in words.

/// `mat`, `mat and band`, `mat, band and ball`.
pub(super) fn listed(things: &[&str]) -> String {
    match things {
        [all @ .., last] if !all.is_empty() => format!("{} and {last}", all.join(", ")),
        _ => things.concat(),
    }
}

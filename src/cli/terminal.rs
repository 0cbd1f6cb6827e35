//! Whether a terminal can show a class, by what it says of itself.
//!
//! A pure function of the environment.

/// What the terminal lacks, in words for a person.
pub(super) fn lacks(variable: impl Fn(&str) -> Option<String>) -> Option<String> {
    let set = |name: &str| variable(name).filter(|value| !value.is_empty());
    if set("TERM").as_deref() == Some("dumb") {
        return Some(
            "this terminal says that it cannot place letters (TERM=dumb), so no class can be shown; \
             use another one, or print the class with `matside outline`"
                .into(),
        );
    }
    let (name, locale) = ["LC_ALL", "LC_CTYPE", "LANG"]
        .into_iter()
        .find_map(|name| Some((name, set(name)?)))?;
    let letters = locale.split_once('.')?.1.split('@').next()?.to_lowercase();
    if letters.replace(['-', '_'], "") == "utf8" {
        return None;
    }
    Some(format!(
        "the screen is drawn in UTF-8, and {name}={locale} says that this terminal shows other \
         letters; where it does show UTF-8, `LC_ALL=C.UTF-8 matside ...` says so"
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The order of the variables is that of POSIX (Base Definitions, 8.2). A locale that names no
    /// set of letters says nothing, and most terminals show UTF-8 then.
    #[test]
    fn only_a_terminal_that_says_so_is_refused() {
        for (set, word) in [
            (&[][..], None),
            (&[("TERM", "xterm")], None),
            (&[("TERM", "dumb")], Some("TERM=dumb")),
            (&[("TERM", "dumb"), ("LANG", "C.UTF-8")], Some("TERM=dumb")),
            (&[("LANG", "C")], None),
            (&[("LC_ALL", "POSIX")], None),
            (&[("LANG", "en_GB")], None),
            (&[("LANG", "en_GB.UTF-8")], None),
            (&[("LANG", "en_GB.utf8")], None),
            (&[("LANG", "de_DE.UTF-8@euro")], None),
            (&[("LANG", "de_DE.ISO-8859-15@euro")], Some("LANG=de_DE")),
            (
                &[("LANG", "C.UTF-8"), ("LC_CTYPE", "ja_JP.eucJP")],
                Some("LC_CTYPE=ja"),
            ),
            (&[("LC_ALL", "C.UTF-8"), ("LC_CTYPE", "ja_JP.eucJP")], None),
            (&[("LC_ALL", ""), ("LANG", "ru_RU.KOI8-R")], Some("LANG=ru")),
        ] {
            let told = lacks(|name| {
                let found = set.iter().find(|(key, _)| *key == name)?;
                Some(found.1.to_owned())
            });
            match word {
                None => assert_eq!(told, None, "{set:?}"),
                Some(word) => assert!(told.is_some_and(|told| told.contains(word)), "{set:?}"),
            }
        }
    }
}

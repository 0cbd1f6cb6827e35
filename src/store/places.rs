//! Where records and settings are: folders by the XDG base directory specification.
//!
//! A pure function of the environment that somebody hands over; nothing is made or looked at here.
//! Empty variables count as unset, and a relative XDG folder is passed over, as the specification
//! (version 0.8) demands.

use std::ffi::OsString;
use std::path::PathBuf;

use super::fault::StoreFault;

/// The program's folders.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Places {
    data: PathBuf,
    config: PathBuf,
}

impl Places {
    /// The folders that these environment variables mean.
    ///
    /// # Errors
    /// [`StoreFault::NoFolder`] where no variable says anything.
    pub fn of(variable: impl Fn(&str) -> Option<OsString>) -> Result<Self, StoreFault> {
        let missing = |what, variable| StoreFault::NoFolder { what, variable };
        Ok(Self {
            data: folder(&variable, ["MATSIDE_DATA", "XDG_DATA_HOME"], ".local/share")
                .ok_or_else(|| missing("records", "MATSIDE_DATA"))?,
            config: config_folder(&variable)
                .ok_or_else(|| missing("settings", "MATSIDE_CONFIG"))?,
        })
    }

    /// Where the records are.
    #[must_use]
    pub fn records(&self) -> PathBuf {
        self.data.join("records")
    }

    /// Where what was not saved of plans is kept.
    #[must_use]
    pub fn unsaved(&self) -> PathBuf {
        self.data.join("unsaved")
    }

    /// Where settings and the user's own moves are.
    #[must_use]
    pub fn config(&self) -> PathBuf {
        self.config.clone()
    }
}

/// Where what can be made again is kept, by these environment variables: `MATSIDE_CACHE`, or `matside`
/// in the XDG folder. Nothing where no variable says anything: then it is made again.
#[must_use]
pub fn cache_folder(variable: impl Fn(&str) -> Option<OsString>) -> Option<PathBuf> {
    folder(&variable, ["MATSIDE_CACHE", "XDG_CACHE_HOME"], ".cache")
}

/// The folder of settings and of the user's own moves, by these environment variables:
/// `MATSIDE_CONFIG`, or `matside` in the XDG folder. Nothing where no variable says anything.
#[must_use]
pub fn config_folder(variable: impl Fn(&str) -> Option<OsString>) -> Option<PathBuf> {
    folder(&variable, ["MATSIDE_CONFIG", "XDG_CONFIG_HOME"], ".config")
}

/// The folder that our own variable names, else `matside` in the XDG folder.
fn folder(
    variable: &impl Fn(&str) -> Option<OsString>,
    [own, xdg]: [&str; 2],
    at_home: &str,
) -> Option<PathBuf> {
    let set = |name: &str| variable(name).filter(|value| !value.is_empty());
    let by_xdg = || {
        set(xdg)
            .map(PathBuf::from)
            .filter(|path| path.is_absolute())
    };
    let home = || set("HOME").map(|home| PathBuf::from(home).join(at_home));
    let base = || by_xdg().or_else(home).map(|base| base.join("matside"));
    set(own).map(PathBuf::from).or_else(base)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn places(set: &[(&str, &str)]) -> Result<Places, StoreFault> {
        Places::of(|name| {
            let found = set.iter().find(|(key, _)| *key == name)?;
            Some(found.1.into())
        })
    }

    /// The order of the XDG base directory specification, our own variables before it.
    #[test]
    fn the_nearest_variable_that_says_something_wins() {
        let home = ("HOME", "/h");
        let xdg = ("XDG_DATA_HOME", "/x");
        for (set, records) in [
            (vec![home], "/h/.local/share/matside/records"),
            (vec![home, xdg], "/x/matside/records"),
            (
                vec![home, ("XDG_DATA_HOME", "")],
                "/h/.local/share/matside/records",
            ),
            (
                vec![home, ("XDG_DATA_HOME", "rel")],
                "/h/.local/share/matside/records",
            ),
            (vec![home, xdg, ("MATSIDE_DATA", "mine")], "mine/records"),
        ] {
            let places = places(&set).unwrap();
            assert_eq!(places.records(), PathBuf::from(records), "{set:?}");
            assert_eq!(places.config(), PathBuf::from("/h/.config/matside"));
        }
        for (set, cache) in [
            (vec![home], Some("/h/.cache/matside")),
            (vec![home, ("XDG_CACHE_HOME", "/c")], Some("/c/matside")),
            (vec![("MATSIDE_CACHE", "mine")], Some("mine")),
            (vec![xdg], None),
        ] {
            let of = |name: &str| {
                let found = set.iter().find(|(key, _)| *key == name)?;
                Some(found.1.into())
            };
            assert_eq!(cache_folder(of), cache.map(PathBuf::from), "{set:?}");
        }
        let said = places(&[xdg]).unwrap_err().to_string();
        assert!(said.contains("MATSIDE_CONFIG"), "{said}");
    }
}

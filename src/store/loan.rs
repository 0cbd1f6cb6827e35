//! A text lent to another program in a file of its own, and read back: the file that it comes from is
//! not touched.

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use tempfile::{Builder, NamedTempFile};

use super::source::read_source;

/// A text in a file that is gone once it is dropped.
#[derive(Debug)]
pub struct Loan {
    file: NamedTempFile,
}

impl Loan {
    /// Writes a text into a file of its own, whose name begins with a word and ends as those of
    /// sessions do. Only its owner may read it.
    ///
    /// # Errors
    /// What the system says.
    pub fn of(word: &str, text: &str) -> io::Result<Self> {
        let letters = word.chars().filter(|c| c.is_alphanumeric() || *c == '-');
        let prefix: String = letters.take(40).chain(['-']).collect();
        let mut file = Builder::new().prefix(&prefix).suffix(".ron").tempfile()?;
        file.write_all(text.as_bytes())?;
        file.flush()?;
        Ok(Self { file })
    }

    /// Where it is.
    #[must_use]
    pub fn path(&self) -> &Path {
        self.file.path()
    }

    /// Leaves the file where it is, for whoever has to look at it, and tells where.
    ///
    /// # Errors
    /// What the system says.
    pub fn leave(self) -> io::Result<PathBuf> {
        let (_, path) = self.file.keep().map_err(|why| why.error)?;
        Ok(path)
    }

    /// What the file says now. The other program may have put another file in its place.
    ///
    /// # Errors
    /// It is gone, cannot be read, or is no text.
    pub fn back(&self) -> io::Result<String> {
        let bytes = read_source(self.path()).map_err(io::Error::other)?;
        String::from_utf8(bytes).map_err(io::Error::other)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    #[expect(
        clippy::disallowed_methods,
        reason = "a test does what the other program does"
    )]
    fn what_is_lent_comes_back_as_it_was_left_and_leaves_nothing() {
        let loan = Loan::of("tide line/../x", "(title: \"Tide\")").expect("a file");
        let path = loan.path().to_owned();
        assert!(path.to_string_lossy().ends_with(".ron"));
        assert_eq!(loan.back().expect("there"), "(title: \"Tide\")");
        let other = path.with_extension("new");
        std::fs::write(&other, "(title: \"Ebb\")").expect("written");
        std::fs::rename(&other, &path).expect("put in its place");
        assert_eq!(loan.back().expect("there"), "(title: \"Ebb\")");
        std::fs::write(&path, b"\xff").expect("written");
        assert!(loan.back().is_err());
        assert_eq!(loan.leave().expect("there"), path);
        assert_eq!(std::fs::read(&path).expect("there"), b"\xff");
        std::fs::remove_file(&path).expect("removed");
        let loan = Loan::of("ebb", "").expect("a file");
        let path = loan.path().to_owned();
        drop(loan);
        assert!(!path.exists());
    }
}

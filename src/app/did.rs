//! What a key did to a page that lies over a class.

use crate::live::Input;

/// What a key did to a page, of which `P` is what can change about it.
#[derive(Debug)]
pub(super) enum Did<P> {
    /// It was for the page; the page is now this.
    Page(P),
    /// It was for the page, which closes.
    Close,
    /// The page closes, and this is said to the class.
    Say(Input),
    /// The page stays for more of the kind, and this is said to the class.
    Stay(Input),
    /// It was not for the page.
    Nothing,
}

impl<P> Did<P> {
    /// The same of a page of which this one is a kind.
    pub(super) fn of<Q>(self, kind: impl FnOnce(P) -> Q) -> Did<Q> {
        match self {
            Self::Page(page) => Did::Page(kind(page)),
            Self::Close => Did::Close,
            Self::Say(input) => Did::Say(input),
            Self::Stay(input) => Did::Stay(input),
            Self::Nothing => Did::Nothing,
        }
    }
}

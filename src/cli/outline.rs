//! `matside outline`.

use super::args::Outline as Asked;
use super::folders;
use super::load::{self, Own};
use super::print::{self, width};
use super::report::Failure;
use crate::export::Outline;

pub(super) fn outline(asked: &Asked, own: Own) -> Result<(), Failure> {
    let library = load::library(own)?;
    let session = folders::session(asked.which.session.as_deref(), &library, own)?;
    let outline = Outline::of(&session);
    let text = if asked.json {
        outline.json()
    } else if asked.csv {
        outline.csv()
    } else if asked.short {
        outline.short(width())
    } else {
        outline.text(width())
    };
    print::result(&text)
}

//! `matside sheet`.

use super::args::{PaperSize, Sheet as Asked};
use super::folders;
use super::load::{self, Own};
use super::print;
use super::report::Failure;
use crate::export::{Layout, Paper, cards, cover, sheet as page};

pub(super) fn sheet(asked: &Asked, own: Own) -> Result<(), Failure> {
    let library = load::library(own)?;
    let session = folders::session(asked.which.session.as_deref(), &library, own)?;
    let layout = Layout {
        paper: match asked.paper {
            PaperSize::A4 => Paper::A4,
            PaperSize::Letter => Paper::Letter,
        },
        is_large: asked.large,
    };
    let text = if asked.stations {
        cards(&session, layout)
    } else if asked.cover {
        cover(&session, &library, layout)
    } else {
        page(&session, layout)
    };
    print::written(&asked.to, &text)
}

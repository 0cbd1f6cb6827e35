//! `matside fit`.

use super::args::Fit as Asked;
use super::folders;
use super::load::{self, Own};
use super::print::{self, width};
use super::report::{self, Failure};
use crate::advice::Fit;
use crate::export::{fit_json, fit_page, fitted_text};
use crate::session::{Library, Session};
use crate::time::Span;

pub(super) fn fit(asked: &Asked, own: Own) -> Result<(), Failure> {
    let library = load::library(own)?;
    let (name, text) = folders::source(asked.which.session.as_deref(), own)?;
    let session = Session::read(&name, &text, &library).map_err(Failure::Faults)?;
    let slot = slot(asked, &session)?;
    let fit = Fit::of(&session, slot);
    let page = if asked.json {
        fit_json(&fit)
    } else {
        report::safe(&fit_page(&fit, width()))
    };
    if asked.to.output.is_some() {
        let new = written(&name, &text, &fit, &library)?;
        print::written(&asked.to, &new)?;
        report::tell(&page);
        return Ok(());
    }
    print::result(&page)?;
    if fit.is_exact() {
        return Ok(());
    }
    Err(Failure::Checked(
        "these timings do not fill the slot".to_owned(),
    ))
}

/// What the class is to fill: the slot, less what is left to clear the room.
fn slot(asked: &Asked, session: &Session) -> Result<Span, Failure> {
    let no_slot = || {
        Failure::Usage("there is no `slot` in this session: say one with --slot MINUTES".to_owned())
    };
    let slot = asked.slot.or(session.slot).ok_or_else(no_slot)?;
    let slot = slot.saturating_sub(asked.leave.unwrap_or_default());
    if slot.is_zero() {
        return Err(Failure::Usage("nothing is left of the slot".to_owned()));
    }
    Ok(slot)
}

/// The file with the new times in the places of the old ones. It is read again, so that nobody
/// gets a file that says something else.
fn written(name: &str, text: &str, fit: &Fit, library: &Library) -> Result<String, Failure> {
    if !fit.is_exact() {
        let why =
            "nothing is written: these timings do not fill the slot (without -o it is told why)";
        return Err(Failure::Checked(why.to_owned()));
    }
    let new = fitted_text(name, text, fit);
    load::as_meant(new, name, &fit.session, library)
}

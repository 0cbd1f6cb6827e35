//! `matside effort`.

use super::args::Effort as Asked;
use super::folders;
use super::load::{self, Own};
use super::print::{self, width};
use super::report::{self, Failure};
use crate::advice::Effort;
use crate::export::{effort_json, effort_page};
use crate::plan::Timeline;

pub(super) fn effort(asked: &Asked, own: Own) -> Result<(), Failure> {
    let library = load::library(own)?;
    let session = folders::session(asked.which.session.as_deref(), &library, own)?;
    let effort = Effort::of(&Timeline::of(&session));
    let kilograms = f64::from(asked.weight);
    let text = if asked.json {
        effort_json(&effort, kilograms)
    } else {
        report::safe(&effort_page(&session.title, &effort, kilograms, width()))
    };
    print::result(&text)
}

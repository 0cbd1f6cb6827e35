//! `matside review`.

use super::args::Review as Asked;
use super::folders;
use super::load::{self, Own};
use super::print::{self, width};
use super::report::{self, Failure};
use crate::advice::Review;
use crate::export::{Outline, review_json, review_page};

pub(super) fn review(asked: &Asked, own: Own) -> Result<(), Failure> {
    let library = load::library(own)?;
    let session = folders::session(asked.which.session.as_deref(), &library, own)?;
    let review = Review::of(&session, &library);
    let text = if asked.json {
        review_json(&review)
    } else {
        let stands = Outline::of(&session).stands();
        report::safe(&review_page(&session.title, &stands, &review, width()))
    };
    print::result(&text)?;
    if asked.strict && !review.is_fine() {
        return Err(Failure::Checked(
            "there is something to mend or to think again".to_owned(),
        ));
    }
    Ok(())
}

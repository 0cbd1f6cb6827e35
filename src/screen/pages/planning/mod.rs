//! The page at which a class is planned, and those that lie beside it: a move that is looked for,
//! something to read, a question.

mod ask;
mod find;
mod form;
mod page;
mod read;
#[cfg(test)]
pub(super) mod sample;
#[cfg(test)]
mod tests;

pub use ask::AskPage;
pub use find::{FindPage, Narrow};
pub use form::{FormLine, FormView};
pub use page::{PlanLine, PlanPage, Said};
pub use read::{Reach, ReadPage};

/// The least columns and rows at which a class can be planned.
pub const PLAN_NEEDS: (u16, u16) = (80, 24);

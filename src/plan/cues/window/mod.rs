//! A window, from the start of one move to the start of the next, and what is said in it.
//!
//! A [`Window`] holds the stretches of time that may be spoken in, the asks (things worth saying,
//! each in one or more variants) and the calls (things said at their time or not at all).
//! [`Window::select`] finds the set of greatest [`Worth`], exactly, and the place of everything in
//! it; what is not said is named with the reason. What the words are is the caller's: they are
//! carried along as `T` and never read.
//!
//! The way there: `score` brings the window into the fixed order of saying, `place` puts a given
//! set into time (and where everything fits, nothing else happens), `search` finds the best set
//! otherwise (its heading tells how, and what it costs), `missed` names what had no room.

mod chosen;
mod front;
mod given;
mod links;
mod missed;
mod place;
mod score;
mod search;
mod select;
mod state;
#[cfg(test)]
mod tests;
mod worth;

pub(super) use self::chosen::{Item, Lack, Missed, Said, Selection};
pub(super) use self::given::{Ask, Call, Hold, Range, Stretch, Variant, Window};
pub(super) use self::worth::{Rank, Worth};

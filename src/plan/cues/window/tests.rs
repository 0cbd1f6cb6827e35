//! Windows put to the test: against every other set, against the rules, against more time, against
//! their own rest, and against size.

mod crowded;
mod growth;
mod legal;
mod random;
mod reasons;
mod rest;
mod sets;
mod time;

use super::*;

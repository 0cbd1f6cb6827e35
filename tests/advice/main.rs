//! What a colleague says of plans: review, effort, fit, order.

mod arrange;
mod effort;
mod fit;
mod review;
mod sheet;

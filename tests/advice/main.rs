//! What a colleague says of plans: review, effort, fit, order.

mod effort;
mod fit;
mod review;

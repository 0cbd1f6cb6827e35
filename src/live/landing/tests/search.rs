//! Every plan that obeys the order, tried one by one: none loses fewer seconds of work.

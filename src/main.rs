//! The doorway: everything happens in the library.

fn main() {}

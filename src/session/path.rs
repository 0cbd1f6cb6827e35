//! The way from a whole file to a value in it.

/// A step from a value to one inside it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Step {
    /// The field of a group.
    Field(&'static str),
    /// The value of a list or tuple, counted from 0.
    Item(usize),
}

/// The way from the whole file to a value.
pub type Path = Vec<Step>;

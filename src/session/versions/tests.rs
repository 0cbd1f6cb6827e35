//! The choice of versions, exhaustively over the built-in library.

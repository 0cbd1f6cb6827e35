//! Two classes whose lines were read by eye.

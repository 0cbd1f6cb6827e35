//! The doorway: everything happens in the library.

use std::process::ExitCode;

fn main() -> ExitCode {
    matside::cli::main()
}

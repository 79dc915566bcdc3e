//! The program's entry.

use std::process::ExitCode;

fn main() -> ExitCode {
    reseat::cli::main()
}

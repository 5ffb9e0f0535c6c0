//! The binary: all that it can do stands in the library.

use std::process::ExitCode;

fn main() -> ExitCode {
    tightspot::run()
}

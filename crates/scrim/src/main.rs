//! The program.

use std::process::ExitCode;

fn main() -> ExitCode {
    ExitCode::from(scrim::entry::enter(std::env::args_os()))
}

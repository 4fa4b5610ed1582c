//! The program from its command line to its exit code: parse, do, say what went wrong.

use std::ffi::OsString;
use std::panic::{AssertUnwindSafe, catch_unwind};

use clap::Parser;
use scrim_tables::with_causes;
use tracing::{Level, error};

use crate::cli::{Cli, Command};
use crate::failure::panic_message;
use crate::log::LogFormat;
use crate::{Exit, command, log};

/// Does what a command line says, its first word the program's name. The exit code.
pub fn enter(args: impl IntoIterator<Item = OsString>) -> u8 {
    let cli = match Cli::try_parse_from(args) {
        Ok(cli) => cli,
        Err(error) => {
            // Best effort: with no terminal, the exit code still says so.
            let _ = error.print();
            return u8::try_from(error.exit_code()).unwrap_or(Exit::Usage.code());
        }
    };
    // The demo speaks to people: its digest says it all.
    let is_quiet = cli.quiet || (cli.command.is_none() && cli.log == LogFormat::Text);
    let bar = match cli.command {
        Some(Command::Run(_) | Command::Practice(_) | Command::Tune(_) | Command::Sweep(_)) | None => {
            log::progress_bar(cli.log)
        }
        Some(
            Command::Inspect(_)
            | Command::Pipeline(_)
            | Command::Score(_)
            | Command::Review(_)
            | Command::Compare(_)
            | Command::Report(_)
            | Command::Clips(_)
            | Command::Words(_)
            | Command::Season(_)
            | Command::Digest(_)
            | Command::Like(_)
            | Command::Runs(_)
            | Command::Verify(_)
            | Command::Prune(_)
            | Command::Columns(_),
        ) => indicatif::ProgressBar::hidden(),
    };
    log::start(cli.log, if is_quiet { Level::WARN } else { Level::INFO }, &bar);
    // Reported by whoever catches it, in the log's own form.
    std::panic::set_hook(Box::new(|info| {
        let place = info.location().map(ToString::to_string);
        error!(place, "{}", panic_message(info.payload()));
    }));
    let done = catch_unwind(AssertUnwindSafe(|| match &cli.command {
        Some(Command::Run(args)) => command::run::run(args, &bar),
        Some(Command::Inspect(args)) => command::inspect::inspect(args),
        Some(Command::Pipeline(args)) => command::pipeline::pipeline(args),
        Some(Command::Score(args)) => command::score::score(args),
        Some(Command::Tune(args)) => command::tune::tune(args, &bar),
        Some(Command::Review(args)) => command::review::review(args),
        Some(Command::Compare(args)) => command::compare::compare(args),
        Some(Command::Sweep(args)) => command::sweep::sweep(args, &bar),
        Some(Command::Report(args)) => command::report::report(args),
        Some(Command::Clips(args)) => command::clips::clips(args),
        Some(Command::Words(args)) => command::words::words(args),
        Some(Command::Season(args)) => command::season::season(args),
        Some(Command::Digest(args)) => command::digest::digest(args),
        Some(Command::Like(args)) => command::like::like(args),
        Some(Command::Columns(args)) => command::columns::columns(args),
        Some(Command::Runs(args)) => command::runs::runs(args),
        Some(Command::Verify(args)) => command::verify::verify(args),
        Some(Command::Prune(args)) => command::prune::prune(args),
        Some(Command::Practice(args)) => command::practice::practice(args, &bar),
        None => command::demo::demo(&bar),
    }));
    let exit = match done {
        Ok(Ok(exit)) => exit,
        Ok(Err(error)) => {
            error!("{}", with_causes(error.as_ref()));
            Exit::NothingDone
        }
        Err(_) => {
            error!("a fault of the program itself; please report it with the message above");
            Exit::NothingDone
        }
    };
    exit.code()
}

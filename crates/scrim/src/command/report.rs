//! `scrim report`

use std::path::Path;

use anyhow::{Context, Result};
use scrim_report::{Choice, Report, make_report, read_games};
use scrim_tables::LocalStore;
use tracing::warn;

use crate::Exit;
use crate::cli::ReportArgs;
use crate::command::say;

/// Makes one page about a team and says where it is.
///
/// # Errors
/// When there is no such team in the tables, a table cannot be read, or the page cannot be written.
pub fn report(args: &ReportArgs) -> Result<Exit> {
    let report = report_of(&args.tables, &args.choice.choice())?;
    write(&args.output, report.html.as_bytes())?;
    let mut text = format!("report            {}\n", args.output.display());
    if let Some(folder) = &args.drawings {
        for drawing in &report.drawings {
            write(
                &folder.join(format!("{}.svg", drawing.name)),
                drawing.svg.as_bytes(),
            )?;
        }
        text.push_str(&format!(
            "drawings          {} in {}\n",
            report.drawings.len(),
            folder.display()
        ));
    }
    say(&text)?;
    Ok(Exit::AllDone)
}

/// The report about the games that a choice picks; what is absent or broken is also logged.
pub(crate) fn report_of(tables: &Path, choice: &Choice) -> Result<Report> {
    let games = read_games(&LocalStore::new(tables), choice)?;
    for note in &games.notes {
        warn!("{note}");
    }
    for (table, count) in &games.absent {
        warn!(
            table,
            games = count,
            "absent: the report says so and goes without"
        );
    }
    Ok(make_report(&games)?)
}

/// Writes a file whole: beside its place first, then renamed, so that a reader never sees half of it.
pub(crate) fn write(path: &Path, bytes: &[u8]) -> Result<()> {
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let name = path
        .file_name()
        .with_context(|| format!("{}: is no file's name", path.display()))?;
    let mut aside_name = std::ffi::OsString::from(".");
    aside_name.push(name);
    aside_name.push(format!(".staged-{}", std::process::id()));
    let aside = folder.join(aside_name);
    std::fs::create_dir_all(folder)
        .and_then(|()| std::fs::write(&aside, bytes))
        .and_then(|()| std::fs::rename(&aside, path))
        .inspect_err(|_| {
            // Best effort: the first error is the one to tell.
            let _ = std::fs::remove_file(&aside);
        })
        .with_context(|| format!("{}: cannot be written", path.display()))
}

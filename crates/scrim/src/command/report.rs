//! `scrim report`

use anyhow::Result;
use clap::CommandFactory;
use clap::error::ErrorKind;
use scrim_report::{Choice, make_players_sheet, make_report, read_games};
use scrim_tables::ledger::Snapshot;
use tracing::warn;

use crate::Exit;
use crate::cli::{Cli, ReportArgs, Sheet};
use crate::command::{say, tables_in};
use crate::pdf::print_pdf;
use crate::reports::write_whole;
use crate::translation::words_of;

/// Makes one page about a team and says where it is.
///
/// # Errors
/// When there is no such team in the tables, a table cannot be read, or the page cannot be written.
pub fn report(args: &ReportArgs) -> Result<Exit> {
    if args.sheet == Sheet::Players && args.reader.is_some() {
        let refused = "--for sets your team beside theirs in the staff's report; the players' sheet has no place for it: leave out --for, or --sheet players";
        let error = Cli::command().error(ErrorKind::ArgumentConflict, refused);
        // Best effort: with no stderr, the exit code still says so.
        let _ = error.print();
        return Ok(Exit::Usage);
    }
    let choice = Choice {
        reader: args.reader.clone(),
        ..args.choice.choice()
    };
    let words = words_of(args.words.as_deref())?;
    let games = read_games(&Snapshot::new(tables_in(&args.tables)?.as_ref()), &choice)?;
    for note in &games.notes {
        warn!("{}", note.text(&words));
    }
    for (table, count) in &games.absent {
        warn!(
            table,
            games = count,
            "absent: the report says so and goes without"
        );
    }
    let report = match args.sheet {
        Sheet::Staff => make_report(&games, &words)?,
        Sheet::Players => make_players_sheet(&games, &words)?,
    };
    write_whole(&args.output, report.html.as_bytes())?;
    let mut text = format!("report            {}\n", args.output.display());
    if let Some(pdf) = &args.pdf {
        print_pdf(&args.output, pdf)?;
        text.push_str(&format!("pdf               {}\n", pdf.display()));
    }
    if let Some(folder) = &args.drawings {
        for drawing in &report.drawings {
            write_whole(
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

//! `scrim score`

use anyhow::{Context, Result};
use scrim_score::{GamesWithoutTables, ScoreParams};

use crate::Exit;
use crate::cli::{MissingGames, ScoreArgs};
use crate::command::{files_of, say, tables_in, write_json};
use crate::tagging::{tagging_of, tagging_toml};

/// Scores tables against labels.
///
/// # Errors
/// When tables or labels cannot be read, or the JSON cannot be written.
pub fn score(args: &ScoreArgs) -> Result<Exit> {
    let params = ScoreParams {
        games_without_tables: match args.missing_games {
            MissingGames::Refuse => GamesWithoutTables::Refuse,
            MissingGames::Miss => GamesWithoutTables::CountAsMissed,
            MissingGames::LeaveOut => GamesWithoutTables::LeaveOut,
        },
        ..ScoreParams::default()
    };
    tables_in(&args.tables)?;
    let (tables, _mirror) = files_of(&args.tables)?;
    let report = scrim_score::score(&tables, &args.labels, &params)?;
    if let Some(path) = &args.json {
        write_json(path, &report)?;
    }
    if let Some(path) = &args.tagging {
        std::fs::write(path, tagging_toml(&tagging_of(&report))?)
            .with_context(|| format!("{}: the tagging cannot be written", path.display()))?;
    }
    say(&report.to_table())?;
    Ok(Exit::AllDone)
}

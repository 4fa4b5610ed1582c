//! `scrim runs`

use anyhow::{Result, bail};

use crate::Exit;
use crate::cli::{RunsArgs, RunsCommand};
use crate::command::{say, tables_in};
use crate::run_record::{RunDocument, documents};

/// Lists the runs that wrote a folder of tables, or prints one.
///
/// # Errors
/// When the folder cannot be read, or has no such run.
pub fn runs(args: &RunsArgs) -> Result<Exit> {
    let documents = documents(tables_in(&args.tables)?.as_ref())?;
    if documents.is_empty() {
        bail!(
            "{}: no run is recorded here; give the folder that `scrim run` wrote to, as --tables",
            args.tables
        );
    }
    match &args.what {
        None => {
            let mut text = format!(
                "{:<26}{:<22}{:>5}{:>7}{:>11}{:>9}{:>10}  pipeline\n",
                "run", "began (UTC)", "exit", "done", "unchanged", "skipped", "seconds"
            );
            for run in &documents {
                text.push_str(&line(run));
            }
            say(&text)?;
        }
        Some(RunsCommand::Show { id }) => {
            let run = match id.as_str() {
                "last" => documents.last(),
                id => documents.iter().find(|run| run.run_id.starts_with(id)),
            };
            let Some(run) = run else {
                bail!(
                    "{id}: no such run in {}; `scrim runs --tables {}` lists them",
                    args.tables,
                    args.tables
                );
            };
            say(&format!("{}\n", serde_json::to_string_pretty(run)?))?;
        }
    }
    Ok(Exit::AllDone)
}

fn line(run: &RunDocument) -> String {
    let count = |key: &str| run.summary[key].as_array().map_or(0, Vec::len);
    format!(
        "{:<26}{:<22}{:>5}{:>7}{:>11}{:>9}{:>10.1}  {}\n",
        run.run_id,
        run.started.get(..19).unwrap_or(&run.started),
        run.exit_code.map_or("none".into(), |code| code.to_string()),
        count("done"),
        count("unchanged"),
        count("skipped") + count("still_refused"),
        run.summary["seconds"].as_f64().unwrap_or_default(),
        run.pipeline,
    )
}

//! No command: the demo pipeline on the sample data, described in words.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use anyhow::{Result, bail};
use indicatif::ProgressBar;
use scrim_ingest::find_sources;
use scrim_objects::Location;
use scrim_report::{Choice, TeamGames, file_stem, make_report, read_games, teams_of_last_day};
use scrim_season::words::Words;
use scrim_tables::{LocalStore, with_causes};

use crate::command::run::{Job, do_job};
use crate::command::say;
use crate::game_text::describe_game;
use crate::inputs::Inputs;
use crate::output::Output;
use crate::reports::{REPORTS, ReportFailure, write_whole};
use crate::run_record::RunRecord;
use crate::source_record::Redo;
use crate::{Exit, Pipeline, RunSummary};

/// Where the demo's tables go, in the current folder.
const OUTPUT: &str = "scrim-out";

/// Runs the demo pipeline (every parameter at its default) on `sample-data/`.
///
/// # Errors
/// When there is no sample data, or nothing can be begun.
pub fn demo(bar: &ProgressBar) -> Result<Exit> {
    let Some(input) = sample_data() else {
        bail!(
            "no sample-data/ here to show what scrim does. Make practice games with `scrim practice --games 2 --seed 1 \
             --output practice`, then `scrim run pipelines/nightly.toml --input practice --output {OUTPUT}`; or give \
             your own tracking as --input. `scrim --help` has the rest"
        );
    };
    let pipeline = Pipeline {
        name: "demo".into(),
        ..Pipeline::default()
    };
    let texts = Mutex::new(BTreeMap::new());
    let run = pipeline.run_info()?;
    let record = RunRecord::start(&run);
    let sources = find_sources(&input, None)?.sources;
    let output = Output::open(&Location::Local(OUTPUT.into()), "scrim, the demo", &record)?;
    let job = Job {
        pipeline: &pipeline,
        run: &run,
        run_id: record.id(),
        sources: &sources,
        inputs: &Inputs::Here,
        store: output.store(),
        redo: Redo::All,
        jobs: None,
        on_game: &|tagged| {
            let key = (tagged.game.info.season.clone(), tagged.game.info.game_id.clone());
            let mut texts = texts.lock().unwrap_or_else(PoisonError::into_inner);
            texts.insert(key, describe_game(&tagged.tables));
        },
    };
    let summary = do_job(&job, bar)?;
    record.put_games(&summary.all, output.store())?;
    record.put_document("scrim", Some(&summary), output.store())?;
    let report = demo_report(&summary);
    output.close()?;
    let mut text = String::new();
    for game in texts
        .into_inner()
        .unwrap_or_else(PoisonError::into_inner)
        .values()
    {
        text.push_str(game);
        text.push('\n');
    }
    text.push_str(&format!(
        "{summary}tables            {OUTPUT}/TABLE/SEASON~GAME.parquet\n{report}\n\
         Simulated games of an invented league. Every line is an estimate: look at the film before acting on it.\n"
    ));
    say(&text)?;
    Ok(summary.exit())
}

/// One report, about the team with most games (of equals the first by id): a line with its path, or why there is none.
fn demo_report(summary: &RunSummary) -> String {
    let games: BTreeSet<String> = summary.all.done.iter().map(|game| game.game_id.clone()).collect();
    let output = Path::new(OUTPUT);
    let store = LocalStore::new(output);
    let made = teams_of_last_day(&store, Some(&games))
        .map_err(ReportFailure::from)
        .and_then(|teams| {
            let mut most: Option<TeamGames> = None;
            for team in teams {
                let games = read_games(&store, &Choice::all_of(team))?;
                if most
                    .as_ref()
                    .is_none_or(|most| most.games.len() < games.games.len())
                {
                    most = Some(games);
                }
            }
            let Some(games) = most else {
                return Ok(String::new());
            };
            let team = &games.choice.team;
            let path = output.join(REPORTS).join(format!("{}.html", file_stem(team)));
            write_whole(&path, make_report(&games, &Words::english())?.html.as_bytes())?;
            Ok(format!(
                "report            {} (open it in a browser)\n",
                path.display()
            ))
        });
    made.unwrap_or_else(|failure| format!("no report         {}\n", with_causes(&failure)))
}

/// The sample data: in the current folder, else where the program was built.
fn sample_data() -> Option<PathBuf> {
    let built = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../sample-data");
    [PathBuf::from("sample-data"), built]
        .into_iter()
        .find(|folder| folder.is_dir())
        .map(|folder| folder.canonicalize().unwrap_or(folder))
}

//! `scrim sweep`

use anyhow::{Context, Result};
use clap::CommandFactory;
use clap::error::ErrorKind;
use indicatif::ProgressBar;
use scrim_compare::{SweptKey, sweep_drawing, sweep_rows};
use scrim_objects::Location;
use scrim_tables::rows::SweepRow;
use scrim_tables::{Row, write_rows};

use crate::cli::{Cli, SweepArgs};
use crate::command::say;
use crate::inputs::Inputs;
use crate::places::check_output;
use crate::reports::write_whole;
use crate::run::workers;
use crate::sweep::{Grid, Swept, sample, sweep_sources};
use crate::{Exit, Pipeline};

/// Runs a grid of parameters over a sample of games, and writes the table `sweep` and its drawing.
///
/// # Errors
/// When nothing can be begun, no game could be done, or the output cannot be written.
pub fn sweep(args: &SweepArgs, bar: &ProgressBar) -> Result<Exit> {
    if let Err(refused) = check_output(&args.input, &Location::Local(args.output.clone())) {
        let error = Cli::command().error(ErrorKind::ValueValidation, refused);
        // Best effort: with no stderr, the exit code still says so.
        let _ = error.print();
        return Ok(Exit::Usage);
    }
    let own = Pipeline::read(&args.pipeline)?;
    let grid = Grid::of(&own, &args.vary)?;
    let (inputs, found) = Inputs::find(&args.input, args.mapping.as_deref())?;
    let all = found.sources.len();
    let sources = sample(&found.sources, args.games.map_or(all, |count| count as usize));
    // Before hours of work, not after.
    std::fs::create_dir_all(&args.output)
        .with_context(|| format!("{}: the folder cannot be made", args.output.display()))?;
    say(&begin_text(&grid, sources.len(), all))?;
    bar.set_length(sources.len() as u64);
    let jobs = args.jobs.map_or_else(workers, usize::from);
    let swept = sweep_sources(&sources, &inputs, &own, &grid, jobs, &|| bar.inc(1))?;
    bar.finish_and_clear();
    let table = args.output.join(SweepRow::TABLE).join("sweep.parquet");
    let drawing = args.output.join("sweep.svg");
    let rows = sweep_rows(&grid.keys, &swept.tallies);
    write_whole(&table, &write_rows(&rows, None, &own.run_info()?)?)?;
    let svg = sweep_drawing(&own.name, &grid.keys, &swept.tallies);
    write_whole(&drawing, svg.as_bytes())?;
    say(&format!(
        "{}table             {}\ndrawing           {}\n",
        end_text(&swept),
        table.display(),
        drawing.display()
    ))?;
    Ok(if swept.skipped.is_empty() {
        Exit::AllDone
    } else {
        Exit::SomeFailed
    })
}

/// What is about to be done.
fn begin_text(grid: &Grid, sources: usize, all: usize) -> String {
    let mut text = String::new();
    for key in &grid.keys {
        let (values, own) = (&key.values, key.own);
        let unit = if key.unit.is_empty() {
            String::new()
        } else {
            format!(" {}", key.unit)
        };
        text.push_str(&format!(
            "varied            {}: {} values from {} to {}{unit}; the pipeline has {own}\n",
            key.key,
            values.len(),
            values.first().unwrap_or(&own),
            values.last().unwrap_or(&own),
        ));
    }
    text.push_str(&format!("cells             {}\n", SweptKey::cells(&grid.keys)));
    text.push_str(&format!(
        "sources           {sources} of {all}, evenly spread in the order of their names\n"
    ));
    text.push_str(&format!("redone a cell     {}\n", redone(grid)));
    text
}

fn redone(grid: &Grid) -> &'static str {
    use crate::stages::Stage;
    match grid.first {
        Stage::Tracks => "all stages",
        Stage::Play => "all stages after the tracks",
        Stage::BallScreens => "ball screens and what follows; tracks, possessions and matchups once a game",
        Stage::Actions => {
            "reads and what is off the ball; tracks, possessions, matchups and ball screens once a game"
        }
        Stage::Flow => "chains and entries; all before them once a game",
    }
}

/// What came of it.
fn end_text(swept: &Swept) -> String {
    let mut text = format!("games             {}\n", swept.games.len());
    for skipped in &swept.skipped {
        text.push_str(&format!("left out          {skipped}\n"));
    }
    let mut shares: Vec<(String, f64)> = Vec::new();
    let Some(first) = swept.tallies.first() else {
        return text;
    };
    // A column's words together: what a reader asks first.
    for measure in first.counts.keys().filter(|measure| measure.word.is_none()) {
        let most = swept
            .tallies
            .iter()
            .filter_map(|tally| tally.get(measure).changed_share())
            .fold(0.0, f64::max);
        if most > 0.0 {
            shares.push((measure.to_string(), most));
        }
    }
    shares.sort_by(|a, b| b.1.total_cmp(&a.1));
    if shares.is_empty() {
        text.push_str("changed           nothing, in any cell\n");
    }
    for (measure, most) in shares {
        text.push_str(&format!(
            "changed           {measure}: at most {:.1} % of rows\n",
            100.0 * most
        ));
    }
    text
}

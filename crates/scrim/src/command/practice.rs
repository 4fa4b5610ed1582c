//! `scrim practice`

use std::path::Path;

use anyhow::{Context, Result};
use indicatif::ProgressBar;
use rayon::prelude::*;
use scrim_floor::Court;
use scrim_practice::{
    BallHeight, Faults, LiftRow, LookRunRow, PracticeGame, PracticeParams, Season, TimeStamps, play_game,
    play_season_game, write_game, write_lift_truth, write_season_truth, write_tracking_csv_feet,
};
use tracing::info;

use crate::Exit;
use crate::cli::{Habits, PracticeArgs};
use crate::command::say;
use crate::run::workers;

/// Plays practice games and writes each as a source folder with labels.
///
/// # Errors
/// When a parameter makes no sense, or a file cannot be written.
pub fn practice(args: &PracticeArgs, bar: &ProgressBar) -> Result<Exit> {
    let params = PracticeParams {
        seed: args.seed,
        games: args.games,
        hz: args.hz,
        noise_m: args.noise,
        periods: args.periods,
        period_s: args.period_s,
        faults: Faults {
            dropouts_per_minute: args.dropouts,
            swaps_per_minute: args.swaps,
            spikes_per_minute: args.spikes,
            time_stamps: if args.irregular {
                TimeStamps::Irregular
            } else {
                TimeStamps::Regular
            },
        },
        court: Court::by_name(&args.court)?,
        ball_height: if args.no_ball_height {
            BallHeight::Unknown
        } else {
            BallHeight::Given
        },
        orderly_share: args.orderly,
        lifts_hold: args.lifts_hold,
        ..PracticeParams::default()
    }
    .checked()?;
    bar.set_length(u64::from(args.games));
    let jobs = args.jobs.map_or_else(workers, usize::from);
    let pool = rayon::ThreadPoolBuilder::new().num_threads(jobs).build()?;
    let season = args.season.then(|| match args.habits {
        Habits::Own => Season::of_seed(args.seed),
        Habits::Alike => Season::alike(args.seed),
        Habits::Planted => Season::planted(args.seed),
    });
    let truth: Result<Vec<(Vec<LookRunRow>, Vec<LiftRow>)>> = pool.install(|| {
        (0..args.games)
            .into_par_iter()
            .with_max_len(1)
            .map(|number| {
                let mut game = match &season {
                    Some(season) => play_season_game(&params, season, number),
                    None => play_game(&params, number),
                };
                let folder = args.output.join(game.game_id.as_ref());
                write_game(&game, &folder)?;
                if args.csv_in_feet {
                    write_csv_in_feet(&game, args.hz, &folder)?;
                }
                info!(game = %game.game_id, rows = game.tracking.len(), "game written");
                bar.inc(1);
                Ok((
                    std::mem::take(&mut game.look_runs),
                    std::mem::take(&mut game.lifts),
                ))
            })
            .collect()
    });
    let unwritten = || format!("{}: practice games cannot be written", args.output.display());
    let (look_runs, lifts): (Vec<_>, Vec<_>) = truth.with_context(unwritten)?.into_iter().unzip();
    let folder = args.output.join("truth");
    if let Some(season) = &season {
        write_season_truth(season, &look_runs.concat(), &folder).with_context(unwritten)?;
    }
    if args.lifts_hold.is_some() {
        write_lift_truth(&lifts.concat(), &folder).with_context(unwritten)?;
    }
    bar.finish_and_clear();
    say(&format!(
        "{} practice games of an invented league in {}\n",
        args.games,
        args.output.display()
    ))?;
    Ok(Exit::AllDone)
}

/// The mapping of [`write_tracking_csv_feet`]'s file; the rate is put in.
const CSV_IN_FEET: &str = r#"# How this tracking.csv is to be read: feet, a corner origin, frame numbers.
[game]
column = "game"

[period]
column = "quarter"

[time]
column = "frame"
unit = "frame"
rate_hz = RATE
counts_from = "period_start"

[game_clock]
column = "clock"

[shot_clock]
column = "shot_clock"

[team]
column = "team"

[player]
column = "player"

[place]
x = "x_ft"
y = "y_ft"
z = "z_ft"
unit = "ft"
origin = "bottom_left"

[ball]
column = "team"
values = ["ball"]
"#;

/// Writes the game once more as another provider might, in a folder inside the game's own: a run over a folder of games
/// does not look that deep, so that no game comes twice.
fn write_csv_in_feet(game: &PracticeGame, hz: f64, folder: &Path) -> Result<()> {
    let inside = folder.join("csv-in-feet");
    std::fs::create_dir_all(&inside)?;
    write_tracking_csv_feet(game, &inside.join("tracking.csv"))?;
    // A TOML float has a point.
    let mapping = CSV_IN_FEET.replace("RATE", &format!("{hz:?}"));
    std::fs::write(inside.join("mapping.toml"), mapping)?;
    for table in ["games.csv", "players.csv", "events.csv"] {
        std::fs::copy(folder.join(table), inside.join(table))?;
    }
    Ok(())
}

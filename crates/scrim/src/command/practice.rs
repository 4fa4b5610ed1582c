//! `scrim practice`

use std::thread::available_parallelism;

use anyhow::{Context, Result};
use indicatif::ProgressBar;
use rayon::prelude::*;
use scrim_floor::Court;
use scrim_practice::{BallHeight, Faults, PracticeParams, TimeStamps, play_game, write_game};
use tracing::info;

use crate::Exit;
use crate::cli::PracticeArgs;
use crate::command::say;

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
        ..PracticeParams::default()
    }
    .checked()?;
    bar.set_length(u64::from(args.games));
    let jobs = args
        .jobs
        .map_or_else(|| available_parallelism().map_or(1, Into::into), usize::from);
    let pool = rayon::ThreadPoolBuilder::new().num_threads(jobs).build()?;
    pool.install(|| {
        (0..args.games)
            .into_par_iter()
            .with_max_len(1)
            .try_for_each(|number| {
                let game = play_game(&params, number);
                let folder = args.output.join(game.game_id.as_ref());
                write_game(&game, &folder)?;
                info!(game = %game.game_id, rows = game.tracking.len(), "game written");
                bar.inc(1);
                Ok::<_, scrim_practice::WriteError>(())
            })
    })
    .with_context(|| format!("{}: practice games cannot be written", args.output.display()))?;
    bar.finish_and_clear();
    say(&format!(
        "{} practice games of an invented league in {}\n",
        args.games,
        args.output.display()
    ))?;
    Ok(Exit::AllDone)
}

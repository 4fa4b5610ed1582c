//! Plays practice games into a folder: `play DIR GAMES PERIOD_S [SEED [season]]`.
#![expect(clippy::print_stdout, reason = "an example talks to whoever runs it")]

use std::path::Path;

use scrim_practice::{PracticeParams, Season, play_game, play_season_game, write_game, write_season_truth};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let arguments: Vec<String> = std::env::args().collect();
    let [_, dir, games, period_s, rest @ ..] = arguments.as_slice() else {
        return Err("usage: play DIR GAMES PERIOD_S [SEED [season]]".into());
    };
    let seed = rest.first().map_or(Ok(1), |s| s.parse())?;
    let params = PracticeParams {
        seed,
        games: games.parse()?,
        period_s: period_s.parse()?,
        ..PracticeParams::default()
    }
    .checked()?;
    let season = (rest.get(1).map(String::as_str) == Some("season")).then(|| Season::of_seed(seed));
    let mut look_runs = Vec::new();
    for index in 0..params.games {
        let started = std::time::Instant::now();
        let game = match &season {
            Some(season) => play_season_game(&params, season, index),
            None => play_game(&params, index),
        };
        let played = started.elapsed();
        write_game(&game, &Path::new(dir).join(&*game.game_id))?;
        println!(
            "{} {} rows, played in {played:.2?}, with writing {:.2?}",
            game.game_id,
            game.tracking.len(),
            started.elapsed()
        );
        look_runs.extend(game.look_runs);
    }
    if let Some(season) = &season {
        write_season_truth(season, &look_runs, &Path::new(dir).join("truth"))?;
    }
    Ok(())
}

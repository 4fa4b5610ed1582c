//! Plays practice games into a folder: `play DIR GAMES PERIOD_S [SEED]`.
#![expect(clippy::print_stdout, reason = "an example talks to whoever runs it")]

use std::path::Path;

use scrim_practice::{PracticeParams, play_game, write_game};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let arguments: Vec<String> = std::env::args().collect();
    let [_, dir, games, period_s, rest @ ..] = arguments.as_slice() else {
        return Err("usage: play DIR GAMES PERIOD_S [SEED]".into());
    };
    let seed = rest.first().map_or(Ok(1), |s| s.parse())?;
    let params = PracticeParams {
        seed,
        games: games.parse()?,
        period_s: period_s.parse()?,
        ..PracticeParams::default()
    }
    .checked()?;
    for index in 0..params.games {
        let started = std::time::Instant::now();
        let game = play_game(&params, index);
        let played = started.elapsed();
        write_game(&game, &Path::new(dir).join(&*game.game_id))?;
        println!(
            "{} {} rows, played in {played:.2?}, with writing {:.2?}",
            game.game_id,
            game.tracking.len(),
            started.elapsed()
        );
    }
    Ok(())
}

//! Practice games to fit on: played, written, read and cleaned as any source is.

use std::error::Error;

use scrim_ingest::{IngestError, IngestParams, ReadGame, find_sources, read_source};
use scrim_practice::{PracticeParams, ScreenLabel, play_game, write_game};
use scrim_tracks::{Game, TrackParams, clean};

/// Calls `each` with every cleaned game of the seed, `games` at each of the noises, and its labels.
pub fn each_game(
    seed: u64,
    games: u32,
    noises_m: &[f32],
    each: &mut dyn FnMut(&Game, &[ScreenLabel]),
) -> Result<(), Box<dyn Error>> {
    for &noise_m in noises_m {
        for number in 0..games {
            let params = PracticeParams {
                seed,
                games,
                noise_m,
                ..PracticeParams::default()
            };
            let played = play_game(&params, number);
            let folder = tempfile::tempdir()?;
            write_game(&played, folder.path())?;
            for source in find_sources(folder.path(), None)? {
                let mut refused = None;
                read_source::<IngestError>(&source, &IngestParams::default(), &mut |read: ReadGame| {
                    match clean(read.raw, &TrackParams::default()) {
                        Ok(cleaned) => each(&cleaned.game, &played.labels.screens),
                        Err(error) => refused = Some(error),
                    }
                    Ok(())
                })?;
                if let Some(error) = refused {
                    return Err(error.into());
                }
            }
            eprintln!("noise {noise_m} m, game {} of {games}", number + 1);
        }
    }
    Ok(())
}

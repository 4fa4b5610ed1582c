//! dump
use std::path::Path;
use scrim_ingest::{IngestError, IngestParams, ReadGame, find_sources, read_source};
fn main() -> Result<(), Box<dyn std::error::Error>> {
    for folder in std::env::args().skip(1) {
        for source in find_sources(Path::new(&folder), None)? {
            read_source::<IngestError>(&source, &IngestParams::default(), &mut |read: ReadGame| {
                if let Ok(cleaned) = scrim_tracks::clean(read.raw, &Default::default()) {
                    let game = &cleaned.game;
                    let play = scrim_play::find_play(game, &Default::default());
                    let scenes = scrim_play::Scene::all(game, &play);
                    let ball = scrim_actions::find_ball_screens(&scenes, &play, &Default::default());
                    for c in scrim_actions::off_ball_candidates(&scenes, &play, &ball, &Default::default()) {
                        let period = &game.periods[play.possessions[c.possession].period];
                        println!("{}|{}|{}|{}|{}|{:.2}|{}|{:?}|{}|{}", game.info.game_id, period.number, c.possession, game.player(c.screener).id, game.player(c.user).id,
                            period.t_s(c.used), c.kind, c.fits.parts(), c.confidence, c.raw);
                    }
                }
                Ok(())
            })?;
        }
    }
    Ok(())
}

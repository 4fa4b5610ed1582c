//! Writes every candidate of the games in a folder with its evidence as CSV.
#![expect(clippy::print_stderr, reason = "progress")]
use std::error::Error;
use std::io::Write;

use scrim_actions::{PairEvidence, pair_candidates};
use scrim_ingest::{IngestError, IngestParams, ReadGame, find_sources, read_source};
use scrim_play::{PlayParams, Scene, find_play};
use scrim_tracks::{TrackParams, clean};

fn main() -> Result<(), Box<dyn Error>> {
    let mut args = std::env::args().skip(1);
    let (input, output) = (args.next().ok_or("input")?, args.next().ok_or("output")?);
    let mut out = std::io::BufWriter::new(std::fs::File::create(output)?);
    writeln!(
        out,
        "game_id,period,t_s,user_id,screener_id,{}",
        PairEvidence::NAMES.join(",")
    )?;
    for source in find_sources(std::path::Path::new(&input), None)? {
        read_source::<IngestError>(&source, &IngestParams::default(), &mut |read: ReadGame| {
            if let Ok(cleaned) = clean(read.raw, &TrackParams::default()) {
                let game = &cleaned.game;
                let play = find_play(game, &PlayParams::default());
                let scenes = Scene::all(game, &play);
                for c in pair_candidates(&scenes) {
                    let period = &game.periods[play.possessions[c.possession].period];
                    let values: Vec<String> = c.evidence.values().iter().map(f32::to_string).collect();
                    let _ = writeln!(
                        out,
                        "{},{},{:.3},{},{},{}",
                        game.info.game_id,
                        period.number,
                        c.at as f64 / period.hz,
                        game.player(c.user).id,
                        game.player(c.screener).id,
                        values.join(",")
                    );
                }
            }
            Ok(())
        })?;
        eprintln!("{source:?}");
    }
    Ok(())
}

//! dev dump of candidates
#![allow(clippy::all, missing_docs, clippy::print_stdout)]
use scrim_ingest::{IngestError, IngestParams, ReadGame, find_sources, read_source};
fn main() -> Result<(), Box<dyn std::error::Error>> {
    let a: Vec<String> = std::env::args().collect();
    println!(
        "game\tperiod\tposs\tscreener\tuser\toutcome\tuse\tconf\tearly\t{}",
        scrim_actions::ScreenFits::NAMES.join("\t")
    );
    for src in find_sources(std::path::Path::new(&a[1]), None)? {
        read_source::<IngestError>(&src, &IngestParams::default(), &mut |g: ReadGame| {
            let c = scrim_tracks::clean(g.raw, &Default::default()).unwrap();
            let play = scrim_play::find_play(&c.game, &Default::default());
            for s in scrim_actions::screen_candidates(&c.game, &play, &Default::default()) {
                let per = &c.game.periods[play.possessions[s.possession].period];
                let f: Vec<String> = s.fits.parts().iter().map(|x| format!("{x:.3}")).collect();
                println!(
                    "{}\t{}\t{}\t{}\t{}\t{}\t{:.2}\t{:.3}\t{}\t{}",
                    c.game.info.game_id,
                    per.number,
                    s.possession,
                    c.game.player(s.screener).id,
                    c.game.player(s.user).id,
                    s.outcome,
                    s.used as f64 / per.hz,
                    s.confidence,
                    s.early_denial,
                    f.join("\t")
                );
            }
            Ok(())
        })?;
    }
    Ok(())
}

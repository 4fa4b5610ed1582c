//! How long one source takes to read: `cargo run --release -p scrim-ingest --example read_time -- PATH`.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "an example tells on the terminal"
)]

use scrim_ingest::{IngestError, IngestParams, find_sources, read_source};

fn main() {
    let path = std::env::args().nth(1).unwrap();
    for source in find_sources(path.as_ref(), None).unwrap() {
        let start = std::time::Instant::now();
        let report = read_source::<IngestError>(&source, &IngestParams::default(), &mut |game| {
            let raw = &game.raw;
            println!(
                "{} {:?} players {} quarantine {}",
                raw.info.game_id,
                raw.info.team_ids,
                raw.players.len(),
                game.quarantine.len()
            );
            for p in &raw.periods {
                let rows: usize = p.players.iter().map(|t| t.t_s.len()).sum::<usize>() + p.ball.t_s.len();
                println!(
                    "  period {} rows {rows} ball {} clocks {} tracks {} dup {}",
                    p.number,
                    p.ball.t_s.len(),
                    p.clocks.len(),
                    p.players.len(),
                    p.duplicate_rows
                );
            }
            println!("  events {:?}", raw.events.as_ref().map(Vec::len));
            Ok(())
        })
        .unwrap();
        println!("{} rows in {:?}", report.rows, start.elapsed());
    }
}

//! How long it takes to read what is at a path: `read_time PATH [MAPPING]`.
#![allow(clippy::print_stdout, reason = "an example prints on the terminal")]

use std::path::Path;
use std::time::Instant;

use scrim_ingest::{IngestError, IngestParams, find_sources, read_source};

fn main() -> Result<(), IngestError> {
    let mut arguments = std::env::args().skip(1);
    let path = arguments.next().unwrap_or_else(|| ".".into());
    let mapping = arguments.next();
    for source in find_sources(path.as_ref(), mapping.as_deref().map(Path::new))?.sources {
        let start = Instant::now();
        let mut samples = 0;
        let mut refused = 0;
        let report = read_source::<IngestError>(&source, &IngestParams::default(), &mut |game| {
            let periods = &game.raw.periods;
            samples += periods
                .iter()
                .flat_map(|p| &p.players)
                .map(|t| t.t_s.len())
                .sum::<usize>();
            samples += periods.iter().map(|p| p.ball.t_s.len()).sum::<usize>();
            refused += game.quarantine.len();
            Ok(())
        })?;
        println!(
            "{}: {} games, {} rows, {samples} samples, {refused} refused in {:?}",
            source.name,
            report.games,
            report.rows,
            start.elapsed()
        );
    }
    Ok(())
}

//! Any bytes into every reader: an error or a quarantine, never a panic.

use proptest::prelude::*;
use scrim_ingest::{IngestParams, inspect};

use crate::small_game::{Folder, arrow_file, arrow_stream, csv, gzip, json_lines, json_rows, parquet, rows};

const NESTED: &str =
    "form = \"nested\"\n[[nested.walk]]\nname = \"row\"\nat = \"\"\n[game]\ncolumn = \"/game_id\"\n";

/// A valid small file of each format, its name, and a mapping.
fn valid(kind: usize) -> (&'static str, Vec<u8>, &'static str) {
    let rows = rows("G1", 2);
    match kind {
        0 => ("tracking.csv", csv(&rows).into(), ""),
        1 => ("tracking.csv.gz", gzip(csv(&rows).as_bytes()), ""),
        2 => (
            "tracking.csv.zst",
            zstd::encode_all(csv(&rows).as_bytes(), 1).unwrap(),
            "",
        ),
        3 => ("tracking.jsonl", json_lines(&rows).into(), ""),
        4 => (
            "tracking.json",
            serde_json::Value::Array(json_rows(&rows)).to_string().into(),
            "",
        ),
        5 => (
            "tracking.json",
            serde_json::Value::Array(json_rows(&rows)).to_string().into(),
            NESTED,
        ),
        6 => ("tracking.parquet", parquet(&rows), ""),
        7 => ("tracking.arrow", arrow_file(&rows), ""),
        _ => ("tracking.arrows", arrow_stream(&rows), ""),
    }
}

const KINDS: usize = 9;

/// Reads and inspects; whatever comes of it, refused and taken rows are all the rows there were.
fn try_all(folder: &Folder) {
    let _ = folder.read_with(&IngestParams::default());
    let _ = inspect(folder.path(), None).map(|found| found.to_string());
}

#[test]
fn the_valid_files_are_valid() {
    for kind in 0..KINDS {
        let (name, bytes, mapping) = valid(kind);
        let read = Folder::new()
            .with(name, bytes)
            .with("mapping.toml", mapping)
            .game();
        assert_eq!(read.raw, crate::small_game::expected(&rows("G1", 2)), "{name}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn changed_bytes_do_not_make_a_reader_panic(
        kind in 0..KINDS,
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..6),
        cut in prop::option::of(any::<prop::sample::Index>()),
    ) {
        let (name, mut bytes, mapping) = valid(kind);
        for (at, byte) in changes {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        if let Some(cut) = cut {
            bytes.truncate(cut.index(bytes.len()));
        }
        try_all(&Folder::new().with(name, bytes).with("mapping.toml", mapping));
    }

    #[test]
    fn any_bytes_do_not_make_a_reader_panic(
        kind in 0..KINDS,
        start in 0usize..16,
        bytes in prop::collection::vec(any::<u8>(), 0..400),
    ) {
        let (name, valid, mapping) = valid(kind);
        let bytes = [&valid[..start], &bytes].concat();
        try_all(&Folder::new().with(name, bytes).with("mapping.toml", mapping));
    }

    #[test]
    fn any_side_tables_do_not_make_a_reader_panic(
        games in "(game_id,home_team_id,away_team_id,court)?\n?(\\PC{0,8},KH,(SM|KH|),[a-z]{0,4}\n){0,3}",
        players in "(player_id,team_id)?\n?([KH1-3]{0,3},(KH|SM|)\n){0,4}",
        events in "(period,event,t_s,game_clock_s,points)?\n?([0-9x]{0,3},[a-z_]{0,5},[0-9e.-]{0,3},,[0-9-]{0,3}\n){0,4}",
    ) {
        let (_, tracking, _) = valid(0);
        let folder = Folder::new().with("tracking.csv", tracking);
        try_all(&folder.with("games.csv", games).with("players.csv", players).with("events.csv", events));
    }

    #[test]
    fn any_cells_are_taken_or_refused_and_none_is_lost(
        lines in prop::collection::vec("(G1|),[12x]?,[0-9.e-]{0,4},[0-9:]{0,3},,(KH|SM|),(KH1|SM2|),[0-9.-]{0,5},[0-9.-]{0,4},", 1..40),
    ) {
        let good = csv(&rows("G1", 4));
        let text = format!("{good}{}\n", lines.join("\n"));
        let folder = Folder::new().with("tracking.csv", text);
        let params = IngestParams { max_refused_share: 1.0, ..IngestParams::default() };
        let (games, report) = folder.read_with(&params).unwrap();
        prop_assert_eq!(games.len(), 1);
        let periods = &games[0].raw.periods;
        let taken: usize = periods.iter().flat_map(|p| &p.players).map(|t| t.t_s.len()).sum::<usize>()
            + periods.iter().map(|p| p.ball.t_s.len()).sum::<usize>();
        let refused = games[0].quarantine.len() + report.quarantine.len();
        let other_places = games[0].quarantine.iter().filter(|q| q.reason.as_str() == "duplicate").count();
        let repeats: usize = periods.iter().map(|p| p.duplicate_rows as usize).sum();
        // A repeat at another place is counted both as a repeat and as refused.
        prop_assert_eq!(taken + refused + repeats - other_places, report.rows as usize);
        for period in periods {
            for track in &period.players {
                prop_assert!(track.t_s.is_sorted_by(|a, b| a < b));
                prop_assert!(track.x_m.iter().chain(&track.y_m).all(|m| m.is_finite()));
            }
            prop_assert!(period.clocks.is_sorted_by(|a, b| a.t_s < b.t_s));
        }
    }
}

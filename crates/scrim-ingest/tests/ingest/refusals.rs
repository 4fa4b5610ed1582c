//! Rows that are refused: why, with which words, and what is kept of them.

use scrim_ingest::{IngestError, IngestParams};
use scrim_tables::tags::RefusalReason;

use crate::small_game::{COLUMNS, Folder, arrow_file, csv, csv_row, expected, json_rows, rows};

/// A good small game with these lines after it.
fn with_lines(lines: &str) -> Folder {
    Folder::new().with("tracking.csv", format!("{}{lines}\n", csv(&rows("G1", 4))))
}

/// The header is line 1, and the small game has 2 · 4 · 11 rows.
const NEXT_LINE: u64 = 90;

#[test]
fn each_refused_row_says_where_what_was_found_and_what_was_expected() {
    for (line, reason, detail) in [
        (
            "G1,1,0.0,,,KH,KH1,x,1,",
            RefusalReason::Unreadable,
            "column `x_m`: found `x`, expected a number; fix the cell, or name its word for nothing in [text] nulls",
        ),
        (
            "G1,1,0.5,,,KH,KH1,,1,",
            RefusalReason::MissingField,
            "column `x_m` is empty; expected a coordinate",
        ),
        (
            "G1,1,0.5,,,KH,KH1,inf,1,",
            RefusalReason::OutOfRange,
            "column `x_m`: found `inf`, expected a finite number",
        ),
        (
            "G1,1,0.5,,,KH,KH1,1,99,",
            RefusalReason::OutOfRange,
            "columns `x_m` and `y_m`: found (1, 99), that is 99.00 m across the court from its middle; expected at most \
             17.50 m either way; check [place] unit and origin if many are refused",
        ),
        (
            "G1,1,0.5,,,,,1,1,77",
            RefusalReason::OutOfRange,
            "column `z_m`: found 77.00 m, expected a height from -1 to 30 m",
        ),
        (
            "G1,1,,,,KH,KH1,1,1,",
            RefusalReason::MissingField,
            "column `t_s` is empty; expected a time",
        ),
        (
            "G1,0,0.5,,,KH,KH1,1,1,",
            RefusalReason::OutOfRange,
            "column `period`: found `0`, expected a whole number from 1 to 255",
        ),
        (
            "G1,Q1,0.5,,,KH,KH1,1,1,",
            RefusalReason::Unreadable,
            "column `period`: found `Q1`, expected a number from 1; give words in the mapping, such as [period] words = \
             { Q1 = 1 }",
        ),
        (
            "G1,1,0.5,,,KH,,1,1,",
            RefusalReason::MissingField,
            "column `player_id` is empty; expected a player's id, or an empty team too (the ball)",
        ),
        (
            "G1,1,0.5,,,,KH1,1,1,",
            RefusalReason::MissingField,
            "column `team_id` is empty; expected the player's team",
        ),
        (
            "G1,1,0.5,,,KH,KH1",
            RefusalReason::Unreadable,
            "found 7 cells, expected 10 as in the header; look for a missing or spare delimiter or quote",
        ),
        (
            "G1,1,0.5,abc,,KH,KH1,1,1,",
            RefusalReason::Unreadable,
            "column `game_clock_s`: found `abc`, expected a number; fix the cell, or name its word for nothing in [text] \
             nulls",
        ),
        (
            "G1,1,0.5,600000,,KH,KH1,1,1,",
            RefusalReason::OutOfRange,
            "column `game_clock_s`: found `600000`, expected a clock from -5 to 3600 s as mapped; check the clock's unit, \
             counts and length_s in the mapping",
        ),
        (
            "G1,1,0.0,,,SM,KH1,1,1,",
            RefusalReason::UnknownEntity,
            "player `KH1` stands for team `SM` here and for another one elsewhere; expected one team a player: the \
             `players` table's, else the one of most rows, counts",
        ),
        (
            "G1,1,0.0,,,REF,R1,1,1,",
            RefusalReason::UnknownEntity,
            "team `REF` is a third one beside [\"KH\", \"SM\"]; expected two teams: leave officials out, and name what \
             marks the ball in the mapping",
        ),
        (
            "G1,1,0,,,KH,KH1,1,1,",
            RefusalReason::Duplicate,
            "the same entity at the same instant (0 s) at another place, (1, 1) m; expected one place an instant: the \
             first row's, (-3, 2.625) m, counts",
        ),
        (
            "G1,1,9000.5,,,KH,KH1,1,1,",
            RefusalReason::BadTime,
            "time 9000.5 is 9000.42 s from the middle of its period; expected at most 7200 s; check the period, and [time] \
             unit",
        ),
    ] {
        let (games, report) = with_lines(line).read().unwrap();
        assert_eq!(games.len(), 1, "{line}: {report:?}");
        let quarantine = &games[0].quarantine;
        assert_eq!(quarantine.len(), 1, "{line}");
        assert_eq!(
            (quarantine[0].reason, quarantine[0].detail.as_str()),
            (reason, detail),
            "{line}"
        );
        assert_eq!((quarantine[0].row, quarantine[0].raw.as_str()), (NEXT_LINE, line));
        assert!(quarantine[0].source.ends_with("tracking.csv"));
        assert_eq!(report.refused_rows.get(&reason), Some(&1));
        // The rest of the game is as if the row had not been there, but for the counts.
        let mut raw = games[0].raw.clone();
        for period in &mut raw.periods {
            (period.rows_quarantined, period.duplicate_rows) = (0, 0);
        }
        assert_eq!(raw, expected(&rows("G1", 4)), "{line}");
    }
}

#[test]
fn identical_repeats_are_counted_and_not_refused() {
    let rows = rows("G1", 4);
    let read = with_lines(&csv_row(&rows[0], ',')).game();
    assert_eq!(read.quarantine, vec![]);
    assert_eq!(read.raw.periods[0].duplicate_rows, 1);
}

#[test]
fn a_refused_row_of_a_columnar_file_is_numbered_from_0_and_written_by_column() {
    let mut rows = rows("G1", 4);
    rows[5].x_m = f32::NAN;
    let read = Folder::new().with("tracking.arrow", arrow_file(&rows)).game();
    assert_eq!(read.quarantine.len(), 1);
    assert_eq!(read.quarantine[0].row, 5);
    assert_eq!(
        read.quarantine[0].raw,
        "game_id=G1,period=1,t_s=0.0,game_clock_s=600.0,shot_clock_s=24.0,team_id=SM,player_id=SM1,x_m=NaN,y_m=-2.375,z_m="
    );
    assert_eq!(read.raw.periods[0].rows_quarantined, 1);
}

#[test]
fn rows_without_a_game_go_to_the_source() {
    let (games, report) = with_lines(",1,0.5,,,KH,KH1,1,1,").read().unwrap();
    assert_eq!(games[0].raw, expected(&rows("G1", 4)));
    assert_eq!(report.quarantine.len(), 1);
    assert_eq!(
        report.quarantine[0].detail,
        "column `game_id` is empty or unreadable; expected the game's id"
    );
    assert_eq!(
        (report.quarantine[0].game_id.clone(), report.quarantine[0].row),
        (None, NEXT_LINE)
    );
}

#[test]
fn bytes_that_are_no_text_are_refused_with_their_row() {
    let mut bytes = csv(&rows("G1", 4)).into_bytes();
    bytes.extend(b"G1,1,0.5,,,KH,K\xff1,1,1,\n");
    let read = Folder::new().with("tracking.csv", bytes).game();
    assert_eq!(read.quarantine.len(), 1);
    assert_eq!(
        read.quarantine[0].detail,
        "column `player_id`: found `K\u{fffd}1`, expected an id: a text or a whole number; fix the cell"
    );
}

#[test]
fn a_game_of_mostly_bad_rows_is_refused_and_the_others_go_on() {
    let good = rows("G2", 3);
    let mut text = csv(&rows("G1", 3))
        .replace("G1,1,", "G1,9.5,")
        .replace("G1,2,", "G1,9.5,");
    text.push_str(csv(&good).strip_prefix(COLUMNS).unwrap().trim_start());
    let (games, report) = Folder::new().with("tracking.csv", text).read().unwrap();
    assert_eq!(games.len(), 1);
    assert_eq!(games[0].raw, expected(&good));
    assert_eq!(report.refused.len(), 1);
    assert_eq!(report.refused[0].quarantine.len(), 66);
    assert_eq!(
        report.refused[0].error.to_string(),
        "game `G1`: none of its 66 rows could be used: column `period`: found `9.5`, expected a whole number from 1 to 255"
    );
}

#[test]
fn what_is_more_than_can_be_kept_is_counted_in_a_row_of_its_own() {
    let text: String = (0..20).map(|_| "G1,1,0.5,,,KH,KH1,,1,\n").collect();
    let folder = Folder::new().with("tracking.csv", format!("{}{text}", csv(&rows("G1", 4))));
    let params = IngestParams {
        max_quarantine_rows: 3,
        ..IngestParams::default()
    };
    let (games, report) = folder.read_with(&params).unwrap();
    let quarantine = &games[0].quarantine;
    assert_eq!(quarantine.len(), 4);
    assert!(
        quarantine[3]
            .detail
            .starts_with("17 more rows were refused for this reason"),
        "{}",
        quarantine[3].detail
    );
    assert_eq!(quarantine[3].row, NEXT_LINE + 3);
    assert_eq!(report.refused_rows[&RefusalReason::MissingField], 20);
    assert_eq!(games[0].raw.periods[0].rows_quarantined, 20);
}

#[test]
fn parameters_that_cannot_be_are_refused() {
    let params = IngestParams {
        max_refused_share: 2.0,
        ..IngestParams::default()
    };
    let error = with_lines("").read_with(&params).unwrap_err();
    assert!(matches!(error, IngestError::Parameter(_)));
    assert_eq!(
        error.to_string(),
        "parameter `ingest.max_refused_share` is 2; it must be from 0 to 1"
    );
}

#[test]
fn a_quote_that_is_never_closed_does_not_swallow_the_memory() {
    let text = format!(
        "{}G1,1,0.5,,,\"KH,{}",
        csv(&rows("G1", 4)),
        "0123456789\n".repeat(2_000_000)
    );
    let error = Folder::new().with("tracking.csv", text).read().unwrap_err();
    let IngestError::RecordTooLong { line, most, .. } = error else {
        panic!("{error}")
    };
    assert_eq!((line, most), (NEXT_LINE, 16 * 1024 * 1024));
}

#[test]
fn an_instant_that_never_ends_does_not_swallow_the_memory() {
    let text = format!(
        "[\n{{\"a\": 1}},\n\n{{\"x\": \"{}\"}}]",
        "0123456789".repeat(2_000_000)
    );
    let mapping = "form = \"nested\"\n[[nested.walk]]\nname = \"row\"\nat = \"\"\n";
    let folder = Folder::new()
        .with("tracking.json", text)
        .with("mapping.toml", mapping);
    let error = folder.read().unwrap_err();
    let IngestError::RecordTooLong { line, most, .. } = error else {
        panic!("{error}")
    };
    assert_eq!((line, most), (4, 16 * 1024 * 1024));
}

#[test]
fn a_fault_in_a_json_document_is_expected_with_its_line_and_column() {
    let rows = json_rows(&rows("G1", 4));
    let good = serde_json::to_string_pretty(&rows).unwrap();
    for (from, to) in [
        ("\"x_m\": ", "\"x_m\": +"),
        ("\"KH\"", "\"\\ud800\""),
        ("{", "{,"),
        ("\n]", "\n]]"),
        ("\n]", ""),
    ] {
        let bad = good.replacen(from, to, 1);
        let expected = serde_json::from_str::<serde_json::Value>(&bad).unwrap_err();
        let error = Folder::new().with("tracking.json", &bad).read().unwrap_err();
        let IngestError::Json { line, column, .. } = error else {
            panic!("{to}: {error}")
        };
        assert_eq!(
            (line, column),
            (expected.line() as u64, expected.column() as u64),
            "{to}"
        );
    }
}

#[test]
fn rows_of_text_are_reported_with_the_line_that_they_begin_in_whatever_ends_lines() {
    for end in ["\n", "\r\n", "\n\n", "\r\n\r\n"] {
        let lines = csv(&rows("G1", 4)).replace('\n', end);
        let text = format!("{lines}G1,1,x,,,KH,KH1,1,2,{end}");
        let line = text
            .find("G1,1,x")
            .map(|at| 1 + text[..at].matches('\n').count() as u64);
        let read = Folder::new().with("tracking.csv", &text).game();
        assert_eq!(read.quarantine.len(), 1);
        assert_eq!(Some(read.quarantine[0].row), line, "{end:?}");
        assert_eq!(read.quarantine[0].raw, "G1,1,x,,,KH,KH1,1,2,");
    }
}

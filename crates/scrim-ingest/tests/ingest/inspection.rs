//! What an inspection reports.

use scrim_ingest::{Severity, inspect};

use crate::small_game::{Folder, Row, csv, rows};

/// Players all over the floor, so that their spread shows the unit.
fn all_over(frames: u32) -> Vec<Row> {
    let mut rows = rows("G1", frames);
    for (i, row) in rows.iter_mut().enumerate() {
        row.x_m = (i * 7 % 225) as f32 / 8.0 - 14.0;
        row.y_m = (i * 11 % 121) as f32 / 8.0 - 7.5;
    }
    rows
}

#[test]
fn a_good_game_is_described_with_its_rate_clocks_and_bounds() {
    let folder = Folder::new().with("tracking.csv", csv(&all_over(50))).with(
        "events.csv",
        "game_id,period,t_s,event\nG1,1,0.1,foul\nG1,1,0.2,hook\n",
    );
    let inspection = inspect(folder.path(), None).unwrap();
    let source = &inspection.sources[0];
    assert!(source.is_usable);
    assert_eq!((source.rows, source.games.len()), (1100, 1));
    let game = &source.games[0];
    assert_eq!(
        (game.players, game.home_is_known, game.events),
        ([5, 5], false, Some(2))
    );
    let period = &game.periods[0];
    assert_eq!(
        (period.number, period.samples, period.players_at_once),
        (1, 550, 10)
    );
    assert!((period.hz.unwrap() - 25.0).abs() < 1e-6 && period.regular_share == 1.0);
    assert!(period.ball_height && period.ball_share == 1.0);
    assert_eq!(
        (period.game_clock.first_s, period.game_clock.steps_up),
        (Some(600.0), 0)
    );
    assert_eq!(source.unknown_event_words["hook"], 1);
    assert!(
        source.findings.iter().all(|f| f.severity != Severity::Wrong),
        "{:?}",
        source.findings
    );
    let text = inspection.to_string();
    assert!(
        text.contains("Game G1: KH and SM (by id), 5 and 5 players, court fiba, 0 rows refused"),
        "{text}"
    );
    assert!(
        text.contains("550 samples, 0.00 to 1.96 s at 25.00 Hz (100 % regular, 0 repeats)"),
        "{text}"
    );
    let json = serde_json::to_value(&inspection).unwrap();
    assert_eq!(json["sources"][0]["games"][0]["periods"][0]["players"], 10);
}

#[test]
fn feet_from_a_corner_are_guessed_from_the_bounds() {
    let mut rows = all_over(50);
    for row in &mut rows {
        row.x_m = (row.x_m + 14.0) / 0.3048;
        row.y_m = (row.y_m + 7.5) / 0.3048;
    }
    let folder = Folder::new().with("tracking.csv", csv(&rows));
    let source = inspect(folder.path(), None).unwrap().sources.remove(0);
    assert!(!source.is_usable);
    let advice: Vec<&str> = source.findings.iter().map(|f| f.suggestion.as_str()).collect();
    assert!(
        advice.contains(&"give [place] unit = \"ft\", origin = \"bottom_left\""),
        "{advice:?}"
    );
    // And what it suggests fixes it.
    folder.write(
        "mapping.toml",
        "[place]\nunit = \"ft\"\norigin = \"bottom_left\"\n",
    );
    let source = inspect(folder.path(), None).unwrap().sources.remove(0);
    assert!(source.is_usable, "{:?}", source.findings);
}

#[test]
fn a_clock_that_counts_up_and_a_wrong_rate_are_reported() {
    let text = csv(&all_over(50));
    let mut up = String::new();
    for line in text.lines() {
        let mut cells: Vec<String> = line.split(',').map(String::from).collect();
        if let Ok(clock_s) = cells[3].parse::<f32>() {
            cells[3] = (600.0 - clock_s).to_string();
        }
        up.push_str(&cells.join(","));
        up.push('\n');
    }
    let folder = Folder::new().with("tracking.csv", up).with(
        "mapping.toml",
        "[time]\nunit = \"frame\"\nrate_hz = 100\ncolumn = \"t_s\"\n",
    );
    let source = inspect(folder.path(), None).unwrap().sources.remove(0);
    let text: Vec<String> = source
        .findings
        .iter()
        .map(|f| format!("{}: {}", f.what, f.suggestion))
        .collect();
    assert!(
        text.iter()
            .any(|t| t.contains("the game clock counts up") && t.contains("counts = \"up\"")),
        "{text:?}"
    );
    assert!(
        text.iter()
            .any(|t| t.contains("2500.00 instants a second") && t.contains("rate_hz")),
        "{text:?}"
    );
}

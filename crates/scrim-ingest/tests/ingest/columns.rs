//! Odd columns: other types, times of all kinds, the ball beside the players, keys as ids.

use std::sync::Arc;

use arrow::array::{
    ArrayRef, Float64Array, Int64Array, LargeStringArray, RecordBatch, StringArray, TimestampMillisecondArray,
};

use crate::small_game::{Folder, Row, csv, expected, rows};

/// The small game with whole numbers as the ids, of teams 7 and 8 and players 71 … 85.
fn numbered(rows: &[Row]) -> Vec<(Option<i64>, Option<i64>)> {
    let number = |row: &Row| match &row.who {
        Some((team, player)) => {
            let team = if *team == "KH" { 7 } else { 8 };
            (Some(team), Some(team * 10 + player[2..].parse::<i64>().unwrap()))
        }
        None => (None, None),
    };
    rows.iter().map(number).collect()
}

#[test]
fn a_columnar_file_with_other_types_is_the_same_game() {
    let rows = rows("G1", 4);
    let ids = numbered(&rows);
    // 2031-06-18T00:00:00Z and 40 ms a frame; an hour between the periods.
    let ms = |r: &Row| 1_939_507_200_000 + i64::from(r.period) * 3_600_000 + i64::from(r.frame) * 40;
    let columns: Vec<(&str, ArrayRef)> = vec![
        (
            "game_id",
            Arc::new(rows.iter().map(|r| Some(r.game)).collect::<LargeStringArray>()),
        ),
        (
            "period",
            Arc::new(
                rows.iter()
                    .map(|r| Some(i64::from(r.period)))
                    .collect::<Int64Array>(),
            ),
        ),
        (
            "t_s",
            Arc::new(
                rows.iter()
                    .map(|r| Some(ms(r)))
                    .collect::<TimestampMillisecondArray>(),
            ),
        ),
        (
            "game_clock_s",
            Arc::new(
                rows.iter()
                    .map(|r| Some(f64::from(r.game_clock_s)))
                    .collect::<Float64Array>(),
            ),
        ),
        (
            "shot_clock_s",
            Arc::new(
                rows.iter()
                    .map(|r| Some(r.shot_clock_s.to_string()))
                    .collect::<StringArray>(),
            ),
        ),
        // Whole numbers that became floats because of the ball's nulls.
        (
            "team_id",
            Arc::new(
                ids.iter()
                    .map(|i| i.0.map(|n| n as f64))
                    .collect::<Float64Array>(),
            ),
        ),
        (
            "player_id",
            Arc::new(ids.iter().map(|i| i.1).collect::<Int64Array>()),
        ),
        (
            "x_m",
            Arc::new(
                rows.iter()
                    .map(|r| Some(f64::from(r.x_m)))
                    .collect::<Float64Array>(),
            ),
        ),
        (
            "y_m",
            Arc::new(
                rows.iter()
                    .map(|r| Some(r.y_m.to_string()))
                    .collect::<StringArray>(),
            ),
        ),
        (
            "z_m",
            Arc::new(
                rows.iter()
                    .map(|r| r.z_m.map(f64::from))
                    .collect::<Float64Array>(),
            ),
        ),
    ];
    let columns = columns.into_iter().map(|(name, array)| (name, array, true));
    let batch = RecordBatch::try_from_iter_with_nullable(columns).unwrap();
    let mut writer = parquet::arrow::ArrowWriter::try_new(Vec::new(), batch.schema(), None).unwrap();
    writer.write(&batch).unwrap();
    let read = Folder::new()
        .with("tracking.parquet", writer.into_inner().unwrap())
        .game();
    assert_eq!(read.quarantine, vec![]);
    assert_eq!(read.raw.info.team_ids, ["7".into(), "8".into()]);
    assert_eq!(&*read.raw.players[9].id, "85");
    let wanted = expected(&rows);
    for (found, wanted) in read.raw.periods.iter().zip(&wanted.periods) {
        assert_eq!(found.players.len(), 10);
        for (a, b) in found.players.iter().zip(&wanted.players) {
            assert_eq!((a.who, &a.x_m, &a.y_m), (b.who, &b.x_m, &b.y_m));
            // Seconds since 1970 in an f64 are exact to within a microsecond.
            assert!(a.t_s.iter().zip(&b.t_s).all(|(a, b)| (a - b).abs() < 1e-6));
        }
        assert_eq!(found.ball.z_m, wanted.ball.z_m);
        let clocks = |p: &scrim_tracks::RawPeriod| -> Vec<(f32, f32)> {
            p.clocks
                .iter()
                .map(|c| (c.game_clock_s, c.shot_clock_s))
                .collect()
        };
        assert_eq!(clocks(found), clocks(wanted));
    }
}

/// The small game's CSV with another time column.
fn with_times(rows: &[Row], time: impl Fn(&Row) -> String) -> String {
    let mut text = csv(&[]);
    for row in rows {
        let line = crate::small_game::csv_row(row, ',');
        let mut cells: Vec<&str> = line.split(',').collect();
        let instant = time(row);
        cells[2] = &instant;
        text.push_str(&cells.join(","));
        text.push('\n');
    }
    text
}

#[test]
fn times_as_text_are_the_same_times() {
    let rows = rows("G1", 4);
    let iso = with_times(&rows, |r| {
        format!("2031-06-18T19:30:{:02}.{:03}+02:00", r.period, r.frame * 40)
    });
    let clock = with_times(&rows, |r| format!("0:00.{:02}", r.frame * 4));
    for (text, unit) in [(iso, "iso"), (clock, "clock")] {
        let folder = Folder::new()
            .with("tracking.csv", text)
            .with("mapping.toml", format!("[time]\nunit = \"{unit}\"\n"));
        let read = folder.game();
        assert_eq!(read.quarantine, vec![], "{unit}");
        for (found, wanted) in read.raw.periods.iter().zip(&expected(&rows).periods) {
            assert_eq!(found.ball.x_m, wanted.ball.x_m);
            assert!(
                found
                    .ball
                    .t_s
                    .iter()
                    .zip(&wanted.ball.t_s)
                    .all(|(a, b)| (a - b).abs() < 1e-6),
                "{unit}"
            );
        }
    }
}

#[test]
fn times_are_kept_as_they_are_when_only_the_first_frames_are_lost_and_moved_when_they_run_through_the_game() {
    let rows = rows("G1", 4);
    let late = with_times(&rows, |r| (r.t_s() + 0.5).to_string());
    let game = Folder::new().with("tracking.csv", late).game();
    assert_eq!(game.raw.periods[1].ball.t_s, [0.5, 0.54, 0.58, 0.62]);
    let through = with_times(&rows, |r| {
        (f64::from(r.period) * 512.0 + f64::from(r.frame) / 32.0).to_string()
    });
    let game = Folder::new().with("tracking.csv", through).game();
    assert_eq!(
        game.raw.periods[1].ball.t_s,
        [0.0, 1.0 / 32.0, 2.0 / 32.0, 3.0 / 32.0]
    );
    assert_eq!(game.raw.periods[1].clocks[3].t_s, 3.0 / 32.0);
}

#[test]
fn the_ball_can_stand_beside_each_player() {
    let rows = rows("G1", 4);
    let mut text =
        String::from("game_id,period,t_s,game_clock_s,shot_clock_s,team_id,player_id,x_m,y_m,bx,by,bz\n");
    for instant in rows.chunk_by(|a, b| (a.period, a.frame) == (b.period, b.frame)) {
        let (ball, players) = instant.split_last().unwrap();
        for row in players {
            let line = crate::small_game::csv_row(row, ',');
            let without_height = line.strip_suffix(',').unwrap();
            text.push_str(&format!(
                "{without_height},{},{},{}\n",
                ball.x_m,
                ball.y_m,
                ball.z_m.unwrap()
            ));
        }
    }
    let folder = Folder::new()
        .with("tracking.csv", text)
        .with("mapping.toml", "[ball]\nx = \"bx\"\ny = \"by\"\nz = \"bz\"\n");
    let read = folder.game();
    assert_eq!(read.quarantine, vec![]);
    assert_eq!(read.raw, expected(&rows));
}

#[test]
fn keys_and_places_can_be_ids_and_frame_numbers() {
    let rows = rows("G1", 3);
    let mut periods = serde_json::Map::new();
    for period in rows.chunk_by(|a, b| a.period == b.period) {
        let frames: Vec<serde_json::Value> = period
            .chunk_by(|a, b| a.frame == b.frame)
            .map(|instant| {
                let side = |team: &str| -> serde_json::Map<String, serde_json::Value> {
                    let of_team = instant.iter().filter_map(|r| r.who.as_ref().map(|w| (w, r)));
                    let of_team = of_team.filter(|(w, _)| w.0 == team);
                    of_team
                        .map(|(w, r)| (w.1.clone(), serde_json::json!([r.x_m, r.y_m])))
                        .collect()
                };
                let ball = &instant[10];
                serde_json::json!({
                    "gc": ball.game_clock_s, "sc": ball.shot_clock_s, "KH": side("KH"), "SM": side("SM"),
                    "ball": {"at": [ball.x_m, ball.y_m], "up": ball.z_m},
                })
            })
            .collect();
        periods.insert(period[0].period.to_string(), frames.into());
    }
    let mapping = r##"
form = "nested"
[[nested.walk]]
name = "period"
at = "/periods"
[[nested.walk]]
name = "frame"
at = ""
[[nested.players]]
at = "/KH"
team_id = "KH"
[[nested.players]]
at = "/SM"
team_id = "SM"
[nested]
ball_at = "/ball"
[game]
id = "G1"
[period]
column = "period:#"
[time]
column = "frame:#"
unit = "frame"
rate_hz = 25
[game_clock]
column = "frame:/gc"
[shot_clock]
column = "frame:/sc"
[player]
column = "#"
[place]
x = "/0"
y = "/1"
z = "/up"
[ball]
x = "/at/0"
y = "/at/1"
z = "/up"
"##;
    let document = serde_json::json!({ "periods": periods }).to_string();
    for name in ["tracking.json", "tracking.jsonl"] {
        let read = Folder::new()
            .with(name, &document)
            .with("mapping.toml", mapping)
            .game();
        assert_eq!(read.quarantine, vec![], "{name}");
        assert_eq!(read.raw, expected(&rows), "{name}");
    }
}

#[test]
fn a_column_that_is_null_all_through_is_an_unknown_column_and_refuses_nothing() {
    // What writers of columnar files make of an optional column without a value: the type Null.
    let rows = rows("G1", 4);
    let texts = |of: &dyn Fn(&Row) -> Option<String>| -> ArrayRef {
        Arc::new(rows.iter().map(of).collect::<StringArray>())
    };
    let nulls = || -> ArrayRef { Arc::new(arrow::array::NullArray::new(rows.len())) };
    let columns: Vec<(&str, ArrayRef, bool)> = vec![
        ("game_id", texts(&|r| Some(r.game.into())), true),
        ("period", texts(&|r| Some(r.period.to_string())), true),
        (
            "t_s",
            texts(&|r| Some((f64::from(r.frame) * 0.04).to_string())),
            true,
        ),
        ("game_clock_s", nulls(), true),
        ("shot_clock_s", nulls(), true),
        (
            "team_id",
            texts(&|r| r.who.as_ref().map(|(team, _)| team.to_string())),
            true,
        ),
        (
            "player_id",
            texts(&|r| r.who.as_ref().map(|(_, player)| player.to_string())),
            true,
        ),
        ("x_m", texts(&|r| Some(r.x_m.to_string())), true),
        ("y_m", texts(&|r| Some(r.y_m.to_string())), true),
        ("z_m", nulls(), true),
    ];
    let batch = RecordBatch::try_from_iter_with_nullable(columns).unwrap();
    let mut writer = parquet::arrow::ArrowWriter::try_new(Vec::new(), batch.schema(), None).unwrap();
    writer.write(&batch).unwrap();
    let read = Folder::new()
        .with("tracking.parquet", writer.into_inner().unwrap())
        .game();
    assert_eq!(read.quarantine, vec![]);
    let period = &read.raw.periods[0];
    assert_eq!(period.players.len(), 10);
    assert!(period.ball.z_m.iter().all(|z_m| z_m.is_nan()));
    assert!(
        period
            .clocks
            .iter()
            .all(|c| c.game_clock_s.is_nan() && c.shot_clock_s.is_nan())
    );
}

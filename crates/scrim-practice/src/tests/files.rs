//! Parameters in, files out.

use std::path::Path;

use super::short;
use crate::{BallHeight, Faults, PracticeParams, play_game, write_game, write_tracking_csv_feet};

#[test]
fn the_same_parameters_give_the_same_bytes() {
    let faults = Faults {
        dropouts_per_minute: 1.0,
        swaps_per_minute: 1.0,
        spikes_per_minute: 1.0,
        ..Faults::default()
    };
    let params = PracticeParams {
        period_s: 90.0,
        periods: 1,
        faults,
        ..short(6)
    };
    let dirs = [tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap()];
    for dir in &dirs {
        let game = play_game(&params, 2);
        write_game(&game, dir.path()).unwrap();
        write_tracking_csv_feet(&game, &dir.path().join("feet.csv")).unwrap();
    }
    let names = [
        "tracking.parquet",
        "games.csv",
        "players.csv",
        "events.csv",
        "feet.csv",
    ]
    .map(String::from)
    .into_iter()
    .chain(
        [
            "possessions",
            "matchups",
            "screens",
            "coverages",
            "options",
            "entries",
        ]
        .map(|t| format!("labels/{t}.parquet")),
    );
    for name in names {
        let read = |dir: &Path| std::fs::read(dir.join(&name)).unwrap();
        assert_eq!(read(dirs[0].path()), read(dirs[1].path()), "{name}");
    }
    let other = play_game(
        &PracticeParams {
            seed: 7,
            ..params.clone()
        },
        2,
    );
    assert_ne!(other.tracking, play_game(&params, 2).tracking);
}

#[test]
fn the_csv_in_feet_has_the_same_spots() {
    let params = PracticeParams {
        periods: 1,
        period_s: 30.0,
        ball_height: BallHeight::Unknown,
        ..short(17)
    };
    let game = play_game(&params, 0);
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("feet.csv");
    write_tracking_csv_feet(&game, &path).unwrap();
    let mut reader = csv::Reader::from_path(path).unwrap();
    let header: Vec<String> = reader.headers().unwrap().iter().map(String::from).collect();
    assert_eq!(
        header.join(","),
        "game,quarter,frame,clock,shot_clock,team,player,x_ft,y_ft,z_ft"
    );
    let mut rows = 0;
    for (i, row) in reader.records().enumerate() {
        let row = row.unwrap();
        let number = |c: usize| row[c].parse::<f64>().unwrap();
        // The corner of least x and y is (−14, −7.5) m on this court; two decimals of a foot are 1.5 mm either way.
        assert!((number(7) * 0.3048 - 14.0 - f64::from(game.tracking.x_m[i])).abs() < 0.0017);
        assert!((number(8) * 0.3048 - 7.5 - f64::from(game.tracking.y_m[i])).abs() < 0.0017);
        assert!((number(2) / 25.0 - game.tracking.t_s[i]).abs() < 1e-6);
        assert_eq!(&row[9], "");
        assert_eq!(&row[6] == "ball", game.tracking.player[i].is_none());
        rows += 1;
    }
    assert_eq!(rows, game.tracking.len());
}

#[test]
fn parameters_out_of_range_are_refused_by_name() {
    let message = PracticeParams {
        hz: f64::NAN,
        ..PracticeParams::default()
    }
    .checked()
    .unwrap_err()
    .to_string();
    assert_eq!(
        message,
        "practice parameter `hz` is NaN; it must be 5 to 100 frames a second"
    );
    assert!(
        PracticeParams {
            periods: 0,
            ..PracticeParams::default()
        }
        .checked()
        .is_err()
    );
    for share in [-0.1, 1.1, f32::NAN] {
        let params = PracticeParams {
            lifts_hold: Some(share),
            ..PracticeParams::default()
        };
        assert!(params.checked().is_err(), "{share}");
    }
    assert!(PracticeParams::default().checked().is_ok());
}

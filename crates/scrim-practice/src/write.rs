//! A game as a source folder: canonical tracking, side tables, labels; and as a CSV in feet.

use std::fs::{self, File};
use std::io::BufWriter;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use arrow::array::{ArrayRef, Float32Array, Float64Array, RecordBatch, StringArray, UInt8Array};
use arrow::datatypes::{DataType, Field, Schema, SchemaRef};
use parquet::arrow::ArrowWriter;
use parquet::basic::{Compression, ZstdLevel};
use parquet::file::properties::WriterProperties;

use crate::game::PracticeGame;
use crate::labels::LabelRow;

/// A game that could not be written.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum WriteError {
    /// The file system refused.
    #[error("{path}: cannot be written")]
    Io {
        /// The file or folder.
        path: PathBuf,
        /// Why.
        source: std::io::Error,
    },
    /// The Parquet library refused.
    #[error("{path}: cannot be written as Parquet")]
    Parquet {
        /// The file.
        path: PathBuf,
        /// Why.
        source: parquet::errors::ParquetError,
    },
    /// The CSV library refused.
    #[error("{path}: cannot be written as CSV")]
    Csv {
        /// The file.
        path: PathBuf,
        /// Why.
        source: csv::Error,
    },
    /// Rows and columns of a label file do not fit.
    #[error("{path}: the label rows do not fit their columns")]
    Rows {
        /// The file.
        path: PathBuf,
        /// Why.
        source: Box<serde_arrow::Error>,
    },
}

/// Rows in a row group of the tracking file.
const ROW_GROUP: usize = 131_072;
/// Metres in a foot (international foot, 1959).
const FOOT_M: f64 = 0.3048;

fn create(path: &Path) -> Result<File, WriteError> {
    File::create(path).map_err(|source| WriteError::Io {
        path: path.into(),
        source,
    })
}

pub(crate) fn make_folder(path: &Path) -> Result<(), WriteError> {
    fs::create_dir_all(path).map_err(|source| WriteError::Io {
        path: path.into(),
        source,
    })
}

fn properties() -> WriterProperties {
    WriterProperties::builder()
        .set_compression(Compression::ZSTD(ZstdLevel::try_new(6).unwrap_or_default()))
        .set_created_by("scrim practice".into())
        .build()
}

/// Writes `game` into `dir` (made if needed): `tracking.parquet`, `games.csv`, `players.csv`, `events.csv` and
/// `labels/*.parquet`. The same game gives the same bytes.
///
/// # Errors
/// [`WriteError`] names the file that could not be written.
pub fn write_game(game: &PracticeGame, dir: &Path) -> Result<(), WriteError> {
    make_folder(dir)?;
    write_tracking(game, &dir.join("tracking.parquet"))?;
    write_side_tables(game, dir)?;
    write_labels(game, &dir.join("labels"))
}

fn tracking_schema() -> SchemaRef {
    Arc::new(Schema::new(vec![
        Field::new("game_id", DataType::Utf8, false),
        Field::new("period", DataType::UInt8, false),
        Field::new("t_s", DataType::Float64, false),
        Field::new("game_clock_s", DataType::Float32, true),
        Field::new("shot_clock_s", DataType::Float32, true),
        Field::new("team_id", DataType::Utf8, true),
        Field::new("player_id", DataType::Utf8, true),
        Field::new("x_m", DataType::Float32, false),
        Field::new("y_m", DataType::Float32, false),
        Field::new("z_m", DataType::Float32, true),
    ]))
}

fn write_tracking(game: &PracticeGame, path: &Path) -> Result<(), WriteError> {
    let fail = |source| WriteError::Parquet {
        path: path.into(),
        source,
    };
    let schema = tracking_schema();
    let mut writer = ArrowWriter::try_new(create(path)?, schema.clone(), Some(properties())).map_err(fail)?;
    let t = &game.tracking;
    let player = |index: Option<u8>| index.map(|p| &game.players[usize::from(p)]);
    let mut from = 0;
    while from < t.len() {
        let rows = from..(from + ROW_GROUP).min(t.len());
        from = rows.end;
        let columns: Vec<ArrayRef> = vec![
            Arc::new(StringArray::from_iter_values(
                rows.clone().map(|_| game.game_id.as_ref()),
            )),
            Arc::new(UInt8Array::from_iter_values(
                t.period[rows.clone()].iter().copied(),
            )),
            Arc::new(Float64Array::from_iter_values(
                t.t_s[rows.clone()].iter().copied(),
            )),
            Arc::new(Float32Array::from_iter_values(
                t.game_clock_s[rows.clone()].iter().copied(),
            )),
            Arc::new(Float32Array::from_iter_values(
                t.shot_clock_s[rows.clone()].iter().copied(),
            )),
            Arc::new(
                t.player[rows.clone()]
                    .iter()
                    .map(|&p| player(p).map(|p| p.team_id.as_ref()))
                    .collect::<StringArray>(),
            ),
            Arc::new(
                t.player[rows.clone()]
                    .iter()
                    .map(|&p| player(p).map(|p| p.player_id.as_ref()))
                    .collect::<StringArray>(),
            ),
            Arc::new(Float32Array::from_iter_values(
                t.x_m[rows.clone()].iter().copied(),
            )),
            Arc::new(Float32Array::from_iter_values(
                t.y_m[rows.clone()].iter().copied(),
            )),
            Arc::new(t.z_m[rows].iter().copied().collect::<Float32Array>()),
        ];
        let batch = RecordBatch::try_new(schema.clone(), columns).map_err(|e| fail(e.into()))?;
        writer.write(&batch).map_err(fail)?;
    }
    writer.close().map_err(fail)?;
    Ok(())
}

/// A text file.
pub(crate) fn write_text(path: &Path, text: &str) -> Result<(), WriteError> {
    fs::write(path, text).map_err(|source| WriteError::Io {
        path: path.into(),
        source,
    })
}

/// One CSV file, header first.
pub(crate) fn write_csv(
    path: &Path,
    header: &[&str],
    rows: impl Iterator<Item = Vec<String>>,
) -> Result<(), WriteError> {
    let fail = |source| WriteError::Csv {
        path: path.into(),
        source,
    };
    let mut writer = csv::Writer::from_writer(BufWriter::new(create(path)?));
    writer.write_record(header).map_err(fail)?;
    for row in rows {
        writer.write_record(&row).map_err(fail)?;
    }
    writer.flush().map_err(|source| WriteError::Io {
        path: path.into(),
        source,
    })
}

fn write_side_tables(game: &PracticeGame, dir: &Path) -> Result<(), WriteError> {
    let [home, away] = &game.team_ids;
    let row = [
        game.game_id.as_ref(),
        &game.date,
        &game.season,
        home,
        away,
        &game.court,
    ]
    .map(String::from);
    let header = [
        "game_id",
        "date",
        "season",
        "home_team_id",
        "away_team_id",
        "court",
    ];
    write_csv(&dir.join("games.csv"), &header, std::iter::once(row.to_vec()))?;
    let header = ["player_id", "team_id", "jersey", "name", "role"];
    let players = game.players.iter().map(|p| {
        vec![
            p.player_id.to_string(),
            p.team_id.to_string(),
            p.jersey.to_string(),
            p.name.clone(),
            p.role.into(),
        ]
    });
    write_csv(&dir.join("players.csv"), &header, players)?;
    let header = [
        "game_id",
        "period",
        "t_s",
        "game_clock_s",
        "event",
        "team_id",
        "player_id",
        "points",
    ];
    let text = |id: &Option<scrim_tables::Id>| id.as_ref().map_or(String::new(), ToString::to_string);
    let events = game.events.iter().map(|e| {
        vec![
            game.game_id.to_string(),
            e.period.to_string(),
            format!("{:.2}", e.t_s),
            format!("{:.1}", e.game_clock_s),
            e.event.into(),
            text(&e.team_id),
            text(&e.player_id),
            e.points.map_or(String::new(), |p| p.to_string()),
        ]
    });
    write_csv(&dir.join("events.csv"), &header, events)
}

fn write_labels(game: &PracticeGame, dir: &Path) -> Result<(), WriteError> {
    make_folder(dir)?;
    write_label_file(&game.labels.possessions, dir)?;
    write_label_file(&game.labels.matchups, dir)?;
    write_label_file(&game.labels.screens, dir)?;
    write_label_file(&game.labels.coverages, dir)?;
    write_label_file(&game.labels.options, dir)?;
    write_label_file(&game.labels.entries, dir)?;
    write_label_file(&game.labels.cuts, dir)?;
    write_label_file(&game.labels.off_ball_motion, dir)
}

fn write_label_file<R: LabelRow>(rows: &[R], dir: &Path) -> Result<(), WriteError> {
    let path = dir.join(format!("{}.parquet", R::TABLE));
    let batch = R::to_batch(rows).map_err(|source| WriteError::Rows {
        path: path.clone(),
        source,
    })?;
    let fail = |source| WriteError::Parquet {
        path: path.clone(),
        source,
    };
    let mut writer =
        ArrowWriter::try_new(create(&path)?, batch.schema(), Some(properties())).map_err(fail)?;
    writer.write(&batch).map_err(fail)?;
    writer.close().map_err(fail)?;
    Ok(())
}

/// Writes the game's tracking as another provider might: a CSV in feet with the origin in the corner of least x and
/// y, frame numbers (from 0 in each period, at `hz` frames a second) instead of seconds, clocks as given, and
/// `ball` for the ball's team and player.
///
/// # Errors
/// [`WriteError`] names the file.
pub fn write_tracking_csv_feet(game: &PracticeGame, path: &Path) -> Result<(), WriteError> {
    let t = &game.tracking;
    let court = &game.params.court;
    let feet = |v: f32, shift_m: f32| format!("{:.2}", (f64::from(v) + f64::from(shift_m)) / FOOT_M);
    let header = [
        "game",
        "quarter",
        "frame",
        "clock",
        "shot_clock",
        "team",
        "player",
        "x_ft",
        "y_ft",
        "z_ft",
    ];
    let rows = (0..t.len()).map(|i| {
        let player = t.player[i].map(|p| &game.players[usize::from(p)]);
        vec![
            game.game_id.to_string(),
            t.period[i].to_string(),
            format!("{}", (t.t_s[i] * game.params.hz).round() as u64),
            format!("{:.2}", t.game_clock_s[i]),
            format!("{:.1}", t.shot_clock_s[i]),
            player.map_or("ball".into(), |p| p.team_id.to_string()),
            player.map_or("ball".into(), |p| p.player_id.to_string()),
            feet(t.x_m[i], court.length_m / 2.0),
            feet(t.y_m[i], court.width_m / 2.0),
            t.z_m[i].map_or(String::new(), |z| feet(z, 0.0)),
        ]
    });
    write_csv(path, &header, rows)
}

//! A small invented game, as rows, as files in every format, and as what reading them must give.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use arrow::array::{ArrayRef, Float32Array, Float64Array, RecordBatch, StringArray, UInt8Array};
use scrim_floor::Court;
use scrim_ingest::{IngestError, IngestParams, ReadGame, SourceReport, find_sources, read_source};
use scrim_tracks::{ClockSample, GameInfo, Player, PlayerIx, RawGame, RawPeriod, RawTrack, TeamSlot};

pub const TEAMS: [&str; 2] = ["KH", "SM"];
pub const COLUMNS: &str = "game_id,period,t_s,game_clock_s,shot_clock_s,team_id,player_id,x_m,y_m,z_m";

/// A canonical row. Coordinates are multiples of 1/8, so that text holds them exactly.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    pub game: &'static str,
    pub period: u8,
    pub frame: u32,
    pub game_clock_s: f32,
    pub shot_clock_s: f32,
    /// Team and player; `None` for the ball.
    pub who: Option<(&'static str, String)>,
    pub x_m: f32,
    pub y_m: f32,
    pub z_m: Option<f32>,
}

impl Row {
    pub fn t_s(&self) -> f64 {
        f64::from(self.frame) / 25.0
    }
}

/// Two periods of `frames` frames: five players a team, and the ball with its height.
pub fn rows(game: &'static str, frames: u32) -> Vec<Row> {
    let mut rows = Vec::new();
    for period in 1..=2u8 {
        for frame in 0..frames {
            let game_clock_s = 600.0 - frame as f32 / 4.0;
            let shot_clock_s = 24.0 - frame as f32 / 4.0;
            for (t, team) in TEAMS.into_iter().enumerate() {
                for n in 1..=5u32 {
                    let who = Some((team, format!("{team}{n}")));
                    let x_m = (n as f32) * 2.0 - 5.0 + frame as f32 / 8.0;
                    let y_m = if t == 0 { 2.5 } else { -2.5 } + f32::from(period) / 8.0;
                    rows.push(Row {
                        game,
                        period,
                        frame,
                        game_clock_s,
                        shot_clock_s,
                        who,
                        x_m,
                        y_m,
                        z_m: None,
                    });
                }
            }
            let x_m = frame as f32 / 4.0;
            let (y_m, z_m) = (-1.0, Some(1.5));
            rows.push(Row {
                game,
                period,
                frame,
                game_clock_s,
                shot_clock_s,
                who: None,
                x_m,
                y_m,
                z_m,
            });
        }
    }
    rows
}

/// What reading `rows` (of one game, all good) must give, worked out row by row.
pub fn expected(rows: &[Row]) -> RawGame {
    let mut players: Vec<Player> = Vec::new();
    for (slot, team) in TeamSlot::BOTH.into_iter().zip(TEAMS) {
        let mut ids: Vec<&str> = rows
            .iter()
            .filter_map(|r| r.who.as_ref())
            .filter(|w| w.0 == team)
            .map(|w| w.1.as_str())
            .collect();
        ids.sort_unstable();
        ids.dedup();
        let player = |id: &str| Player {
            id: id.into(),
            team: slot,
            jersey: None,
            name: None,
            role: None,
        };
        players.extend(ids.into_iter().map(player));
    }
    let mut numbers: Vec<u8> = rows.iter().map(|r| r.period).collect();
    numbers.sort_unstable();
    numbers.dedup();
    let periods = numbers.into_iter().map(|number| {
        let of_period: Vec<&Row> = rows.iter().filter(|r| r.period == number).collect();
        let mut clocks: Vec<ClockSample> = Vec::new();
        for row in &of_period {
            if clocks.last().is_none_or(|c| c.t_s < row.t_s()) {
                clocks.push(ClockSample {
                    t_s: row.t_s(),
                    game_clock_s: row.game_clock_s,
                    shot_clock_s: row.shot_clock_s,
                });
            }
        }
        let track = |of: &dyn Fn(&Row) -> bool| {
            let mut track = RawTrack::<()>::default();
            for row in of_period.iter().filter(|r| of(r)) {
                track.t_s.push(row.t_s());
                track.x_m.push(row.x_m);
                track.y_m.push(row.y_m);
                track.z_m.extend(row.z_m);
            }
            track
        };
        let mut tracks = Vec::new();
        for (at, player) in players.iter().enumerate() {
            let RawTrack {
                t_s, x_m, y_m, z_m, ..
            } = track(&|r: &Row| r.who.as_ref().is_some_and(|w| *w.1 == *player.id));
            tracks.push(RawTrack {
                who: PlayerIx(at as u16),
                t_s,
                x_m,
                y_m,
                z_m,
            });
        }
        let ball = track(&|r: &Row| r.who.is_none());
        RawPeriod {
            number,
            clocks,
            players: tracks,
            ball,
            duplicate_rows: 0,
            rows_quarantined: 0,
        }
    });
    RawGame {
        info: GameInfo {
            game_id: rows[0].game.into(),
            season: None,
            date: None,
            team_ids: TEAMS.map(Into::into),
            home_is_known: false,
            court: Court::fiba(),
            video_offset_s: Vec::new(),
        },
        periods: periods.collect(),
        players,
        events: None,
    }
}

pub fn csv_row(row: &Row, delimiter: char) -> String {
    let (team, player) = row.who.as_ref().map_or(("", ""), |(t, p)| (t, p.as_str()));
    let z = row.z_m.map_or(String::new(), |z| z.to_string());
    let cells = [
        row.game.to_string(),
        row.period.to_string(),
        row.t_s().to_string(),
        row.game_clock_s.to_string(),
        row.shot_clock_s.to_string(),
        team.into(),
        player.into(),
        row.x_m.to_string(),
        row.y_m.to_string(),
        z,
    ];
    cells.join(&delimiter.to_string())
}

pub fn csv(rows: &[Row]) -> String {
    let mut text = format!("{COLUMNS}\n");
    for row in rows {
        let _ = writeln!(text, "{}", csv_row(row, ','));
    }
    text
}

pub fn json_rows(rows: &[Row]) -> Vec<serde_json::Value> {
    let row = |row: &Row| {
        let (team, player) = row.who.as_ref().map_or((None, None), |(team, player)| {
            (Some(*team), Some(player.as_str()))
        });
        serde_json::json!({
            "game_id": row.game, "period": row.period, "t_s": row.t_s(), "game_clock_s": row.game_clock_s,
            "shot_clock_s": row.shot_clock_s, "team_id": team, "player_id": player, "x_m": row.x_m, "y_m": row.y_m,
            "z_m": row.z_m,
        })
    };
    rows.iter().map(row).collect()
}

pub fn json_lines(rows: &[Row]) -> String {
    json_rows(rows).iter().map(|row| format!("{row}\n")).collect()
}

pub fn batch(rows: &[Row]) -> RecordBatch {
    let team = |r: &Row| r.who.as_ref().map(|w| w.0);
    let player = |r: &Row| r.who.as_ref().map(|w| w.1.clone());
    let columns: Vec<(&str, ArrayRef)> = vec![
        (
            "game_id",
            Arc::new(rows.iter().map(|r| Some(r.game)).collect::<StringArray>()),
        ),
        (
            "period",
            Arc::new(rows.iter().map(|r| Some(r.period)).collect::<UInt8Array>()),
        ),
        (
            "t_s",
            Arc::new(rows.iter().map(|r| Some(r.t_s())).collect::<Float64Array>()),
        ),
        (
            "game_clock_s",
            Arc::new(
                rows.iter()
                    .map(|r| Some(r.game_clock_s))
                    .collect::<Float32Array>(),
            ),
        ),
        (
            "shot_clock_s",
            Arc::new(
                rows.iter()
                    .map(|r| Some(r.shot_clock_s))
                    .collect::<Float32Array>(),
            ),
        ),
        (
            "team_id",
            Arc::new(rows.iter().map(team).collect::<StringArray>()),
        ),
        (
            "player_id",
            Arc::new(rows.iter().map(player).collect::<StringArray>()),
        ),
        (
            "x_m",
            Arc::new(rows.iter().map(|r| Some(r.x_m)).collect::<Float32Array>()),
        ),
        (
            "y_m",
            Arc::new(rows.iter().map(|r| Some(r.y_m)).collect::<Float32Array>()),
        ),
        (
            "z_m",
            Arc::new(rows.iter().map(|r| r.z_m).collect::<Float32Array>()),
        ),
    ];
    RecordBatch::try_from_iter_with_nullable(columns.into_iter().map(|(name, array)| (name, array, true)))
        .unwrap()
}

pub fn parquet(rows: &[Row]) -> Vec<u8> {
    let batch = batch(rows);
    let mut writer = parquet::arrow::ArrowWriter::try_new(Vec::new(), batch.schema(), None).unwrap();
    writer.write(&batch).unwrap();
    writer.into_inner().unwrap()
}

pub fn arrow_file(rows: &[Row]) -> Vec<u8> {
    let batch = batch(rows);
    let mut bytes = Vec::new();
    let mut writer = arrow::ipc::writer::FileWriter::try_new(&mut bytes, &batch.schema()).unwrap();
    writer.write(&batch).unwrap();
    writer.finish().unwrap();
    drop(writer);
    bytes
}

pub fn arrow_stream(rows: &[Row]) -> Vec<u8> {
    let batch = batch(rows);
    let mut bytes = Vec::new();
    let mut writer = arrow::ipc::writer::StreamWriter::try_new(&mut bytes, &batch.schema()).unwrap();
    writer.write(&batch).unwrap();
    writer.finish().unwrap();
    drop(writer);
    bytes
}

pub fn gzip(bytes: &[u8]) -> Vec<u8> {
    let mut encoder = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::default());
    std::io::Write::write_all(&mut encoder, bytes).unwrap();
    encoder.finish().unwrap()
}

/// A fresh folder.
pub struct Folder(tempfile::TempDir);

impl Folder {
    pub fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    pub fn path(&self) -> &Path {
        self.0.path()
    }

    pub fn with(self, name: &str, bytes: impl AsRef<[u8]>) -> Self {
        self.write(name, bytes);
        self
    }

    pub fn write(&self, name: &str, bytes: impl AsRef<[u8]>) -> PathBuf {
        let path = self.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(&path, bytes).unwrap();
        path
    }

    /// Reads the folder's only source.
    pub fn read(&self) -> Result<(Vec<ReadGame>, SourceReport), IngestError> {
        self.read_with(&IngestParams::default())
    }

    pub fn read_with(&self, params: &IngestParams) -> Result<(Vec<ReadGame>, SourceReport), IngestError> {
        let sources = find_sources(self.path(), None)?.sources;
        assert_eq!(sources.len(), 1);
        let mut games = Vec::new();
        let report = read_source::<IngestError>(&sources[0], params, &mut |game| {
            games.push(game);
            Ok(())
        })?;
        Ok((games, report))
    }

    /// The folder's only game.
    pub fn game(&self) -> ReadGame {
        let (mut games, report) = self.read().unwrap();
        assert_eq!(games.len(), 1, "{report:?}");
        games.remove(0)
    }
}

//! What a person reads off a scoreboard in a game's video.

use std::path::Path;

use scrim_tables::rows::{GameRow, TrackRow};
use scrim_tables::{LocalStore, Partition, ReadStore, Row, read_rows};

/// A mark of a game, and one of its teams.
pub struct Mark {
    team: String,
    mark: String,
}

impl Mark {
    /// Of the first game, whose video has its first frame at 700 s.
    pub fn of_first_game(tables: &Path) -> Self {
        let store = LocalStore::new(tables);
        let game = Partition::find(&store, GameRow::TABLE).unwrap().remove(0);
        let bytes_of = |table| store.get(&game.path(table)).unwrap().unwrap();
        let team = read_rows::<GameRow>(bytes_of(GameRow::TABLE)).unwrap()[0]
            .home_team_id
            .to_string();
        let tracks: Vec<TrackRow> = read_rows(bytes_of(TrackRow::TABLE)).unwrap();
        let turn = tracks.iter().find_map(|row| {
            let shown = row
                .game_clock_tenths
                .iter()
                .map(|tenths| tenths.map(|tenths| tenths / 10));
            let shown: Vec<_> = shown.collect();
            let turns = |pair: &[Option<u16>]| pair[0].is_some() && pair[1].is_some() && pair[0] > pair[1];
            let before = shown.windows(2).position(turns)?;
            Some((
                shown[before + 1]?,
                row.t_start_s + (before + 1) as f64 / f64::from(row.hz),
            ))
        });
        let (shown_s, t_s) = turn.unwrap();
        let mark = format!(
            "{}:1={:.3}@{}:{:02}",
            game.game_id(),
            700.0 + t_s,
            shown_s / 60,
            shown_s % 60
        );
        Self { team, mark }
    }

    /// The command that saves it.
    pub fn clips<'a>(&'a self, tables: &'a str) -> [&'a str; 9] {
        let Self { team, mark } = self;
        [
            "clips", "--tables", tables, "--team", team, "--output", "clips", "--sync", mark,
        ]
    }
}

//! Hand-made tables for the tests of this crate.

use scrim_tables::rows::{CoverageRow, CutRow, PossessionRow, ScreenRow};
use scrim_tables::{Row, TakesRows};

use crate::ComparedTables;

pub(crate) fn possession(possession_id: u32, t_start_s: f64, t_end_s: f64) -> PossessionRow {
    PossessionRow {
        game_id: "g".into(),
        period: 1,
        possession_id,
        t_start_s,
        t_end_s,
        game_clock_start_s: Some(600.0 - t_start_s as f32),
        offense_team_id: "a".into(),
        defense_team_id: "b".into(),
        ..PossessionRow::blank()
    }
}

pub(crate) fn screen(screen_id: u32, screener: &str, user: &str, t_use_s: f64) -> ScreenRow {
    ScreenRow {
        game_id: "g".into(),
        period: 1,
        screen_id,
        on_ball: true,
        screener_id: screener.into(),
        user_id: user.into(),
        t_use_s,
        ..ScreenRow::blank()
    }
}

pub(crate) fn coverage(screen_id: u32) -> CoverageRow {
    CoverageRow {
        game_id: "g".into(),
        period: 1,
        screen_id,
        ..CoverageRow::blank()
    }
}

pub(crate) fn cut(cut_id: u32, player: &str, t_start_s: f64, t_end_s: f64) -> CutRow {
    CutRow {
        game_id: "g".into(),
        period: 1,
        cut_id,
        player_id: player.into(),
        t_start_s,
        t_end_s,
        ..CutRow::blank()
    }
}

pub(crate) fn tables_of(
    possessions: &[PossessionRow],
    screens: &[ScreenRow],
    coverages: &[CoverageRow],
    cuts: &[CutRow],
) -> ComparedTables {
    let mut tables = ComparedTables::default();
    tables.add(possessions).unwrap();
    tables.add(screens).unwrap();
    tables.add(coverages).unwrap();
    tables.add(cuts).unwrap();
    tables
}

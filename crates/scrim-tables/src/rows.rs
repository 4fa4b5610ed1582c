//! Each table, declared once: its row, its columns with unit and meaning, what labels may say of it. Lengths metres, times
//! seconds, speeds m/s, angles degrees; `t_*_s` counts from the first frame of its period on the real clock; coordinates are
//! in the attack frame. An `Option` is "not known", never zero. Names and types of columns are fixed by the data contract.

mod declare;
mod flow;
mod game;
mod off_ball;
mod play;
mod quality;
mod runs;
mod screens;
mod season;
mod sweep;

pub use flow::{EntryRow, SequenceRow};
pub use game::{GameRow, PlayerRow, TrackRow};
pub use off_ball::{
    CutRow, DilemmaRow, FloorControlRow, InstantRow, OffBallMotionRow, PullSampleRow, SpacingRow,
};
pub use play::{MatchupRow, PossessionRow, TouchRow};
pub use quality::{GameQualityRow, QuarantineRow};
pub use runs::RunRow;
pub use screens::{CoverageRow, OptionRow, ScreenRow};
pub use season::{AgainstLeagueRow, CounterRow, DisguisePayRow, DisguiseRow, PullRow, TendencyRow};
pub use sweep::SweepRow;

use crate::Table;

/// All tables, in the order of the docs.
pub fn tables() -> impl Iterator<Item = &'static Table> {
    let modules = [
        game::TABLES,
        play::TABLES,
        screens::TABLES,
        flow::TABLES,
        off_ball::TABLES,
        season::TABLES,
        quality::TABLES,
        runs::TABLES,
        sweep::TABLES,
    ];
    modules.into_iter().flatten().copied()
}

/// The table of this name.
pub fn table(name: &str) -> Option<&'static Table> {
    tables().find(|table| table.name == name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Kind, Scope};

    #[test]
    fn every_nullable_column_says_what_null_means_and_no_other_does() {
        for table in tables() {
            for column in table.file_columns() {
                let name = format!("{}.{}", table.name, column.name);
                assert!(column.meaning().len() > 5, "{name} has no meaning");
                assert_eq!(column.null_meaning().is_some(), column.nullable, "{name}");
            }
        }
    }

    #[test]
    fn every_measured_number_has_a_unit() {
        for table in tables() {
            for column in table.columns {
                let is_measured = matches!(column.kind, Kind::Float32 | Kind::Float64);
                let name = format!("{}.{}", table.name, column.name);
                assert!(!is_measured || column.unit().is_some(), "{name} has no unit");
            }
        }
    }

    #[test]
    fn a_tables_name_and_a_tables_columns_come_once() {
        let mut names: Vec<&str> = tables().map(|table| table.name).collect();
        names.sort_unstable();
        let all = names.len();
        names.dedup();
        assert_eq!(names.len(), all);
        for table in tables() {
            let mut columns: Vec<&str> = table.file_columns().map(|column| column.name).collect();
            let is_of_game = table.scope == Scope::Game;
            assert!(
                !is_of_game || columns[..2] == ["season", "game_id"],
                "{}",
                table.name
            );
            columns.sort_unstable();
            let all = columns.len();
            columns.dedup();
            assert_eq!(columns.len(), all, "{}", table.name);
        }
    }

    #[test]
    fn what_labels_need_are_columns() {
        let mut with_labels = 0;
        for table in tables() {
            let Some(labels) = &table.labels else { continue };
            with_labels += 1;
            let spots = labels.spots.iter().flat_map(|(_, x, y)| [x, y]);
            for name in labels.needed.iter().chain(&labels.main_word).chain(spots) {
                assert!(
                    table.columns.iter().any(|column| column.name == *name),
                    "{}.{name}",
                    table.name
                );
            }
        }
        assert_eq!(with_labels, 8);
    }
}

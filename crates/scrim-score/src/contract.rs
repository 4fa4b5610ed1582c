//! The columns that labels may have, table by table, and how each is judged: made from the tables' own declarations.

use std::sync::LazyLock;

use scrim_tables::rows::{
    CoverageRow, CutRow, EntryRow, MatchupRow, OffBallMotionRow, OptionRow, PossessionRow, ScreenRow,
};
use scrim_tables::{ColumnInfo, Kind as Holds, Role, Row};

/// What a column holds and so how it is judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// Places the row or links it to another: read, never judged as a value. Text.
    Key,
    /// An id that links rows (of the same folder, in labels): read, judged by where it leads. Text.
    Link,
    /// A number that places the row and is not judged.
    KeyNumber,
    /// Yes or no that places the row and is not judged.
    KeyFlag,
    /// A time or other number, judged by how far off it is.
    Number,
    /// One of the vocabulary's words, judged as a class.
    Tag(&'static [&'static str]),
    /// Yes or no, judged as a class.
    Flag,
    /// A small whole number, judged as a class.
    Count,
    /// A player's or team's id, right or not.
    Id,
    /// Free text, the same or not.
    Phrase,
}

/// One column.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ColumnSpec {
    pub name: &'static str,
    pub kind: Kind,
}

/// One table of labels.
#[derive(Debug)]
pub(crate) struct TableSpec {
    pub name: &'static str,
    pub columns: Vec<ColumnSpec>,
    /// Columns, and cells of them, without which a row cannot be placed.
    pub needed: &'static [&'static str],
    /// The column whose empty cell makes the row a zone of doubt.
    pub main_word: Option<&'static str>,
    /// Spots on the floor, judged by distance: a name, the column of x, the column of y.
    pub spots: &'static [(&'static str, &'static str, &'static str)],
}

impl TableSpec {
    /// What labels may say of `R`.
    fn of<R: Row>() -> Self {
        let labels = R::INFO.labels.as_ref();
        Self {
            name: R::TABLE,
            columns: R::INFO.columns.iter().filter_map(column_spec).collect(),
            needed: labels.map_or(&[], |labels| labels.needed),
            main_word: labels.and_then(|labels| labels.main_word),
            spots: labels.map_or(&[], |labels| labels.spots),
        }
    }
}

fn column_spec(column: &ColumnInfo) -> Option<ColumnSpec> {
    let kind = match (column.role, column.kind) {
        (Role::Unlabelled, _) | (_, Holds::List(..)) => return None,
        (Role::Place, Holds::Bool) => Kind::KeyFlag,
        (Role::Place, Holds::Id | Holds::Text | Holds::Tag(_)) => Kind::Key,
        (Role::Place, _) => Kind::KeyNumber,
        (Role::Judged, Holds::Bool) => Kind::Flag,
        (Role::Judged, Holds::Id) => Kind::Id,
        (Role::Judged, Holds::Text) => Kind::Phrase,
        (Role::Judged, Holds::Tag(words)) => Kind::Tag(words),
        (Role::Judged, Holds::Float32 | Holds::Float64) => Kind::Number,
        (Role::Judged, Holds::UInt32) => Kind::Link,
        (Role::Judged, Holds::UInt8 | Holds::UInt16 | Holds::UInt64 | Holds::Int16) => Kind::Count,
    };
    Some(ColumnSpec {
        name: column.name,
        kind,
    })
}

/// How fully the off-ball screens of a game were labelled.
pub(crate) const ALL: &str = "all";
/// Only the off-ball screens that nobody would doubt: another one that is found is not known to be false.
pub(crate) const PLAIN_ONLY: &str = "plain_only";

/// `labelled`: the games that somebody labelled, those without any row in a table too; of a game of which only some stretches were
/// looked at, a row each, with its period and span. No table of a run has this name.
pub(crate) static LABELLED: LazyLock<TableSpec> = LazyLock::new(|| TableSpec {
    name: "labelled",
    columns: vec![
        ColumnSpec {
            name: "game_id",
            kind: Kind::Key,
        },
        ColumnSpec {
            name: "off_ball_screens",
            kind: Kind::Tag(&[ALL, PLAIN_ONLY]),
        },
        ColumnSpec {
            name: "period",
            kind: Kind::KeyNumber,
        },
        ColumnSpec {
            name: "t_start_s",
            kind: Kind::KeyNumber,
        },
        ColumnSpec {
            name: "t_end_s",
            kind: Kind::KeyNumber,
        },
    ],
    needed: &["game_id"],
    main_word: None,
    spots: &[],
});

/// All tables that labels may have, in the report's order.
pub(crate) static LABEL_TABLES: LazyLock<[TableSpec; 8]> = LazyLock::new(|| {
    [
        TableSpec::of::<PossessionRow>(),
        TableSpec::of::<MatchupRow>(),
        TableSpec::of::<ScreenRow>(),
        TableSpec::of::<CoverageRow>(),
        TableSpec::of::<OptionRow>(),
        TableSpec::of::<EntryRow>(),
        TableSpec::of::<OffBallMotionRow>(),
        TableSpec::of::<CutRow>(),
    ]
});

/// `screens`.
pub(crate) static SCREENS: LazyLock<TableSpec> = LazyLock::new(TableSpec::of::<ScreenRow>);

#[cfg(test)]
mod tests {
    use scrim_tables::rows::tables;

    use super::*;

    fn kind_of<R: Row>(name: &str) -> Option<Kind> {
        let columns = TableSpec::of::<R>().columns;
        columns
            .iter()
            .find(|column| column.name == name)
            .map(|column| column.kind)
    }

    #[test]
    fn every_table_that_labels_tell_of_is_read() {
        let mut names: Vec<&str> = tables()
            .filter(|table| table.labels.is_some())
            .map(|table| table.name)
            .collect();
        let mut read: Vec<&str> = LABEL_TABLES.iter().map(|spec| spec.name).collect();
        names.sort_unstable();
        read.sort_unstable();
        assert_eq!(read, names);
    }

    #[test]
    fn columns_are_judged_as_what_they_hold() {
        assert_eq!(kind_of::<ScreenRow>("screener_id"), Some(Kind::Key));
        assert_eq!(kind_of::<ScreenRow>("screener_defender_id"), Some(Kind::Id));
        assert_eq!(kind_of::<ScreenRow>("previous_screen_id"), Some(Kind::Link));
        assert_eq!(kind_of::<ScreenRow>("on_ball"), Some(Kind::KeyFlag));
        assert_eq!(kind_of::<ScreenRow>("strong_side"), Some(Kind::Flag));
        assert_eq!(kind_of::<ScreenRow>("confidence"), Some(Kind::KeyNumber));
        assert_eq!(kind_of::<ScreenRow>("runner_up_kind"), None);
        assert_eq!(kind_of::<OptionRow>("points"), Some(Kind::Count));
        assert_eq!(kind_of::<EntryRow>("look"), Some(Kind::Phrase));
        assert_eq!(kind_of::<EntryRow>("flow_gap_s"), Some(Kind::Number));
    }
}

//! What a table is, as data: its columns with unit and meaning, and what labels may say of it. Declared once, by the
//! `tables!` macro; schema, docs, `scrim columns` and the scorer all read it here.

use std::collections::HashMap;
use std::sync::Arc;

use arrow::datatypes::{Field, FieldRef};

use crate::TableError;
use crate::column::Kind;

/// A row of one of the tables.
pub trait Row: serde::Serialize + serde::de::DeserializeOwned {
    /// The table's name: its folder, and what messages call it.
    const TABLE: &'static str;
    /// The table.
    const INFO: &'static Table;
    /// A row that says nothing, for tests and benches to fill in what they are about.
    #[must_use]
    fn blank() -> Self;
}

/// What takes the rows of a game's tables, a table at a time.
pub trait TakesRows {
    /// Takes a table's rows.
    ///
    /// # Errors
    /// [`TableError`] when they do not fit the table's columns; no input row causes that.
    fn add<R: Row>(&mut self, rows: &[R]) -> Result<(), TableError>;
}

/// What one file of a table holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scope {
    /// The rows of a game.
    Game,
    /// The rows of a season.
    Season,
    /// The rows of a run of the program.
    Run,
}

/// A table.
#[derive(Debug, PartialEq, Eq)]
pub struct Table {
    /// Its name, and its folder's.
    pub name: &'static str,
    /// What one file holds.
    pub scope: Scope,
    /// What a row is: lines of Markdown.
    pub doc: &'static [&'static str],
    /// The columns that its rows declare, in order.
    pub columns: &'static [ColumnInfo],
    /// What labels may say of it; `None` when they say nothing.
    pub labels: Option<Labels>,
}

/// A column.
#[derive(Debug, PartialEq, Eq)]
pub struct ColumnInfo {
    /// Its name.
    pub name: &'static str,
    /// What it holds.
    pub kind: Kind,
    /// Whether it may hold nulls.
    pub nullable: bool,
    /// Its unit, where the name does not say it.
    pub own_unit: Option<&'static str>,
    /// Lines: its meaning, and after `Null:` what null means.
    pub doc: &'static [&'static str],
    /// What labels make of it, in a table that they are about.
    pub role: Role,
}

/// What labels make of a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// Its values are held against the label's.
    Judged,
    /// It places the row, or says more of it, and is not judged.
    Place,
    /// Labels do not have it.
    Unlabelled,
}

/// What labels may say of a table.
#[derive(Debug, PartialEq, Eq)]
pub struct Labels {
    /// Columns, and cells of them, without which a label row cannot be placed.
    pub needed: &'static [&'static str],
    /// The column whose empty cell makes a label row a zone of doubt.
    pub main_word: Option<&'static str>,
    /// Spots on the floor, judged by distance: a name, the column of x, the column of y.
    pub spots: &'static [(&'static str, &'static str, &'static str)],
}

/// Two rows about an instant are about the same one when they are at most so far apart, s (the data contract's "Labels, for
/// scoring").
pub const SAME_INSTANT_S: f64 = 1.0;

/// Two rows about a span of time are about the same one when at least this share of the shorter is common to both (as above).
pub const SAME_SPAN_SHARE: f64 = 0.5;

/// The first column of every table of a game or a season. Rows do not carry it: it is the file's.
pub const SEASON: ColumnInfo = ColumnInfo {
    name: "season",
    kind: Kind::Id,
    nullable: false,
    own_unit: None,
    doc: &["The season, as `games` of the source has it; `unknown` when it has none."],
    role: Role::Unlabelled,
};

/// Ends of names, and the units that they stand for. The first that fits counts.
const UNITS: [(&str, &str); 15] = [
    ("_m2", "m2"),
    ("_mps", "m/s"),
    ("_m", "m"),
    ("_cm", "cm"),
    ("_s", "s"),
    ("_deg", "degrees"),
    ("hz", "1/s"),
    ("_bits", "bits"),
    ("_tenths", "0.1 s"),
    ("_share", "share, 0 to 1"),
    ("confidence", "share, 0 to 1"),
    ("points", "points"),
    ("points_per_play", "points"),
    ("ppp_low", "points"),
    ("ppp_high", "points"),
];

/// What parts a column's meaning from what its null means.
const NULL: &str = "Null: ";

impl ColumnInfo {
    /// The unit of its numbers; `None` for words, ids, flags, counts.
    pub fn unit(&self) -> Option<&'static str> {
        let of_name = || UNITS.iter().find(|(end, _)| self.name.ends_with(end));
        self.own_unit.or_else(|| {
            let is_number = !matches!(self.kind, Kind::Bool | Kind::Id | Kind::Text | Kind::Tag(_));
            of_name().map(|(_, unit)| *unit).filter(|_| is_number)
        })
    }

    /// What it means.
    pub fn meaning(&self) -> String {
        let text = joined(self.doc);
        let meaning = text
            .split_once(NULL)
            .map(|(meaning, _)| meaning.trim_end().to_owned());
        meaning.unwrap_or(text)
    }

    /// What a null means; `None` where there is none.
    pub fn null_meaning(&self) -> Option<String> {
        joined(self.doc).split_once(NULL).map(|(_, null)| null.to_owned())
    }

    /// The Arrow field, with unit and meanings as metadata.
    fn field(&self) -> FieldRef {
        let pairs = [
            ("unit", self.unit().map(Into::into)),
            ("meaning", Some(self.meaning())),
            ("null", self.null_meaning()),
        ];
        let metadata: HashMap<String, String> = pairs
            .into_iter()
            .filter_map(|(key, value)| Some((key.to_owned(), value?)))
            .collect();
        let field = Field::new(self.name, self.kind.data_type(), self.nullable);
        Arc::new(field.with_metadata(metadata))
    }
}

impl Table {
    /// The columns of its files: `season`, then what its rows declare.
    pub fn file_columns(&self) -> impl Iterator<Item = &'static ColumnInfo> {
        let season = match self.scope {
            Scope::Game | Scope::Season => Some(&SEASON),
            Scope::Run => None,
        };
        season.into_iter().chain(self.columns)
    }

    /// The Arrow fields of what its rows declare.
    pub fn fields(&self) -> Vec<FieldRef> {
        self.columns.iter().map(ColumnInfo::field).collect()
    }

    /// The Arrow fields of its files.
    pub fn file_fields(&self) -> Vec<FieldRef> {
        self.file_columns().map(ColumnInfo::field).collect()
    }

    /// What a row is, in one line.
    pub fn summary(&self) -> String {
        let first = self.doc.iter().take_while(|line| !line.trim().is_empty());
        joined(&first.copied().collect::<Vec<_>>())
    }
}

fn joined(lines: &[&str]) -> String {
    let lines: Vec<&str> = lines.iter().map(|line| line.trim()).collect();
    lines.join(" ").trim().to_owned()
}

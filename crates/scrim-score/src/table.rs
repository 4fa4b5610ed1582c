//! Columns by name, whichever file they came from.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use scrim_tables::Id;

use crate::Place;
use crate::cell::Cell;
use crate::contract::{Kind, TableSpec};

/// The values of one column.
#[derive(Debug, Clone)]
pub(crate) enum Column {
    Text(Vec<Option<Id>>),
    Number(Vec<Option<f64>>),
    Flag(Vec<Option<bool>>),
}

impl Column {
    pub(crate) fn new(kind: Kind) -> Self {
        match kind {
            Kind::Key | Kind::Link | Kind::Tag(_) | Kind::Id | Kind::Phrase => Self::Text(Vec::new()),
            Kind::KeyNumber | Kind::Number | Kind::Count => Self::Number(Vec::new()),
            Kind::KeyFlag | Kind::Flag => Self::Flag(Vec::new()),
        }
    }

    /// Adds one value. The cell was read for this column's kind, so the two agree.
    pub(crate) fn push(&mut self, cell: Cell) {
        match (self, cell) {
            (Self::Text(values), Cell::Text(value)) => values.push(value),
            (Self::Number(values), Cell::Number(value)) => values.push(value),
            (Self::Flag(values), Cell::Flag(value)) => values.push(value),
            (Self::Text(values), _) => values.push(None),
            (Self::Number(values), _) => values.push(None),
            (Self::Flag(values), _) => values.push(None),
        }
    }

    /// Empty cells up to `rows`: a file lacks a column that an earlier one had, or the other way round.
    fn pad(&mut self, rows: usize) {
        match self {
            Self::Text(values) => values.resize(rows, None),
            Self::Number(values) => values.resize(rows, None),
            Self::Flag(values) => values.resize(rows, None),
        }
    }

    fn append(&mut self, other: Self) {
        match (self, other) {
            (Self::Text(values), Self::Text(more)) => values.extend(more),
            (Self::Number(values), Self::Number(more)) => values.extend(more),
            (Self::Flag(values), Self::Flag(more)) => values.extend(more),
            // Both were made by `new` for the same column.
            (Self::Text(_) | Self::Number(_) | Self::Flag(_), _) => {}
        }
    }

    fn keep(&mut self, rows: &[usize]) {
        match self {
            Self::Text(values) => *values = rows.iter().map(|row| values[*row].clone()).collect(),
            Self::Number(values) => *values = rows.iter().map(|row| values[*row]).collect(),
            Self::Flag(values) => *values = rows.iter().map(|row| values[*row]).collect(),
        }
    }
}

/// Rows of one table, column by column; rows of several files one after the other.
#[derive(Debug, Clone)]
pub(crate) struct Table {
    pub spec: &'static TableSpec,
    pub rows: usize,
    columns: BTreeMap<&'static str, Column>,
    /// The file of each row.
    files: Vec<Arc<Path>>,
    /// The place of each row in its file.
    places: Vec<Place>,
}

impl Table {
    pub(crate) fn new(spec: &'static TableSpec) -> Self {
        Self {
            spec,
            rows: 0,
            columns: BTreeMap::new(),
            files: Vec::new(),
            places: Vec::new(),
        }
    }

    /// Adds the rows of one file: columns of equal length, as many as `places`.
    pub(crate) fn append(&mut self, path: &Path, columns: Vec<(&'static str, Column)>, places: Vec<Place>) {
        let before = self.rows;
        self.rows += places.len();
        for (name, values) in columns {
            let mut column = match &values {
                Column::Text(_) => Column::Text(Vec::new()),
                Column::Number(_) => Column::Number(Vec::new()),
                Column::Flag(_) => Column::Flag(Vec::new()),
            };
            let here = self.columns.entry(name).or_insert_with(|| {
                column.pad(before);
                column
            });
            here.append(values);
        }
        for column in self.columns.values_mut() {
            column.pad(self.rows);
        }
        let file: Arc<Path> = path.into();
        self.files.extend(std::iter::repeat_n(file, places.len()));
        self.places.extend(places);
    }

    /// Drops all rows but these.
    pub(crate) fn keep(&mut self, rows: &[usize]) {
        for column in self.columns.values_mut() {
            column.keep(rows);
        }
        self.files = rows.iter().map(|row| self.files[*row].clone()).collect();
        self.places = rows.iter().map(|row| self.places[*row]).collect();
        self.rows = rows.len();
    }

    pub(crate) fn has(&self, name: &str) -> bool {
        self.columns.contains_key(name)
    }

    /// The file and place of a row, for messages.
    pub(crate) fn origin(&self, row: usize) -> String {
        format!("{}, {}", self.files[row].display(), self.places[row])
    }

    /// The place of a row in its file.
    pub(crate) fn place(&self, row: usize) -> Place {
        self.places[row]
    }

    /// The file of a row.
    pub(crate) fn file(&self, row: usize) -> &Path {
        &self.files[row]
    }

    /// The folder of a row's file: ids of labels link rows within it.
    pub(crate) fn folder(&self, row: usize) -> PathBuf {
        self.files[row]
            .parent()
            .map(Path::to_path_buf)
            .unwrap_or_default()
    }

    /// A text column; all empty when it is not there.
    pub(crate) fn text(&self, name: &str) -> TextColumn<'_> {
        match self.columns.get(name) {
            Some(Column::Text(values)) => TextColumn(values),
            Some(Column::Number(_) | Column::Flag(_)) | None => TextColumn(&[]),
        }
    }

    /// A column of numbers; all empty when it is not there.
    pub(crate) fn numbers(&self, name: &str) -> NumberColumn<'_> {
        match self.columns.get(name) {
            Some(Column::Number(values)) => NumberColumn(values),
            Some(Column::Text(_) | Column::Flag(_)) | None => NumberColumn(&[]),
        }
    }

    /// A column of yes and no; all empty when it is not there.
    pub(crate) fn flags(&self, name: &str) -> FlagColumn<'_> {
        match self.columns.get(name) {
            Some(Column::Flag(values)) => FlagColumn(values),
            Some(Column::Text(_) | Column::Number(_)) | None => FlagColumn(&[]),
        }
    }

    /// Whether a cell holds anything.
    pub(crate) fn is_filled(&self, name: &str, row: usize) -> bool {
        match self.columns.get(name) {
            Some(Column::Text(values)) => values[row].is_some(),
            Some(Column::Number(values)) => values[row].is_some(),
            Some(Column::Flag(values)) => values[row].is_some(),
            None => false,
        }
    }

    /// Game and period of each row: what any match must share.
    pub(crate) fn game_period(&self, row: usize) -> Option<(&str, u64)> {
        let game = self.text("game_id").at(row)?;
        // Compared as bits: the same number has the same bits, and bits have an order.
        let period = self.numbers("period").at(row)?;
        Some((game, period.to_bits()))
    }
}

/// A column of text.
#[derive(Debug, Clone, Copy)]
pub(crate) struct TextColumn<'a>(&'a [Option<Id>]);

impl<'a> TextColumn<'a> {
    pub(crate) fn at(&self, row: usize) -> Option<&'a str> {
        self.0.get(row).and_then(|value| value.as_deref())
    }
}

/// A column of numbers.
#[derive(Debug, Clone, Copy)]
pub(crate) struct NumberColumn<'a>(&'a [Option<f64>]);

impl NumberColumn<'_> {
    pub(crate) fn at(&self, row: usize) -> Option<f64> {
        self.0.get(row).copied().flatten()
    }
}

/// A column of yes and no.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FlagColumn<'a>(&'a [Option<bool>]);

impl FlagColumn<'_> {
    pub(crate) fn at(&self, row: usize) -> Option<bool> {
        self.0.get(row).copied().flatten()
    }
}

//! A tracking file as a table, by its plan.

use std::path::{Path, PathBuf};

use crate::IngestError;
use crate::chunk::{Each, Flow, Table, Wanted};
use crate::columnar::{self, ColumnarTable};
use crate::delimited::DelimitedFile;
use crate::input::Input;
use crate::json::{JsonTable, first_keys};
use crate::mapping::{Form, Format, Mapping};
use crate::names::{self, Names};
use crate::open_file::check_is_file;
use crate::plan::{Found, GameIs, Plan};
use crate::template::{From, Piece, WithComposed};

/// The wide form has some columns a player; a file with more than this has lost its line ends.
const MAX_COLUMNS: usize = 10_000;
/// Rows that any file may have.
const FREE_ROWS: u64 = 1_000_000;
/// Rows a byte of a file, at most. A row of tracking takes several bytes however it is packed; a file of more rows a byte
/// than this says the same over and over, and would keep a run busy for days.
const ROWS_A_BYTE: u64 = 256;

/// A tracking file that has been looked at.
#[derive(Debug)]
pub(crate) struct PlannedFile {
    pub format: Format,
    pub plan: Plan,
}

/// Looks at a file's first bytes and columns, and plans its reading.
pub(crate) fn plan_file(
    path: &Path,
    mapping: &Mapping,
    names: &mut Names,
) -> Result<PlannedFile, IngestError> {
    let input = Input::open(path, mapping.format)?;
    let format = input.format;
    let is_json = matches!(format, Format::Json | Format::JsonLines);
    if mapping.form == Form::Nested && !is_json {
        return Err(IngestError::FormatAndForm {
            path: path.into(),
            format: format.as_str(),
            form: "nested",
            fix: "use form = \"long\" or \"wide\" for tables",
        });
    }
    let columns = match format {
        Format::Delimited => DelimitedFile::open(input, &mapping.text)?.columns,
        Format::Parquet | Format::ArrowFile | Format::ArrowStream => columnar::columns_of(path, format)?,
        Format::Json | Format::JsonLines if mapping.form == Form::Nested => Vec::new(),
        Format::Json | Format::JsonLines => first_keys(path, input)?,
    };
    if columns.len() > MAX_COLUMNS {
        return Err(IngestError::Claim {
            path: path.into(),
            claim: format!("{} columns", columns.len()),
            bound: format!("a table of tracking has at most {MAX_COLUMNS}"),
        });
    }
    let found = match (is_json, mapping.form) {
        (true, Form::Nested) => Found::Paths,
        (true, Form::Long | Form::Wide) => Found::Keys(&columns),
        (false, _) => Found::Columns(&columns),
    };
    let plan = Plan::new(path, format, mapping, found, names)?;
    Ok(PlannedFile { format, plan })
}

impl PlannedFile {
    /// Opens the file for all that the plan wants.
    pub(crate) fn table(&self, path: &Path, mapping: &Mapping) -> Result<Box<dyn Table>, IngestError> {
        let all: Vec<usize> = (0..self.plan.wanted.len()).collect();
        self.table_of(path, mapping, &all)
    }

    /// Gives the game of each row, some thousand rows at a time, and nothing else of the file.
    pub(crate) fn for_each_game(
        &self,
        path: &Path,
        mapping: &Mapping,
        names: &mut Names,
        each: &mut dyn FnMut(&[u32]),
    ) -> Result<(), IngestError> {
        let GameIs::Column(game) = self.plan.game else {
            return Ok(());
        };
        let mut table = self.table_of(path, mapping, &[game])?;
        table.for_each_chunk(names, &mut |chunk, _| {
            each(&chunk.columns[0].ids);
            Flow::Continue(())
        })
    }

    /// Opens the file for those of the wanted columns.
    fn table_of(
        &self,
        path: &Path,
        mapping: &Mapping,
        columns: &[usize],
    ) -> Result<Box<dyn Table>, IngestError> {
        let table = self.composed_table(path, mapping, columns)?;
        Ok(Box::new(Bounded::new(path, table)?))
    }

    /// As [`Self::table_of`], without bounds.
    fn composed_table(
        &self,
        path: &Path,
        mapping: &Mapping,
        columns: &[usize],
    ) -> Result<Box<dyn Table>, IngestError> {
        let plan = &self.plan;
        let composed = |column: usize| plan.composed.iter().find(|composed| composed.at == column);
        if columns.iter().all(|column| composed(*column).is_none()) {
            return self.plain_table(path, mapping, columns);
        }
        let mut plain = Vec::new();
        let mut place = |column: usize| {
            plain
                .iter()
                .position(|known| *known == column)
                .unwrap_or_else(|| {
                    plain.push(column);
                    plain.len() - 1
                })
        };
        let from = columns.iter().map(|column| match composed(*column) {
            None => From::Plain(place(*column)),
            Some(composed) => From::Pieces(
                composed
                    .pieces
                    .iter()
                    .map(|piece| match piece {
                        Piece::Text(text) => Piece::Text(text.clone()),
                        Piece::Column(column) => Piece::Column(place(*column)),
                    })
                    .collect(),
            ),
        });
        let columns = from.collect();
        Ok(Box::new(WithComposed {
            plain: self.plain_table(path, mapping, &plain)?,
            columns,
        }))
    }

    /// As [`Self::table_of`], for columns that stand in the file.
    fn plain_table(
        &self,
        path: &Path,
        mapping: &Mapping,
        columns: &[usize],
    ) -> Result<Box<dyn Table>, IngestError> {
        if let Some(plan) = &self.plan.json {
            return Ok(Box::new(JsonTable::new(path, self.format, plan.select(columns))));
        }
        let wanted: Vec<Wanted> = columns
            .iter()
            .map(|column| self.plan.wanted[*column].clone())
            .collect();
        Ok(match self.format {
            Format::Delimited => {
                let input = Input::open(path, Some(self.format))?;
                Box::new(DelimitedFile::open(input, &mapping.text)?.table(&wanted)?)
            }
            _ => Box::new(ColumnarTable::open(path, self.format, &wanted)?),
        })
    }
}

/// A table that ends with an error when it has more rows than a file of its size can hold, or more ids than there is memory
/// for.
struct Bounded {
    table: Box<dyn Table>,
    path: PathBuf,
    bytes: u64,
}

impl Bounded {
    fn new(path: &Path, table: Box<dyn Table>) -> Result<Self, IngestError> {
        let bytes = check_is_file(path)?.len();
        Ok(Self {
            table,
            path: path.into(),
            bytes,
        })
    }
}

impl Table for Bounded {
    fn for_each_chunk(&mut self, names: &mut Names, each: &mut Each<'_>) -> Result<(), IngestError> {
        let most = FREE_ROWS.saturating_add(ROWS_A_BYTE.saturating_mul(self.bytes));
        let mut rows = 0;
        let mut has_room = true;
        self.table.for_each_chunk(names, &mut |chunk, names| {
            rows += chunk.rows as u64;
            has_room = !names.are_too_many();
            if rows > most || !has_room {
                return Flow::Break(());
            }
            each(chunk, names)
        })?;
        if !has_room {
            return Err(IngestError::OverBudget {
                path: self.path.clone(),
                what: "different ids",
                most: names::MAX_BYTES as u64,
            });
        }
        if rows > most {
            return Err(IngestError::Claim {
                path: self.path.clone(),
                claim: format!("more than {most} rows"),
                bound: format!("its {} bytes cannot hold so many", self.bytes),
            });
        }
        Ok(())
    }
}

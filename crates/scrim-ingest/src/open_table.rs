//! A tracking file as a table, by its plan.

use std::path::Path;

use crate::IngestError;
use crate::chunk::{Flow, Table, Wanted};
use crate::columnar::{self, ColumnarTable};
use crate::delimited::DelimitedFile;
use crate::input::Input;
use crate::json::{JsonTable, first_keys};
use crate::mapping::{Form, Format, Mapping};
use crate::names::Names;
use crate::plan::{Found, GameIs, Plan};
use crate::template::{From, Piece, WithComposed};

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

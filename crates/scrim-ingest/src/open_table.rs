//! A tracking file as a table, by its plan.

use std::path::Path;

use crate::IngestError;
use crate::chunk::{Flow, Table};
use crate::columnar::{self, ColumnarTable};
use crate::delimited::DelimitedFile;
use crate::input::Input;
use crate::json::{JsonTable, first_keys};
use crate::mapping::{Form, Format, Mapping};
use crate::names::Names;
use crate::plan::{Found, GameIs, Plan};

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
        Ok(match (&self.plan.json, self.format) {
            (Some(plan), _) => Box::new(JsonTable::new(path, self.format, plan.clone())),
            (None, Format::Delimited) => {
                let input = Input::open(path, Some(self.format))?;
                Box::new(DelimitedFile::open(input, &mapping.text)?.table(&self.plan.wanted)?)
            }
            (None, _) => Box::new(ColumnarTable::open(path, self.format, &self.plan.wanted)?),
        })
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
        let wanted = &self.plan.wanted[game..=game];
        let mut table: Box<dyn Table> = match (&self.plan.json, self.format) {
            (Some(plan), _) => Box::new(JsonTable::new(path, self.format, plan.only(game))),
            (None, Format::Delimited) => {
                let input = Input::open(path, Some(self.format))?;
                Box::new(DelimitedFile::open(input, &mapping.text)?.table(wanted)?)
            }
            (None, _) => Box::new(ColumnarTable::open(path, self.format, wanted)?),
        };
        table.for_each_chunk(names, &mut |chunk, _| {
            each(&chunk.columns[0].ids);
            Flow::Continue(())
        })
    }
}

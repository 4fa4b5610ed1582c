//! The keys of a JSON file's first rows: the columns of a file of flat rows.

use std::io::BufRead;
use std::path::Path;

use serde_json::Value;

use super::key::Key;
use super::tape::Document;
use super::walk::{Step, Visit, walk};
use crate::IngestError;
use crate::chunk::Flow;
use crate::input::Input;
use crate::mapping::Format;

/// The keys of the first objects of a file of flat rows (a key that is empty there may be left out in some of them).
pub(crate) fn first_keys(path: &Path, mut input: Input) -> Result<Vec<String>, IngestError> {
    let mut first = FirstKeys::default();
    if input.format == Format::JsonLines {
        let mut line = Vec::new();
        while first.rows < FirstKeys::ROWS {
            line.clear();
            input.progress.begin_record();
            let read = input.reader.read_until(b'\n', &mut line);
            if read.map_err(|error| input.progress.error(first.rows + 1, error))? == 0 {
                break;
            }
            first.add(&line);
        }
    } else {
        match walk(path, &[Step::Each], &[Vec::new()], &mut first) {
            // A member that is no row at all, such as an array of all rows.
            Ok(_) | Err(IngestError::RecordTooLong { .. }) => {}
            Err(error) => return Err(error),
        }
    }
    if first.keys.is_empty() {
        return Err(IngestError::PointerLeadsNowhere {
            path: path.into(),
            pointer: "/*".into(),
            found: "no objects with keys (form = \"long\" and \"wide\" read objects as rows, form = \"nested\" reads the rest)".into(),
        });
    }
    Ok(first.keys)
}

/// The keys of the first rows.
#[derive(Default)]
struct FirstKeys {
    keys: Vec<String>,
    rows: u64,
}

impl FirstKeys {
    /// So many rows are looked at.
    const ROWS: u64 = 1000;

    fn add(&mut self, row: &[u8]) {
        self.rows += 1;
        if let Ok(Value::Object(row)) = serde_json::from_slice(row) {
            for (key, _) in row {
                if !self.keys.contains(&key) {
                    self.keys.push(key);
                }
            }
        }
    }
}

impl Visit for FirstKeys {
    fn outer(&mut self, _: usize, _: &[Option<Value>]) {}

    fn instant(&mut self, _: &[Key<'static>], instant: Document<'_>) -> Flow {
        self.add(instant.json(Document::ROOT).as_bytes());
        if self.rows < Self::ROWS {
            Flow::Continue(())
        } else {
            Flow::Break(())
        }
    }
}

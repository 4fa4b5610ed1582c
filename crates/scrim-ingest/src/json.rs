//! JSON as a table: each entity of each instant is a row, whose cells are found by paths.
//!
//! - Here: the way to the instants of JSON lines and documents, by a `plan`; `first_keys` looks at flat rows beforehand.
//! - `walk`: a document of any size, walked to its instants without holding it; `feed` has its bytes, `outer` what is
//!   wanted outside of the instants, `fault` what is wrong with a document.
//! - `tape`: an instant (or line) as places of its values; `paths` finds those that are wanted.
//! - `rows`: the entities of instants as chunks of rows; `cell`: their values as cells, `key`: their places; `raw`: their
//!   text, for refused rows; `describe`: what stands at a place, in words.

mod cell;
mod describe;
mod fault;
mod feed;
mod first_keys;
mod key;
mod outer;
mod paths;
mod plan;
mod raw;
mod rows;
mod tape;
mod walk;

use std::borrow::Cow;
use std::io::BufRead;
use std::path::{Path, PathBuf};

use serde_json::Value;

pub(crate) use first_keys::first_keys;
pub(crate) use plan::{CellFrom, EntityGroup, JsonPlan};

use crate::IngestError;
use crate::chunk::{Each, Flow, Table};
use crate::input::Input;
use crate::mapping::Format;
use crate::names::Names;
use describe::kind_at;
use key::Key;
use paths::{Paths, tokens_of};
use rows::JsonRows;
use tape::{Document, Kind, NOWHERE, NodeIx, Tape, after_blank};
use walk::{Step, Visit, walk};

/// Rows a chunk, about.
const CHUNK_ROWS: usize = 4096;

/// A JSON document, or JSON lines, read by a plan.
pub(crate) struct JsonTable {
    path: PathBuf,
    format: Format,
    plan: JsonPlan,
}

impl JsonTable {
    /// Reads `path` by `plan`.
    pub(crate) fn new(path: &Path, format: Format, plan: JsonPlan) -> Self {
        Self {
            path: path.into(),
            format,
            plan,
        }
    }
}

impl Table for JsonTable {
    fn for_each_chunk(&mut self, names: &mut Names, each: &mut Each<'_>) -> Result<(), IngestError> {
        let mut rows = JsonRows::new(&self.plan);
        let ended = match self.format {
            Format::JsonLines => self.read_lines(&mut rows, names, each)?,
            _ => self.read_document(&mut rows, names, each)?,
        };
        if ended.is_continue() {
            let _ = rows.flush(names, each);
            if let Some(missing) = rows.never_found() {
                let pointer = format!(
                    "{}{}",
                    self.plan
                        .walk
                        .iter()
                        .map(|w| format!("{w}/*"))
                        .collect::<String>(),
                    missing.0
                );
                return Err(IngestError::PointerLeadsNowhere {
                    path: self.path.clone(),
                    pointer,
                    found: missing.1,
                });
            }
        }
        Ok(())
    }
}

impl JsonTable {
    fn read_lines(
        &self,
        rows: &mut JsonRows<'_>,
        names: &mut Names,
        each: &mut Each<'_>,
    ) -> Result<Flow, IngestError> {
        let mut input = Input::open(&self.path, Some(self.format))?;
        let mut line = Vec::new();
        let mut tape = Tape::default();
        let mut number = 0;
        loop {
            line.clear();
            input.progress.begin_record();
            number += 1;
            let read = input.reader.read_until(b'\n', &mut line);
            if read.map_err(|error| input.progress.error(number, error))? == 0 {
                return Ok(Flow::Continue(()));
            }
            if line.trim_ascii().is_empty() {
                continue;
            }
            let is_one = tape
                .read(&line, 0, true, 0)
                .is_ok_and(|end| after_blank(&line, end) == line.len());
            match tape.document(&line).filter(|_| is_one) {
                Some(document) => {
                    let mut way = InMemory {
                        document,
                        number,
                        keys: Vec::new(),
                        rows,
                        names,
                    };
                    if let Err(detail) = way.go(Document::ROOT, &self.plan.walk) {
                        rows.push_no_way(number, document.json(Document::ROOT), detail);
                    }
                }
                None => {
                    let why = serde_json::from_slice::<Value>(&line).err();
                    let why = why.map_or(String::from("it could not be read"), |error| error.to_string());
                    let detail = format!("not valid JSON ({why}); expected one JSON value a line");
                    rows.push_no_json(number, String::from_utf8_lossy(&line).trim(), detail);
                }
            }
            if rows.rows() >= CHUNK_ROWS && rows.flush(names, each).is_break() {
                return Ok(Flow::Break(()));
            }
        }
    }

    fn read_document(
        &self,
        rows: &mut JsonRows<'_>,
        names: &mut Names,
        each: &mut Each<'_>,
    ) -> Result<Flow, IngestError> {
        let mut steps = Vec::new();
        for walk in &self.plan.walk {
            steps.extend(tokens_of(walk).into_iter().map(Step::Key));
            steps.push(Step::Each);
        }
        let outer = rows.outer().to_vec();
        let mut visit = InDocument {
            number: 0,
            rows,
            names,
            each,
        };
        walk(&self.path, &steps, &outer, &mut visit)
    }
}

/// Makes rows of the instants of a document that is walked.
struct InDocument<'d, 'p, 'e> {
    /// How many instants there were.
    number: u64,
    rows: &'d mut JsonRows<'p>,
    names: &'d mut Names,
    each: &'d mut Each<'e>,
}

impl Visit for InDocument<'_, '_, '_> {
    fn outer(&mut self, level: usize, values: &[Option<Value>]) {
        self.rows.set_outer(level, values, self.names);
    }

    fn instant(&mut self, keys: &[Key<'static>], instant: Document<'_>) -> Flow {
        self.rows
            .push(self.number, keys, instant, Document::ROOT, self.names);
        self.number += 1;
        if self.rows.rows() >= CHUNK_ROWS {
            self.rows.flush(self.names, self.each)
        } else {
            Flow::Continue(())
        }
    }
}

/// Walks a document in memory.
struct InMemory<'m, 'p> {
    document: Document<'m>,
    number: u64,
    keys: Vec<Key<'static>>,
    rows: &'m mut JsonRows<'p>,
    names: &'m mut Names,
}

impl InMemory<'_, '_> {
    /// Goes on from `here`; `Err` says what stood where an array should have been.
    fn go(&mut self, here: NodeIx, walk: &[String]) -> Result<(), String> {
        let document = self.document;
        let Some((pointer, rest)) = walk.split_first() else {
            self.rows
                .push(self.number, &self.keys, document, here, self.names);
            return Ok(());
        };
        self.rows.set_level(self.keys.len(), document, here, self.names);
        let mut found = Vec::new();
        Paths::new([pointer.as_str()]).follow(document, here, &mut found);
        let at = found.first().copied().unwrap_or(NOWHERE);
        let elements: Vec<(Key<'static>, NodeIx)> = match (at != NOWHERE).then(|| document.kind(at)) {
            Some(Kind::Array) => {
                let elements = document.elements(at).enumerate();
                elements.map(|(i, element)| (Key::Place(i), element)).collect()
            }
            Some(Kind::Object) => {
                let members = document.members_by_key(at).into_iter();
                members
                    .map(|(key, value)| (Key::Name(Cow::Owned(key.into_owned())), value))
                    .collect()
            }
            _ => {
                return Err(format!(
                    "the pointer `{pointer}` leads to {}; expected an array",
                    kind_at(document, at)
                ));
            }
        };
        for (key, element) in elements {
            self.keys.push(key);
            let gone = self.go(element, rest);
            self.keys.pop();
            gone?;
        }
        Ok(())
    }
}

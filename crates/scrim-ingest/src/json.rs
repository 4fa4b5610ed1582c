//! JSON as a table: each entity of each instant is a row, whose cells are told by paths.
//!
//! - Here: the plan, and the way to the instants of JSON lines and documents.
//! - `walk`: a document of any size, walked to its instants without holding it; `feed` has its bytes, `outer` what is
//!   wanted outside of the instants, `fault` what is wrong with a document.
//! - `tape`: an instant (or line) as places of its values; `paths` finds those that are wanted.
//! - `rows`: the entities of instants as chunks of rows; `cell`: their values as cells.

mod cell;
mod fault;
mod feed;
mod outer;
mod paths;
mod rows;
mod tape;
mod walk;

use std::borrow::Cow;
use std::io::BufRead;
use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::IngestError;
use crate::chunk::{Each, Flow, ReadAs, Table};
use crate::input::Input;
use crate::mapping::Format;
use crate::names::{NameIx, Names};
use cell::Told;
use rows::JsonRows;
use tape::{Document, Kind, NOWHERE, NodeIx, Tape, after_blank};
use walk::{Step, Visit, walk};

/// Rows a chunk, about.
const CHUNK_ROWS: usize = 4096;

/// Where a cell's value is.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum CellFrom {
    /// Nowhere: the cell is empty.
    Nothing,
    /// An id that the mapping tells.
    Id(NameIx),
    /// A pointer from the entity.
    Entity(String),
    /// The entity's place in its array, or its key in its object.
    EntityKey,
    /// A pointer from a level: 0 is the document, then the elements of each walk.
    Level(usize, String),
    /// The place or key of the element of that walk (from 1).
    LevelKey(usize),
}

/// Entities of an instant.
#[derive(Debug, Clone)]
pub(crate) struct EntityGroup {
    /// Pointer from the instant.
    pub at: String,
    /// Whether `at` leads to one entity, or to many (the members of an array or object).
    pub is_one: bool,
    /// Whether the file must have it somewhere.
    pub needed: bool,
    /// Where each wanted cell is.
    pub cells: Vec<CellFrom>,
}

/// How a JSON file becomes rows.
#[derive(Debug, Clone)]
pub(crate) struct JsonPlan {
    /// Pointers to the arrays to walk, each from the element of the one before.
    pub walk: Vec<String>,
    /// The entities of an instant.
    pub groups: Vec<EntityGroup>,
    /// What the wanted columns are read as.
    pub kinds: Vec<ReadAs>,
}

impl JsonPlan {
    /// The plan for those of the wanted columns; the rows are the same.
    pub(crate) fn select(&self, columns: &[usize]) -> Self {
        let group = |group: &EntityGroup| EntityGroup {
            cells: columns
                .iter()
                .map(|column| group.cells[*column].clone())
                .collect(),
            ..group.clone()
        };
        Self {
            walk: self.walk.clone(),
            groups: self.groups.iter().map(group).collect(),
            kinds: columns.iter().map(|column| self.kinds[*column]).collect(),
        }
    }
}

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

    fn instant(&mut self, _: &[PathKey], instant: Document<'_>) -> Flow {
        self.add(instant.json(Document::ROOT).as_bytes());
        if self.rows < Self::ROWS {
            Flow::Continue(())
        } else {
            Flow::Break(())
        }
    }
}

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

/// A place in an array or a key of an object.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum PathKey {
    Index(usize),
    Key(String),
}

impl PathKey {
    fn told(&self) -> Told<'_> {
        match self {
            Self::Index(index) => Told::Number(Cow::Owned(index.to_string())),
            Self::Key(key) => Told::Text(Cow::Borrowed(key)),
        }
    }

    fn json(&self) -> String {
        match self {
            Self::Index(index) => index.to_string(),
            Self::Key(key) => Value::from(key.as_str()).to_string(),
        }
    }
}

/// The tokens of a JSON Pointer, RFC 6901 section 4: `~1` is `/`, `~0` is `~`.
pub(crate) fn tokens_of(pointer: &str) -> Vec<String> {
    pointer
        .split('/')
        .skip(1)
        .map(|token| token.replace("~1", "/").replace("~0", "~"))
        .collect()
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

    fn instant(&mut self, keys: &[PathKey], instant: Document<'_>) -> Flow {
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
    keys: Vec<PathKey>,
    rows: &'m mut JsonRows<'p>,
    names: &'m mut Names,
}

impl InMemory<'_, '_> {
    /// Goes on from `here`; `Err` tells what stood where an array should have been.
    fn go(&mut self, here: NodeIx, walk: &[String]) -> Result<(), String> {
        let document = self.document;
        let Some((pointer, rest)) = walk.split_first() else {
            self.rows
                .push(self.number, &self.keys, document, here, self.names);
            return Ok(());
        };
        self.rows.set_level(self.keys.len(), document, here, self.names);
        let mut found = Vec::new();
        paths::Paths::new([pointer.as_str()]).follow(document, here, &mut found);
        let at = found.first().copied().unwrap_or(NOWHERE);
        let elements: Vec<(PathKey, NodeIx)> = match (at != NOWHERE).then(|| document.kind(at)) {
            Some(Kind::Array) => {
                let elements = document.elements(at).enumerate();
                elements
                    .map(|(i, element)| (PathKey::Index(i), element))
                    .collect()
            }
            Some(Kind::Object) => {
                let members = document.members_by_key(at).into_iter();
                members
                    .map(|(key, value)| (PathKey::Key(key.into_owned()), value))
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

/// What a value is, in words.
fn kind_at(document: Document<'_>, at: NodeIx) -> &'static str {
    if at == NOWHERE {
        return "nothing";
    }
    match document.kind(at) {
        Kind::Null => "null",
        Kind::Bool => "true or false",
        Kind::Number => "a number",
        Kind::Text | Kind::Escaped => "a text",
        Kind::Array => "an array",
        Kind::Object => "an object",
    }
}

/// The keys of an object, or what else a value is, for messages.
fn keys_in(document: Document<'_>, at: NodeIx) -> String {
    match document.kind(at) {
        Kind::Object => {
            let members = document.members_by_key(at).into_iter().take(20);
            format!("the keys {:?}", members.map(|(key, _)| key).collect::<Vec<_>>())
        }
        _ => kind_at(document, at).into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pointer_tokens_are_unescaped_in_the_order_of_the_standard() {
        // RFC 6901, section 4: first ~1, then ~0, so that ~01 is ~1 and not /.
        assert_eq!(tokens_of("/a~1b/m~0n/~01"), ["a/b", "m~n", "~1"]);
        assert_eq!(tokens_of(""), Vec::<String>::new());
        assert_eq!(tokens_of("/"), [""]);
    }
}

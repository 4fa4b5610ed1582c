//! JSON as a table: each entity of each instant is a row, whose cells are told by paths.
//!
//! - Here: the plan, and the way to the instants of JSON lines and documents.
//! - `walk`: a document of any size, walked to its instants without holding it.
//! - `rows`: the entities of instants as chunks of rows.

mod rows;
mod walk;

use std::io::BufRead;
use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::IngestError;
use crate::chunk::{Each, Flow, ReadAs, Table};
use crate::input::Input;
use crate::mapping::Format;
use crate::names::{NameIx, Names};
use rows::{JsonRows, LevelsAbove};
use walk::{Step, read_instants, read_skeleton};

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
    /// The plan for one of the wanted columns alone; the rows are the same.
    pub(crate) fn only(&self, column: usize) -> Self {
        let group = |group: &EntityGroup| EntityGroup {
            cells: vec![group.cells[column].clone()],
            ..group.clone()
        };
        Self {
            walk: self.walk.clone(),
            groups: self.groups.iter().map(group).collect(),
            kinds: vec![self.kinds[column]],
        }
    }
}

/// The keys of the first objects of a file of flat rows (a key that is empty there may be left out in some of them).
pub(crate) fn first_keys(path: &Path, mut input: Input) -> Result<Vec<String>, IngestError> {
    const ROWS: usize = 1000;
    let mut keys: Vec<String> = Vec::new();
    let mut rows = 0;
    let mut add = |row: &Value| {
        if let Value::Object(map) = row {
            for key in map.keys().filter(|key| !keys.contains(key)).collect::<Vec<_>>() {
                keys.push(key.clone());
            }
        }
    };
    if input.format == Format::JsonLines {
        let mut line = Vec::new();
        while rows < ROWS {
            line.clear();
            input.progress.begin_record();
            let read = input.reader.read_until(b'\n', &mut line);
            if read.map_err(|error| input.progress.error(rows as u64 + 1, error))? == 0 {
                break;
            }
            rows += 1;
            if let Ok(row) = serde_json::from_slice::<Value>(&line) {
                add(&row);
            }
        }
    } else {
        let _ = read_instants(input, &[Step::Each], &mut |_, row| {
            add(&row);
            rows += 1;
            if rows < ROWS {
                Flow::Continue(())
            } else {
                Flow::Break(())
            }
        })?;
    }
    if keys.is_empty() {
        return Err(IngestError::PointerLeadsNowhere {
            path: path.into(),
            pointer: "/*".into(),
            found: "no objects with keys (form = \"long\" and \"wide\" read objects as rows, form = \"nested\" reads the rest)".into(),
        });
    }
    Ok(keys)
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
    fn told(&self) -> Value {
        match self {
            Self::Index(index) => Value::from(*index),
            Self::Key(key) => Value::from(key.as_str()),
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
        let input = Input::open(&self.path, Some(self.format))?;
        let mut rows = JsonRows::new(&self.plan);
        let ended = match self.format {
            Format::JsonLines => self.read_lines(input, &mut rows, names, each)?,
            _ => self.read_document(input, &mut rows, names, each)?,
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
        mut input: Input,
        rows: &mut JsonRows<'_>,
        names: &mut Names,
        each: &mut Each<'_>,
    ) -> Result<Flow, IngestError> {
        let mut line = Vec::new();
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
            match serde_json::from_slice::<Value>(&line) {
                // The commonest lines, a row each: nothing of them is copied.
                Ok(document) if self.plan.walk.is_empty() => {
                    rows.push_owned(number, &[], &[], document, LevelsAbove::None, names);
                }
                Ok(document) => {
                    let found = in_memory(
                        &document,
                        &self.plan.walk,
                        &mut Vec::new(),
                        &mut Vec::new(),
                        &mut |levels, keys, instant| rows.push(number, levels, keys, instant, names),
                    );
                    if let Err(detail) = found {
                        rows.push_broken(number, document, detail);
                    }
                }
                Err(error) => {
                    let detail = format!("not valid JSON ({error}); expected one JSON value a line");
                    let raw = String::from_utf8_lossy(&line).trim().to_owned();
                    rows.push_broken(number, Value::from(raw), detail);
                }
            }
            if rows.rows() >= CHUNK_ROWS && rows.flush(names, each).is_break() {
                return Ok(Flow::Break(()));
            }
        }
    }

    fn read_document(
        &self,
        input: Input,
        rows: &mut JsonRows<'_>,
        names: &mut Names,
        each: &mut Each<'_>,
    ) -> Result<Flow, IngestError> {
        let mut steps = Vec::new();
        for walk in &self.plan.walk {
            steps.extend(tokens_of(walk).into_iter().map(Step::Key));
            steps.push(Step::Each);
        }
        let depth = self.plan.walk.len();
        let outer: Vec<Vec<Vec<String>>> = (0..depth)
            .map(|level| {
                let all = self.plan.groups.iter().flat_map(|g| &g.cells);
                let of_level = all.filter_map(|cell| match cell {
                    CellFrom::Level(l, pointer) if *l == level => Some(tokens_of(pointer)),
                    _ => None,
                });
                of_level.collect()
            })
            .collect();
        // What stands outside of the instants may stand after them: it is read first, in a pass of its own.
        let skeleton = if outer.iter().any(|level| !level.is_empty()) {
            let first = Input::open(&self.path, Some(self.format))?;
            read_skeleton(first, &steps, &outer)?
        } else {
            Value::Null
        };
        let mut number = 0;
        let walk = &self.plan.walk;
        read_instants(input, &steps, &mut |keys: &[PathKey], instant: Value| {
            let mut levels = vec![&skeleton];
            for (pointer, key) in walk.iter().zip(keys).take(depth.saturating_sub(1)) {
                let above = levels[levels.len() - 1].pointer(pointer);
                let here = match key {
                    PathKey::Index(index) => above.and_then(|v| v.get(index)),
                    PathKey::Key(key) => above.and_then(|v| v.get(key)),
                };
                levels.push(here.unwrap_or(&Value::Null));
            }
            let above = if depth == 0 {
                LevelsAbove::None
            } else {
                LevelsAbove::Told
            };
            rows.push_owned(number, &levels, keys, instant, above, names);
            number += 1;
            if rows.rows() >= CHUNK_ROWS {
                rows.flush(names, each)
            } else {
                Flow::Continue(())
            }
        })
    }
}

/// Takes the levels above an instant, the keys on the way to it, and the instant.
type EachInstant<'e, 'v> = dyn FnMut(&[&'v Value], &[PathKey], &'v Value) + 'e;

/// Walks a document in memory; `Err` tells what stood where an array should have been.
fn in_memory<'v>(
    here: &'v Value,
    walk: &[String],
    levels: &mut Vec<&'v Value>,
    keys: &mut Vec<PathKey>,
    each: &mut EachInstant<'_, 'v>,
) -> Result<(), String> {
    levels.push(here);
    let ended = match walk.split_first() {
        None => {
            each(levels, keys, here);
            Ok(())
        }
        Some((pointer, rest)) => {
            let mut step = |key: PathKey, value: &'v Value| {
                keys.push(key);
                let ended = in_memory(value, rest, levels, keys, each);
                keys.pop();
                ended
            };
            match here.pointer(pointer) {
                Some(Value::Array(list)) => list
                    .iter()
                    .enumerate()
                    .try_for_each(|(i, value)| step(PathKey::Index(i), value)),
                Some(Value::Object(map)) => map
                    .iter()
                    .try_for_each(|(key, value)| step(PathKey::Key(key.clone()), value)),
                other => Err(format!(
                    "the pointer `{pointer}` leads to {}; expected an array",
                    other.map_or("nothing", kind_of)
                )),
            }
        }
    };
    levels.pop();
    ended
}

/// What a JSON value is, in words.
pub(crate) fn kind_of(value: &Value) -> &'static str {
    match value {
        Value::Null => "null",
        Value::Bool(_) => "true or false",
        Value::Number(_) => "a number",
        Value::String(_) => "a text",
        Value::Array(_) => "an array",
        Value::Object(_) => "an object",
    }
}

/// The keys of an object, or what else a value is, for messages.
pub(crate) fn keys_of(value: &Value) -> String {
    match value {
        Value::Object(map) => format!("the keys {:?}", map.keys().take(20).collect::<Vec<_>>()),
        other => kind_of(other).into(),
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

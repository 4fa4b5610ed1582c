//! JSON as a table: each entity of each instant is a row, whose cells are told by paths.
//!
//! - [`walk`](self): a document of any size, walked to its instants without holding it.
//! - Here: the plan of a walk, and instants as chunks of rows.

mod walk;

use std::io::BufRead;
use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::IngestError;
use crate::chunk::{Cells, Chunk, Each, Flow, RawRows, ReadAs, RowNumbers, Table};
use crate::clock_text::{parse_clock_s, parse_iso_s};
use crate::input::Input;
use crate::mapping::Format;
use crate::names::{NO_NAME, NameIx, Names};
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
                Ok(document) => {
                    let mut path = Vec::new();
                    let found = in_memory(
                        &document,
                        &document,
                        &self.plan.walk,
                        &mut vec![],
                        &mut path,
                        &mut |levels, keys, instant| {
                            rows.push(number, levels, keys, instant, names);
                        },
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
            rows.push_owned(number, &levels, keys, instant, depth == 0, names);
            number += 1;
            if rows.rows() >= CHUNK_ROWS {
                rows.flush(names, each)
            } else {
                Flow::Continue(())
            }
        })
    }
}

/// Walks a document in memory; `Err` tells what stood where an array should have been.
fn in_memory<'v>(
    document: &'v Value,
    here: &'v Value,
    walk: &[String],
    levels: &mut Vec<&'v Value>,
    keys: &mut Vec<PathKey>,
    each: &mut dyn FnMut(&[&'v Value], &[PathKey], &'v Value),
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
                let ended = in_memory(document, value, rest, levels, keys, each);
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

/// Rows of the instants since the last chunk.
struct JsonRows<'p> {
    plan: &'p JsonPlan,
    columns: Vec<Cells>,
    numbers: Vec<u64>,
    broken: Vec<(u32, String)>,
    raw: RawInstants,
    /// For each group: whether its pointer has led anywhere yet; else what the first instant had.
    found: Vec<Result<(), Option<String>>>,
}

struct RawInstants {
    instants: Vec<Value>,
    /// The instant of each row.
    instant_of: Vec<u32>,
    /// The text of cells that could not be read.
    unreadable: Vec<(u32, u32, String)>,
}

impl RawRows for RawInstants {
    fn cell(&self, row: usize, wanted: usize) -> String {
        let found = self
            .unreadable
            .iter()
            .find(|u| (u.0 as usize, u.1 as usize) == (row, wanted));
        found.map_or(String::new(), |u| u.2.clone())
    }

    fn row(&self, row: usize) -> String {
        match &self.instants[self.instant_of[row] as usize] {
            Value::String(line) => line.clone(),
            other => other.to_string(),
        }
    }
}

impl<'p> JsonRows<'p> {
    fn new(plan: &'p JsonPlan) -> Self {
        Self {
            plan,
            columns: plan.kinds.iter().map(|_| Cells::default()).collect(),
            numbers: Vec::new(),
            broken: Vec::new(),
            raw: RawInstants {
                instants: Vec::new(),
                instant_of: Vec::new(),
                unreadable: Vec::new(),
            },
            found: plan.groups.iter().map(|_| Err(None)).collect(),
        }
    }

    fn rows(&self) -> usize {
        self.numbers.len()
    }

    fn push(&mut self, number: u64, levels: &[&Value], keys: &[PathKey], instant: &Value, names: &mut Names) {
        let before = self.rows();
        self.push_entities(number, levels, keys, instant, names);
        if self.rows() > before {
            self.raw.instants.push(instant.clone());
        }
    }

    /// As [`Self::push`], for an instant that nobody else needs; `levels` are those above it (with `is_document`, the
    /// instant is the document itself).
    fn push_owned(
        &mut self,
        number: u64,
        levels: &[&Value],
        keys: &[PathKey],
        instant: Value,
        is_document: bool,
        names: &mut Names,
    ) {
        let before = self.rows();
        if is_document {
            self.push_entities(number, &[&instant], keys, &instant, names);
        } else {
            let mut all = levels.to_vec();
            all.push(&instant);
            self.push_entities(number, &all, keys, &instant, names);
        }
        if self.rows() > before {
            self.raw.instants.push(instant);
        }
    }

    fn push_entities(
        &mut self,
        number: u64,
        levels: &[&Value],
        keys: &[PathKey],
        instant: &Value,
        names: &mut Names,
    ) {
        let plan = self.plan;
        for (g, group) in plan.groups.iter().enumerate() {
            let at = instant.pointer(&group.at);
            match (at, group.is_one) {
                (None | Some(Value::Null), _) => {
                    if let Err(first @ None) = &mut self.found[g] {
                        *first = Some(keys_of(instant));
                    }
                    continue;
                }
                (Some(entity), true) => {
                    self.push_row(number, group, levels, keys, entity, &PathKey::Index(0), names);
                }
                (Some(Value::Array(list)), false) => {
                    for (i, entity) in list.iter().enumerate() {
                        self.push_row(number, group, levels, keys, entity, &PathKey::Index(i), names);
                    }
                }
                (Some(Value::Object(map)), false) => {
                    for (key, entity) in map {
                        self.push_row(
                            number,
                            group,
                            levels,
                            keys,
                            entity,
                            &PathKey::Key(key.clone()),
                            names,
                        );
                    }
                }
                (Some(other), false) => {
                    let detail = format!(
                        "the pointer `{}` leads to {}; expected an array or an object of players",
                        group.at,
                        kind_of(other)
                    );
                    self.broken.push((self.rows() as u32, detail));
                    self.push_row(number, group, levels, keys, other, &PathKey::Index(0), names);
                }
            }
            self.found[g] = Ok(());
        }
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "one inner step with all that its caller knows"
    )]
    fn push_row(
        &mut self,
        number: u64,
        group: &EntityGroup,
        levels: &[&Value],
        keys: &[PathKey],
        entity: &Value,
        key: &PathKey,
        names: &mut Names,
    ) {
        let row = self.rows() as u32;
        self.numbers.push(number);
        self.raw.instant_of.push(self.raw.instants.len() as u32);
        for (w, (from, &kind)) in group.cells.iter().zip(&self.plan.kinds).enumerate() {
            let cells = &mut self.columns[w];
            let held;
            let value = match from {
                CellFrom::Nothing => None,
                CellFrom::Id(id) => {
                    cells.ids.push(*id);
                    continue;
                }
                CellFrom::Entity(pointer) => entity.pointer(pointer),
                CellFrom::Level(level, pointer) => levels.get(*level).and_then(|v| v.pointer(pointer)),
                CellFrom::EntityKey => {
                    held = key.told();
                    Some(&held)
                }
                CellFrom::LevelKey(level) => {
                    held = keys.get(level - 1).map_or(Value::Null, PathKey::told);
                    Some(&held)
                }
            };
            if !read_value(value, kind, cells, names) {
                cells.unreadable.push(row);
                self.raw
                    .unreadable
                    .push((row, w as u32, value.map_or(String::new(), Value::to_string)));
            }
        }
    }

    fn push_broken(&mut self, number: u64, raw: Value, detail: String) {
        self.broken.push((self.rows() as u32, detail));
        self.numbers.push(number);
        self.raw.instant_of.push(self.raw.instants.len() as u32);
        self.raw.instants.push(raw);
        for (cells, kind) in self.columns.iter_mut().zip(&self.plan.kinds) {
            match kind {
                ReadAs::Id => cells.ids.push(NO_NAME),
                ReadAs::Number | ReadAs::Clock | ReadAs::Iso => cells.numbers.push(f64::NAN),
            }
        }
    }

    fn flush(&mut self, names: &mut Names, each: &mut Each<'_>) -> Flow {
        if self.rows() == 0 {
            return Flow::Continue(());
        }
        let chunk = Chunk {
            rows: self.rows(),
            numbers: RowNumbers::Each(&self.numbers),
            columns: &self.columns,
            broken: &self.broken,
            raw: &self.raw,
        };
        let flow = each(&chunk, names);
        self.columns.iter_mut().for_each(Cells::clear);
        self.numbers.clear();
        self.broken.clear();
        self.raw.instants.clear();
        self.raw.instant_of.clear();
        self.raw.unreadable.clear();
        flow
    }

    /// A needed group whose pointer led nowhere in any instant, and what the first instant had.
    fn never_found(&self) -> Option<(String, String)> {
        let groups = self.plan.groups.iter().zip(&self.found);
        groups.into_iter().find_map(|(group, found)| match found {
            Err(Some(first)) if group.needed => Some((group.at.clone(), first.clone())),
            _ => None,
        })
    }
}

/// Appends a value; `false` when it is there and is not what it is read as (then "nothing" is appended).
fn read_value(value: Option<&Value>, kind: ReadAs, cells: &mut Cells, names: &mut Names) -> bool {
    if kind == ReadAs::Id {
        let (id, is_readable) = match value {
            None | Some(Value::Null) => (NO_NAME, true),
            Some(Value::String(text)) => (names.number(text), true),
            Some(Value::Number(number)) => match number.as_f64() {
                Some(whole) if number.is_f64() && whole.fract() == 0.0 && whole.abs() < 9e15 => {
                    (names.number(&(whole as i64).to_string()), true)
                }
                _ if number.is_f64() => (NO_NAME, false),
                _ => (names.number(&number.to_string()), true),
            },
            Some(_) => (NO_NAME, false),
        };
        cells.ids.push(id);
        return is_readable;
    }
    let number = match (value, kind) {
        (None | Some(Value::Null), _) => Some(f64::NAN),
        (Some(Value::String(text)), _) if text.trim().is_empty() => Some(f64::NAN),
        (Some(Value::String(text)), ReadAs::Clock) => parse_clock_s(text),
        (Some(Value::String(text)), ReadAs::Iso) => parse_iso_s(text),
        (Some(Value::String(text)), _) => text.trim().parse().ok(),
        (Some(Value::Number(number)), ReadAs::Number | ReadAs::Clock) => number.as_f64(),
        (Some(_), _) => None,
    };
    cells.numbers.push(number.unwrap_or(f64::NAN));
    number.is_some()
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

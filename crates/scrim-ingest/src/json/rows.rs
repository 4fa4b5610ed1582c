//! Entities of instants as chunks of rows.

use serde_json::Value;

use super::{CellFrom, EntityGroup, JsonPlan, PathKey, keys_of, kind_of};
use crate::chunk::{Cells, Chunk, Each, Flow, RawRows, ReadAs, RowNumbers};
use crate::clock_text::{parse_clock_s, parse_iso_s};
use crate::names::{NO_NAME, Names};

/// Whether there are levels above an instant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum LevelsAbove {
    /// The instant is the document itself.
    None,
    /// The document, and the elements of all walks but the last.
    Told,
}

/// Rows of the instants since the last chunk.
pub(super) struct JsonRows<'p> {
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
    pub(super) fn new(plan: &'p JsonPlan) -> Self {
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

    pub(super) fn rows(&self) -> usize {
        self.numbers.len()
    }

    pub(super) fn push(
        &mut self,
        number: u64,
        levels: &[&Value],
        keys: &[PathKey],
        instant: &Value,
        names: &mut Names,
    ) {
        let before = self.rows();
        self.push_entities(number, levels, keys, instant, names);
        if self.rows() > before {
            self.raw.instants.push(instant.clone());
        }
    }

    /// As [`Self::push`], for an instant that nobody else needs.
    pub(super) fn push_owned(
        &mut self,
        number: u64,
        levels: &[&Value],
        keys: &[PathKey],
        instant: Value,
        above: LevelsAbove,
        names: &mut Names,
    ) {
        let before = self.rows();
        match above {
            LevelsAbove::None => self.push_entities(number, &[&instant], keys, &instant, names),
            LevelsAbove::Told => {
                let mut all = levels.to_vec();
                all.push(&instant);
                self.push_entities(number, &all, keys, &instant, names);
            }
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

    pub(super) fn push_broken(&mut self, number: u64, raw: Value, detail: String) {
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

    pub(super) fn flush(&mut self, names: &mut Names, each: &mut Each<'_>) -> Flow {
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
    pub(super) fn never_found(&self) -> Option<(String, String)> {
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

//! Entities of instants as chunks of rows.

use serde_json::Value;

use super::cell::{CellValue, Held, compact};
use super::describe::{keys_in, kind_at};
use super::key::Key;
use super::paths::Paths;
use super::plan::{CellFrom, EntityGroup, JsonPlan};
use super::raw::{IsJson, RawInstants};
use super::tape::{Document, Kind, NOWHERE, NodeIx};
use crate::chunk::{Cells, Chunk, Each, Flow, ReadAs, RowNumbers};
use crate::names::{NO_NAME, NameIx, Names};

/// Rows of the instants since the last chunk.
pub(super) struct JsonRows<'p> {
    plan: &'p JsonPlan,
    groups: Vec<Group<'p>>,
    /// For each level, the last one that of the instants: what is wanted of it.
    levels: Vec<Level>,
    /// For each level above the instants: its pointers, as [`Level::cells`] has them.
    outer: Vec<Vec<String>>,
    /// What cells that all entities of an instant share hold, and their text when that could not be read.
    shared: Vec<(Held, Option<String>)>,
    /// The shared cells that hold the place or key of an element: the walk (from 1), what it is read as, which one.
    keys: Vec<(usize, ReadAs, usize)>,
    columns: Vec<Cells>,
    numbers: Vec<u64>,
    broken: Vec<(u32, String)>,
    raw: RawInstants,
    /// For each group: whether its pointer has led anywhere yet; else what the first instant had.
    found: Vec<Result<(), Option<String>>>,
    /// Where the pointers of the instant and of an entity lead.
    in_instant: Vec<NodeIx>,
    in_entity: Vec<NodeIx>,
}

/// The entities of an instant at one place.
struct Group<'p> {
    plan: &'p EntityGroup,
    /// Pointers from an entity.
    paths: Paths,
    cells: Vec<Cell>,
}

/// Where a cell's value is.
#[derive(Debug, Clone, Copy)]
enum Cell {
    Nothing,
    Id(NameIx),
    /// That pointer of the group's paths.
    Entity(usize),
    EntityKey,
    /// That one of the shared ones.
    Shared(usize),
}

/// What is wanted of an element of a level.
struct Level {
    /// In that of the instants the groups' own pointers come first.
    paths: Paths,
    /// What the value of each pointer (after those of groups) is read as, and which of the shared cells it is.
    cells: Vec<(ReadAs, usize)>,
}

impl<'p> JsonRows<'p> {
    pub(super) fn new(plan: &'p JsonPlan) -> Self {
        let last = plan.walk.len();
        let mut pointers: Vec<Vec<&str>> = vec![Vec::new(); last + 1];
        pointers[last].extend(plan.groups.iter().map(|group| group.at.as_str()));
        let mut cells_of: Vec<Vec<(ReadAs, usize)>> = vec![Vec::new(); last + 1];
        let mut keys = Vec::new();
        let mut shared = 0;
        let mut groups = Vec::new();
        for group in &plan.groups {
            let mut own = Vec::new();
            let mut cells = Vec::new();
            for (from, &kind) in group.cells.iter().zip(&plan.kinds) {
                let mut share = || {
                    shared += 1;
                    shared - 1
                };
                cells.push(match from {
                    CellFrom::Nothing => Cell::Nothing,
                    CellFrom::Id(id) => Cell::Id(*id),
                    CellFrom::EntityKey => Cell::EntityKey,
                    CellFrom::Entity(pointer) => {
                        own.push(pointer.as_str());
                        Cell::Entity(own.len() - 1)
                    }
                    CellFrom::Level(level, _) if *level > last => Cell::Nothing,
                    CellFrom::Level(level, pointer) => {
                        let at = share();
                        pointers[*level].push(pointer);
                        cells_of[*level].push((kind, at));
                        Cell::Shared(at)
                    }
                    CellFrom::LevelKey(level) => {
                        let at = share();
                        keys.push((*level, kind, at));
                        Cell::Shared(at)
                    }
                });
            }
            groups.push(Group {
                plan: group,
                paths: Paths::new(own),
                cells,
            });
        }
        let outer = pointers[..last]
            .iter()
            .map(|level| level.iter().map(|p| (*p).into()).collect());
        let outer = outer.collect();
        let levels = pointers.into_iter().zip(cells_of).map(|(pointers, cells)| Level {
            paths: Paths::new(pointers),
            cells,
        });
        Self {
            plan,
            groups,
            levels: levels.collect(),
            outer,
            shared: vec![(Held::Number(Some(f64::NAN)), None); shared],
            keys,
            columns: plan.kinds.iter().map(|_| Cells::default()).collect(),
            numbers: Vec::new(),
            broken: Vec::new(),
            raw: RawInstants::default(),
            found: plan.groups.iter().map(|_| Err(None)).collect(),
            in_instant: Vec::new(),
            in_entity: Vec::new(),
        }
    }

    pub(super) fn rows(&self) -> usize {
        self.numbers.len()
    }

    /// For each level above the instants: the pointers that are wanted.
    pub(super) fn outer(&self) -> &[Vec<String>] {
        &self.outer
    }

    /// The values of those pointers, for the instants that follow.
    pub(super) fn set_outer(&mut self, level: usize, values: &[Option<Value>], names: &mut Names) {
        for (i, &(kind, shared)) in self.levels[level].cells.iter().enumerate() {
            let value = values.get(i).and_then(Option::as_ref);
            let held = Held::read(&CellValue::value(value), kind, names);
            let text = value.map_or(String::new(), Value::to_string);
            self.shared[shared] = (held, Some(text).filter(|_| !held.is_readable()));
        }
    }

    /// As [`Self::set_outer`], from an element that stands in memory.
    pub(super) fn set_level(&mut self, level: usize, document: Document<'_>, at: NodeIx, names: &mut Names) {
        let Level { paths, cells } = &self.levels[level];
        if cells.is_empty() {
            return;
        }
        paths.follow(document, at, &mut self.in_instant);
        for (&at, &(kind, shared)) in self.in_instant.iter().zip(cells) {
            self.shared[shared] = read(document, at, kind, names);
        }
    }

    /// Adds the entities of the instant that stands at `at`.
    pub(super) fn push(
        &mut self,
        number: u64,
        keys: &[Key<'static>],
        document: Document<'_>,
        at: NodeIx,
        names: &mut Names,
    ) {
        let before = self.rows();
        let mut in_instant = std::mem::take(&mut self.in_instant);
        if let Some(level) = self.levels.last() {
            level.paths.follow(document, at, &mut in_instant);
            let own = &in_instant[self.groups.len()..];
            for (&at, &(kind, shared)) in own.iter().zip(&level.cells) {
                self.shared[shared] = read(document, at, kind, names);
            }
        }
        for &(level, kind, shared) in &self.keys {
            let key = keys.get(level - 1);
            let held = Held::read(&key.map_or(CellValue::Nothing, Key::value), kind, names);
            let text = key.map_or(String::new(), Key::json);
            self.shared[shared] = (held, Some(text).filter(|_| !held.is_readable()));
        }
        for (g, &entities) in in_instant.iter().enumerate().take(self.groups.len()) {
            self.push_group(g, number, document, at, entities, names);
        }
        self.in_instant = in_instant;
        if self.rows() > before {
            self.raw.keep(document.json(at), IsJson::Yes);
        }
    }

    fn push_group(
        &mut self,
        g: usize,
        number: u64,
        document: Document<'_>,
        instant: NodeIx,
        at: NodeIx,
        names: &mut Names,
    ) {
        if at == NOWHERE || document.kind(at) == Kind::Null {
            if let Err(first @ None) = &mut self.found[g] {
                *first = Some(keys_in(document, instant));
            }
            return;
        }
        let EntityGroup {
            at: pointer, is_one, ..
        } = self.groups[g].plan;
        match document.kind(at) {
            _ if *is_one => self.push_row(g, number, document, at, &Key::Place(0), names),
            Kind::Array => {
                for (i, entity) in document.elements(at).enumerate() {
                    self.push_row(g, number, document, entity, &Key::Place(i), names);
                }
            }
            Kind::Object => {
                for (key, entity) in document.members_by_key(at) {
                    self.push_row(g, number, document, entity, &Key::Name(key), names);
                }
            }
            _ => {
                let detail = format!(
                    "the pointer `{pointer}` leads to {}; expected an array or an object of players",
                    kind_at(document, at)
                );
                self.broken.push((self.rows() as u32, detail));
                self.push_row(g, number, document, at, &Key::Place(0), names);
            }
        }
        self.found[g] = Ok(());
    }

    fn push_row(
        &mut self,
        g: usize,
        number: u64,
        document: Document<'_>,
        entity: NodeIx,
        key: &Key<'_>,
        names: &mut Names,
    ) {
        let row = self.rows() as u32;
        self.numbers.push(number);
        self.raw.add_row();
        let group = &self.groups[g];
        group.paths.follow(document, entity, &mut self.in_entity);
        let columns = self.columns.iter_mut().zip(&self.plan.kinds);
        for (w, ((cells, &kind), cell)) in columns.zip(&group.cells).enumerate() {
            let held = match *cell {
                Cell::Id(id) => Held::Id(Some(id)),
                Cell::Nothing => Held::read(&CellValue::Nothing, kind, names),
                Cell::Entity(pointer) => {
                    let at = self.in_entity[pointer];
                    Held::read(&CellValue::node(document, at), kind, names)
                }
                Cell::EntityKey => Held::read(&key.value(), kind, names),
                Cell::Shared(shared) => self.shared[shared].0,
            };
            if !held.put(cells) {
                let text = match *cell {
                    Cell::Shared(shared) => self.shared[shared].1.clone().unwrap_or_default(),
                    Cell::Entity(pointer) => compact(document.json(self.in_entity[pointer])),
                    Cell::EntityKey => key.json(),
                    Cell::Id(_) | Cell::Nothing => String::new(),
                };
                cells.unreadable.push(row);
                self.raw.add_unreadable(row, w, text);
            }
        }
    }

    /// Adds a row that is none: `line` is no JSON.
    pub(super) fn push_no_json(&mut self, number: u64, line: &str, detail: String) {
        self.push_broken(number, line, IsJson::No, detail);
    }

    /// Adds a row for a document in which the way to the instants could not be gone.
    pub(super) fn push_no_way(&mut self, number: u64, document: &str, detail: String) {
        self.push_broken(number, document, IsJson::Yes, detail);
    }

    fn push_broken(&mut self, number: u64, raw: &str, is_json: IsJson, detail: String) {
        self.broken.push((self.rows() as u32, detail));
        self.numbers.push(number);
        self.raw.add_row();
        self.raw.keep(raw, is_json);
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
        self.raw.clear();
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

#[inline]
fn read(document: Document<'_>, at: NodeIx, kind: ReadAs, names: &mut Names) -> (Held, Option<String>) {
    let held = Held::read(&CellValue::node(document, at), kind, names);
    let text = (!held.is_readable()).then(|| compact(document.json(at)));
    (held, text)
}

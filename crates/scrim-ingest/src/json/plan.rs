//! How a JSON file becomes rows: where its instants, their entities and their cells are.

use crate::chunk::ReadAs;
use crate::names::NameIx;

/// Where a cell's value is.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum CellFrom {
    /// Nowhere: the cell is empty.
    Nothing,
    /// An id that the mapping gives.
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

//! One game's tables that are compared: those of which labels may say something, for those say how a row is placed.

use std::collections::BTreeMap;

use arrow::array::RecordBatch;
use scrim_season::{GameFacts, read_game};
use scrim_tables::rows::tables;
use scrim_tables::{
    ColumnInfo, Kind, Partition, ReadStore, Row, Scope, Table, TableError, TakesRows, batch_of_rows,
    read_batch,
};

use crate::CompareError;

/// The tables that are compared, in the order of the docs.
pub fn compared_tables() -> impl Iterator<Item = &'static Table> {
    tables().filter(|table| table.scope == Scope::Game && table.labels.is_some())
}

/// A table's columns of words.
pub(crate) fn tag_columns(table: &'static Table) -> impl Iterator<Item = &'static ColumnInfo> {
    let is_tag = |column: &&ColumnInfo| matches!(column.kind, Kind::Tag(_));
    table.columns.iter().filter(is_tag)
}

/// One game's tables that are compared.
#[derive(Debug, Clone, Default)]
pub struct ComparedTables(BTreeMap<&'static str, RecordBatch>);

impl ComparedTables {
    /// Reads them. One that is not there is left out.
    ///
    /// # Errors
    /// [`CompareError`] when one is there and cannot be read.
    pub fn read(store: &dyn ReadStore, partition: &Partition) -> Result<Self, CompareError> {
        let mut found = BTreeMap::new();
        for table in compared_tables() {
            let Some(bytes) = store.get(&partition.path(table.name))? else {
                continue;
            };
            let columns: Vec<&str> = table.columns.iter().map(|column| column.name).collect();
            let batch = read_batch(table.name, &columns, bytes).map_err(|source| CompareError::Table {
                game_id: partition.game_id().into(),
                source,
            })?;
            found.insert(table.name, batch);
        }
        Ok(Self(found))
    }

    /// The names of the tables that are here.
    pub fn names(&self) -> impl Iterator<Item = &'static str> {
        self.0.keys().copied()
    }

    /// The first table that only one of the two has.
    pub(crate) fn first_one_sided(&self, other: &Self) -> Option<&'static str> {
        let is_one_sided = |table: &&'static str| self.0.contains_key(*table) != other.0.contains_key(*table);
        self.names().chain(other.names()).find(is_one_sided)
    }

    #[cfg(test)]
    pub(crate) fn remove(&mut self, table: &str) {
        self.0.remove(table);
    }

    pub(crate) fn get(&self, table: &str) -> Option<&RecordBatch> {
        self.0.get(table)
    }
}

impl TakesRows for ComparedTables {
    /// Keeps those of a table that is compared.
    fn add<R: Row>(&mut self, rows: &[R]) -> Result<(), TableError> {
        if compared_tables().any(|table| table.name == R::TABLE) {
            self.0.insert(R::TABLE, batch_of_rows(rows)?);
        }
        Ok(())
    }
}

/// One game in one output.
#[derive(Debug, Clone)]
pub struct GameSide {
    /// Its compared tables.
    pub tables: ComparedTables,
    /// What its season needs of it.
    pub facts: GameFacts,
}

impl GameSide {
    /// Reads both.
    ///
    /// # Errors
    /// [`CompareError`] when a table cannot be read.
    pub fn read(store: &dyn ReadStore, partition: &Partition) -> Result<Self, CompareError> {
        Ok(Self {
            tables: ComparedTables::read(store, partition)?,
            facts: read_game(store, partition)?,
        })
    }
}

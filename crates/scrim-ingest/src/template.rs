//! Ids that are composed of several columns, such as `{team}-{jersey}`.

use std::collections::HashMap;

use crate::IngestError;
use crate::chunk::{Cells, Chunk, Each, RawRows, Table};
use crate::names::{NO_NAME, NameIx, Names};

/// A part of a template: text, or what a column (by its name, or by its place) says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Piece<C> {
    Text(String),
    Column(C),
}

/// The pieces of a template; `None` for the name of a single column, which has no `{…}`.
pub(crate) fn pieces_of(template: &str) -> Option<Vec<Piece<String>>> {
    let mut pieces = Vec::new();
    let mut rest = template;
    let mut has_columns = false;
    while let Some((text, after)) = rest.split_once('{') {
        let (column, after) = after.split_once('}')?;
        if !text.is_empty() {
            pieces.push(Piece::Text(text.into()));
        }
        pieces.push(Piece::Column(column.into()));
        has_columns = true;
        rest = after;
    }
    if !rest.is_empty() {
        pieces.push(Piece::Text(rest.into()));
    }
    has_columns.then_some(pieces)
}

/// The text of a template; `None` when one of its columns says nothing.
pub(crate) fn filled<'t, C>(
    pieces: &'t [Piece<C>],
    mut cell: impl FnMut(&'t C) -> Option<&'t str>,
) -> Option<String> {
    let mut filled = String::new();
    for piece in pieces {
        match piece {
            Piece::Text(text) => filled.push_str(text),
            Piece::Column(column) => filled.push_str(cell(column)?),
        }
    }
    Some(filled)
}

/// A wanted column that is composed of other wanted ones.
#[derive(Debug, Clone)]
pub(crate) struct Composed {
    /// Its place among the wanted columns.
    pub at: usize,
    /// Places among the wanted columns.
    pub pieces: Vec<Piece<usize>>,
}

/// A column of a table with composed columns.
#[derive(Debug, Clone)]
pub(crate) enum From {
    /// That column of the table without.
    Plain(usize),
    /// Composed of such.
    Pieces(Vec<Piece<usize>>),
}

/// A table with composed columns, made of one that has none.
pub(crate) struct WithComposed {
    pub plain: Box<dyn Table>,
    /// What each of its columns is.
    pub columns: Vec<From>,
}

impl Table for WithComposed {
    fn for_each_chunk(&mut self, names: &mut Names, each: &mut Each<'_>) -> Result<(), IngestError> {
        let from = &self.columns;
        let mut columns: Vec<Cells> = from.iter().map(|_| Cells::default()).collect();
        let mut known: Vec<Known> = from.iter().map(|_| Known::default()).collect();
        self.plain.for_each_chunk(names, &mut |chunk, names| {
            for ((cells, from), known) in columns.iter_mut().zip(from).zip(&mut known) {
                cells.clear();
                match from {
                    From::Plain(at) => {
                        let plain = &chunk.columns[*at];
                        cells.ids.extend_from_slice(&plain.ids);
                        cells.numbers.extend_from_slice(&plain.numbers);
                        cells.unreadable.extend_from_slice(&plain.unreadable);
                    }
                    From::Pieces(pieces) => {
                        let ids = (0..chunk.rows).map(|row| known.number(pieces, chunk.columns, row, names));
                        cells.ids.extend(ids);
                    }
                }
            }
            let raw = RawComposed {
                plain: chunk.raw,
                columns: from,
            };
            let composed = Chunk {
                rows: chunk.rows,
                numbers: chunk.numbers,
                columns: &columns,
                broken: chunk.broken,
                raw: &raw,
            };
            each(&composed, names)
        })
    }
}

/// Composed ids that came before.
#[derive(Default)]
struct Known {
    numbers: HashMap<Vec<NameIx>, NameIx>,
    parts: Vec<NameIx>,
}

impl Known {
    /// The id that a row composes; none when one of its parts is none.
    fn number(
        &mut self,
        pieces: &[Piece<usize>],
        columns: &[Cells],
        row: usize,
        names: &mut Names,
    ) -> NameIx {
        self.parts.clear();
        for piece in pieces {
            if let Piece::Column(at) = piece {
                self.parts.push(columns[*at].ids[row]);
            }
        }
        if self.parts.contains(&NO_NAME) {
            return NO_NAME;
        }
        if let Some(&known) = self.numbers.get(&self.parts) {
            return known;
        }
        let text = filled(pieces, |at: &usize| Some(&**names.name(columns[*at].ids[row])));
        let number = names.number(&text.unwrap_or_default());
        self.numbers.insert(self.parts.clone(), number);
        number
    }
}

struct RawComposed<'r> {
    plain: &'r dyn RawRows,
    columns: &'r [From],
}

impl RawRows for RawComposed<'_> {
    fn cell(&self, row: usize, wanted: usize) -> String {
        match &self.columns[wanted] {
            From::Plain(at) => self.plain.cell(row, *at),
            From::Pieces(pieces) => {
                let piece = |piece: &Piece<usize>| match piece {
                    Piece::Text(text) => text.clone(),
                    Piece::Column(at) => self.plain.cell(row, *at),
                };
                pieces.iter().map(piece).collect()
            }
        }
    }

    fn row(&self, row: usize) -> String {
        self.plain.row(row)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_template_has_columns_between_braces() {
        assert_eq!(pieces_of("player_id"), None);
        assert_eq!(pieces_of("{open"), None);
        let pieces = pieces_of("g{team}-{/a/b}").unwrap();
        assert_eq!(
            pieces,
            [
                Piece::Text("g".into()),
                Piece::Column("team".into()),
                Piece::Text("-".into()),
                Piece::Column("/a/b".into()),
            ]
        );
        assert_eq!(
            filled(&pieces, |column| Some(column.as_str())).unwrap(),
            "gteam-/a/b"
        );
        assert_eq!(filled(&pieces, |column| (column == "team").then_some("x")), None);
    }
}

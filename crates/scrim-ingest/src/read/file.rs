//! A tracking file of a source, chunk by chunk.

use std::ops::Range;
use std::path::Path;

use scrim_tables::Id;
use scrim_tables::tags::RefusalReason;

use super::reading::{OpenGame, Reading, Stage};
use super::report::ReadGame;
use super::watch::Watch;
use crate::IngestError;
use crate::chunk::{Chunk, Flow};
use crate::names::{NO_NAME, NameIx, Names};
use crate::open_table::plan_file;
use crate::plan::{GameIs, Plan};
use crate::quarantine::RowPlace;
use crate::samples::{Refusal, RowReader};

/// A chunk of rows, and where it stands.
struct Part<'p> {
    /// The file's place in the source.
    at: usize,
    /// The file, as messages call it.
    shown: &'p Id,
    plan: &'p Plan,
    chunk: &'p Chunk<'p>,
    /// The file's rows before it.
    rows_before: u64,
}

impl<'p> Part<'p> {
    /// Where a row of it stands.
    fn row(&self, row: usize, game_id: Option<&'p Id>) -> RowPlace<'p> {
        RowPlace {
            game_id,
            source: self.shown,
            row: self.chunk.numbers.of(row),
        }
    }
}

impl Reading<'_> {
    /// Reads a file's rows into the games that they are of.
    pub(super) fn read_file(
        &mut self,
        at: usize,
        path: &Path,
        names: &mut Names,
        watch: &mut dyn Watch,
        sink: &mut dyn FnMut(ReadGame) -> Flow,
    ) -> Result<(), IngestError> {
        let file = plan_file(path, self.mapping, names)?;
        watch.planned(path, &file);
        self.ignored.extend(file.plan.ignored.iter().cloned());
        let shown: Id = path.display().to_string().into();
        let mut table = file.table(path, self.mapping)?;
        let mut rows_before = 0;
        let mut last_is_broken = false;
        let mut flow = Flow::Continue(());
        table.for_each_chunk(names, &mut |chunk, names| {
            watch.chunk(&file.plan, chunk);
            last_is_broken = chunk
                .broken
                .last()
                .is_some_and(|(row, _)| *row as usize + 1 == chunk.rows);
            let part = Part {
                at,
                shown: &shown,
                plan: &file.plan,
                chunk,
                rows_before,
            };
            flow = self.read_chunk(&part, names, sink);
            rows_before += chunk.rows as u64;
            self.rows += chunk.rows as u64;
            flow
        })?;
        self.report.rows += rows_before;
        if last_is_broken {
            self.report.notes.push(format!(
                "{shown}: its last row is broken off: the file may be cut short"
            ));
        }
        if rows_before == 0 {
            return Err(IngestError::EmptyFile { path: path.into() });
        }
        // A game that the mapping names by the file's name ends with its last file.
        if let GameIs::Fixed(game) = file.plan.game
            && flow.is_continue()
            && self.mapping.game.from.is_some()
            && let Some(&Stage::Open(open)) = self.stages.get(&game)
            && self
                .source
                .tracking
                .get(at + 1)
                .is_none_or(|next| !self.same_game(path, next))
        {
            let _ = self.finish(open, names).map_or(Flow::Continue(()), sink);
        }
        Ok(())
    }

    /// Whether two files are of one game by their names.
    fn same_game(&self, one: &Path, other: &Path) -> bool {
        self.mapping.game.from.is_none_or(|from| {
            Plan::game_of(one, self.mapping, from) == Plan::game_of(other, self.mapping, from)
        })
    }

    fn read_chunk(
        &mut self,
        part: &Part<'_>,
        names: &mut Names,
        sink: &mut dyn FnMut(ReadGame) -> Flow,
    ) -> Flow {
        let Part { plan, chunk, .. } = *part;
        let game_of = |row: usize| match plan.game {
            GameIs::Fixed(game) => game,
            GameIs::Column(column) => chunk.columns[column].ids[row],
        };
        let mut start = 0;
        while start < chunk.rows {
            let game = game_of(start);
            let mut end = start + 1;
            while end < chunk.rows && game_of(end) == game {
                end += 1;
            }
            if game == NO_NAME || self.stages.get(&game) == Some(&Stage::Closed) {
                self.refuse_without_game(game, part, start..end, names);
                start = end;
                continue;
            }
            let open = self.open_game(game, plan, names);
            if self.stages.len() > 1 && self.find_ends(names) {
                // Those that were over before this row, now that it is known.
                let now = (part.at, part.rows_before + start as u64);
                let is_over = |other: &OpenGame| other.game != game && self.ends_before(other.game, now);
                let over: Vec<u32> = self
                    .open
                    .iter()
                    .filter_map(|(order, other)| is_over(other).then_some(*order))
                    .collect();
                for over in over {
                    if let Some(read) = self.finish(over, names)
                        && sink(read).is_break()
                    {
                        return Flow::Break(());
                    }
                }
            }
            self.read_rows(open, part, start..end, names);
            let next = (part.at, part.rows_before + end as u64);
            if self.ends_before(game, next)
                && let Some(read) = self.finish(open, names)
                && sink(read).is_break()
            {
                return Flow::Break(());
            }
            start = end;
        }
        Flow::Continue(())
    }

    fn read_rows(&mut self, open: u32, part: &Part<'_>, rows: Range<usize>, names: &Names) {
        let Part { at, plan, chunk, .. } = *part;
        let Some(open) = self.open.get_mut(&open) else {
            return;
        };
        let game = open.game;
        open.last_file = at;
        let Ok((_, to_court)) = &open.court else { return };
        let reader = RowReader {
            plan,
            to_court,
            roster: &self.roster,
        };
        let (builder, quarantine) = (&mut open.builder, &mut open.quarantine);
        let before = builder.samples();
        let most = self.params.max_quarantine_rows;
        reader.read(chunk, rows, &mut |row, sample| match sample {
            Ok(sample) if builder.has_room_for(sample.who) => {
                builder.push(&sample, at as u32, chunk.numbers.of(row));
            }
            taken_or_refused => {
                let refusal = match taken_or_refused {
                    Ok(sample) => Refusal::crowd(sample.period),
                    Err(refusal) => refusal,
                };
                builder.refuse(refusal.period);
                let place = part.row(row, Some(names.name(game)));
                quarantine.refuse(most, refusal.reason, &place, || {
                    (refusal.detail, chunk.raw.row(row))
                });
            }
        });
        self.held += u64::from(open.builder.samples() - before);
        let most = self.params.max_held_places;
        if self.held > most {
            // This one goes, and the others of the source have room again.
            self.held -= u64::from(std::mem::take(&mut open.builder).samples());
            open.court = Err(IngestError::TooManyRows {
                game_id: names.name(game).clone(),
                most,
            });
        }
    }

    fn refuse_without_game(&mut self, game: NameIx, part: &Part<'_>, rows: Range<usize>, names: &Names) {
        let Part { plan, chunk, .. } = *part;
        let column = match plan.game {
            GameIs::Column(column) => plan.wanted[column].column.as_str(),
            GameIs::Fixed(_) => "the mapping's game id",
        };
        for row in rows {
            let broken = chunk
                .broken
                .iter()
                .find(|(at, _)| *at as usize == row)
                .map(|(_, detail)| detail.clone());
            let (reason, detail) = match broken {
                Some(detail) => (RefusalReason::Unreadable, detail),
                None if game == NO_NAME => {
                    let detail = format!("column `{column}` is empty or unreadable; expected the game's id");
                    (RefusalReason::MissingField, detail)
                }
                None => {
                    let detail =
                        "the game is closed, as another of its files could not be read to its end".into();
                    (RefusalReason::UnknownEntity, detail)
                }
            };
            let place = part.row(row, (game != NO_NAME).then(|| names.name(game)));
            let most = self.params.max_quarantine_rows;
            self.no_game
                .refuse(most, reason, &place, || (detail, chunk.raw.row(row)));
        }
    }
}

//! A source, game by game.

mod doubts;
mod finish;
mod raw_rows;
mod report;

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::path::Path;

use scrim_floor::{Court, Parameters};
use scrim_tables::Id;
use scrim_tables::rows::QuarantineRow;
use scrim_tables::tags::RefusalReason;

pub use report::{FailedFile, ReadGame, RefusedGame, SourceReport};

use crate::chunk::{Chunk, Flow};
use crate::error::told_with_causes;
use crate::game_builder::GameBuilder;
use crate::mapping::{CountsFrom, CourtChoice, Mapping};
use crate::names::{NO_NAME, NameIx, Names};
use crate::open_table::{PlannedFile, plan_file};
use crate::plan::{GameIs, Plan};
use crate::quarantine::Quarantine;
use crate::samples::{Refusal, RowReader};
use crate::side_tables::SideTables;
use crate::to_court::ToCourt;
use crate::{IngestError, IngestParams, Source};

/// Looks on while a source is read.
pub(crate) trait Watch {
    /// A file was planned.
    fn planned(&mut self, path: &Path, file: &PlannedFile);
    /// Rows are about to be read by that plan.
    fn chunk(&mut self, plan: &Plan, chunk: &Chunk<'_>);
    /// So many rows of a game were refused.
    fn refused(&mut self, game_id: &Id, rows: u64);
}

/// Nobody looks on.
pub(crate) struct Nobody;

impl Watch for Nobody {
    fn planned(&mut self, _: &Path, _: &PlannedFile) {}
    fn chunk(&mut self, _: &Plan, _: &Chunk<'_>) {}
    fn refused(&mut self, _: &Id, _: u64) {}
}

/// A game that has begun and not ended.
struct OpenGame {
    game: NameIx,
    builder: GameBuilder,
    court: Result<(Court, ToCourt), IngestError>,
    quarantine: Quarantine,
    /// Units of time a second and where times count from, as the first file's plan has them.
    time: (f64, CountsFrom),
    last_file: usize,
}

/// Where a game is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Stage {
    /// Open, and the so-manyeth that began.
    Open(u32),
    /// Over: given, or refused, or broken by a file that failed.
    Closed,
}

/// Where a game ends: in which file, and at which of its rows (counted from 0).
type End = (usize, u64);

struct Reading<'s> {
    source: &'s Source,
    mapping: &'s Mapping,
    params: &'s IngestParams,
    side: SideTables,
    roster: Vec<NameIx>,
    /// In the order in which they began.
    open: BTreeMap<u32, OpenGame>,
    /// What became of each game that has begun.
    stages: HashMap<NameIx, Stage>,
    /// Places held in open games.
    held: u64,
    /// Rows read so far, and rows read once more to show refused ones.
    rows: u64,
    rows_again: u64,
    /// Refused rows whose text was not fetched.
    not_fetched: u64,
    /// Columns that no file's plan reads.
    ignored: BTreeSet<String>,
    /// Where each game ends; known once a second game has begun.
    ends: Option<HashMap<NameIx, End>>,
    no_game: Quarantine,
    /// How many rows of each game that is over were refused.
    refused_of: Vec<(Id, u64)>,
    report: SourceReport,
}

/// Reads every game of `source` and gives each to `sink`, in the order in which they end.
///
/// Memory: one chunk of rows (a few thousand, or one row group's pages), the side tables, and 24 bytes a row of each
/// game that has begun and not ended. When a source has several games, a light pass over the game column alone first
/// finds where each ends, so that a game whose rows come back later, or in another file, is still whole; games that
/// lie one after the other are held one at a time. Refused rows are kept up to `max_quarantine_rows` a game.
///
/// # Errors
/// [`IngestError`] (as `E`) when nothing of the source can be read; whatever `sink` returns, at once. A game or file
/// that is refused while others can be read is no error but listed in the [`SourceReport`].
pub fn read_source<E: From<IngestError>>(
    source: &Source,
    params: &IngestParams,
    sink: &mut dyn FnMut(ReadGame) -> Result<(), E>,
) -> Result<SourceReport, E> {
    let mapping = match &source.mapping {
        Some(path) => Mapping::read(path)?,
        None => Mapping::default(),
    };
    read_watched(source, &mapping, params, sink, &mut Nobody)
}

pub(crate) fn read_watched<E: From<IngestError>>(
    source: &Source,
    mapping: &Mapping,
    params: &IngestParams,
    sink: &mut dyn FnMut(ReadGame) -> Result<(), E>,
    watch: &mut dyn Watch,
) -> Result<SourceReport, E> {
    params.check_in("ingest").map_err(IngestError::from)?;
    let mut names = Names::default();
    let side = SideTables::read(source, mapping, &mut names)?;
    let roster = side.roster_teams();
    let mut reading = Reading {
        source,
        mapping,
        params,
        side,
        roster,
        open: BTreeMap::new(),
        stages: HashMap::new(),
        held: 0,
        rows: 0,
        rows_again: 0,
        not_fetched: 0,
        ignored: BTreeSet::new(),
        ends: None,
        no_game: Quarantine::default(),
        refused_of: Vec::new(),
        report: SourceReport::default(),
    };
    let mut stopped: Option<E> = None;
    for (at, path) in source.tracking.iter().enumerate() {
        let read = reading.read_file(at, path, &mut names, watch, &mut |game| match sink(game) {
            Ok(()) => Flow::Continue(()),
            Err(error) => {
                stopped = Some(error);
                Flow::Break(())
            }
        });
        if let Err(error) = read {
            reading.break_games_of(at, path, &names);
            reading.report.failed_files.push(FailedFile {
                path: path.clone(),
                error,
            });
        }
        if let Some(stopped) = stopped {
            return Err(stopped);
        }
    }
    while let Some((&first, _)) = reading.open.first_key_value() {
        if let Some(game) = reading.finish(first, &mut names) {
            sink(game)?;
        }
    }
    for (game_id, rows) in &reading.refused_of {
        watch.refused(game_id, *rows);
    }
    Ok(reading.into_report(&names)?)
}

impl Reading<'_> {
    fn read_file(
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
            flow = self.read_chunk(at, &shown, &file.plan, chunk, rows_before, names, sink);
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

    #[expect(
        clippy::too_many_arguments,
        reason = "one inner step with all that its caller knows"
    )]
    fn read_chunk(
        &mut self,
        at: usize,
        shown: &Id,
        plan: &Plan,
        chunk: &Chunk<'_>,
        rows_before: u64,
        names: &mut Names,
        sink: &mut dyn FnMut(ReadGame) -> Flow,
    ) -> Flow {
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
                self.refuse_without_game(game, shown, plan, chunk, start..end, names);
                start = end;
                continue;
            }
            let open = self.open_game(game, plan, names);
            if self.stages.len() > 1 && self.find_ends(names) {
                // Those that were over before this row, now that it is known.
                let now = (at, rows_before + start as u64);
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
            self.read_rows(at, shown, open, plan, chunk, start..end, names);
            let next = (at, rows_before + end as u64);
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

    fn ends_before(&self, game: NameIx, next: End) -> bool {
        self.ends
            .as_ref()
            .and_then(|ends| ends.get(&game))
            .is_some_and(|end| *end < next)
    }

    /// Opens the game unless it is open: the so-manyeth it is.
    fn open_game(&mut self, game: NameIx, plan: &Plan, names: &Names) -> u32 {
        if let Some(&Stage::Open(open)) = self.stages.get(&game) {
            return open;
        }
        let court = self.court_of(game, names).map(|court| {
            let to_court = ToCourt::new(&plan.place, &court, self.params);
            (court, to_court)
        });
        let open = self.stages.len() as u32;
        self.stages.insert(game, Stage::Open(open));
        self.open.insert(
            open,
            OpenGame {
                game,
                builder: GameBuilder::default(),
                court,
                quarantine: Quarantine::default(),
                time: (plan.time_per_s, plan.counts_from),
                last_file: 0,
            },
        );
        open
    }

    /// The court: the `games` table's, else the mapping's, else the parameters'.
    fn court_of(&self, game: NameIx, names: &Names) -> Result<Court, IngestError> {
        let error = |source| IngestError::Court {
            game_id: names.name(game).clone(),
            source,
        };
        let listed = self.side.game(game).and_then(|listed| listed.court.as_deref());
        let court = match (listed, &self.mapping.court) {
            (Some(name), Some(CourtChoice::Measures(court))) if court.name == name => court.clone(),
            (Some(name), _) => Court::by_name(name).map_err(error)?,
            (None, Some(CourtChoice::Measures(court))) => court.clone(),
            (None, Some(CourtChoice::Name(name))) => Court::by_name(name).map_err(error)?,
            (None, None) => Court::by_name(&self.params.court).map_err(error)?,
        };
        court.checked().map_err(error)
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "one inner step with all that its caller knows"
    )]
    fn read_rows(
        &mut self,
        at: usize,
        shown: &Id,
        open: u32,
        plan: &Plan,
        chunk: &Chunk<'_>,
        rows: std::ops::Range<usize>,
        names: &Names,
    ) {
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
                let number = chunk.numbers.of(row);
                quarantine.refuse(most, refusal.reason, shown, number, || QuarantineRow {
                    game_id: Some(names.name(game).clone()),
                    source: shown.clone(),
                    row: number,
                    reason: refusal.reason,
                    detail: refusal.detail,
                    raw: chunk.raw.row(row),
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

    fn refuse_without_game(
        &mut self,
        game: NameIx,
        shown: &Id,
        plan: &Plan,
        chunk: &Chunk<'_>,
        rows: std::ops::Range<usize>,
        names: &Names,
    ) {
        let column = match plan.game {
            GameIs::Column(column) => plan.wanted[column].column.as_str(),
            GameIs::Fixed(_) => "the mapping's game id",
        };
        for row in rows {
            let number = chunk.numbers.of(row);
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
            let game_id = (game != NO_NAME).then(|| names.name(game).clone());
            self.no_game
                .refuse(self.params.max_quarantine_rows, reason, shown, number, || {
                    QuarantineRow {
                        game_id,
                        source: shown.clone(),
                        row: number,
                        reason,
                        detail,
                        raw: chunk.raw.row(row),
                    }
                });
        }
    }

    /// The light pass: the game column alone, of all files, once. Whether it was now.
    fn find_ends(&mut self, names: &mut Names) -> bool {
        if self.ends.is_some() || self.mapping.game.id.is_some() || self.mapping.game.from.is_some() {
            return false;
        }
        let mut ends = HashMap::new();
        for (at, path) in self.source.tracking.iter().enumerate() {
            let mut row = 0u64;
            let mut last = NO_NAME;
            let read = plan_file(path, self.mapping, names).and_then(|file| {
                file.for_each_game(path, self.mapping, names, &mut |games| {
                    for (i, &game) in games.iter().enumerate() {
                        if games.get(i + 1) != Some(&game) {
                            ends.insert(game, (at, row + i as u64));
                        }
                    }
                    row += games.len() as u64;
                    last = games.last().copied().unwrap_or(last);
                })
            });
            // A file that fails here fails again when it is read, and is reported then. The game at which it fails has no
            // end; those before it are taken as over.
            if read.is_err() && last != NO_NAME {
                ends.insert(last, (at, u64::MAX));
            }
        }
        self.ends = Some(ends);
        true
    }

    /// Games that have rows in a file that failed are not whole.
    fn break_games_of(&mut self, at: usize, path: &Path, names: &Names) {
        let is_broken = |open: &OpenGame| open.last_file == at && open.builder.samples() > 0;
        let (broken, whole): (BTreeMap<_, _>, BTreeMap<_, _>) = std::mem::take(&mut self.open)
            .into_iter()
            .partition(|(_, open)| is_broken(open));
        self.open = whole;
        for open in broken.into_values() {
            let game_id = names.name(open.game).clone();
            self.held -= u64::from(open.builder.samples());
            self.stages.insert(open.game, Stage::Closed);
            self.count_refused(&game_id, &open.quarantine, 0);
            let season = self.season_of(open.game);
            self.report.refused.push(RefusedGame {
                season,
                error: IngestError::NotWhole {
                    game_id: game_id.clone(),
                    path: path.into(),
                },
                quarantine: open.quarantine.into_first_rows(Some(&game_id)),
                game_id,
            });
        }
    }

    /// A game's season, when the `games` side table has it.
    fn season_of(&self, game: NameIx) -> Option<Id> {
        self.side.game(game)?.season.clone()
    }

    /// Counts what was refused of a game that is over.
    fn count_refused(&mut self, game_id: &Id, quarantine: &Quarantine, events: usize) {
        for (reason, count) in &quarantine.counts {
            *self.report.refused_rows.entry(*reason).or_default() += count;
        }
        self.refused_of
            .push((game_id.clone(), quarantine.total() + events as u64));
    }

    fn into_report(self, names: &Names) -> Result<SourceReport, IngestError> {
        let Self {
            mut report,
            side,
            no_game,
            source,
            ignored,
            not_fetched,
            ..
        } = self;
        report.ignored_columns = ignored.into_iter().collect();
        if not_fetched > 0 {
            report.notes.push(format!(
                "the text of {not_fetched} rows refused late is not kept: it is found at their file and row"
            ));
        }
        if report.games == 0 && report.refused.is_empty() {
            // Nothing at all came of it: the first reason is the source's.
            if !report.failed_files.is_empty() {
                return Err(report.failed_files.swap_remove(0).error);
            }
            let example = no_game
                .commonest()
                .map_or(String::new(), |(_, detail)| format!(": {detail}"));
            let error = IngestError::NoGame {
                name: source.name.clone(),
                rows: report.rows,
                example,
            };
            // Rows that name no game are refused rows like others: they are kept, beside the reason.
            match source.tracking.first() {
                Some(path) if no_game.total() > 0 => {
                    report.failed_files.push(FailedFile {
                        path: path.clone(),
                        error,
                    });
                }
                _ => return Err(error),
            }
        }
        for (reason, count) in &no_game.counts {
            *report.refused_rows.entry(*reason).or_default() += count;
        }
        report.quarantine = no_game.into_rows(None);
        for (game, mut row) in side.refused {
            *report.refused_rows.entry(row.reason).or_default() += 1;
            row.game_id = (game != NO_NAME).then(|| names.name(game).clone());
            report.quarantine.push(row);
        }
        for file in &report.failed_files {
            report
                .notes
                .push(format!("not read to its end: {}", told_with_causes(&file.error)));
        }
        Ok(report)
    }
}

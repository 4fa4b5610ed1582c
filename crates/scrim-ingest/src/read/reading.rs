//! A source that is being read: which games are open, which are over, and what was reported so far.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::path::Path;

use scrim_floor::Court;
use scrim_tables::{Id, with_causes};

use super::report::{FailedFile, RefusedGame, SourceReport};
use crate::game_builder::GameBuilder;
use crate::mapping::{CountsFrom, CourtChoice, Mapping};
use crate::names::{NO_NAME, NameIx, Names};
use crate::open_table::plan_file;
use crate::plan::Plan;
use crate::quarantine::Quarantine;
use crate::side_tables::SideTables;
use crate::to_court::ToCourt;
use crate::{IngestError, IngestParams, Source};

/// A game that has begun and not ended.
pub(super) struct OpenGame {
    pub game: NameIx,
    pub builder: GameBuilder,
    pub court: Result<(Court, ToCourt), IngestError>,
    pub quarantine: Quarantine,
    /// Units of time a second and where times count from, as the first file's plan has them.
    pub time: (f64, CountsFrom),
    pub last_file: usize,
}

/// Where a game is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stage {
    /// Open, and the so-manyeth that began.
    Open(u32),
    /// Over: given, or refused, or broken by a file that failed.
    Closed,
}

/// Where a game ends: in which file, and at which of its rows (counted from 0).
pub(super) type End = (usize, u64);

pub(super) struct Reading<'s> {
    pub source: &'s Source,
    pub mapping: &'s Mapping,
    pub params: &'s IngestParams,
    pub side: SideTables,
    pub roster: Vec<NameIx>,
    /// In the order in which they began.
    pub open: BTreeMap<u32, OpenGame>,
    /// What became of each game that has begun.
    pub stages: HashMap<NameIx, Stage>,
    /// Places held in open games.
    pub held: u64,
    /// Rows read so far, and rows read once more to show refused ones.
    pub rows: u64,
    pub rows_again: u64,
    /// Refused rows whose text was not fetched.
    pub not_fetched: u64,
    /// Columns that no file's plan reads.
    pub ignored: BTreeSet<String>,
    /// Where each game ends; known once a second game has begun.
    pub ends: Option<HashMap<NameIx, End>>,
    pub no_game: Quarantine,
    /// How many rows of each game that is over were refused.
    pub refused_of: Vec<(Id, u64)>,
    pub report: SourceReport,
}

impl<'s> Reading<'s> {
    /// Nothing is read yet but the side tables.
    pub(super) fn new(
        source: &'s Source,
        mapping: &'s Mapping,
        params: &'s IngestParams,
        names: &mut Names,
    ) -> Result<Self, IngestError> {
        let side = SideTables::read(source, mapping, names)?;
        Ok(Self {
            source,
            mapping,
            params,
            roster: side.roster_teams(),
            side,
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
        })
    }

    pub(super) fn ends_before(&self, game: NameIx, next: End) -> bool {
        self.ends
            .as_ref()
            .and_then(|ends| ends.get(&game))
            .is_some_and(|end| *end < next)
    }

    /// Opens the game unless it is open: the so-manyeth it is.
    pub(super) fn open_game(&mut self, game: NameIx, plan: &Plan, names: &Names) -> u32 {
        if let Some(&Stage::Open(open)) = self.stages.get(&game) {
            return open;
        }
        let court = self.court_of(game, names).map(|court| {
            let to_court = ToCourt::new(&plan.place, &court);
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
    pub(super) fn court_of(&self, game: NameIx, names: &Names) -> Result<Court, IngestError> {
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

    /// The light pass: the game column alone, of all files, once. Whether it was now.
    pub(super) fn find_ends(&mut self, names: &mut Names) -> bool {
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
    pub(super) fn break_games_of(&mut self, at: usize, path: &Path, names: &Names) {
        let is_broken = |open: &OpenGame| open.last_file == at && open.builder.samples() > 0;
        let (broken, whole): (BTreeMap<_, _>, BTreeMap<_, _>) = std::mem::take(&mut self.open)
            .into_iter()
            .partition(|(_, open)| is_broken(open));
        self.open = whole;
        for open in broken.into_values() {
            let game_id = names.name(open.game).clone();
            self.held -= u64::from(open.builder.samples());
            self.stages.insert(open.game, Stage::Closed);
            let path = path.into();
            self.refuse_game(
                open.game,
                names,
                IngestError::NotWhole { game_id, path },
                open.quarantine,
            );
        }
    }

    /// Reports that a game is refused as a whole.
    pub(super) fn refuse_game(
        &mut self,
        game: NameIx,
        names: &Names,
        error: IngestError,
        quarantine: Quarantine,
    ) {
        let game_id = names.name(game).clone();
        self.count_refused(&game_id, &quarantine, 0);
        self.report.refused.push(RefusedGame {
            season: self.side.game(game).and_then(|listed| listed.season.clone()),
            error,
            quarantine: quarantine.into_first_rows(Some(&game_id)),
            game_id,
        });
    }

    /// Counts what was refused of a game that is over.
    pub(super) fn count_refused(&mut self, game_id: &Id, quarantine: &Quarantine, events: usize) {
        for (reason, count) in &quarantine.counts {
            *self.report.refused_rows.entry(*reason).or_default() += count;
        }
        self.refused_of
            .push((game_id.clone(), quarantine.total() + events as u64));
    }

    pub(super) fn into_report(self, names: &Names) -> Result<SourceReport, IngestError> {
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
                .push(format!("not read to its end: {}", with_causes(&file.error)));
        }
        Ok(report)
    }
}

//! What people mark of a game's video (`scrim clips --sync`): kept in the game's manifest, and in its row of `games` wherever the source
//! itself does not say where the video is. A run that makes the game again reads the marks on the new tracks.

use std::collections::{BTreeMap, BTreeSet};

use anyhow::{Context, Result, bail};
use scrim_objects::Location;
use scrim_report::{GameRows, MarkedGame, ReportError, SyncMark, SyncPeriod, TeamGames, without_marks};
use scrim_tables::ledger::{Manifest, MarkedVideo, Part, PartStage, Snapshot, VideoMark};
use scrim_tables::rows::{GameRow, TrackRow};
use scrim_tables::{Partition, ReadStore, Row, TableError, TakesRows, read_rows, with_causes};

use crate::Pipeline;
use crate::output::Output;
use crate::run_record::RunRecord;

/// Adds a game's row as its marks have it, and keeps them. `row`: as it is without marks. What the marks say.
///
/// # Errors
/// See [`TakesRows::add`].
pub(crate) fn stage_marked(
    stage: &mut PartStage,
    row: &GameRow,
    tracks: &[TrackRow],
    marks: BTreeSet<VideoMark>,
) -> Result<MarkedGame, TableError> {
    stage.add(std::slice::from_ref(row))?;
    let unmarked = stage.facts(GameRow::TABLE).cloned();
    let marked = MarkedGame::new(row.clone(), tracks, &marks);
    if !marks.is_empty() {
        stage.add(std::slice::from_ref(&marked.row))?;
        stage.keep_video(unmarked.map(|unmarked| MarkedVideo {
            marks,
            given_periods: marked.given_periods.clone(),
            unmarked,
        }));
    }
    Ok(marked)
}

/// What is doubtful about the marks that a game has kept, in words.
pub(crate) fn notes_of(marked: &MarkedGame) -> Vec<String> {
    let game_id = &marked.row.game_id;
    let note = |(period, offset): (&u8, &scrim_report::PeriodOffset)| {
        let what = match (&offset.marked, offset.given_apart_s()) {
            (Err(error), _) => format!("the marks do not count: {}", with_causes(error)),
            (Ok(_), Some(apart_s)) => {
                format!("games.csv and the marks are {apart_s:.1} s apart; games.csv counts")
            }
            (Ok(_), None) => return None,
        };
        Some(format!(
            "video of game {game_id}, period {period}: {what}; `scrim clips --unsync {game_id}:{period}` takes the marks back"
        ))
    };
    marked.periods.iter().filter_map(note).collect()
}

/// What is to change in the marks of one game.
#[derive(Debug, Default)]
struct Change {
    new: BTreeSet<VideoMark>,
    /// Periods whose kept marks go.
    taken_back: BTreeSet<u8>,
}

impl Change {
    fn periods(&self) -> BTreeSet<u8> {
        let marked = self.new.iter().map(|mark| mark.period);
        marked.chain(self.taken_back.iter().copied()).collect()
    }

    /// The marks of the game when it is done.
    fn of(&self, kept: Option<&MarkedVideo>) -> BTreeSet<VideoMark> {
        let kept = kept.map(|video| video.marks.clone()).unwrap_or_default();
        let stay = kept
            .into_iter()
            .filter(|mark| !self.taken_back.contains(&mark.period));
        stay.chain(self.new.iter().copied()).collect()
    }
}

/// What came of marks.
pub struct Synced {
    /// Each game that was marked, and the periods that were.
    pub games: Vec<(MarkedGame, BTreeSet<u8>)>,
    /// Why they could not be saved; `None` when they are.
    pub unsaved: Option<anyhow::Error>,
}

/// Sets the offsets of the games that are marked, and saves them in the tables. Where they cannot be saved these rows have them all the
/// same.
///
/// # Errors
/// A game or period that is not among these, a clock that the tracks show at no instant or at several, or marks that do not agree: nothing
/// is saved then.
pub fn sync(
    place: &Location,
    store: &dyn ReadStore,
    team: &mut TeamGames,
    marks: &[SyncMark],
    taken_back: &[SyncPeriod],
) -> Result<Synced> {
    let mut changes: BTreeMap<Partition, Change> = BTreeMap::new();
    for SyncMark { game_id, mark } in marks {
        let change = changes.entry(partition_of(find(team, game_id)?)).or_default();
        change.new.insert(*mark);
    }
    for SyncPeriod { game_id, period } in taken_back {
        let change = changes.entry(partition_of(find(team, game_id)?)).or_default();
        change.taken_back.insert(*period);
    }
    let mut games = Vec::with_capacity(changes.len());
    for (partition, change) in &changes {
        let kept = Manifest::read(store, &Part::Game(partition.clone()))?.and_then(|(found, _)| found.video);
        let game = find(team, partition.game_id())?;
        let row = match &kept {
            Some(kept) => without_marks(game.game.clone(), kept),
            None => game.game.clone(),
        };
        let marked = MarkedGame::new(row, &game.tracks, &change.of(kept.as_ref()));
        games.push((checked(marked, change, kept.as_ref())?, change.periods()));
    }
    let mut synced = Synced { games, unsaved: None };
    if !changes.is_empty() {
        match save(place, store, &changes) {
            Ok(saved) => synced.games = saved,
            Err(error) => synced.unsaved = Some(error),
        }
    }
    for ((marked, _), partition) in synced.games.iter().zip(changes.keys()) {
        let mut games = team.games.iter_mut();
        if let Some(game) = games.find(|game| partition_of(game) == *partition) {
            game.game.video_offset_s.clone_from(&marked.row.video_offset_s);
        }
    }
    Ok(synced)
}

/// Of two games with that id, in two seasons, the latest.
fn find<'t>(team: &'t TeamGames, game_id: &str) -> Result<&'t GameRows, ReportError> {
    let mut latest_first = team.games.iter().rev();
    let named = latest_first.find(|game| game.game.game_id.as_ref() == game_id);
    let ids = team.games.iter().map(|game| game.game.game_id.to_string());
    named.ok_or_else(|| ReportError::UnknownGame {
        game_id: game_id.into(),
        found: ids.collect(),
    })
}

fn partition_of(game: &GameRows) -> Partition {
    Partition::new(game.season.as_deref(), &game.game.game_id)
}

/// Refuses marks that do not fit: of the periods that are being marked, for one that was kept may have stopped to fit since.
fn checked(marked: MarkedGame, change: &Change, kept: Option<&MarkedVideo>) -> Result<MarkedGame> {
    let game_id = &marked.row.game_id;
    for period in change.periods() {
        let is_of_it = |mark: &&VideoMark| mark.period == period;
        let kept = kept.map_or(0, |video| video.marks.iter().filter(is_of_it).count());
        let is_taken_back = change.taken_back.contains(&period);
        if is_taken_back && kept == 0 {
            bail!("--unsync {game_id}:{period}: no mark of this period is kept");
        }
        if let Some(Err(error)) = marked.periods.get(&period).map(|offset| &offset.marked) {
            let hint = match kept {
                0 => String::new(),
                _ if is_taken_back => String::new(),
                _ => format!(
                    "; marks of this period from before: {kept}; --unsync {game_id}:{period} takes them back"
                ),
            };
            bail!("{}{hint}", with_causes(error));
        }
    }
    Ok(marked)
}

/// Saves the marks, a game at a time, each wholly or not at all.
fn save(
    place: &Location,
    before: &dyn ReadStore,
    changes: &BTreeMap<Partition, Change>,
) -> Result<Vec<(MarkedGame, BTreeSet<u8>)>> {
    let manifest_of = |store: &dyn ReadStore, partition: &Partition| {
        let found = Manifest::read(store, &Part::Game(partition.clone()))?;
        let found = found.map(|(manifest, _)| manifest);
        found.with_context(|| {
            format!(
                "{place}: game {} has no manifest: run it again",
                partition.game_id()
            )
        })
    };
    // Nothing is opened for writing that no run wrote.
    for partition in changes.keys() {
        manifest_of(before, partition)?;
    }
    let run = Pipeline::default().run_info()?;
    let output = Output::open(place, "scrim clips", &RunRecord::start(&run))?;
    let store = output.store();
    let mut games = Vec::with_capacity(changes.len());
    let mut stages = Vec::with_capacity(changes.len());
    // All of them are looked at before the first is written.
    for (partition, change) in changes {
        let part = Part::Game(partition.clone());
        let old = manifest_of(store, partition)?;
        let snapshot = Snapshot::new(store);
        let row = rows_of::<GameRow>(&snapshot, &part)?.pop();
        let row = row.with_context(|| {
            format!(
                "{place}: game {} has no row in `games`: run it again",
                partition.game_id()
            )
        })?;
        let tracks: Vec<TrackRow> = rows_of(&snapshot, &part)?;
        let (row, marks) = match &old.video {
            Some(kept) => (without_marks(row, kept), change.of(Some(kept))),
            None => (row, change.of(None)),
        };
        let mut stage = PartStage::beside(&old, part);
        let marked = stage_marked(&mut stage, &row, &tracks, marks)?;
        games.push((checked(marked, change, old.video.as_ref())?, change.periods()));
        stages.push((stage, old));
    }
    for (stage, old) in stages {
        stage.add_to(store, old)?;
    }
    output.give_back()?;
    Ok(games)
}

fn rows_of<R: Row>(store: &dyn ReadStore, part: &Part) -> Result<Vec<R>> {
    let name = part.file(R::TABLE);
    match store.get(&name)? {
        Some(bytes) => read_rows(bytes).with_context(|| name),
        None => Ok(Vec::new()),
    }
}

//! Possessions like another one, over a store: an index that is kept or made, and the answer for people and programs.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use anyhow::{Context, bail};
use rayon::prelude::*;
use scrim_likeness::{Found, GameShapes, Index, IndexFault, Likes, game_digest, read_game};
use scrim_objects::Location;
use scrim_season::words::Words;
use scrim_tables::ledger::Snapshot;
use scrim_tables::rows::PossessionRow;
use scrim_tables::tags::{Coverage, Outcome, ScreenKind};
use scrim_tables::{Partition, ReadStore, Row, with_causes};
use serde::Serialize;
use tracing::{info, warn};

use crate::failure::guarded;
use crate::places::resolved;
use crate::reports::write_whole;
use crate::run::MOST_JOBS;

/// The index of all games of a store, and the games that could not be read, each with why; `jobs` of them are read at once. With `kept` it is read from that file as far as
/// the games have not changed since, and put there again when any have.
///
/// # Errors
/// When the store or the file cannot be read or written, or the file is something else.
pub fn index_of(
    store: &dyn ReadStore,
    kept: Option<&Path>,
    jobs: usize,
) -> anyhow::Result<(Index, Vec<String>)> {
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(jobs.clamp(1, MOST_JOBS.into()))
        .build()?;
    pool.install(|| {
        let games = Partition::find(store, PossessionRow::TABLE)?;
        let digests: Vec<(Partition, String)> = games
            .into_par_iter()
            .map(|game| Ok((game.clone(), game_digest(store, &game)?)))
            .collect::<anyhow::Result<_>>()?;
        let before = match kept {
            Some(path) => read_index(path)?,
            None => None,
        };
        if let Some(index) = &before
            && is_of(index, &digests)
        {
            return Ok((before.unwrap_or_default(), Vec::new()));
        }
        let (index, failed) = make_index(store, digests, before);
        if let Some(path) = kept {
            let bytes = index.to_bytes()?;
            write_whole(path, &bytes)?;
            info!(
                path = %path.display(),
                games = index.games().len(),
                possessions = index.possessions(),
                "index written"
            );
        }
        Ok((index, failed))
    })
}

/// Whether an index is of exactly these games as they are now.
fn is_of(index: &Index, digests: &[(Partition, String)]) -> bool {
    let now: BTreeMap<&Partition, &String> = digests.iter().map(|(game, digest)| (game, digest)).collect();
    index.games().len() == now.len()
        && index
            .games()
            .iter()
            .all(|game| now.get(&game.partition()) == Some(&&game.digest))
}

/// An index that was kept; `None` when there is none that can be used. Another file is never written over.
fn read_index(path: &Path) -> anyhow::Result<Option<Index>> {
    let bytes = match std::fs::read(path) {
        Ok(bytes) => bytes,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(None),
        Err(error) => {
            return Err(error).with_context(|| format!("{}: the index cannot be read", path.display()));
        }
    };
    match Index::from_bytes(&bytes) {
        Ok(index) => Ok(Some(index)),
        Err(IndexFault::Foreign) => bail!(
            "{}: found another file, expected an index that `scrim like` wrote, or none; give another --index",
            path.display()
        ),
        Err(fault) => {
            warn!(path = %path.display(), "{fault}: it is made again");
            Ok(None)
        }
    }
}

/// Takes over what has not changed and reads the rest.
fn make_index(
    store: &dyn ReadStore,
    digests: Vec<(Partition, String)>,
    before: Option<Index>,
) -> (Index, Vec<String>) {
    let before = before.unwrap_or_default().into_games().into_iter();
    let mut known: BTreeMap<Partition, GameShapes> = before.map(|game| (game.partition(), game)).collect();
    let mut games = Vec::with_capacity(digests.len());
    let mut changed = Vec::new();
    for (partition, digest) in digests {
        match known.remove(&partition).filter(|game| game.digest == digest) {
            Some(game) => games.push(game),
            None => changed.push((partition, digest)),
        }
    }
    let snapshot = Snapshot::new(store);
    let read: Vec<Result<GameShapes, String>> = changed
        .into_par_iter()
        .map(|(partition, digest)| {
            match guarded(|| Ok(read_game(&snapshot, &partition, digest))) {
                Ok(read) => read.map_err(|error| with_causes(&error)),
                // A panic: the other games go on.
                Err(failure) => Err(format!("game {}: {}", partition.game_id(), with_causes(&failure))),
            }
        })
        .collect();
    let mut failed = Vec::new();
    for game in read {
        match game {
            Ok(game) => games.push(game),
            Err(reason) => {
                warn!(reason, "left out of the index");
                failed.push(reason);
            }
        }
    }
    (Index::of(games), failed)
}

/// Refuses an index that would lie among the tables: only runs write there.
///
/// # Errors
/// When it would.
pub fn check_place(tables: &Location, kept: Option<&PathBuf>) -> anyhow::Result<()> {
    let (Location::Local(tables), Some(kept)) = (tables, kept) else {
        return Ok(());
    };
    if resolved(kept)?.starts_with(resolved(tables)?) {
        bail!(
            "--index {}: lies among the tables, where only runs write; give a file outside {}",
            kept.display(),
            tables.display()
        );
    }
    Ok(())
}

/// One possession of the answer, as programs get it.
#[derive(Debug, Serialize)]
pub struct LikeRow<'a> {
    /// 1 is the most alike; 0 the one that was asked for.
    pub rank: usize,
    /// How far it is from the one that was asked for, m.
    pub apart_m: f32,
    /// The season.
    pub season: Option<&'a str>,
    /// The game.
    pub game_id: &'a str,
    /// Its day.
    pub date: Option<&'a str>,
    /// The period, from 1.
    pub period: u8,
    /// The possession.
    pub possession_id: u32,
    /// The ball screen or handoff that its shape ends with.
    pub screen_id: u32,
    /// The begin of what is compared, seconds from the period's first frame.
    pub t_from_s: f64,
    /// The use of the ball screen.
    pub t_use_s: f64,
    /// Game clock at the use, remaining.
    pub game_clock_s: Option<f64>,
    /// Who has the ball.
    pub team_id: &'a str,
    /// Who has not.
    pub opponent_id: &'a str,
    /// Alignment and chain before the ball screen.
    pub look: Option<&'a str>,
    /// Ball screen or handoff.
    pub screen_kind: ScreenKind,
    /// What became of it.
    pub outcome: Outcome,
    /// How it was covered.
    pub coverage: Option<Coverage>,
    /// Points of the possession.
    pub points: Option<u8>,
}

impl<'a> LikeRow<'a> {
    fn of(rank: usize, found: &Found<'a>) -> Self {
        let (game, row) = (found.game, found.row);
        Self {
            rank,
            apart_m: found.apart_m,
            season: game.season.as_deref(),
            game_id: &game.game_id,
            date: game.date.as_deref(),
            period: row.period,
            possession_id: row.possession_id,
            screen_id: row.screen_id,
            t_from_s: row.t_from_s,
            t_use_s: row.t_use_s,
            game_clock_s: row.game_clock_s,
            team_id: &row.team_id,
            opponent_id: &row.opponent_id,
            look: row.look.as_deref(),
            screen_kind: row.screen_kind,
            outcome: row.outcome,
            coverage: row.coverage,
            points: row.points,
        }
    }
}

/// The answer, as programs get it.
#[derive(Debug, Serialize)]
pub struct LikeAnswer<'a> {
    /// The possession that was asked for.
    pub asked: LikeRow<'a>,
    /// Those most like it, nearest first.
    pub alike: Vec<LikeRow<'a>>,
    /// Among how many possessions they were found.
    pub searched: usize,
}

impl<'a> LikeAnswer<'a> {
    /// From what was found.
    pub fn of(likes: &Likes<'a>) -> Self {
        let alike = likes.alike.iter().enumerate();
        Self {
            asked: LikeRow::of(0, &likes.asked),
            alike: alike
                .map(|(place, found)| LikeRow::of(place + 1, found))
                .collect(),
            searched: likes.searched,
        }
    }
}

/// What a possession was, in words: `LKM against ABC, P2 4:31: horns → rub screen; ball screen used, drop`.
pub fn sentence(found: &Found<'_>, words: &Words) -> String {
    let row = found.row;
    let look = row.look.as_deref().map(|look| words.look_text(look));
    let kind = words.screen(row.screen_kind);
    let coverage = row.coverage.map(|word| words.coverage(word));
    format!(
        "{} against {}, {}: {}; {kind} {}{}",
        row.team_id,
        row.opponent_id,
        words.when(&row.when()),
        look.as_deref().unwrap_or("look not known"),
        words.outcome(row.outcome),
        coverage.map_or_else(String::new, |word| format!(", {word}")),
    )
}

/// What the distance is, for people.
pub const WHAT_IT_IS: &str = "The distance is the mean over the ten players, the ball and sixteen instants from the set to the use of \
     the ball screen, with time stretched to fit, left and right taken for one, and the three attackers without a part in any order.";

//! What a run has done, and the exit code that says so.

mod text;

use std::collections::BTreeMap;

use scrim_ingest::{NoSource, Source};
use scrim_season::ball_screens::is_ball_screen;
use scrim_tables::Partition;
use scrim_tables::tags::Verdict;
use serde::Serialize;

use crate::game::{StageTimes, TaggedGame};
use crate::game_record::GameRecord;
pub use crate::game_record::Skipped;

/// How the program ends. The number is its exit code.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Exit {
    /// 0: all was done.
    AllDone,
    /// 1: nothing could be done.
    NothingDone,
    /// 2: the command line cannot be understood.
    Usage,
    /// 3: some games (or files) failed or are poor, the others were done.
    SomeFailed,
    /// 4: `tune` found no gain and wrote nothing.
    NoGain,
}

impl Exit {
    /// The exit code.
    pub const fn code(self) -> u8 {
        match self {
            Self::AllDone => 0,
            Self::NothingDone => 1,
            Self::Usage => 2,
            Self::SomeFailed => 3,
            Self::NoGain => 4,
        }
    }
}

/// A game that was done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct DoneGame {
    /// The source's name.
    pub source: String,
    /// The game.
    pub game_id: String,
    /// Its season, when it is known.
    pub season: Option<String>,
    /// Rows of its `possessions`.
    pub possessions: u64,
    /// Its ball screens, of both teams.
    pub ball_screens: u64,
    /// Its handoffs.
    pub handoffs: u64,
    /// Rows of its `quarantine`.
    pub rows_quarantined: u64,
    /// What its data are worth.
    pub verdict: Verdict,
    /// Why they are not good; empty when they are.
    pub reasons: String,
}

impl DoneGame {
    /// What was made of a game.
    pub(crate) fn of(
        source: &Source,
        partition: &Partition,
        tagged: &TaggedGame,
        rows_quarantined: u64,
    ) -> Self {
        let on_ball = tagged.tables.screens.iter().filter(|row| row.on_ball);
        let ball_screens = on_ball
            .clone()
            .filter(|row| is_ball_screen(row.screen_kind))
            .count() as u64;
        Self {
            source: source.name.clone(),
            game_id: partition.game_id().into(),
            season: partition.season().map(Into::into),
            possessions: tagged.tables.possessions.len() as u64,
            ball_screens,
            handoffs: on_ball.count() as u64 - ball_screens,
            rows_quarantined,
            verdict: tagged.verdict,
            reasons: tagged.reasons.join("; "),
        }
    }

    /// What is recorded of it.
    pub(crate) fn record(&self) -> GameRecord {
        GameRecord {
            season: self.season.clone(),
            game_id: self.game_id.clone(),
            verdict: self.verdict,
        }
    }

    /// Whether it was tagged and is no part of its season.
    pub fn is_poor(&self) -> bool {
        self.verdict == Verdict::Poor
    }
}

/// A season that was put together.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct DoneSeason {
    /// The season, when it is known.
    pub season: Option<String>,
    /// Games in it.
    pub games: u64,
    /// Games without a date: taken after all others, in the order of their ids.
    pub undated_games: u64,
    /// Rows of `tendencies`.
    pub tendencies: u64,
}

/// What became of the seasons.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct SeasonsSummary {
    /// Seasons put together.
    pub done: Vec<DoneSeason>,
    /// Seasons left as they are: none of their games has changed.
    pub unchanged: u64,
    /// Games, and seasons, that could not be.
    pub skipped: Vec<Skipped>,
    /// Wall time, s.
    pub seconds: f64,
}

/// What became of one source.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct SourceSummary {
    /// SHA-256 of its files, by its name; a source of which a file could not be read has none.
    pub input_hashes: BTreeMap<String, String>,
    /// Rows read.
    pub rows_read: u64,
    /// Games done, in the order of the source.
    pub done: Vec<DoneGame>,
    /// Games that were not done again, for nothing has changed since they were.
    pub unchanged: Vec<GameRecord>,
    /// What failed, in the order in which it did.
    pub skipped: Vec<Skipped>,
    /// What was refused when it was last done, and has not changed since.
    pub still_refused: Vec<Skipped>,
    /// Games that a source held when it was last done, and does not hold now: their tables stay.
    pub left_behind: Vec<GameRecord>,
    /// Rows in the tables written.
    pub rows_written: u64,
    /// How long the stages took.
    pub times: StageTimes,
    /// Refused rows by reason, of games.
    pub refused_by_reason: BTreeMap<String, u64>,
    /// Refused rows, of games and of none.
    pub rows_quarantined: u64,
    /// Whether the same input would end like this again: nothing that failed is worth another try.
    #[serde(skip)]
    pub is_final: bool,
    /// Event words that the contract does not know, and how often.
    pub unknown_events: BTreeMap<String, u64>,
    /// What is doubtful about games, files and side tables, a sentence each.
    pub notes: Vec<String>,
}

/// What became of a run: its sources together, in their order.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct RunSummary {
    /// Sources found.
    pub sources: u64,
    /// All of them.
    #[serde(flatten)]
    pub all: SourceSummary,
    /// Seasons put together from their games' tables.
    pub seasons: Vec<DoneSeason>,
    /// Seasons that were not put together again, for none of their games has changed.
    pub unchanged_seasons: u64,
    /// Files and folders of the input that are of no source.
    pub not_read: Vec<NotRead>,
    /// How many games there should be, when that is known.
    pub expected: Option<u64>,
    /// Wall time, s.
    pub seconds: f64,
}

/// A file or folder of the input that is of no source.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct NotRead {
    /// Which.
    pub path: String,
    /// Why.
    pub reason: String,
}

impl RunSummary {
    /// Puts the sources together.
    pub fn of(sources: Vec<SourceSummary>, seconds: f64) -> Self {
        let mut summary = Self {
            sources: sources.len() as u64,
            seconds,
            ..Self::default()
        };
        let all = &mut summary.all;
        for source in sources {
            all.input_hashes.extend(source.input_hashes);
            all.rows_read += source.rows_read;
            all.done.extend(source.done);
            all.unchanged.extend(source.unchanged);
            all.skipped.extend(source.skipped);
            all.still_refused.extend(source.still_refused);
            all.left_behind.extend(source.left_behind);
            all.rows_written += source.rows_written;
            all.times.add_all(&source.times);
            for (reason, count) in source.refused_by_reason {
                *all.refused_by_reason.entry(reason).or_default() += count;
            }
            all.rows_quarantined += source.rows_quarantined;
            for (word, count) in source.unknown_events {
                *all.unknown_events.entry(word).or_default() += count;
            }
            all.notes.extend(source.notes);
        }
        summary
    }

    /// Takes in what became of the seasons.
    pub fn take_in(&mut self, seasons: SeasonsSummary) {
        self.seasons = seasons.done;
        self.unchanged_seasons = seasons.unchanged;
        self.all.times.add("season", seasons.seconds);
        self.all.skipped.extend(seasons.skipped);
        self.seconds += seasons.seconds;
    }

    /// Takes in what of the input is of no source: lost, or without tracking.
    pub fn take_in_others(&mut self, others: Vec<NoSource>) {
        for NoSource {
            path,
            reason,
            is_loss,
        } in others
        {
            let path = path.display().to_string();
            if is_loss {
                tracing::warn!(path, reason, "skipped");
                self.all.skipped.push(Skipped::no_game(path, reason));
            } else {
                self.not_read.push(NotRead { path, reason });
            }
        }
    }

    /// Games that there are.
    fn games_there(&self) -> u64 {
        (self.all.done.len() + self.all.unchanged.len()) as u64
    }

    /// Paths that were not read, by reason.
    fn not_read_by_reason(&self) -> BTreeMap<&str, Vec<&str>> {
        let mut by_reason: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        for other in &self.not_read {
            by_reason.entry(&other.reason).or_default().push(&other.path);
        }
        by_reason
    }

    /// Games that were done and are not good.
    pub fn not_good(&self) -> impl Iterator<Item = &DoneGame> {
        self.all.done.iter().filter(|game| game.verdict != Verdict::Good)
    }

    /// How many games are missing from those that were expected.
    fn missing(&self) -> u64 {
        self.expected.unwrap_or(0).saturating_sub(self.games_there())
    }

    /// The exit code of the run.
    pub fn exit(&self) -> Exit {
        let all = &self.all;
        let falls_short = !all.skipped.is_empty()
            || !all.still_refused.is_empty()
            || all.done.iter().any(DoneGame::is_poor)
            || self.missing() > 0;
        match (all.done.is_empty() && all.unchanged.is_empty(), !falls_short) {
            (true, _) => Exit::NothingDone,
            (false, true) => Exit::AllDone,
            (false, false) => Exit::SomeFailed,
        }
    }
}

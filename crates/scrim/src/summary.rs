//! What a run has done, and the exit code that says so.

use std::collections::BTreeMap;
use std::fmt;

use scrim_ingest::{NoSource, Source};
use scrim_season::ball_screens::is_ball_screen;
use scrim_tables::Partition;
use scrim_tables::tags::Verdict;
use serde::{Deserialize, Serialize};

use crate::game::{StageTimes, TaggedGame};
use crate::source_record::GameRecord;

use crate::terminal::shown_on_a_line;

/// Notes that the text lists one by one.
const MAX_NOTES: usize = 20;

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

/// A game, file or source that was not done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Skipped {
    /// The source's name.
    pub source: String,
    /// The season, when it is known.
    pub season: Option<String>,
    /// The game, when it is one game that failed.
    pub game_id: Option<String>,
    /// `refused` by the gate, else `skipped`.
    pub verdict: Verdict,
    /// Why, and how to fix it.
    pub reason: String,
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
    /// How many games there should be, when that was told.
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
                self.all.skipped.push(Skipped {
                    source: path,
                    season: None,
                    game_id: None,
                    verdict: Verdict::Skipped,
                    reason,
                });
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

/// What speaks against it: for one that is not good.
impl fmt::Display for DoneGame {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{}, game {}: {}: {}",
            self.source, self.game_id, self.verdict, self.reasons
        )
    }
}

impl fmt::Display for Skipped {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let game = self.game_id.as_ref().map(|game| format!(", game {game}"));
        write!(f, "{}{}: {}", self.source, game.unwrap_or_default(), self.reason)
    }
}

impl fmt::Display for DoneSeason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = self.season.as_deref().unwrap_or("unknown");
        write!(f, "{name}: {} games, {} tendencies", self.games, self.tendencies)?;
        if self.undated_games > 0 {
            write!(
                f,
                "; {} games without a date, taken last, in the order of their ids",
                self.undated_games
            )?;
        }
        Ok(())
    }
}

impl fmt::Display for RunSummary {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let all = &self.all;
        let sum = |of: fn(&DoneGame) -> u64| all.done.iter().map(of).sum::<u64>();
        writeln!(f, "games done        {}", all.done.len())?;
        if self.missing() > 0 {
            writeln!(
                f,
                "MISSING           {} of the {} games that were expected",
                self.missing(),
                self.expected.unwrap_or(0)
            )?;
        }
        let short: Vec<&DoneGame> = self.not_good().collect();
        if !short.is_empty() {
            let poor = short.iter().filter(|game| game.is_poor()).count();
            writeln!(
                f,
                "not good          {}, {poor} of them poor: left out of season tables",
                short.len()
            )?;
            for game in short {
                writeln!(f, "  - {}", shown_on_a_line(&game.to_string()))?;
            }
        }
        if !all.unchanged.is_empty() {
            writeln!(f, "games unchanged   {}", all.unchanged.len())?;
        }
        writeln!(f, "skipped           {}", all.skipped.len())?;
        for skipped in &all.skipped {
            writeln!(f, "  - {}", shown_on_a_line(&skipped.to_string()))?;
        }
        if !all.still_refused.is_empty() {
            writeln!(
                f,
                "still refused     {}: refused by an earlier run, and unchanged since",
                all.still_refused.len()
            )?;
            for skipped in &all.still_refused {
                writeln!(f, "  - {}", shown_on_a_line(&skipped.to_string()))?;
            }
        }
        if !all.left_behind.is_empty() {
            writeln!(
                f,
                "left behind       {}: no longer in their source; `scrim prune --game GAME` removes their tables",
                all.left_behind.len()
            )?;
            for game in &all.left_behind {
                writeln!(f, "  - game {}", shown_on_a_line(&game.game_id))?;
            }
        }
        if !self.not_read.is_empty() {
            writeln!(f, "not read          {}", self.not_read.len())?;
            for (reason, paths) in self.not_read_by_reason() {
                let more = match paths.len() - 1 {
                    0 => String::new(),
                    more => format!(" and {more} more"),
                };
                let line = format!("{}{more}: {reason}", paths[0]);
                writeln!(f, "  - {}", shown_on_a_line(&line))?;
            }
        }
        if !all.notes.is_empty() {
            writeln!(f, "notes             {}", all.notes.len())?;
            for note in all.notes.iter().take(MAX_NOTES) {
                writeln!(f, "  - {}", shown_on_a_line(note))?;
            }
            if all.notes.len() > MAX_NOTES {
                writeln!(f, "  - and {} more, in the log", all.notes.len() - MAX_NOTES)?;
            }
        }
        writeln!(f, "possessions       {}", sum(|game| game.possessions))?;
        writeln!(f, "ball screens      {}", sum(|game| game.ball_screens))?;
        writeln!(f, "handoffs          {}", sum(|game| game.handoffs))?;
        for season in &self.seasons {
            writeln!(f, "season            {season}")?;
        }
        writeln!(f, "rows read         {}", all.rows_read)?;
        writeln!(f, "rows quarantined  {}", all.rows_quarantined)?;
        if !all.unknown_events.is_empty() {
            let words: Vec<_> = all
                .unknown_events
                .iter()
                .map(|(word, count)| format!("{word} ({count})"))
                .collect();
            writeln!(f, "unknown events    {}", shown_on_a_line(&words.join(", ")))?;
        }
        writeln!(f, "seconds           {:.1}", self.seconds)
    }
}

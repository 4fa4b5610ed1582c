//! One game through all stages, in memory.

use std::collections::BTreeMap;
use std::time::Instant;

use scrim_actions::BallScreenRead;
use scrim_tables::rows::{
    CoverageRow, CutRow, DilemmaRow, EntryRow, FloorControlRow, GameQualityRow, GameRow, InstantRow,
    MatchupRow, OffBallMotionRow, OptionRow, PlayerRow, PossessionRow, PullSampleRow, ScreenRow, SequenceRow,
    SpacingRow, TouchRow, TrackRow,
};
use scrim_tables::tags::Verdict;
use scrim_tables::{TableError, TakesRows};
use scrim_tracks::{Game, RawGame};
use serde::Serialize;

use crate::stages::{Actions, Played, cleaned, judged};
use crate::{Failure, Pipeline};

/// The rows that a game gives.
#[derive(Debug, Clone, PartialEq)]
pub struct GameTables {
    /// `games`
    pub games: Vec<GameRow>,
    /// `players`
    pub players: Vec<PlayerRow>,
    /// `tracks`
    pub tracks: Vec<TrackRow>,
    /// `possessions`
    pub possessions: Vec<PossessionRow>,
    /// `touches`
    pub touches: Vec<TouchRow>,
    /// `matchups`
    pub matchups: Vec<MatchupRow>,
    /// `screens`
    pub screens: Vec<ScreenRow>,
    /// `coverages`
    pub coverages: Vec<CoverageRow>,
    /// `options`
    pub options: Vec<OptionRow>,
    /// `cuts`
    pub cuts: Vec<CutRow>,
    /// `off_ball_motion`
    pub off_ball_motion: Vec<OffBallMotionRow>,
    /// `spacing`
    pub spacing: Vec<SpacingRow>,
    /// `floor_control`
    pub floor_control: Vec<FloorControlRow>,
    /// `instants`
    pub instants: Vec<InstantRow>,
    /// `dilemmas`
    pub dilemmas: Vec<DilemmaRow>,
    /// `pull_samples`
    pub pull_samples: Vec<PullSampleRow>,
    /// `entries`
    pub entries: Vec<EntryRow>,
    /// `sequences`
    pub sequences: Vec<SequenceRow>,
    /// `game_quality`
    pub quality: Vec<GameQualityRow>,
}

/// A game and what was found in it.
#[derive(Debug, Clone, PartialEq)]
pub struct TaggedGame {
    /// The cleaned game.
    pub game: Game,
    /// Its rows.
    pub tables: GameTables,
    /// What was read of each ball screen, in the order of the rows of `coverages`.
    pub reads: Vec<BallScreenRead>,
    /// What its data are worth.
    pub verdict: Verdict,
    /// Why they are not good.
    pub reasons: Vec<String>,
}

/// How long the stages of a run took, s, summed over games and workers, by stage.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct StageTimes(pub BTreeMap<&'static str, f64>);

impl StageTimes {
    /// Adds what was spent in a stage.
    pub fn add(&mut self, stage: &'static str, seconds: f64) {
        *self.0.entry(stage).or_default() += seconds;
    }

    /// Adds others.
    pub fn add_all(&mut self, other: &Self) {
        for (stage, seconds) in &other.0 {
            self.add(stage, *seconds);
        }
    }

    /// Their sum.
    pub fn sum(&self) -> f64 {
        self.0.values().sum()
    }
}

/// A watch that is read after each stage.
pub(crate) struct Laps<'a> {
    last: Instant,
    times: &'a mut StageTimes,
}

impl<'a> Laps<'a> {
    /// One that starts now.
    pub(crate) fn new(times: &'a mut StageTimes) -> Self {
        Self {
            last: Instant::now(),
            times,
        }
    }

    pub(crate) fn end(&mut self, stage: &'static str) {
        let now = Instant::now();
        self.times.add(stage, now.duration_since(self.last).as_secs_f64());
        self.last = now;
    }
}

/// Takes a game through all stages (`stages.rs`). `times`: what each took is added.
///
/// # Errors
/// [`Failure::Tracks`] when the game cannot be cleaned, [`Failure::Court`] when the pipeline's court cannot be.
pub fn tag_game(raw: RawGame, pipeline: &Pipeline, times: &mut StageTimes) -> Result<TaggedGame, Failure> {
    let mut laps = Laps::new(times);
    let cleaned = cleaned(raw, pipeline)?;
    laps.end("clean");
    let played = Played::of(&cleaned.game, pipeline);
    laps.end("play");
    let ball_screens = played.ball_screens(pipeline);
    let actions = Actions::of(&cleaned, &played, ball_screens, pipeline, &mut laps);
    let flow = actions.flow(&cleaned, &played, pipeline);
    laps.end("flow");
    let mut tables = actions.tables(&cleaned, &played, &flow, pipeline);
    let (verdict, reasons) = judged(&cleaned, &tables, pipeline);
    for period in &mut tables.quality {
        period.verdict = verdict;
        period.verdict_reason = (!reasons.is_empty()).then(|| reasons.join("; "));
    }
    laps.end("rows");
    Ok(TaggedGame {
        game: cleaned.game,
        tables,
        reads: actions.reads,
        verdict,
        reasons,
    })
}

impl GameTables {
    /// Adds what is doubtful about the game as a whole to its first period's notes.
    pub fn add_notes(&mut self, notes: &[String]) {
        if let Some(first) = self.quality.first_mut() {
            let known = std::mem::take(&mut first.notes);
            let all = notes
                .iter()
                .map(String::as_str)
                .chain((!known.is_empty()).then_some(&*known));
            first.notes = all.collect::<Vec<_>>().join("; ");
        }
    }

    /// Gives every table to `taker`, empty ones too: a table that an earlier run filled must not stay.
    ///
    /// # Errors
    /// See [`TakesRows::add`].
    pub fn give_to(&self, taker: &mut impl TakesRows) -> Result<(), TableError> {
        taker.add(&self.games)?;
        taker.add(&self.players)?;
        taker.add(&self.tracks)?;
        taker.add(&self.possessions)?;
        taker.add(&self.touches)?;
        taker.add(&self.matchups)?;
        taker.add(&self.screens)?;
        taker.add(&self.coverages)?;
        taker.add(&self.options)?;
        taker.add(&self.cuts)?;
        taker.add(&self.off_ball_motion)?;
        taker.add(&self.spacing)?;
        taker.add(&self.floor_control)?;
        taker.add(&self.instants)?;
        taker.add(&self.dilemmas)?;
        taker.add(&self.pull_samples)?;
        taker.add(&self.entries)?;
        taker.add(&self.sequences)?;
        taker.add(&self.quality)
    }
}

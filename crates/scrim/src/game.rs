//! One game through all stages, in memory.

use std::collections::BTreeMap;
use std::time::Instant;

use scrim_actions::BallScreenRead;
use scrim_tables::TableError;
use scrim_tables::ledger::PartStage;
use scrim_tables::rows::{
    CoverageRow, CutRow, DilemmaRow, EntryRow, FloorControlRow, GameQualityRow, GameRow, InstantRow,
    MatchupRow, OffBallMotionRow, OptionRow, PlayerRow, PossessionRow, PullSampleRow, ScreenRow, SequenceRow,
    SpacingRow, TouchRow, TrackRow,
};
use scrim_tables::tags::Verdict;
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

    /// Encodes every table into `stage`, empty ones too: a table that an earlier run filled must not stay.
    ///
    /// # Errors
    /// See [`PartStage::add`].
    pub fn stage(&self, stage: &mut PartStage<'_>) -> Result<(), TableError> {
        stage.add(&self.games)?;
        stage.add(&self.players)?;
        stage.add(&self.tracks)?;
        stage.add(&self.possessions)?;
        stage.add(&self.touches)?;
        stage.add(&self.matchups)?;
        stage.add(&self.screens)?;
        stage.add(&self.coverages)?;
        stage.add(&self.options)?;
        stage.add(&self.cuts)?;
        stage.add(&self.off_ball_motion)?;
        stage.add(&self.spacing)?;
        stage.add(&self.floor_control)?;
        stage.add(&self.instants)?;
        stage.add(&self.dilemmas)?;
        stage.add(&self.pull_samples)?;
        stage.add(&self.entries)?;
        stage.add(&self.sequences)?;
        stage.add(&self.quality)
    }
}

//! One game through all stages, in memory.

use std::collections::BTreeMap;
use std::time::Instant;

use scrim_actions::{
    BallScreenRead, Screens, coverage_rows, cut_rows, dilemma_rows, find_ball_screens, find_cuts,
    find_dilemmas, find_off_ball_motion, find_off_ball_screens, find_pull_samples, find_reads,
    find_roll_rooms, find_spacing, floor_control_rows, instant_rows, off_ball_motion_rows, option_rows,
    pull_sample_rows, screen_rows, spacing_rows,
};
use scrim_flow::{FlowInput, entry_rows, find_flow, possession_extras, sequence_rows};
use scrim_play::rows::{game_row, matchup_rows, player_rows, possession_rows, touch_rows, track_rows};
use scrim_play::{Scene, find_play};
use scrim_tables::TableError;
use scrim_tables::ledger::PartStage;
use scrim_tables::rows::{
    CoverageRow, CutRow, DilemmaRow, EntryRow, FloorControlRow, GameQualityRow, GameRow, InstantRow,
    MatchupRow, OffBallMotionRow, OptionRow, PlayerRow, PossessionRow, PullSampleRow, ScreenRow, SequenceRow,
    SpacingRow, TouchRow, TrackRow,
};
use scrim_tables::tags::Verdict;
use scrim_tracks::{Cleaned, Game, RawGame, clean};
use serde::Serialize;

use crate::gate::GameFacts;
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
struct Laps<'a> {
    last: Instant,
    times: &'a mut StageTimes,
}

impl Laps<'_> {
    fn end(&mut self, stage: &'static str) {
        let now = Instant::now();
        self.times.add(stage, now.duration_since(self.last).as_secs_f64());
        self.last = now;
    }
}

/// Takes a game through all stages. `times`: what each took is added.
///
/// # Errors
/// [`Failure::Tracks`] when the game cannot be cleaned, [`Failure::Court`] when the pipeline's court cannot be.
pub fn tag_game(
    mut raw: RawGame,
    pipeline: &Pipeline,
    times: &mut StageTimes,
) -> Result<TaggedGame, Failure> {
    let mut laps = Laps {
        last: Instant::now(),
        times,
    };
    if let Some(court) = &pipeline.court {
        raw.info.court = court.court()?;
    }
    let Cleaned {
        game,
        mut quality,
        player_noise_m,
    } = clean(raw, &pipeline.tracks)?;
    laps.end("clean");
    let definitions = &pipeline.definitions;
    let play = find_play(&game, &pipeline.play);
    let scenes = Scene::all(&game, &play);
    laps.end("play");
    let ball_screens = find_ball_screens(&scenes, &play, &pipeline.screens);
    let off_ball = find_off_ball_screens(
        &scenes,
        &play,
        &ball_screens,
        &pipeline.off_ball_screens,
        definitions,
    );
    let screens = Screens::new(ball_screens, off_ball);
    laps.end("screens");
    let reads = find_reads(&scenes, &play, screens.on_ball(), &pipeline.reads, definitions);
    laps.end("reads");
    let cuts = find_cuts(
        &scenes,
        &play,
        &game.info.court,
        &screens,
        &pipeline.cuts,
        definitions,
    );
    let motion = find_off_ball_motion(
        &scenes,
        &screens,
        &cuts,
        &player_noise_m,
        &pipeline.motion,
        definitions,
    );
    let spacing = find_spacing(&scenes, &game.info.court, &screens, &pipeline.space, definitions);
    let rooms = find_roll_rooms(&scenes, &game.info.court, &screens);
    let instants = instant_rows(
        &game,
        &play,
        &scenes,
        &screens,
        &pipeline.instants,
        &pipeline.space,
    );
    let dilemmas = find_dilemmas(&scenes, &screens, &cuts, definitions);
    let pull = find_pull_samples(
        &scenes,
        &play,
        &screens,
        &player_noise_m,
        &pipeline.motion,
        &pipeline.pull,
        definitions,
    );
    laps.end("off_ball");
    let flow = find_flow(
        FlowInput {
            scenes: &scenes,
            play: &play,
            court: &game.info.court,
            screens: &screens,
            reads: &reads,
            cuts: &cuts,
        },
        &pipeline.flow,
        definitions,
    );
    laps.end("flow");
    let extras = possession_extras(&screens, &flow);
    let screen_table = screen_rows(&game, &play, &screens);
    let mut first_screen_s = vec![None; play.possessions.len()];
    for row in screen_table.iter().filter(|row| row.on_ball) {
        let first = &mut first_screen_s[row.possession_id as usize];
        let t_s = row.t_set_s.unwrap_or(row.t_use_s);
        *first = Some(first.map_or(t_s, |known: f64| known.min(t_s)));
    }
    let possessions = possession_rows(&game, &play, &extras);
    let (verdict, reasons) = GameFacts::measure(&game, &quality, &possessions).verdict(&pipeline.gate);
    for period in &mut quality {
        period.verdict = verdict;
        period.verdict_reason = (!reasons.is_empty()).then(|| reasons.join("; "));
    }
    let tables = GameTables {
        games: vec![game_row(&game)],
        players: player_rows(&game),
        tracks: track_rows(&game, &play, &scenes, &first_screen_s, &pipeline.track_table),
        possessions,
        touches: touch_rows(&game, &play),
        matchups: matchup_rows(&game, &play),
        screens: screen_table,
        coverages: coverage_rows(&game, &play, &screens, &reads),
        options: option_rows(&game, &scenes, &screens, &reads, &rooms),
        cuts: cut_rows(&game, &play, &screens, &cuts),
        off_ball_motion: off_ball_motion_rows(&game, &play, &screens, &motion),
        spacing: spacing_rows(&game, &play, &screens, &spacing),
        floor_control: floor_control_rows(&game, &play, &screens, &spacing),
        instants,
        dilemmas: dilemma_rows(&game, &play, &screens, &dilemmas),
        pull_samples: pull_sample_rows(&game, &play, &scenes, &pull),
        entries: entry_rows(&game, &play, &screens, &flow, definitions),
        sequences: sequence_rows(&game, &play, &screens, &reads, &flow),
        quality,
    };
    laps.end("rows");
    Ok(TaggedGame {
        game,
        tables,
        reads,
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

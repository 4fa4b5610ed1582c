//! One game through all stages, in memory.

use scrim_actions::{
    Screens, coverage_rows, cut_rows, find_ball_screens, find_cuts, find_off_ball_motion,
    find_off_ball_screens, find_reads, off_ball_motion_rows, option_rows, screen_rows,
};
use scrim_flow::{entry_rows, find_flow, possession_extras, sequence_rows};
use scrim_play::rows::{matchup_rows, possession_rows, touch_rows};
use scrim_play::{Scene, find_play};
use scrim_tables::rows::{
    CoverageRow, CutRow, EntryRow, GameQualityRow, GameRow, MatchupRow, OffBallMotionRow, OptionRow,
    PossessionRow, ScreenRow, SequenceRow, TouchRow,
};
use scrim_tables::{GameStage, TableError};
use scrim_tracks::{Cleaned, Game, RawGame, clean};

use crate::{Failure, Pipeline};

/// The rows that a game gives.
#[derive(Debug, Clone, PartialEq)]
pub struct GameTables {
    /// `games`
    pub games: Vec<GameRow>,
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
}

/// Takes a game through all stages.
///
/// # Errors
/// [`Failure::Tracks`] when the game cannot be cleaned, [`Failure::Court`] when the pipeline's court cannot be.
pub fn tag_game(mut raw: RawGame, pipeline: &Pipeline) -> Result<TaggedGame, Failure> {
    if let Some(court) = &pipeline.court {
        raw.info.court = court.court()?;
    }
    let Cleaned { game, quality } = clean(raw, &pipeline.tracks)?;
    let play = find_play(&game, &pipeline.play);
    let scenes = Scene::all(&game, &play);
    let ball_screens = find_ball_screens(&scenes, &play, &pipeline.screens);
    let off_ball = find_off_ball_screens(&scenes, &play, &ball_screens, &pipeline.off_ball_screens);
    let screens = Screens::new(ball_screens, off_ball);
    let reads = find_reads(&scenes, &play, screens.on_ball(), &pipeline.reads);
    let cuts = find_cuts(&scenes, &play, &game.info.court, &screens, &pipeline.cuts);
    let motion = find_off_ball_motion(&scenes, &play, &screens, &cuts, &pipeline.motion);
    let flow = find_flow(
        &scenes,
        &play,
        &game.info.court,
        &screens,
        &reads,
        &cuts,
        &pipeline.flow,
    );
    let extras = possession_extras(&screens, &flow);
    let tables = GameTables {
        games: vec![game_row(&game)],
        possessions: possession_rows(&game, &play, &extras),
        touches: touch_rows(&game, &play),
        matchups: matchup_rows(&game, &play),
        screens: screen_rows(&game, &play, &screens),
        coverages: coverage_rows(&game, &play, &screens, &reads),
        options: option_rows(&game, &scenes, &screens, &reads),
        cuts: cut_rows(&game, &play, &screens, &cuts),
        off_ball_motion: off_ball_motion_rows(&game, &play, &screens, &motion),
        entries: entry_rows(&game, &play, &screens, &flow),
        sequences: sequence_rows(&game, &play, &screens, &reads, &flow),
        quality,
    };
    Ok(TaggedGame { game, tables })
}

/// The game's row of `games`.
fn game_row(game: &Game) -> GameRow {
    let info = &game.info;
    GameRow {
        game_id: info.game_id.clone(),
        date: info.date.clone(),
        season: info.season.clone(),
        home_team_id: info.team_ids[0].clone(),
        away_team_id: info.team_ids[1].clone(),
        home_is_known: info.home_is_known,
    }
}

impl GameTables {
    /// Encodes every table into `stage`, empty ones too: a table that an earlier run filled must not stay.
    ///
    /// # Errors
    /// See [`GameStage::add`].
    pub fn stage(&self, stage: &mut GameStage<'_>) -> Result<(), TableError> {
        stage.add(&self.games)?;
        stage.add(&self.possessions)?;
        stage.add(&self.touches)?;
        stage.add(&self.matchups)?;
        stage.add(&self.screens)?;
        stage.add(&self.coverages)?;
        stage.add(&self.options)?;
        stage.add(&self.cuts)?;
        stage.add(&self.off_ball_motion)?;
        stage.add(&self.entries)?;
        stage.add(&self.sequences)?;
        stage.add(&self.quality)
    }
}

//! The stages of one game, each from what those before it found and its own sections of the pipeline: what lets a sweep redo only
//! the later ones.

use scrim_actions::{
    BallScreen, BallScreenRead, Cut, Dilemma, OffBallMotion, PullSample, RollRoom, Screens, Spacing,
    coverage_rows, cut_rows, dilemma_rows, find_ball_screens, find_cuts, find_dilemmas, find_off_ball_motion,
    find_off_ball_screens, find_pull_samples, find_reads, find_roll_rooms, find_spacing, floor_control_rows,
    instant_rows, off_ball_motion_rows, option_rows, pull_sample_rows, screen_rows, spacing_rows,
};
use scrim_flow::{Flow, FlowInput, entry_rows, find_flow, possession_extras, sequence_rows};
use scrim_play::rows::{game_row, matchup_rows, player_rows, possession_rows, touch_rows, track_rows};
use scrim_play::{Play, Scene, find_play};
use scrim_tables::tags::Verdict;
use scrim_tracks::{Cleaned, Game, RawGame, clean};

use crate::game::{Laps, StageTimes};
use crate::gate::GameFacts;
use crate::{Failure, GameTables, Pipeline};

/// A stage of a game.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// The tracks: grid, gaps, smoothing.
    Tracks,
    /// Ball control, possessions, matchups.
    Play,
    /// Ball screens and handoffs.
    BallScreens,
    /// Screens off the ball, coverages, options, cuts, motion, space.
    Actions,
    /// Chains and entries.
    Flow,
}

impl Stage {
    /// The first stage that a section of the pipeline has a say in; `None` where it has none in what is found in a game: how files are
    /// read, what a game's data are worth, what is kept or made of it.
    pub fn of_section(section: &str) -> Option<Self> {
        match section {
            "tracks" => Some(Self::Tracks),
            "play" => Some(Self::Play),
            "screens" => Some(Self::BallScreens),
            "definitions" | "off_ball_screens" | "reads" | "cuts" | "motion" | "space" | "instants"
            | "pull" => Some(Self::Actions),
            "flow" => Some(Self::Flow),
            _ => None,
        }
    }
}

/// The tracks, cleaned, on the pipeline's court.
pub(crate) fn cleaned(mut raw: RawGame, pipeline: &Pipeline) -> Result<Cleaned, Failure> {
    if let Some(court) = &pipeline.court {
        raw.info.court = court.court()?;
    }
    Ok(clean(raw, &pipeline.tracks)?)
}

/// What the game's data are worth, and why they are not good.
pub(crate) fn judged(cleaned: &Cleaned, tables: &GameTables, pipeline: &Pipeline) -> (Verdict, Vec<String>) {
    GameFacts::measure(&cleaned.game, &cleaned.quality, &tables.possessions).verdict(&pipeline.gate)
}

/// Who has the ball, whose possession it is, who guards whom.
pub(crate) struct Played {
    pub(crate) play: Play,
    pub(crate) scenes: Vec<Scene>,
}

impl Played {
    pub(crate) fn of(game: &Game, pipeline: &Pipeline) -> Self {
        let play = find_play(game, &pipeline.play);
        let scenes = Scene::all(game, &play);
        Self { play, scenes }
    }

    pub(crate) fn ball_screens(&self, pipeline: &Pipeline) -> Vec<BallScreen> {
        find_ball_screens(&self.scenes, &self.play, &pipeline.screens)
    }
}

/// What was done on the ball and off it.
pub(crate) struct Actions {
    pub(crate) screens: Screens,
    pub(crate) reads: Vec<BallScreenRead>,
    cuts: Vec<Cut>,
    motion: Vec<OffBallMotion>,
    spacing: Vec<Spacing>,
    rooms: Vec<RollRoom>,
    dilemmas: Vec<Dilemma>,
    pull: Vec<PullSample>,
}

impl Actions {
    pub(crate) fn of(
        cleaned: &Cleaned,
        played: &Played,
        ball_screens: Vec<BallScreen>,
        pipeline: &Pipeline,
        laps: &mut Laps<'_>,
    ) -> Self {
        let Cleaned {
            game, player_noise_m, ..
        } = cleaned;
        let Played { play, scenes } = played;
        let (court, definitions) = (&game.info.court, &pipeline.definitions);
        let off_ball = find_off_ball_screens(
            scenes,
            play,
            &ball_screens,
            &pipeline.off_ball_screens,
            definitions,
        );
        let screens = Screens::new(ball_screens, off_ball);
        laps.end("screens");
        let reads = find_reads(scenes, play, screens.on_ball(), &pipeline.reads, definitions);
        laps.end("reads");
        let cuts = find_cuts(scenes, play, court, &screens, &pipeline.cuts, definitions);
        let motion = find_off_ball_motion(
            scenes,
            &screens,
            &cuts,
            player_noise_m,
            &pipeline.motion,
            definitions,
        );
        let spacing = find_spacing(scenes, court, &screens, &pipeline.space, definitions);
        let rooms = find_roll_rooms(scenes, court, &screens);
        let dilemmas = find_dilemmas(scenes, &screens, &cuts, definitions);
        let pull = find_pull_samples(
            scenes,
            play,
            &screens,
            player_noise_m,
            &pipeline.motion,
            &pipeline.pull,
            definitions,
        );
        laps.end("off_ball");
        Self {
            screens,
            reads,
            cuts,
            motion,
            spacing,
            rooms,
            dilemmas,
            pull,
        }
    }

    pub(crate) fn flow(&self, cleaned: &Cleaned, played: &Played, pipeline: &Pipeline) -> Flow {
        let input = FlowInput {
            scenes: &played.scenes,
            play: &played.play,
            court: &cleaned.game.info.court,
            screens: &self.screens,
            reads: &self.reads,
            cuts: &self.cuts,
        };
        find_flow(input, &pipeline.flow, &pipeline.definitions)
    }

    /// All of it as rows.
    pub(crate) fn tables(
        &self,
        cleaned: &Cleaned,
        played: &Played,
        flow: &Flow,
        pipeline: &Pipeline,
    ) -> GameTables {
        let game = &cleaned.game;
        let Played { play, scenes } = played;
        let screens = &self.screens;
        let screen_table = screen_rows(game, play, screens);
        let mut first_screen_s = vec![None; play.possessions.len()];
        for row in screen_table.iter().filter(|row| row.on_ball) {
            let first = &mut first_screen_s[row.possession_id as usize];
            let t_s = row.t_set_s.unwrap_or(row.t_use_s);
            *first = Some(first.map_or(t_s, |known: f64| known.min(t_s)));
        }
        GameTables {
            games: vec![game_row(game)],
            players: player_rows(game),
            tracks: track_rows(game, play, scenes, &first_screen_s, &pipeline.track_table),
            possessions: possession_rows(game, play, &possession_extras(screens, flow)),
            touches: touch_rows(game, play),
            matchups: matchup_rows(game, play),
            screens: screen_table,
            coverages: coverage_rows(game, play, screens, &self.reads),
            options: option_rows(game, scenes, screens, &self.reads, &self.rooms),
            cuts: cut_rows(game, play, screens, &self.cuts),
            off_ball_motion: off_ball_motion_rows(game, play, screens, &self.motion),
            spacing: spacing_rows(game, play, screens, &self.spacing),
            floor_control: floor_control_rows(game, play, screens, &self.spacing),
            instants: instant_rows(game, play, scenes, screens, &pipeline.instants, &pipeline.space),
            dilemmas: dilemma_rows(game, play, screens, &self.dilemmas),
            pull_samples: pull_sample_rows(game, play, scenes, &self.pull),
            entries: entry_rows(game, play, screens, flow, &pipeline.definitions),
            sequences: sequence_rows(game, play, screens, &self.reads, flow),
            quality: cleaned.quality.clone(),
        }
    }
}

/// A game by its own pipeline, and again by each of `cells`, which differ from it in nothing before `first`: what comes before is kept,
/// what comes after is done again. `each` is given the rows, those of the own pipeline first, with `None`.
///
/// # Errors
/// As [`tag_game`](crate::tag_game), and [`Failure::Gate`] for a game that a run of the own pipeline would refuse; whatever `each` returns.
pub fn vary_game(
    raw: RawGame,
    own: &Pipeline,
    cells: &[Pipeline],
    first: Stage,
    each: &mut dyn FnMut(Option<usize>, GameTables) -> Result<(), Failure>,
) -> Result<(), Failure> {
    // What the stages take is not asked here.
    let mut times = StageTimes::default();
    let laps = &mut Laps::new(&mut times);
    let kept_raw = (first == Stage::Tracks).then(|| raw.clone());
    let own_cleaned = cleaned(raw, own)?;
    let own_played = Played::of(&own_cleaned.game, own);
    let own_ball_screens = own_played.ball_screens(own);
    let own_actions = Actions::of(&own_cleaned, &own_played, own_ball_screens.clone(), own, laps);
    let flow = own_actions.flow(&own_cleaned, &own_played, own);
    let tables = own_actions.tables(&own_cleaned, &own_played, &flow, own);
    let (verdict, reasons) = judged(&own_cleaned, &tables, own);
    if verdict == Verdict::Refused {
        return Err(Failure::Gate {
            reasons: reasons.join("; "),
        });
    }
    each(None, tables)?;
    for (number, cell) in cells.iter().enumerate() {
        let new_cleaned = match &kept_raw {
            Some(raw) => Some(cleaned(raw.clone(), cell)?),
            None => None,
        };
        let cleaned = new_cleaned.as_ref().unwrap_or(&own_cleaned);
        let new_played = (first <= Stage::Play).then(|| Played::of(&cleaned.game, cell));
        let played = new_played.as_ref().unwrap_or(&own_played);
        let new_actions = (first <= Stage::Actions).then(|| {
            let ball_screens = if first <= Stage::BallScreens {
                played.ball_screens(cell)
            } else {
                own_ball_screens.clone()
            };
            Actions::of(cleaned, played, ball_screens, cell, laps)
        });
        let actions = new_actions.as_ref().unwrap_or(&own_actions);
        let flow = actions.flow(cleaned, played, cell);
        each(Some(number), actions.tables(cleaned, played, &flow, cell))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use scrim_floor::Parameters;

    use super::*;

    #[test]
    fn every_section_has_a_first_stage_or_is_known_to_have_none() {
        let mut list = Vec::new();
        Pipeline::list_in("", &mut list);
        let mut without: Vec<&str> = list
            .iter()
            .map(|parameter| parameter.key.split('.').next().unwrap_or_default())
            .filter(|section| Stage::of_section(section).is_none())
            .collect();
        without.dedup();
        assert_eq!(
            without,
            [
                "name",
                "court",
                "ingest",
                "gate",
                "season",
                "track_table",
                "report"
            ]
        );
    }
}

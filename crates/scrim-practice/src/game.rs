//! One whole game, from parameters to tracking, events and labels.

use scrim_tables::Id;

use crate::body::Body;
use crate::dice::{Dice, Purpose};
use crate::labels::Labels;
use crate::league::{Fixture, Player, SQUAD};
use crate::lift_truth::LiftRow;
use crate::measure::{Film, measure_labels, measure_lifts};
use crate::params::{Faults, PracticeParams};
use crate::plan::{HardCoverage, Log, NegativeKind};
use crate::record::{Event, PeriodRecord};
use crate::season::{LookRunRow, Playbook, Season, result_of};
use crate::tracking::{Tracking, record_tracking};
use crate::world::World;

/// Something that happened, as the scorer's table writes it down.
#[derive(Debug, Clone, PartialEq)]
pub struct EventRow {
    /// The period, from 1.
    pub period: u8,
    /// Real clock from the period's first frame, seconds.
    pub t_s: f64,
    /// Game clock, remaining seconds.
    pub game_clock_s: f64,
    /// A word of the contract's event list.
    pub event: &'static str,
    /// Whose.
    pub team_id: Option<Id>,
    /// Whose.
    pub player_id: Option<Id>,
    /// Points, for shots and free throws.
    pub points: Option<u8>,
}

/// A scripted hard negative: two team-mates near each other, and no screen.
#[derive(Debug, Clone, PartialEq)]
pub struct NegativeRow {
    /// Which kind.
    pub kind: NegativeKind,
    /// The period, from 1.
    pub period: u8,
    /// When it began, seconds of the period.
    pub t_start_s: f64,
    /// When it was over.
    pub t_end_s: f64,
    /// Who had the ball (or was about to); away from the ball: who moved.
    pub handler_id: Id,
    /// Their team-mate.
    pub mate_id: Id,
}

/// A ball screen defended in a way that is easily taken for another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HardCoverageRow {
    /// Which way.
    pub case: HardCoverage,
    /// Its row among the labels of screens and of coverages.
    pub screen_id: u32,
}

/// A finished practice game.
#[derive(Debug, Clone)]
pub struct PracticeGame {
    /// The game's id.
    pub game_id: Id,
    /// Day of an invented season.
    pub date: String,
    /// The season.
    pub season: String,
    /// Home and away.
    pub team_ids: [Id; 2],
    /// Name of the court.
    pub court: String,
    /// Both squads; tracking names players by their place here.
    pub players: Vec<Player>,
    /// What the cameras saw.
    pub tracking: Tracking,
    /// What happened.
    pub events: Vec<EventRow>,
    /// What it was: measured before noise and faults.
    pub labels: Labels,
    /// Scripted closeness that is no ball screen: what a detector must not fall for.
    pub negatives: Vec<NegativeRow>,
    /// Labelled ball screens whose coverage is easily taken for another.
    pub hard_coverages: Vec<HardCoverageRow>,
    /// In a game with lifts: the ball screens at which a shooter could lift. Empty otherwise.
    pub lifts: Vec<LiftRow>,
    /// In a season: the half-court possessions that ran their look. Empty otherwise.
    pub look_runs: Vec<LookRunRow>,
    pub(crate) periods: Vec<PeriodRecord>,
    pub(crate) params: PracticeParams,
}

impl PracticeGame {
    /// The same game as a perfect tracking system would report it: no noise, no faults.
    pub fn truth(&self) -> Tracking {
        let perfect = PracticeParams {
            noise_m: 0.0,
            faults: Faults::default(),
            ..self.params.clone()
        };
        record_tracking(&perfect, &self.periods, 0)
    }
}

/// Every period, frame by frame, with what the scorer's table and the scripts noted.
fn play_periods(
    params: &PracticeParams,
    game_index: u32,
    playbook: Option<Playbook>,
) -> (Vec<PeriodRecord>, Vec<Event>, Log) {
    let mut dice = Dice::new(params.seed, game_index, Purpose::Play);
    let bodies = (0..10)
        .map(|slot| Body::new(((slot / 5) * SQUAD + slot % 5) as u8, slot % 5, &mut dice))
        .collect();
    let mut world = World::new(params, dice, bodies);
    world.playbook = playbook;
    let mut periods = Vec::with_capacity(usize::from(params.periods));
    for period in 1..=params.periods {
        world.play_period(period);
        periods.push(std::mem::take(&mut world.record));
    }
    (periods, world.events, world.log)
}

/// Plays game number `game_index`. The same parameters and number give the same game, whatever was played before.
/// Parameters are taken as they are; [`PracticeParams::checked`] says whether they make sense.
pub fn play_game(params: &PracticeParams, game_index: u32) -> PracticeGame {
    let game_id = format!("P{}-{game_index:03}", params.seed).into();
    finish_game(params, game_index, game_id, Fixture::of_game(game_index), None)
}

/// Plays game number `game_index` of `season`: every team plays once a day, in the order of dates. The same season,
/// parameters and number give the same game.
pub fn play_season_game(params: &PracticeParams, season: &Season, game_index: u32) -> PracticeGame {
    let fixture = Fixture::of_season_game(game_index);
    let playbook = Playbook {
        habits: fixture.teams.map(|t| season.teams[t].clone()),
        last: Default::default(),
    };
    let game_id = format!("S{}-{game_index:03}", params.seed).into();
    finish_game(params, game_index, game_id, fixture, Some(playbook))
}

/// The runs of looks of a season's game, with what the labels say about their ball screens.
fn look_run_rows(film: &Film<'_>, labels: &Labels, screen_ids: &[Option<u32>]) -> Vec<LookRunRow> {
    let rows = film.log.look_runs.iter().map(|run| {
        let plan = &film.log.possessions[run.possession];
        let screen_id = run.screen.and_then(|s| screen_ids.get(s).copied().flatten());
        let seen = screen_id.and_then(|id| labels.coverages.iter().find(|c| c.screen_id == id));
        let result = result_of(film.log, run.possession);
        LookRunRow {
            game_id: film.game_id.clone(),
            date: film.fixture.date.clone(),
            period: plan.period,
            possession_id: run.possession as u32,
            team_id: film.fixture.team_ids[plan.offense].clone(),
            opponent_id: film.fixture.team_ids[1 - plan.offense].clone(),
            look: run.look,
            next: run.next,
            is_played: run.is_played,
            screen_id,
            coverage_called: run.coverage,
            coverage_seen: seen.and_then(|c| c.coverage),
            option_called: run.option,
            last_result: run.last_result,
            last_coverage: run.last_coverage,
            offense_changed: run.offense_changed,
            defense_changed: run.defense_changed,
            result: run.next.map(|_| result),
        }
    });
    rows.collect()
}

fn finish_game(
    params: &PracticeParams,
    game_index: u32,
    game_id: Id,
    fixture: Fixture,
    playbook: Option<Playbook>,
) -> PracticeGame {
    let (periods, events, log) = play_periods(params, game_index, playbook);
    let film = Film {
        game_id: game_id.clone(),
        params,
        fixture: &fixture,
        periods: &periods,
        log: &log,
    };
    let (labels, screen_ids) = measure_labels(&film);
    let hard_coverages = log
        .screens
        .iter()
        .zip(&screen_ids)
        .filter_map(|(plan, &id)| {
            Some(HardCoverageRow {
                case: plan.hard?,
                screen_id: id?,
            })
        })
        .collect();
    let look_runs = look_run_rows(&film, &labels, &screen_ids);
    let lifts = measure_lifts(&film, &screen_ids);
    let tracking = record_tracking(params, &periods, game_index);
    let negatives = log
        .negatives
        .iter()
        .map(|n| {
            let frame = film.frame_at(n.period, n.t_start_s);
            NegativeRow {
                kind: n.kind,
                period: n.period,
                t_start_s: n.t_start_s,
                t_end_s: n.t_end_s,
                handler_id: film.player_id(n.period, frame, n.handler),
                mate_id: film.player_id(n.period, frame, n.mate),
            }
        })
        .collect();
    let events = events
        .into_iter()
        .map(|e| EventRow {
            period: e.period,
            t_s: e.t_s,
            game_clock_s: e.game_clock_s,
            event: e.event,
            team_id: e.team.map(|t| fixture.team_ids[t].clone()),
            player_id: e
                .player
                .map(|p| fixture.players[usize::from(p)].player_id.clone()),
            points: e.points,
        })
        .collect();
    PracticeGame {
        game_id,
        date: fixture.date,
        season: fixture.season,
        team_ids: fixture.team_ids,
        court: params.court.name.clone(),
        players: fixture.players,
        tracking,
        events,
        labels,
        negatives,
        hard_coverages,
        lifts,
        look_runs,
        periods,
        params: params.clone(),
    }
}

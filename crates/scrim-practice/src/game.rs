//! One whole game, from parameters to tracking, events and labels.

use scrim_tables::Id;

use crate::body::Body;
use crate::dice::{Dice, Purpose};
use crate::labels::Labels;
use crate::league::{Fixture, Player, SQUAD};
use crate::measure::{Film, measure_labels};
use crate::params::{Faults, PracticeParams};
use crate::plan::{Log, NegativeKind};
use crate::record::{Event, PeriodRecord};
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
    /// His team-mate.
    pub mate_id: Id,
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
    pub(crate) periods: Vec<PeriodRecord>,
    pub(crate) params: PracticeParams,
}

impl PracticeGame {
    /// The same game as a perfect tracking system would tell it: no noise, no faults.
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
fn play_periods(params: &PracticeParams, game_index: u32) -> (Vec<PeriodRecord>, Vec<Event>, Log) {
    let mut dice = Dice::new(params.seed, game_index, Purpose::Play);
    let bodies = (0..10)
        .map(|slot| Body::new(((slot / 5) * SQUAD + slot % 5) as u8, slot % 5, &mut dice))
        .collect();
    let mut world = World::new(params, dice, bodies);
    let mut periods = Vec::with_capacity(usize::from(params.periods));
    for period in 1..=params.periods {
        world.play_period(period);
        periods.push(std::mem::take(&mut world.record));
    }
    (periods, world.events, world.log)
}

/// Plays game number `game_index`. The same parameters and number give the same game, whatever was played before.
/// Parameters are taken as they are; [`PracticeParams::checked`] tells whether they make sense.
pub fn play_game(params: &PracticeParams, game_index: u32) -> PracticeGame {
    let fixture = Fixture::of_game(game_index);
    let (periods, events, log) = play_periods(params, game_index);
    let game_id: Id = format!("P{}-{game_index:03}", params.seed).into();
    let film = Film {
        game_id: game_id.clone(),
        params,
        fixture: &fixture,
        periods: &periods,
        log: &log,
    };
    let labels = measure_labels(&film);
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
        periods,
        params: params.clone(),
    }
}

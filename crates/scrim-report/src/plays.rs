//! Each ball screen with all that the tables know of it.

use std::collections::{BTreeMap, BTreeSet};

use scrim_tables::rows::{CoverageRow, DisguiseRow, EntryRow, OptionRow, PossessionRow, ScreenRow};
use scrim_tables::tags::{Alignment, Coverage, Entry, Outcome, Phase};

use crate::evidence::Points;
use crate::names::minutes;
use crate::{GameRows, TeamGames};

/// A ball screen or handoff, with the rows that go with it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ScreenPlay<'a> {
    /// Place of its game in [`TeamGames::games`].
    pub(crate) game_place: usize,
    /// How many games there are: with one, its id need not be told.
    pub(crate) games: usize,
    pub(crate) game: &'a GameRows,
    pub(crate) screen: &'a ScreenRow,
    pub(crate) possession: &'a PossessionRow,
    pub(crate) coverage: Option<&'a CoverageRow>,
    pub(crate) option: Option<&'a OptionRow>,
    pub(crate) entry: Option<&'a EntryRow>,
    pub(crate) disguise: Option<&'a DisguiseRow>,
}

impl ScreenPlay<'_> {
    /// What the screener's defender did, when it could be read.
    pub(crate) fn coverage_word(&self) -> Option<Coverage> {
        self.coverage
            .map(|row| row.coverage)
            .filter(|coverage| *coverage != Coverage::Unclear)
    }

    /// The action it came out of; `None` when that is not known.
    pub(crate) fn entry_word(&self) -> Option<Entry> {
        self.entry.map(|row| row.entry)
    }

    /// How unlikely the games before made it; `None` when none came before.
    pub(crate) fn surprise_bits(&self) -> Option<f32> {
        self.disguise.and_then(|row| row.surprise_bits)
    }

    /// Shape of the five when the set began.
    pub(crate) fn alignment(&self) -> Option<Alignment> {
        self.entry
            .and_then(|row| row.alignment)
            .or(self.possession.alignment)
    }

    /// The screen is set, or else used.
    pub(crate) fn t_set_s(&self) -> f64 {
        self.screen.t_set_s.unwrap_or(self.screen.t_use_s)
    }

    /// The game clock at an instant, s remaining.
    pub(crate) fn clock_s(&self, t_s: f64) -> Option<f64> {
        game_clock_s(self.game, self.possession, t_s)
    }

    /// Period and clock at the use: `P2 4:31`; without a clock, the time since the period's first frame: `P2 5:29 in`.
    pub(crate) fn when(&self) -> String {
        let period = self.screen.period;
        match self.clock_s(self.screen.t_use_s) {
            Some(clock_s) => format!("P{period} {}", minutes(clock_s)),
            None => format!("P{period} {} in", minutes(self.screen.t_use_s)),
        }
    }
}

/// The game clock at an instant of a possession: as the tracks have it, else from the clocks at the possession's ends
/// when it ran on without a stop between them.
pub(crate) fn game_clock_s(game: &GameRows, possession: &PossessionRow, t_s: f64) -> Option<f64> {
    from_tracks(game, possession.possession_id, t_s).or_else(|| {
        let start_s = f64::from(possession.game_clock_start_s?);
        let Some(end_s) = possession.game_clock_end_s else {
            return Some(start_s - (t_s - possession.t_start_s)).filter(|s| *s >= 0.0);
        };
        let (end_s, length_s) = (f64::from(end_s), possession.t_end_s - possession.t_start_s);
        // On the straight line between the two: exact when the clock ran all through, and never outside them.
        let share = if length_s > 0.0 {
            ((t_s - possession.t_start_s) / length_s).clamp(0.0, 1.0)
        } else {
            0.0
        };
        Some(start_s + (end_s - start_s) * share)
    })
}

fn from_tracks(game: &GameRows, possession_id: u32, t_s: f64) -> Option<f64> {
    let rows = game.tracks_of(possession_id);
    let row = rows.iter().find(|row| !row.game_clock_tenths.is_empty())?;
    let sample = ((t_s - row.t_start_s) * f64::from(row.hz)).round();
    if !(0.0..row.game_clock_tenths.len() as f64).contains(&sample) {
        return None;
    }
    row.game_clock_tenths[sample as usize].map(|tenths| f64::from(tenths) / 10.0)
}

/// A team's ball screens and those set against it.
#[derive(Debug)]
pub(crate) struct Plays<'a> {
    /// Its own.
    pub(crate) offense: Vec<ScreenPlay<'a>>,
    /// The opponents'.
    pub(crate) defense: Vec<ScreenPlay<'a>>,
    /// Its half-court trips.
    pub(crate) half_court_trips: usize,
    /// How many of them had a ball screen.
    pub(crate) trips_with_screen: usize,
    /// Spread of the points of all half-court trips of the games, both teams'; `None` when fewer than two are known.
    pub(crate) variance: Option<f64>,
}

impl<'a> Plays<'a> {
    /// All ball screens and handoffs of the games, in time order. One that was flipped is left out: the pair's next row
    /// is the same action.
    pub(crate) fn of(team: &'a TeamGames) -> Self {
        let mut plays = Self {
            offense: Vec::new(),
            defense: Vec::new(),
            half_court_trips: 0,
            trips_with_screen: 0,
            variance: None,
        };
        let ours = team.choice.team.as_str();
        let trips = team.games.iter().flat_map(|game| &game.possessions);
        let half_court = trips.filter(|row| row.phase == Phase::HalfCourt);
        plays.variance = Points::of(half_court.filter_map(|row| row.points)).variance();
        for (game_place, game) in team.games.iter().enumerate() {
            let coverages = by_screen(&game.coverages, |row| row.screen_id);
            let options = by_screen(&game.options, |row| row.screen_id);
            let entries = by_screen(&game.entries, |row| row.screen_id);
            let disguises = by_screen(&game.disguises, |row| row.screen_id);
            let possessions: BTreeMap<u32, &PossessionRow> = game
                .possessions
                .iter()
                .map(|row| (row.possession_id, row))
                .collect();
            let screens: Vec<&ScreenRow> = game
                .screens
                .iter()
                .filter(|row| row.on_ball && row.outcome != Outcome::Flipped)
                .collect();
            let with_screen: BTreeSet<u32> = screens.iter().map(|row| row.possession_id).collect();
            for possession in &game.possessions {
                if possession.offense_team_id.as_ref() == ours && possession.phase == Phase::HalfCourt {
                    plays.half_court_trips += 1;
                    plays.trips_with_screen += usize::from(with_screen.contains(&possession.possession_id));
                }
            }
            for screen in screens {
                let Some(&possession) = possessions.get(&screen.possession_id) else {
                    continue;
                };
                let play = ScreenPlay {
                    game_place,
                    games: team.games.len(),
                    game,
                    screen,
                    possession,
                    coverage: coverages.get(&screen.screen_id).copied(),
                    option: options.get(&screen.screen_id).copied(),
                    entry: entries.get(&screen.screen_id).copied(),
                    disguise: disguises.get(&screen.screen_id).copied(),
                };
                if possession.offense_team_id.as_ref() == ours {
                    plays.offense.push(play);
                } else {
                    plays.defense.push(play);
                }
            }
        }
        plays
    }
}

fn by_screen<R>(rows: &[R], id: impl Fn(&R) -> u32) -> BTreeMap<u32, &R> {
    rows.iter().map(|row| (id(row), row)).collect()
}

/// Points over the trips of some plays, each trip once, whatever number of ball screens it had: as `tendencies` counts.
pub(crate) fn points_of<'p, 'a: 'p>(plays: impl IntoIterator<Item = &'p ScreenPlay<'a>>) -> Points {
    let mut seen = BTreeSet::new();
    let trips = plays
        .into_iter()
        .filter(|play| seen.insert((play.game_place, play.possession.possession_id)));
    Points::of(trips.filter_map(|play| play.possession.points))
}

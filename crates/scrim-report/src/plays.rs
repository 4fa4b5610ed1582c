//! A team's screens on the ball, each with its game and clock.

use std::cmp::Reverse;
use std::collections::BTreeSet;
use std::ops::Deref;

use scrim_floor::{Definitions, Zone};
use scrim_season::ball_screens::{BallScreens, OnBallScreen, possession_points};
use scrim_season::questions::AskedScreen;
use scrim_season::words::Words;
use scrim_season::{GameClock, ScreenRows, ScreenTables, When};
use scrim_tables::Id;
use scrim_tables::tags::{Alignment, Coverage, Entry, Phase, RunResult, ScreenKind, TeamSide};

use crate::evidence::{Points, Share};
use crate::{GameRows, TeamGames};

/// A ball screen or handoff. Its rows are reached as if they were its own fields.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ScreenPlay<'a> {
    rows: ScreenRows<'a>,
    /// From whose side it is looked at.
    team: &'a str,
    /// How many games there are: with one, it need not be said which.
    pub(crate) games: usize,
    pub(crate) game: &'a GameRows,
    pub(crate) clock: &'a GameClock,
}

impl<'a> Deref for ScreenPlay<'a> {
    type Target = ScreenRows<'a>;

    fn deref(&self) -> &Self::Target {
        &self.rows
    }
}

impl OnBallScreen for ScreenPlay<'_> {
    fn kind(&self) -> ScreenKind {
        self.rows.kind()
    }

    fn teams(&self) -> [&Id; 2] {
        self.rows.teams()
    }

    fn coverage_tag(&self) -> Option<Coverage> {
        self.rows.coverage_tag()
    }

    fn entry_tag(&self) -> Option<(Entry, bool)> {
        self.rows.entry_tag()
    }

    fn last_of_look(&self) -> Option<Entry> {
        self.rows.last_of_look()
    }

    fn pair(&self) -> (&Id, &Id) {
        self.rows.pair()
    }

    fn zone(&self) -> Zone {
        self.rows.zone()
    }

    fn possession_key(&self) -> (usize, usize) {
        self.rows.possession_key()
    }

    fn possession_points(&self) -> Option<u8> {
        self.rows.possession_points()
    }
}

impl ScreenPlay<'_> {
    /// How unlikely the earlier games made it; `None` when there were none.
    pub(crate) fn surprise_bits(&self) -> Option<f32> {
        self.disguise.and_then(|row| row.surprise_bits)
    }

    /// Whether another action was likelier; `None` when there were no earlier games.
    pub(crate) fn is_disguised(&self) -> Option<bool> {
        self.disguise
            .filter(|row| row.surprise_bits.is_some())
            .map(|row| row.disguised)
    }

    /// Which one it is: its game among the games at hand, and its id.
    pub(crate) fn key(&self) -> (usize, u32) {
        (self.game_place, self.screen.screen_id)
    }

    /// The order in which plays are shown that weigh the same: those of the latest game first, within a game by time.
    pub(crate) fn latest_first(&self) -> (Reverse<usize>, u8, u32) {
        (
            Reverse(self.game_place),
            self.screen.period,
            self.screen.screen_id,
        )
    }

    /// What its game is called.
    pub(crate) fn game_called(&self, words: &Words) -> String {
        self.game.called(self.team, words)
    }

    /// How sure it is that it is a ball screen and was covered so.
    pub(crate) fn confidence(&self) -> f32 {
        self.screen.confidence * self.coverage.map_or(1.0, |row| row.confidence)
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

    /// An instant of its possession.
    pub(crate) fn at(&self, t_s: f64) -> When {
        self.clock.at(self.screen.period, self.screen.possession_id, t_s)
    }

    /// When it was used.
    pub(crate) fn when(&self) -> When {
        self.at(self.screen.t_use_s)
    }
}

/// The clocks of each game.
pub(crate) fn clocks_of(team: &TeamGames) -> Vec<GameClock> {
    let games = team.games.iter();
    games
        .map(|game| GameClock::of(&game.possessions, &game.tracks, &game.game.video_offset_s))
        .collect()
}

/// A team's ball screens and those set against it.
#[derive(Debug)]
pub(crate) struct Plays<'a> {
    /// Every screen on the ball, handoffs too, of both teams, in time order.
    pub(crate) on_ball: Vec<ScreenPlay<'a>>,
    /// Its own ball screens.
    pub(crate) offense: BallScreens<ScreenPlay<'a>>,
    /// The opponents' ball screens.
    pub(crate) defense: BallScreens<ScreenPlay<'a>>,
    /// Its own handoffs, which are no ball screens.
    pub(crate) handoffs: usize,
    /// Its half-court possessions.
    pub(crate) half_court: usize,
    /// How many of them had a ball screen.
    pub(crate) half_court_with_screen: usize,
    /// Spread of the points of all half-court possessions of the games, both teams'; `None` when fewer than two are known.
    pub(crate) variance: Option<f64>,
}

impl<'a> Plays<'a> {
    /// All ball screens and handoffs of the games, in time order. `clocks`: those of [`clocks_of`].
    pub(crate) fn of(team: &'a TeamGames, clocks: &'a [GameClock]) -> Self {
        let ours = team.choice.team.as_str();
        let all_half_court = team.games.iter().enumerate().flat_map(|(place, game)| {
            let rows = game.possessions.iter();
            rows.filter(|row| row.phase == Phase::HalfCourt)
                .map(move |row| (place, row))
        });
        let variance = Points::of(all_half_court.clone().filter_map(|(_, row)| row.points)).variance();
        let mut on_ball = Vec::new();
        for (game_place, (game, clock)) in team.games.iter().zip(clocks).enumerate() {
            let tables = ScreenTables {
                possessions: &game.possessions,
                screens: &game.screens,
                coverages: &game.coverages,
                options: &game.options,
                entries: &game.entries,
                disguises: &game.disguises,
            };
            on_ball.extend(tables.on_ball(game_place).into_iter().map(|rows| ScreenPlay {
                rows,
                team: ours,
                games: team.games.len(),
                game,
                clock,
            }));
        }
        let offense = BallScreens::of(on_ball.iter().copied(), ours, TeamSide::Offense);
        let with_screen: BTreeSet<(usize, usize)> =
            offense.all().iter().map(OnBallScreen::possession_key).collect();
        let (mut half_court, mut half_court_with_screen) = (0, 0);
        for (place, row) in all_half_court.filter(|(_, row)| row.offense_team_id.as_ref() == ours) {
            half_court += 1;
            half_court_with_screen += usize::from(with_screen.contains(&(place, row.possession_id as usize)));
        }
        Self {
            handoffs: on_ball
                .iter()
                .filter(|play| !play.is_ball_screen() && play.teams()[0].as_ref() == ours)
                .count(),
            defense: BallScreens::of(on_ball.iter().copied(), ours, TeamSide::Defense),
            on_ball,
            offense,
            half_court,
            half_court_with_screen,
            variance,
        }
    }
}

/// Points over the possessions of some ball screens, each possession once.
pub(crate) fn points_of<'p, 'a: 'p>(plays: impl IntoIterator<Item = &'p ScreenPlay<'a>>) -> Points {
    Points::of(possession_points(plays))
}

/// On how many of them the offence had the better: points, or an open shot; of those of which it is known.
pub(crate) fn beat_share<'p, 'a: 'p>(plays: impl IntoIterator<Item = &'p ScreenPlay<'a>>) -> Option<Share> {
    let results = plays
        .into_iter()
        .filter_map(|play| play.result(Definitions::DEFAULT.open_shot_m));
    let (hits, n) = results.fold((0, 0), |(hits, n), result| {
        (hits + usize::from(result == RunResult::Beat), n + 1)
    });
    Share::of(hits, n)
}

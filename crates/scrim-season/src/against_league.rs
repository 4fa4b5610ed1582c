//! How each team's ball screens differ from the other teams': what is counted, by question, team and game.
//!
//! - [`crate::questions`]: what is asked;
//! - `group`: what is compared with each other, its statistics;
//! - `standing`: the rows, and what each weighs;
//! - `once`: what stands out, each thing once.

mod group;
mod once;
mod standing;

use std::collections::{BTreeMap, BTreeSet};

use scrim_floor::Definitions;
use scrim_statistics::Sample;
use scrim_tables::rows::AgainstLeagueRow;
use scrim_tables::tags::{Question, TeamSide};

use crate::ball_screens::OnBallScreen;
use crate::facts::GameFacts;
use crate::play_in_game::PlayInGame;
use crate::questions::{Answer, Subject, ask, sides};
use crate::tally::Tally;
use crate::teams::Teams;
use group::Group;
pub use group::{FEWEST_COMPARED, FEWEST_HITS};
use once::rank;
pub use once::stands_out;
use standing::{ScreenPoints, Season};

/// An answer: a word, or none where yes is counted.
type Word = Option<std::borrow::Cow<'static, str>>;

/// One team's ball screens of one subject.
#[derive(Debug, Default)]
struct Counts {
    /// Of each game its number and how many.
    games: Vec<(u32, u32)>,
    /// All of them, whatever the answer.
    asked: Tally,
    /// Where words are counted.
    words: BTreeMap<Word, WordCounts>,
    /// Where values are.
    values: Values,
}

/// Those of them with one answer.
#[derive(Debug, Default)]
struct WordCounts {
    games: Vec<(u32, u32)>,
    tally: Tally,
}

/// Measured values.
#[derive(Debug, Default)]
struct Values {
    sample: Sample,
    /// Of each game its number and the sum.
    games: Vec<(u32, f64)>,
    tally: Tally,
}

/// One more of game number `game`. Games come one after the other.
fn add_to<T: std::ops::AddAssign>(games: &mut Vec<(u32, T)>, game: u32, value: T) {
    match games.last_mut().filter(|(last, _)| *last == game) {
        Some((_, sum)) => *sum += value,
        None => games.push((game, value)),
    }
}

impl Counts {
    fn n(&self) -> u32 {
        self.games.iter().map(|(_, n)| n).sum()
    }

    fn add(&mut self, screen: &PlayInGame<'_>, answer: &Answer) {
        let game = screen.game_place as u32;
        let (_, possession) = screen.possession_key();
        let points = screen.possession_points();
        add_to(&mut self.games, game, 1);
        self.asked.add(game, possession, points);
        let mut word = |word: Word, is_hit: bool| {
            let counts = self.words.entry(word).or_default();
            if is_hit {
                add_to(&mut counts.games, game, 1);
                counts.tally.add(game, possession, points);
            }
        };
        match answer {
            Answer::Word(None) => {}
            Answer::Word(Some(said)) => word(Some(said.clone()), true),
            Answer::Yes(is_hit) => word(None, *is_hit),
            Answer::Value(value) => {
                self.values.sample.add(*value);
                add_to(&mut self.values.games, game, *value);
                self.values.tally.add(game, possession, points);
            }
        }
    }
}

/// Each team's possessions with the ball and against it.
fn possessions(games: &[GameFacts], teams: &Teams) -> Vec<[u32; 2]> {
    let mut counts = vec![[0; 2]; teams.len()];
    for possession in games.iter().flat_map(|game| &game.possessions) {
        counts[teams.place(&possession.offense).0][0] += 1;
        counts[teams.place(&possession.defense).0][1] += 1;
    }
    counts
}

/// The points of the possessions with a ball screen.
fn screen_points(screens: &[PlayInGame<'_>], teams: &Teams) -> ScreenPoints {
    let mut points = ScreenPoints {
        all: Sample::default(),
        teams: vec![[Sample::default(); 2]; teams.len()],
    };
    let mut seen = BTreeSet::new();
    for screen in screens {
        let Some(scored) = screen.possession_points().map(f64::from) else {
            continue;
        };
        if !seen.insert(screen.possession_key()) {
            continue;
        }
        points.all.add(scored);
        for (side, team) in screen.teams().into_iter().enumerate() {
            points.teams[teams.place(team).0][side].add(scored);
        }
    }
    points
}

/// The rows of `against_league`, by team, side, question, subject and answer.
pub(crate) fn against_league_rows(
    games: &[GameFacts],
    teams: &Teams,
    definitions: &Definitions,
) -> Vec<AgainstLeagueRow> {
    let screens: Vec<PlayInGame<'_>> = games
        .iter()
        .enumerate()
        .flat_map(|(number, game)| game.plays_in_game(number))
        .filter(OnBallScreen::is_ball_screen)
        .collect();
    let mut groups: BTreeMap<(Question, TeamSide, Subject<'static>), Group<'_>> = BTreeMap::new();
    for screen in &screens {
        let places = screen.teams().map(|team| teams.place(team));
        for &question in Question::ALL {
            let Some((subject, answer)) = ask(question, screen, definitions.open_shot_m) else {
                continue;
            };
            for &side in sides(question) {
                let group = groups.entry((question, side, subject.of_anybody())).or_default();
                let counts = group.members.entry((places[side as usize], subject)).or_default();
                counts.add(screen, &answer);
            }
        }
    }
    let mut compared = Vec::new();
    for ((question, side, _), group) in &groups {
        group.compare(*question, *side, &mut compared);
    }
    let season = Season {
        teams,
        possessions: possessions(games, teams),
        points: screen_points(&screens, teams),
    };
    let mut rows = season.rows(compared);
    rank(&mut rows, &screens, definitions.open_shot_m);
    rows
}

#[cfg(test)]
mod tests;

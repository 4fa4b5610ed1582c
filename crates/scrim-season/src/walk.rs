//! Disguise, game by game in date order: each game is judged by the games before it, and only then learnt.

use std::collections::BTreeMap;

use scrim_statistics::median;
use scrim_tables::Id;
use scrim_tables::tags::{Coverage, Entry, Phase};

use crate::disguise::Disguise;
use crate::facts::{GameFacts, Play};
use crate::sequence_model::SequenceModel;
use crate::teams::{TeamIx, Teams};

/// Longest chain of actions, before the next one, that the model of sequences knows by itself; of a longer look it knows the last so
/// many actions. Beyond five hardly a look comes twice in a season.
const MAX_LOOK_TOKENS: usize = 5;

/// Puts into each ball screen of `games` what the earlier games say of it.
///
/// Games go in the order of their dates. Games of one day are judged before any of them is learnt: at tip-off, none of them
/// was known. Games whose date is not known come after all others, one by one in the order of their ids.
pub(crate) fn judge_disguise(games: &mut [GameFacts], teams: &Teams) {
    let mut record = Record {
        teams,
        model: SequenceModel::new(teams.len(), MAX_LOOK_TOKENS),
        lateness: BTreeMap::new(),
    };
    for day in days(games) {
        for &game in &day {
            let game = &mut games[game];
            let judged: Vec<Disguise> = game.plays.iter().map(|play| record.judge(game, play)).collect();
            for (play, disguise) in game.plays.iter_mut().zip(judged) {
                play.disguise = disguise;
            }
        }
        for &game in &day {
            record.learn(&games[game]);
        }
    }
}

/// The games' places, day by day.
fn days(games: &[GameFacts]) -> Vec<Vec<usize>> {
    let mut dated: BTreeMap<&Id, Vec<usize>> = BTreeMap::new();
    let mut undated: Vec<usize> = Vec::new();
    for (place, game) in games.iter().enumerate() {
        match &game.date {
            Some(date) => dated.entry(date).or_default().push(place),
            None => undated.push(place),
        }
    }
    undated.sort_by_key(|&place| games[place].partition.game_id());
    dated
        .into_values()
        .chain(undated.into_iter().map(|place| vec![place]))
        .collect()
}

/// Times that a team's lateness in a coverage must be known from earlier games before a defender is held against their median.
/// Common practice, no source.
const MIN_MEDIAN_RUNS: usize = 5;

/// What is known from the games so far.
struct Record<'a> {
    teams: &'a Teams,
    model: SequenceModel,
    /// How late screeners' defenders were, by their team and coverage, ascending.
    lateness: BTreeMap<(TeamIx, Coverage), Vec<f32>>,
}

impl Record<'_> {
    fn judge(&mut self, game: &GameFacts, play: &Play) -> Disguise {
        let possession = &game.possessions[play.possession];
        let offense = self.teams.place(&possession.offense);
        let came = Entry::from(play.kind);
        let forecast = self
            .model
            .forecast(offense, play.look.alignment, &play.look.tokens);
        let likelihood = forecast.map(|forecast| forecast[came as usize]);
        let is_likelier = |word: &&Entry| **word != Entry::None && **word != came;
        let disguised = play.entry.entry != Entry::None
            && self.model.knows(offense)
            && forecast.is_some_and(|forecast| {
                let mut others = Entry::ALL.iter().filter(is_likelier);
                others.any(|word| forecast[*word as usize] > forecast[came as usize])
            });
        Disguise {
            surprise_bits: likelihood.map(|likelihood| (-likelihood.log2()) as f32),
            disguised,
            lag_s: self.lag_s(self.teams.place(&possession.defense), play),
        }
    }

    fn lag_s(&self, defense: TeamIx, play: &Play) -> Option<f32> {
        let late_s = play
            .entry
            .screener_defender_late_s
            .filter(|late_s| late_s.is_finite())?;
        let before = self.lateness.get(&(defense, play.coverage))?;
        if before.len() < MIN_MEDIAN_RUNS {
            return None;
        }
        Some(late_s - median(before)?)
    }

    fn learn(&mut self, game: &GameFacts) {
        for possession in &game.possessions {
            if possession.phase == Phase::HalfCourt {
                self.model.learn(
                    self.teams.place(&possession.offense),
                    possession.alignment,
                    &possession.chain,
                );
            }
        }
        for play in &game.plays {
            if let Some(late_s) = play.entry.screener_defender_late_s
                && late_s.is_finite()
                && play.coverage != Coverage::Unclear
            {
                let defense = self.teams.place(&game.possessions[play.possession].defense);
                let known = self.lateness.entry((defense, play.coverage)).or_default();
                let place = known.partition_point(|other| *other <= late_s);
                known.insert(place, late_s);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;
    use crate::staging::{Staged, What};

    fn judged(games: &[GameFacts]) -> Vec<Vec<Disguise>> {
        let mut games = games.to_vec();
        let teams = Teams::of(&games);
        judge_disguise(&mut games, &teams);
        let of_game = |game: &GameFacts| game.plays.iter().map(|play| play.disguise).collect();
        games.iter().map(of_game).collect()
    }

    /// Ten possessions: out of a down screen a flare nine times, a ball screen once.
    fn flare_game(game_id: &str, date: Option<&str>) -> GameFacts {
        let mut staged = Staged::new(game_id, date);
        for k in 0..10 {
            let next = if k == 9 { "ball_screen:left" } else { "flare:left" };
            staged = staged.possession(&format!("horns down:left {next}"), Some(0), What::default());
        }
        staged.done()
    }

    #[test]
    fn the_first_game_has_nothing_before_it() {
        let found = judged(&[flare_game("g", Some("2041-01-01"))]);
        assert_eq!(found, vec![vec![Disguise::default()]]);
    }

    #[test]
    fn a_ball_screen_out_of_a_look_that_mostly_became_something_else_is_a_surprise_and_disguised() {
        let games = [
            flare_game("g1", Some("2041-01-01")),
            flare_game("g2", Some("2041-01-02")),
        ];
        let second = judged(&games)[1][0];
        // Once of ten: (1 - 1/2)/10 and 1/10 of the shorter chains' share, which is at most a half: 0.05 to 0.1.
        let bits = second.surprise_bits.unwrap();
        assert!((3.3..4.33).contains(&bits), "{bits}");
        assert!(second.disguised);
    }

    #[test]
    fn without_an_entry_nothing_is_disguised() {
        let plain = Staged::new("g2", Some("2041-01-02")).possession(
            "horns down:left ball_screen:left",
            Some(0),
            What {
                entry: Entry::None,
                ..What::default()
            },
        );
        let second = judged(&[flare_game("g1", Some("2041-01-01")), plain.done()])[1][0];
        assert!(second.surprise_bits.is_some() && !second.disguised);
    }

    #[test]
    fn a_team_without_a_record_has_the_leagues_surprise_and_no_disguise() {
        let other = Staged::new("g2", Some("2041-01-02")).possession_of(
            ["c", "d"],
            "horns down:left ball_screen:left",
            Some(0),
            What::default(),
        );
        let second = judged(&[flare_game("g1", Some("2041-01-01")), other.done()])[1][0];
        assert!(second.surprise_bits.unwrap() > 2.0 && !second.disguised);
    }

    #[test]
    fn no_game_knows_its_own_day_and_games_without_a_day_come_last_by_id() {
        let games = [
            flare_game("a", None),
            flare_game("b", None),
            flare_game("y", Some("2041-01-02")),
            flare_game("z", Some("2041-01-02")),
        ];
        let bits: Vec<Option<f32>> = judged(&games).iter().map(|game| game[0].surprise_bits).collect();
        assert_eq!((bits[2], bits[3]), (None, None));
        // The same share of more: a little nearer to 1 in 10.
        let (first, second) = (bits[0].unwrap(), bits[1].unwrap());
        assert!(first > second || (first - second).abs() < 0.1, "{first} {second}");
        assert!(bits[0] != bits[1]);
    }

    #[test]
    fn a_defender_is_held_against_his_teams_median_in_the_coverage_from_before() {
        let lates = |game_id, date, lates: &[(f32, Coverage)]| {
            let mut staged = Staged::new(game_id, Some(date));
            for &(late_s, coverage) in lates {
                let what = What {
                    late_s: Some(late_s),
                    coverage,
                    ..What::default()
                };
                staged = staged.possession("horns ball_screen:left", None, what);
            }
            staged.done()
        };
        let drop = |late_s| (late_s, Coverage::Drop);
        let games = [
            lates("g1", "2041-01-01", &[0.1, 0.2, 0.3, 0.4, 9.0].map(drop)),
            lates("g2", "2041-01-02", &[drop(0.5), (0.5, Coverage::Switch)]),
            lates("g3", "2041-01-03", &[drop(0.5)]),
        ];
        let found = judged(&games);
        assert!(found[0].iter().all(|play| play.lag_s.is_none()));
        assert_relative_eq!(found[1][0].lag_s.unwrap(), 0.2);
        // Switches were not seen before; and by the third game the median is between 0.3 and 0.4.
        assert_eq!(found[1][1].lag_s, None);
        assert_relative_eq!(found[2][0].lag_s.unwrap(), 0.15, epsilon = 1e-6);
    }
}

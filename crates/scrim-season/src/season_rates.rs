//! The rates of a season's tables, taken apart by game: what each game adds above and below each line. For whoever asks how a rate
//! would vary with the games, or holds two outputs of the same games side by side.
//!
//! A game's part is read off the rows that the season's own counting makes of that game alone, so that nothing is counted in two ways.

use std::collections::BTreeMap;

use scrim_floor::Definitions;
use scrim_tables::rows::{CounterRow, DisguisePayRow, TendencyRow};
use scrim_tables::tags::{Coverage, Grouping, TeamSide};
use scrim_tables::{Id, Row};

use crate::SeasonParams;
use crate::counters::counter_rows;
use crate::disguise_pay::disguise_pay_rows;
use crate::facts::GameFacts;
use crate::teams::Teams;
use crate::tendencies::tendency_rows;
use crate::walk::judge_disguise;

/// Which rate, or mean, of which row.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct RateOf {
    /// The season table.
    pub table: &'static str,
    /// Its column.
    pub column: &'static str,
    /// The team; `None` is the league.
    pub team_id: Option<Id>,
    /// With the ball or against it; `None` where the table does not part the two.
    pub side: Option<TeamSide>,
    /// What the row is counted by: the grouping, or coverage, option and result of a run.
    pub group: String,
    /// Which one.
    pub key: String,
}

/// What a rate is counted among.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Among {
    /// All ball screens.
    BallScreens,
    /// Those whose coverage is clear.
    Clear,
    /// Those that came out of an entry.
    OfEntry(String),
    /// Those of them whose coverage is clear.
    ClearOfEntry(String),
    /// Pairs of runs that began so.
    Runs(String),
    /// What no other rate is counted among.
    Own(RateOf),
}

type Base = (Option<Id>, Option<TeamSide>, Among);

/// A number a game, by the game's place.
type ByGame = BTreeMap<usize, f64>;

/// The rates of a season, by game.
#[derive(Debug, Clone, Default)]
pub struct SeasonRates {
    above: BTreeMap<RateOf, ByGame>,
    below: BTreeMap<Base, ByGame>,
    min_look_n: u32,
}

impl RateOf {
    fn base(&self) -> Base {
        let is_unclear = |word: &str| word == Coverage::Unclear.as_str();
        let among = if self.table == CounterRow::TABLE {
            Among::Runs(self.group.clone())
        } else if self.table == TendencyRow::TABLE && self.column == RATE {
            match Grouping::ALL.iter().find(|word| word.as_str() == self.group) {
                Some(Grouping::Entry | Grouping::Pair | Grouping::Zone) => Among::BallScreens,
                Some(Grouping::Coverage) if is_unclear(&self.key) => Among::BallScreens,
                Some(Grouping::Coverage) => Among::Clear,
                Some(Grouping::EntryCoverage) => {
                    let (entry, coverage) = self.key.rsplit_once('/').unwrap_or((&self.key, ""));
                    if is_unclear(coverage) {
                        Among::OfEntry(entry.into())
                    } else {
                        Among::ClearOfEntry(entry.into())
                    }
                }
                Some(Grouping::Look) | None => Among::Own(self.clone()),
            }
        } else {
            Among::Own(self.clone())
        };
        (self.team_id.clone(), self.side, among)
    }
}

const RATE: &str = "rate";

impl SeasonRates {
    /// Of the games of one season. They are sorted; what the earlier games say of each ball screen is put into them, as
    /// [`build_season`](crate::build_season) does.
    pub fn of(games: &mut [GameFacts], params: &SeasonParams, definitions: &Definitions) -> Self {
        games.sort_by(|a, b| a.partition.cmp(&b.partition));
        let teams = Teams::of(games);
        judge_disguise(games, &teams);
        // Every look of a game counts: whether a look has a row is a matter of the season.
        let of_one = SeasonParams {
            min_look_n: 1,
            ..params.clone()
        };
        let mut rates = Self {
            min_look_n: params.min_look_n,
            ..Self::default()
        };
        for (place, game) in games.iter().enumerate() {
            let game = std::slice::from_ref(game);
            let teams = Teams::of(game);
            for row in tendency_rows(game, &teams, &of_one) {
                rates.add_tendency(place, &row);
            }
            for row in counter_rows(game, &of_one, definitions) {
                rates.add_counter(place, row);
            }
            for row in disguise_pay_rows(game, &teams, definitions) {
                rates.add_pay(place, &row);
            }
        }
        rates
    }

    /// Each rate that has a row in the season's tables, in order.
    pub fn rates(&self) -> impl Iterator<Item = &RateOf> {
        self.above.keys().filter(|rate| {
            let is_of_look = rate.table == TendencyRow::TABLE && rate.group == Grouping::Look.as_str();
            let of_look = || RateOf {
                column: RATE,
                ..(*rate).clone()
            };
            !is_of_look || self.n(&of_look()) >= f64::from(self.min_look_n)
        })
    }

    /// How often what the rate is of could have been.
    pub fn n(&self, rate: &RateOf) -> f64 {
        self.below
            .get(&rate.base())
            .map_or(0.0, |games| games.values().sum())
    }

    /// Every game that has a part in the rate, by its place among the sorted games: above the line, and below it.
    pub fn parts(&self, rate: &RateOf) -> BTreeMap<usize, (f64, f64)> {
        let above = self.above.get(rate);
        let below = self.below.get(&rate.base()).into_iter().flatten();
        let part = |(&game, &below): (&usize, &f64)| {
            let above = above.and_then(|games| games.get(&game)).copied();
            (game, (above.unwrap_or(0.0), below))
        };
        below.map(part).collect()
    }

    fn add(&mut self, game: usize, rate: RateOf, above: f64) {
        self.above.entry(rate).or_default().insert(game, above);
    }

    fn among(&mut self, game: usize, base: Base, below: f64) {
        self.below.entry(base).or_default().insert(game, below);
    }

    fn add_tendency(&mut self, game: usize, row: &TendencyRow) {
        let rate = RateOf {
            table: TendencyRow::TABLE,
            column: RATE,
            team_id: Some(row.team_id.clone()),
            side: Some(row.side),
            group: row.grouping.to_string(),
            key: row.key.clone(),
        };
        if row.grouping == Grouping::Entry {
            let of_entry = Among::OfEntry(row.key.clone());
            self.among(game, (rate.team_id.clone(), rate.side, of_entry), row.hits.into());
        }
        self.among(game, rate.base(), row.n.into());
        if let Some(points) = row.points_per_play {
            let rate = RateOf {
                column: "points_per_play",
                ..rate.clone()
            };
            // Points are whole.
            self.add(
                game,
                rate.clone(),
                (f64::from(points) * f64::from(row.possessions)).round(),
            );
            self.among(game, rate.base(), row.possessions.into());
        }
        let hits = row.expected_hits.map_or(f64::from(row.hits), f64::from);
        self.add(game, rate, hits);
    }

    fn add_counter(&mut self, game: usize, row: CounterRow) {
        let rate = RateOf {
            table: CounterRow::TABLE,
            column: RATE,
            team_id: row.team_id,
            side: Some(row.side),
            group: format!("{} {} {}", row.coverage, row.option, row.result),
            key: row.next,
        };
        self.among(game, rate.base(), row.n.into());
        self.add(game, rate, row.hits.into());
    }

    fn add_pay(&mut self, game: usize, row: &DisguisePayRow) {
        let arms = [
            ("disguised", row.disguised, row.disguised_n),
            ("plain", row.plain, row.plain_n),
        ];
        for (column, mean, n) in arms {
            let Some(mean) = mean else { continue };
            let rate = RateOf {
                table: DisguisePayRow::TABLE,
                column,
                team_id: row.team_id.clone(),
                side: None,
                group: String::new(),
                key: row.measure.to_string(),
            };
            self.among(game, rate.base(), n.into());
            self.add(game, rate, f64::from(mean) * f64::from(n));
        }
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;
    use crate::build_season;
    use crate::staging::{Staged, What};

    fn season() -> Vec<GameFacts> {
        let what = |coverage, entry| What {
            coverage,
            entry,
            ..What::default()
        };
        use scrim_tables::tags::Entry::{None, Rub};
        let set = "horns down:left ball_screen:left";
        vec![
            Staged::new("g1", Some("2031-01-01"))
                .possession(set, Some(3), what(Coverage::Drop, Rub))
                .possession(set, Some(0), what(Coverage::Switch, None))
                .possession(
                    "horns rub:right ball_screen:right",
                    Some(2),
                    what(Coverage::Unclear, Rub),
                )
                .done(),
            // No drop, no unclear one, and no entry `none` here: they count below the lines nevertheless.
            Staged::new("g2", Some("2031-01-03"))
                .possession(set, Some(0), what(Coverage::Switch, Rub))
                .possession(set, Some(2), what(Coverage::Switch, Rub))
                .done(),
            Staged::new("g3", Some("2031-01-05"))
                .possession(set, Option::None, what(Coverage::Unclear, None))
                .possession(set, Some(1), what(Coverage::Drop, None))
                .done(),
        ]
    }

    #[test]
    fn the_games_parts_add_up_to_the_rows_of_the_season() {
        let params = SeasonParams {
            min_look_n: 2,
            ..SeasonParams::default()
        };
        let mut games = season();
        let tables = build_season(&mut games, &params, &Definitions::DEFAULT);
        let rates = SeasonRates::of(&mut season(), &params, &Definitions::DEFAULT);
        let sum = |rate: &RateOf| {
            let parts = rates.parts(rate);
            parts.values().fold((0.0, 0.0), |(above, below), part| {
                (above + part.0, below + part.1)
            })
        };
        let mut listed = rates.rates().count();
        for row in &tables.tendencies {
            let rate = RateOf {
                table: "tendencies",
                column: "rate",
                team_id: Some(row.team_id.clone()),
                side: Some(row.side),
                group: row.grouping.to_string(),
                key: row.key.clone(),
            };
            assert_eq!(sum(&rate), (row.hits.into(), row.n.into()), "{rate:?}");
            listed -= 1;
            if let Some(points) = row.points_per_play {
                let rate = RateOf {
                    column: "points_per_play",
                    ..rate
                };
                let (above, below) = sum(&rate);
                assert_relative_eq!(above / below, f64::from(points), epsilon = 1e-6);
                assert_eq!(below, f64::from(row.possessions));
                listed -= 1;
            }
        }
        for row in &tables.counters {
            let rate = RateOf {
                table: "counters",
                column: "rate",
                team_id: row.team_id.clone(),
                side: Some(row.side),
                group: format!("{} {} {}", row.coverage, row.option, row.result),
                key: row.next.clone(),
            };
            assert_eq!(sum(&rate), (row.hits.into(), row.n.into()), "{rate:?}");
            listed -= 1;
        }
        let mut arms = 0;
        for row in &tables.disguise_pay {
            for (column, mean, n) in [
                ("disguised", row.disguised, row.disguised_n),
                ("plain", row.plain, row.plain_n),
            ] {
                let rate = RateOf {
                    table: "disguise_pay",
                    column,
                    team_id: row.team_id.clone(),
                    side: None,
                    group: String::new(),
                    key: row.measure.to_string(),
                };
                let (above, below) = sum(&rate);
                assert_eq!(below, f64::from(n), "{rate:?}");
                if let Some(mean) = mean {
                    assert_relative_eq!(above / below, f64::from(mean), epsilon = 1e-6);
                    listed -= 1;
                    arms += 1;
                }
            }
        }
        assert!(arms > 0 && !tables.counters.is_empty());
        // And there is no rate that has no row.
        assert_eq!(listed, 0);
    }
}

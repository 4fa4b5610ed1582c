//! What one team does, in words, for a coach: looks, flow, disguise, counters, and the possessions to look up.

mod words;

use scrim_floor::Definitions;
use std::fmt::Write;

use scrim_tables::Id;
use scrim_tables::chain::merged;
use scrim_tables::rows::{CounterRow, DisguisePayRow, TendencyRow};
use scrim_tables::tags::{Coverage, Entry, Grouping, PayMeasure, RunResult, ScreenKind, TeamSide};

use crate::SeasonParams;
use crate::counters::{ANY_OPTION, counter_rows, option_of, pairs_of_runs, result_of};
use crate::disguise_pay::disguise_pay_rows;
use crate::facts::{GameFacts, Play, Trip};
use crate::look::Look;
use crate::teams::Teams;
use crate::tendencies::tendency_rows;
use crate::walk::judge_disguise;

/// How many lines a part has at most, and how many possessions to look up a line.
const LINES: usize = 6;
const PLACES: usize = 3;
/// How many answers to one situation.
const ANSWERS: usize = 2;

/// Tells what `team` does: over its last `last` games, or all of `games`, which are a season's. `None` when the team has no
/// possession in them.
pub fn tell_team(
    mut games: Vec<GameFacts>,
    team: &str,
    last: Option<u32>,
    params: &SeasonParams,
    definitions: &Definitions,
) -> Option<String> {
    games.sort_by(|a, b| a.partition.cmp(&b.partition));
    let teams = Teams::of(&games);
    judge_disguise(&mut games, &teams, params);
    let mut pay = disguise_pay_rows(&games, &teams, definitions);
    pay.retain(|row| row.team_id.as_deref().is_none_or(|id| id == team));
    games.retain(|game| {
        let mut trips = game.possessions.iter();
        trips.any(|trip| trip.offense.as_ref() == team || trip.defense.as_ref() == team)
    });
    // Dated games first, as the season takes them; the last are the latest.
    games.sort_by(|a, b| {
        let key = |game: &GameFacts| {
            (
                game.date.is_none(),
                game.date.clone(),
                game.partition.game_id().to_owned(),
            )
        };
        key(a).cmp(&key(b))
    });
    if let Some(last) = last {
        games.drain(..games.len().saturating_sub(last as usize));
    }
    if games.is_empty() {
        return None;
    }
    let digest = Digest {
        team,
        tendencies: tendency_rows(
            &games,
            &Teams::of(&games),
            &SeasonParams {
                min_look_n: 1,
                ..params.clone()
            },
        ),
        counters: counter_rows(&games, params, definitions),
        pay,
        games: &games,
        definitions,
    };
    Some(digest.told())
}

struct Digest<'a> {
    team: &'a str,
    games: &'a [GameFacts],
    tendencies: Vec<TendencyRow>,
    counters: Vec<CounterRow>,
    pay: Vec<DisguisePayRow>,
    definitions: &'a Definitions,
}

/// A ball screen of the team, and where it is.
#[derive(Clone, Copy)]
struct Found<'a> {
    game: &'a GameFacts,
    trip: &'a Trip,
    play: &'a Play,
}

impl Found<'_> {
    fn place(&self) -> String {
        words::place(self.game, self.trip, self.play)
    }
}

impl<'a> Digest<'a> {
    fn told(&self) -> String {
        let mut text = String::new();
        for part in [
            self.headline(),
            self.looks(),
            self.entries(),
            self.disguise(),
            self.counters_of(TeamSide::Offense),
            self.coverages(),
            self.counters_of(TeamSide::Defense),
        ] {
            text.push_str(&part);
            text.push('\n');
        }
        text.push_str(
            "Bounds are 95 %. Every line is an estimate from tags that are estimates: look at the film before acting on it.\n",
        );
        text
    }

    fn headline(&self) -> String {
        let dates: Vec<&Id> = self.games.iter().filter_map(|game| game.date.as_ref()).collect();
        let span = match (dates.first(), dates.last()) {
            (Some(first), Some(last)) => format!(", {first} to {last}"),
            _ => ", dates not known".to_owned(),
        };
        let screens = self.ball_screens().count();
        let trips = self.games.iter().flat_map(|game| &game.possessions);
        let ours = trips.filter(|trip| trip.offense.as_ref() == self.team).count();
        format!(
            "{}: {} games{span}; {ours} possessions, {screens} ball screens with the ball\n",
            self.team,
            self.games.len()
        )
    }

    /// Its ball screens with the ball, the latest first.
    fn ball_screens(&self) -> impl Iterator<Item = Found<'a>> + '_ {
        let plays = self.games.iter().rev().flat_map(|game| {
            game.plays.iter().rev().map(|play| Found {
                game,
                trip: &game.possessions[play.trip],
                play,
            })
        });
        plays.filter(|found| {
            found.trip.offense.as_ref() == self.team && found.play.kind == ScreenKind::BallScreen
        })
    }

    fn rows(&self, side: TeamSide, grouping: Grouping) -> Vec<&TendencyRow> {
        let ours = self
            .tendencies
            .iter()
            .filter(|row| row.team_id.as_ref() == self.team && row.side == side && row.grouping == grouping);
        ours.collect()
    }

    fn to_look_up(found: impl Iterator<Item = Found<'a>>) -> String {
        let places: Vec<String> = found.take(PLACES).map(|found| found.place()).collect();
        if places.is_empty() {
            String::new()
        } else {
            format!("      look up: {}\n", places.join(" · "))
        }
    }

    fn looks(&self) -> String {
        let mut rows = self.rows(TeamSide::Offense, Grouping::Look);
        // An alignment alone is no disguise yet; a look that never became a ball screen is told by the tables.
        rows.retain(|row| row.key.contains(' ') && row.hits > 0);
        rows.sort_by(|a, b| b.n.cmp(&a.n).then(a.key.cmp(&b.key)));
        let mut text =
            "LOOKS, and how often the very next action was a ball screen (mirror images are one)\n"
                .to_owned();
        if rows.is_empty() {
            text.push_str("  None became a ball screen.\n");
        }
        for row in rows.into_iter().take(LINES) {
            let told = Look::parse(&row.key).map_or_else(|_| row.key.clone(), |look| words::look(&look));
            // Writing to a String cannot fail, here and below.
            let _ = writeln!(
                text,
                "  {told}\n      {}, in {} games",
                words::rate(row),
                row.games
            );
            if let Some(points) = words::points(row) {
                let _ = writeln!(text, "      {points}");
            }
            if let (Some(bits), Some(low), Some(high)) = (
                row.next_action_entropy_bits,
                row.entropy_low_bits,
                row.entropy_high_bits,
            ) {
                let _ = writeln!(
                    text,
                    "      hard to foretell by {bits:.1} bits ({low:.1} to {high:.1}): 0 is always the same, 1 a coin"
                );
            }
            text.push_str(&Self::to_look_up(
                self.ball_screens()
                    .filter(|found| found.play.entry.set_key == row.key),
            ));
        }
        text
    }

    fn entries(&self) -> String {
        let mut rows = self.rows(TeamSide::Offense, Grouping::Entry);
        rows.sort_by(|a, b| b.hits.cmp(&a.hits).then(a.key.cmp(&b.key)));
        let mut text = "FLOW: what its ball screens came out of\n".to_owned();
        for row in rows.into_iter().take(LINES) {
            let entry = row.key.parse().unwrap_or(Entry::None);
            let points = words::points(row).unwrap_or_else(|| "points not known".into());
            let _ = writeln!(text, "  {}: {}; {points}", words::action(entry), words::rate(row));
            text.push_str(&Self::to_look_up(
                self.ball_screens()
                    .filter(|found| found.play.came_out_of() == entry),
            ));
        }
        text
    }

    fn disguise(&self) -> String {
        let mut text =
            "DISGUISE: out of an entry, with another action likelier by the team's games before\n".to_owned();
        let is_known = self
            .ball_screens()
            .any(|found| found.play.disguise.surprise_bits.is_some());
        if !is_known {
            text.push_str("  Not known: the season has no games before these.\n");
            return text;
        }
        for row in &self.pay {
            text.push_str(&told_pay(row));
        }
        let mut worked: Vec<Found<'_>> = self
            .ball_screens()
            .filter(|found| found.play.disguise.disguised)
            .filter(|found| {
                let points = found.trip.points;
                result_of(found.play, points, self.definitions.open_shot_m) == Some(RunResult::Beat)
            })
            .collect();
        let all = self
            .ball_screens()
            .filter(|found| found.play.disguise.disguised)
            .count();
        let _ = writeln!(
            text,
            "  {all} disguised, {} of them with points or an open shot; the most surprising of these:",
            worked.len()
        );
        // Stable: of equal ones the latest first.
        worked.sort_by(|a, b| {
            let bits = |found: &Found<'_>| found.play.disguise.surprise_bits.unwrap_or(0.0);
            bits(b).total_cmp(&bits(a))
        });
        for found in worked.into_iter().take(LINES) {
            let Play { look, disguise, .. } = found.play;
            let shown = Look {
                alignment: look.alignment,
                tokens: merged(&look.tokens).collect(),
            };
            let bits = disguise.surprise_bits.unwrap_or(0.0);
            let option = option_of(found.play).unwrap_or_else(|| "option unclear".into());
            let points = found
                .trip
                .points
                .map_or("points not known".into(), |points| format!("{points} points"));
            let space = found.play.shot.and_then(|shot| shot.space_m);
            let space = space.map_or(String::new(), |space_m| format!(", shot with {space_m:.1} m"));
            let lag = disguise.lag_s;
            let lag = lag.map_or(String::new(), |lag_s| {
                format!(", screener's defender {lag_s:+.1} s")
            });
            let _ = writeln!(
                text,
                "    {}: {}\n      {bits:.1} bits; {}, {option}, {points}{space}{lag}",
                found.place(),
                words::look(&shown),
                found.play.coverage
            );
        }
        text
    }

    fn coverages(&self) -> String {
        let mut rows = self.rows(TeamSide::Defense, Grouping::Coverage);
        rows.sort_by(|a, b| b.hits.cmp(&a.hits).then(a.key.cmp(&b.key)));
        let mut text = "COVERAGE: how it guards ball screens\n".to_owned();
        for row in rows {
            let points = words::points(row).unwrap_or_else(|| "points not known".into());
            let _ = writeln!(text, "  {}: {}; {points} against it", row.key, words::rate(row));
        }
        text
    }

    fn counters_of(&self, side: TeamSide) -> String {
        let mut text = match side {
            TeamSide::Offense => "COUNTERS with the ball: what came in the next run of the same set\n",
            TeamSide::Defense => "COUNTERS on defence: how the next run of the same set was covered\n",
        }
        .to_owned();
        let ours = |row: &&CounterRow| {
            row.team_id.as_deref() == Some(self.team) && row.side == side && row.option == ANY_OPTION
        };
        let mut rows: Vec<&CounterRow> = self.counters.iter().filter(ours).collect();
        rows.sort_by(|a, b| {
            b.n.cmp(&a.n)
                .then_with(|| (a.coverage, a.result).cmp(&(b.coverage, b.result)))
                .then_with(|| b.hits.cmp(&a.hits))
                .then_with(|| a.next.cmp(&b.next))
        });
        if rows.is_empty() {
            text.push_str("  No set was run twice in a game with a known result.\n");
        }
        // The likeliest answers of several situations tell more than every answer of one.
        let mut told: Vec<(Coverage, RunResult)> = Vec::new();
        rows.retain(|row| {
            let situation = (row.coverage, row.result);
            told.push(situation);
            told.iter().filter(|other| **other == situation).count() <= ANSWERS
        });
        for row in rows.into_iter().take(LINES) {
            let after = match row.result {
                RunResult::Beat => "after it gave up points or an open shot",
                RunResult::Beaten => "after it held",
            };
            let rate = words::counter_rate(row);
            let _ = writeln!(text, "  {} {after}: {}, {rate}", row.coverage, row.next);
            text.push_str(&Self::to_look_up(self.answers(row)));
        }
        text
    }

    /// The second runs of the pairs behind a counter, the latest first.
    fn answers<'b>(&'b self, row: &'b CounterRow) -> impl Iterator<Item = Found<'a>> + 'b {
        let pairs = self.games.iter().rev().flat_map(|game| {
            let pairs = pairs_of_runs(game).into_iter().rev();
            pairs.map(move |(run, next)| (game, run, next))
        });
        pairs.filter_map(move |(game, run, next)| {
            let trip = &game.possessions[run.trip];
            let (team, answer) = match row.side {
                TeamSide::Offense => (&trip.offense, option_of(next)),
                TeamSide::Defense => (&trip.defense, Some(next.coverage.to_string())),
            };
            let is_one = team.as_ref() == self.team
                && run.coverage == row.coverage
                && result_of(run, trip.points, self.definitions.open_shot_m) == Some(row.result)
                && answer.as_deref() == Some(row.next.as_str());
            is_one.then(|| Found {
                game,
                trip: &game.possessions[next.trip],
                play: next,
            })
        })
    }
}

/// One comparison of disguised and plain, over the whole season.
fn told_pay(row: &DisguisePayRow) -> String {
    let (what, unit) = match row.measure {
        PayMeasure::PointsPerPlay => ("points", ""),
        PayMeasure::OpenShotRate => ("share of shots that were open", ""),
        PayMeasure::DefenderLag => ("screener's defender later than his median", " s"),
    };
    let who = if row.team_id.is_some() {
        "its season"
    } else {
        "the league"
    };
    let numbers = row
        .disguised
        .zip(row.plain)
        .zip(row.difference.zip(row.difference_low.zip(row.difference_high)));
    let Some(((disguised, plain), (difference, (low, high)))) = numbers else {
        return format!(
            "  {who}, {what}: not known ({} disguised, {} plain)\n",
            row.disguised_n, row.plain_n
        );
    };
    let few = words::doubt(row.disguised_n.min(row.plain_n));
    let mut text = format!(
        "  {who}, {what}: {disguised:.2}{unit} disguised ({}) against {plain:.2}{unit} plain ({}): {difference:+.2} ({low:+.2} to {high:+.2}{few})",
        row.disguised_n, row.plain_n
    );
    if let (Some(shrunk), Some(low), Some(high)) = (row.shrunk, row.shrunk_low, row.shrunk_high) {
        let _ = write!(
            text,
            "; with what the league tells: {shrunk:+.2} ({low:+.2} to {high:+.2})"
        );
    }
    text.push('\n');
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build_season;
    use crate::staging::{Staged, What};

    fn season() -> Vec<GameFacts> {
        let open = What {
            space_m: Some(2.4),
            ..What::default()
        };
        let game = |id: &str, date: &str| {
            let mut staged = Staged::new(id, Some(date));
            for k in 0..8 {
                let next = if k == 7 { "ball_screen:left" } else { "flare:left" };
                staged = staged.trip(&format!("horns down:left {next}"), Some(3), open);
            }
            staged
        };
        let again = "horns down:right ball_screen:right";
        let mut games = vec![
            game("g1", "2041-01-01").done(),
            game("g2", "2041-01-05")
                .trip(again, Some(0), What::default())
                .done(),
        ];
        build_season(&mut games, &SeasonParams::default(), &Definitions::DEFAULT);
        games
    }

    #[test]
    fn every_part_is_told_with_its_numbers_and_where_to_look() {
        let told = tell_team(
            season(),
            "a",
            None,
            &SeasonParams::default(),
            &Definitions::DEFAULT,
        )
        .unwrap();
        for part in [
            "a: 2 games, 2041-01-01 to 2041-01-05; 17 possessions, 3 ball screens",
            "horns > down screen right\n      3 of 17 (18 %, 6 to 41 %; weak, few), in 2 games",
            // The last of its game: the ninth possession, at 600 - 8 * 20 - 5 s = 7:15.
            "look up: game g2, period 1, 7:15",
            "down screen: 3 of 3",
            "2 disguised, 1 of them with points or an open shot",
            "drop after it gave up points or an open shot: roll+drive, 1 of 1",
            "look at the film",
        ] {
            assert!(told.contains(part), "no `{part}` in:\n{told}");
        }
    }

    #[test]
    fn the_last_games_are_the_latest_by_date() {
        let told = tell_team(
            season(),
            "a",
            Some(1),
            &SeasonParams::default(),
            &Definitions::DEFAULT,
        )
        .unwrap();
        assert!(told.starts_with("a: 1 games, 2041-01-05 to 2041-01-05"), "{told}");
        assert!(!told.contains("game g1"), "{told}");
    }

    #[test]
    fn the_defence_is_told_of_the_other_team() {
        let told = tell_team(
            season(),
            "b",
            None,
            &SeasonParams::default(),
            &Definitions::DEFAULT,
        )
        .unwrap();
        assert!(told.contains("drop: 3 of 3"), "{told}");
        assert!(
            told.contains("drop after it gave up points or an open shot: drop, 1 of 1"),
            "{told}"
        );
    }

    #[test]
    fn of_a_team_that_is_not_there_nothing_is_told() {
        assert_eq!(
            tell_team(
                season(),
                "z",
                None,
                &SeasonParams::default(),
                &Definitions::DEFAULT
            ),
            None
        );
    }
}

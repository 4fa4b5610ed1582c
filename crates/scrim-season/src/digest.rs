//! What one team does, in words, for a coach: looks, entries, disguise, coverages, counters, and the possessions to look up.

mod counters;
mod disguise;
mod numbers;

use std::fmt::Write;

use scrim_floor::Definitions;
use scrim_tables::Id;
use scrim_tables::rows::{CounterRow, DisguisePayRow, TendencyRow};
use scrim_tables::tags::{Entry, Grouping, TeamSide};

use crate::SeasonParams;
use crate::ball_screens::{BallScreens, Before, OnBallScreen};
use crate::clock::GameClock;
use crate::counters::counter_rows;
use crate::disguise_pay::disguise_pay_rows;
use crate::facts::GameFacts;
use crate::play_in_game::PlayInGame;
use crate::teams::Teams;
use crate::tendencies::tendency_rows;
use crate::walk::judge_disguise;
use crate::words::Words;

/// How many lines a part has at most, and how many possessions to look up a line.
const LINES: usize = 6;
const PLACES: usize = 3;

/// Describes what `team` does: over its last `last` games, or all of `games`, which are a season's. `clock_of` gives the clocks of a
/// game that is named. `None` when the team has no possession in them.
pub fn describe_team(
    mut games: Vec<GameFacts>,
    team: &str,
    last: Option<u32>,
    params: &SeasonParams,
    definitions: &Definitions,
    clock_of: impl Fn(&GameFacts) -> GameClock,
) -> Option<String> {
    games.sort_by(|a, b| a.partition.cmp(&b.partition));
    let teams = Teams::of(&games);
    judge_disguise(&mut games, &teams);
    let mut pay = disguise_pay_rows(&games, &teams, definitions);
    pay.retain(|row| row.team_id.as_deref().is_none_or(|id| id == team));
    games.retain(|game| {
        let mut possessions = game.possessions.iter();
        possessions
            .any(|possession| possession.offense.as_ref() == team || possession.defense.as_ref() == team)
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
    // The latest first, for these are the ones to look up.
    let screens = games
        .iter()
        .enumerate()
        .rev()
        .flat_map(|(place, game)| game.plays_in_game(place).rev());
    let digest = Digest {
        team,
        screens: BallScreens::of(screens, team, TeamSide::Offense),
        clocks: games.iter().map(clock_of).collect(),
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
        words: Words::english(),
    };
    Some(digest.text())
}

struct Digest<'a> {
    team: &'a str,
    games: &'a [GameFacts],
    /// Each game's clocks.
    clocks: Vec<GameClock>,
    /// Its ball screens with the ball, the latest first.
    screens: BallScreens<PlayInGame<'a>>,
    tendencies: Vec<TendencyRow>,
    counters: Vec<CounterRow>,
    pay: Vec<DisguisePayRow>,
    definitions: &'a Definitions,
    words: Words,
}

impl<'a> Digest<'a> {
    fn text(&self) -> String {
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
            "Ranges are 95 % intervals. Every line is an estimate from tags that are estimates: look at the film before acting on it.\n",
        );
        text
    }

    fn headline(&self) -> String {
        let dates: Vec<&Id> = self.games.iter().filter_map(|game| game.date.as_ref()).collect();
        let span = match (dates.first(), dates.last()) {
            (Some(first), Some(last)) => format!(", {first} to {last}"),
            _ => ", dates not known".to_owned(),
        };
        let possessions = self.games.iter().flat_map(|game| &game.possessions);
        let ours = possessions
            .filter(|possession| possession.offense.as_ref() == self.team)
            .count();
        format!(
            "{}: {}{span}; with the ball {ours} possessions and {} ball screens\n",
            self.team,
            numbers::count(&self.words, "games", self.games.len()),
            self.screens.count(),
        )
    }

    fn rows(&self, side: TeamSide, grouping: Grouping) -> Vec<&TendencyRow> {
        let ours = self
            .tendencies
            .iter()
            .filter(|row| row.team_id.as_ref() == self.team && row.side == side && row.grouping == grouping);
        ours.collect()
    }

    /// Where to find a ball screen on film: `game G, P2 5:41`.
    fn place(&self, screen: &PlayInGame<'_>) -> String {
        let id = screen.game.partition.game_id();
        let (possession, play) = (screen.possession(), screen.play);
        let when =
            self.clocks[screen.game_place].at(possession.period, play.entry.possession_id, play.t_use_s);
        format!("game {id}, {}", self.words.when_with_video(&when))
    }

    fn to_look_up<'s>(&self, screens: impl Iterator<Item = &'s PlayInGame<'a>>) -> String
    where
        'a: 's,
    {
        let places: Vec<String> = screens.take(PLACES).map(|screen| self.place(screen)).collect();
        if places.is_empty() {
            String::new()
        } else {
            format!("      look up: {}\n", places.join(" · "))
        }
    }

    fn looks(&self) -> String {
        let mut rows = self.rows(TeamSide::Offense, Grouping::Look);
        // An alignment alone is no disguise yet; looks that never became a ball screen are in the tables.
        rows.retain(|row| row.key.contains(' ') && row.hits > 0);
        rows.sort_by(|a, b| b.n.cmp(&a.n).then(a.key.cmp(&b.key)));
        let mut text =
            "LOOKS, and how often the very next action was a ball screen (mirror images are one)\n"
                .to_owned();
        if rows.is_empty() {
            text.push_str("  None became a ball screen.\n");
        }
        for row in rows.into_iter().take(LINES) {
            // Writing to a String cannot fail, here and below.
            let _ = writeln!(
                text,
                "  {}\n      {}, in {}",
                self.words.set_text(&row.key),
                numbers::rate(&self.words, row),
                numbers::count(&self.words, "games", row.games as usize)
            );
            if let Some(points) = numbers::points(&self.words, row) {
                let _ = writeln!(text, "      {points}");
            }
            if let (Some(bits), Some(low), Some(high)) = (
                row.next_action_entropy_bits,
                row.entropy_low_bits,
                row.entropy_high_bits,
            ) {
                let _ = writeln!(
                    text,
                    "      what comes next is open by {bits:.1} bits ({low:.1} to {high:.1}): 0 is always the same action, 1 a coin toss"
                );
            }
            let of_look = |screen: &&PlayInGame<'_>| screen.play.entry.set_key == row.key;
            text.push_str(&self.to_look_up(self.screens.all().iter().filter(of_look)));
        }
        text
    }

    fn entries(&self) -> String {
        let mut rows = self.rows(TeamSide::Offense, Grouping::Entry);
        rows.sort_by(|a, b| b.hits.cmp(&a.hits).then(a.key.cmp(&b.key)));
        let mut text = "ENTRIES: what its ball screens came out of\n".to_owned();
        for row in rows.into_iter().take(LINES) {
            let entry = row.key.parse().unwrap_or(Entry::None);
            let points = numbers::points(&self.words, row).unwrap_or_else(|| "points not known".into());
            let _ = writeln!(
                text,
                "  {}: {}; {points}",
                self.words.entry(entry),
                numbers::rate(&self.words, row)
            );
            let of_entry = |screen: &&PlayInGame<'_>| screen.came_out_of() == Some(entry);
            if entry == Entry::None {
                let nothing = |screen: &&PlayInGame<'_>| screen.before() == Some(Before::Nothing);
                let straight = self.screens.all().iter().filter(nothing).count();
                let name = self.words.before(Before::Nothing);
                let _ = writeln!(
                    text,
                    "      {straight} of them {name}: no action of anybody before"
                );
            }
            text.push_str(&self.to_look_up(self.screens.all().iter().filter(of_entry)));
        }
        text
    }

    fn coverages(&self) -> String {
        let mut rows = self.rows(TeamSide::Defense, Grouping::Coverage);
        let hits = |row: &TendencyRow| row.expected_hits.unwrap_or(row.hits as f32);
        rows.sort_by(|a, b| hits(b).total_cmp(&hits(a)).then(a.key.cmp(&b.key)));
        let mut text = "COVERAGES: how it guards ball screens\n".to_owned();
        for row in rows {
            let points = numbers::points(&self.words, row).unwrap_or_else(|| "points not known".into());
            let coverage = row
                .key
                .parse()
                .map_or(row.key.as_str(), |word| self.words.coverage(word));
            let _ = writeln!(
                text,
                "  {coverage}: {}; {points} against it",
                numbers::rate(&self.words, row)
            );
        }
        text
    }
}

#[cfg(test)]
mod tests;

//! A game's ball screens in words, for people: counts, habits, and a few to look at on film.

use std::fmt::Write;

use scrim_season::ball_screens::{BallScreens, OnBallScreen, grouped};
use scrim_season::words::{Names, Words};
use scrim_season::{GameClock, ScreenRows, ScreenTables};
use scrim_tables::Id;
use scrim_tables::rows::GameRow;
use scrim_tables::tags::{Outcome, TeamSide};

use crate::GameTables;

/// How many ball screens are described one by one.
const DESCRIBED: usize = 8;
/// How many places of a team are named.
const PLACES: usize = 3;

/// Describes a game's ball screens: how many of each outcome by team, where, who and against which coverages most often, and a
/// few one by one. Empty when the tables have no row of `games`.
pub fn describe_game(tables: &GameTables) -> String {
    let Some(game) = tables.games.first() else {
        return String::new();
    };
    let screens = ScreenTables {
        possessions: &tables.possessions,
        screens: &tables.screens,
        coverages: &tables.coverages,
        options: &tables.options,
        entries: &tables.entries,
        // A season's table, which the demo's text does without.
        disguises: &[],
    }
    .on_ball(0);
    let text = GameText {
        game,
        names: Names::of(&tables.players),
        words: Words::english(),
        clock: GameClock::of(&tables.possessions, &tables.tracks, &game.video_offset_s),
        screens: &screens,
    };
    [
        text.headline(tables.possessions.len()),
        text.counts(),
        text.habits(),
        text.examples(),
    ]
    .concat()
}

struct GameText<'a> {
    game: &'a GameRow,
    names: Names,
    words: Words,
    clock: GameClock,
    /// Ball screens and handoffs of both teams.
    screens: &'a [ScreenRows<'a>],
}

impl<'a> GameText<'a> {
    fn teams(&self) -> [&'a Id; 2] {
        [&self.game.home_team_id, &self.game.away_team_id]
    }

    fn ball_screens(&self, team: &Id) -> BallScreens<ScreenRows<'a>> {
        BallScreens::of(self.screens.iter().copied(), team, TeamSide::Offense)
    }

    fn handoffs(&self, team: &Id) -> usize {
        let screens = self.screens.iter();
        screens
            .filter(|screen| !screen.is_ball_screen() && screen.teams()[0] == team)
            .count()
    }

    fn headline(&self, possessions: usize) -> String {
        let [first, second] = self.teams();
        let between = if self.game.home_is_known {
            format!("{second} at {first}")
        } else {
            format!("{first} against {second}")
        };
        let date = self.game.date.as_ref().map(|date| format!(", {date}"));
        let date = date.unwrap_or_default();
        let ball_screens: usize = self
            .teams()
            .map(|team| self.ball_screens(team).count())
            .iter()
            .sum();
        let handoffs: usize = self.teams().map(|team| self.handoffs(team)).iter().sum();
        format!(
            "Game {}: {between}{date}\n{possessions} possessions, {ball_screens} ball screens and {handoffs} handoffs\n",
            self.game.game_id
        )
    }

    /// A table: a line for each team, a column for each outcome.
    fn counts(&self) -> String {
        if self.screens.is_empty() {
            return "  None found. If there should be some: `scrim inspect` shows whether the file was understood.\n"
                .into();
        }
        let mut text = format!("\n  {:<14}", "");
        for outcome in Outcome::ALL {
            // Writing to a String cannot fail, here and below.
            let _ = write!(text, "{:>10}", self.words.outcome(*outcome));
        }
        let _ = writeln!(text, "{:>14}{:>10}", "ball screens", "handoffs");
        for team in self.teams() {
            let ours = self.ball_screens(team);
            let _ = write!(text, "  {team:<14}");
            for outcome in Outcome::ALL {
                let screens = ours.all().iter();
                let count = screens.filter(|screen| screen.screen.outcome == *outcome).count();
                let _ = write!(text, "{count:>10}");
            }
            let _ = writeln!(text, "{:>14}{:>10}", ours.count(), self.handoffs(team));
        }
        text
    }

    /// Each team's most frequent places, pair, and coverages against it.
    fn habits(&self) -> String {
        let mut text = String::new();
        for team in self.teams() {
            let ours = self.ball_screens(team);
            let pairs = ours.by_pair();
            let Some(((handler, screener), runs)) = pairs.first() else {
                continue;
            };
            let _ = writeln!(
                text,
                "  {team}: mostly {}; most frequent pair {} for {} ({})",
                most(ours.by_zone().iter().take(PLACES), |zone| self
                    .words
                    .zone(*zone)
                    .into()),
                self.names.called(screener),
                self.names.called(handler),
                runs.len(),
            );
            if ours.read() > 0 {
                let _ = writeln!(
                    text,
                    "  {:<width$}  coverages faced: {} of {} that could be read",
                    "",
                    most(&ours.by_coverage(), |coverage| self
                        .words
                        .coverage(*coverage)
                        .into()),
                    ours.read(),
                    width = team.len()
                );
            }
        }
        text
    }

    /// The surest of each outcome, then the surest of the rest, in time order.
    fn examples(&self) -> String {
        if self.screens.is_empty() {
            return String::new();
        }
        let mut surest: Vec<&ScreenRows<'_>> = self.screens.iter().collect();
        // A stable sort: of equals the earlier one.
        surest.sort_by(|a, b| b.screen.confidence.total_cmp(&a.screen.confidence));
        let groups = grouped(
            surest
                .iter()
                .map(|screen| ((screen.kind(), screen.screen.outcome), screen.screen.screen_id)),
        );
        let firsts: Vec<u32> = groups
            .iter()
            .filter_map(|(_, ids)| ids.first().copied())
            .collect();
        let (mut chosen, rest): (Vec<&ScreenRows<'_>>, Vec<_>) = surest
            .into_iter()
            .partition(|screen| firsts.contains(&screen.screen.screen_id));
        chosen.extend(rest);
        chosen.truncate(DESCRIBED);
        chosen.sort_by_key(|screen| screen.screen.screen_id);
        let mut text = format!(
            "\n  To look at on film ({} of {}):\n",
            chosen.len(),
            self.screens.len()
        );
        for screen in chosen {
            text.push_str(&self.line(screen));
        }
        text
    }

    /// When, who, where, what, and what came of it.
    fn line(&self, screen: &ScreenRows<'_>) -> String {
        let row = screen.screen;
        let when = self.clock.at(row.period, row.possession_id, row.t_use_s);
        let mut parts: Vec<String> = Vec::new();
        parts.extend(screen.coverage.map(|row| self.words.defense(&self.names, row)));
        parts.extend(screen.option.and_then(|row| self.words.offense(&self.names, row)));
        parts.extend(screen.option.and_then(|row| self.words.shot(&self.names, row)));
        let came = if parts.is_empty() {
            String::new()
        } else {
            format!(": {}", parts.join("; "))
        };
        format!(
            "  {:<9}  {:<4} {:<18} {} ({}){came}\n",
            self.words.when_with_video(&when),
            screen.teams()[0],
            self.words.zone(row.zone),
            self.words.screen_sentence(&self.names, row),
            self.words.confidence(row.confidence),
        )
    }
}

/// The most frequent values with their counts: `top 8, right slot 3`.
fn most<'g, K: 'g, T: 'g>(
    groups: impl IntoIterator<Item = &'g (K, Vec<T>)>,
    word: impl Fn(&K) -> String,
) -> String {
    let named: Vec<String> = groups
        .into_iter()
        .map(|(value, items)| format!("{} {}", word(value), items.len()))
        .collect();
    named.join(", ")
}

#[cfg(test)]
mod tests;

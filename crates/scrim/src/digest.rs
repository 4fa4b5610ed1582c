//! A game's ball screens in words, for people: counts, habits, and a handful to look at on film.

mod reading;

use std::collections::BTreeMap;
use std::fmt::Write;

use scrim_tables::Id;
use scrim_tables::rows::ScreenRow;
use scrim_tables::tags::{Outcome, ScreenKind};
use scrim_tracks::{Game, Player, TeamSlot};

use crate::{GameTables, TaggedGame};

/// How many ball screens are told one by one.
const TOLD: usize = 8;

/// Tells a game's ball screens: how many of each outcome by team, where and who most often, and a handful one by one.
pub fn digest(tagged: &TaggedGame) -> String {
    let TaggedGame { game, tables, .. } = tagged;
    let people = People::of(game);
    let screens: Vec<&ScreenRow> = tables.screens.iter().filter(|row| row.on_ball).collect();
    let mut text = String::new();
    let lines = [
        headline(game, tables.possessions.len(), screens.len()),
        counts(game, &people, &screens),
        habits(game, &people, &screens),
        handful(game, &people, &screens, tables),
    ];
    for part in lines {
        text.push_str(&part);
    }
    text
}

/// Who is who.
struct People<'a> {
    by_id: BTreeMap<&'a str, &'a Player>,
}

impl<'a> People<'a> {
    fn of(game: &'a Game) -> Self {
        let by_id = game.players.iter().map(|player| (player.id.as_ref(), player));
        Self {
            by_id: by_id.collect(),
        }
    }

    fn team(&self, player: &Id) -> Option<TeamSlot> {
        self.by_id.get(player.as_ref()).map(|player| player.team)
    }

    /// Name and number as far as they are known, else the id.
    fn called(&self, player: &Id) -> String {
        let known = self.by_id.get(player.as_ref());
        let jersey = known.and_then(|player| player.jersey.as_deref());
        let name = known.and_then(|player| player.name.as_deref());
        match (jersey, name) {
            // Some tables have the number in the name: once is enough.
            (Some(jersey), Some(name)) if name.contains(jersey) => name.into(),
            (Some(jersey), Some(name)) => format!("#{jersey} {name}"),
            (Some(jersey), None) => format!("#{jersey} ({player})"),
            (None, Some(name)) => name.into(),
            (None, None) => player.to_string(),
        }
    }
}

fn headline(game: &Game, possessions: usize, screens: usize) -> String {
    let [first, second] = &game.info.team_ids;
    let between = if game.info.home_is_known {
        format!("{second} at {first}")
    } else {
        format!("{first} against {second}")
    };
    let date = game.info.date.as_ref().map(|date| format!(", {date}"));
    let date = date.unwrap_or_default();
    let id = &game.info.game_id;
    format!("Game {id}: {between}{date}\n{possessions} possessions, {screens} ball screens and handoffs\n")
}

/// A table: a line a team, a column an outcome.
fn counts(game: &Game, people: &People<'_>, screens: &[&ScreenRow]) -> String {
    if screens.is_empty() {
        return "  None found. If there should be some: `scrim inspect` tells whether the file was understood.\n".into();
    }
    let of = |team: TeamSlot, is: &dyn Fn(&ScreenRow) -> bool| {
        let ours = |row: &&&ScreenRow| people.team(&row.user_id) == Some(team) && is(row);
        screens.iter().filter(ours).count()
    };
    let is_handoff = |row: &ScreenRow| row.screen_kind == ScreenKind::Handoff;
    let mut text = format!("\n  {:<14}", "");
    for outcome in Outcome::ALL {
        // Writing to a String cannot fail, here and below.
        let _ = write!(text, "{:>10}", outcome.as_str());
    }
    let _ = writeln!(text, "{:>10}{:>8}", "handoffs", "all");
    for team in TeamSlot::BOTH {
        let _ = write!(text, "  {:<14}", game.team_id(team));
        for outcome in Outcome::ALL {
            let count = of(team, &|row| row.outcome == *outcome && !is_handoff(row));
            let _ = write!(text, "{count:>10}");
        }
        let _ = writeln!(text, "{:>10}{:>8}", of(team, &is_handoff), of(team, &|_| true));
    }
    text
}

/// Each team's most frequent pair and places.
fn habits(game: &Game, people: &People<'_>, screens: &[&ScreenRow]) -> String {
    let mut text = String::new();
    for team in TeamSlot::BOTH {
        let ours = || {
            screens
                .iter()
                .filter(|row| people.team(&row.user_id) == Some(team))
        };
        let pairs = most_often(ours().map(|row| (&row.screener_id, &row.user_id)));
        let Some(((screener, user), times)) = pairs.first() else {
            continue;
        };
        let places = most_often(ours().map(|row| row.zone));
        let places: Vec<_> = places
            .iter()
            .take(3)
            .map(|(zone, n)| format!("{} {n}", spaced(zone.as_str())))
            .collect();
        let _ = writeln!(
            text,
            "  {}: mostly {}; most frequent pair {} for {} ({times})",
            game.team_id(team),
            places.join(", "),
            people.called(screener),
            people.called(user),
        );
    }
    text
}

/// Each value and how often it comes, the most frequent first; of equals, the lower value.
fn most_often<T: Ord>(values: impl Iterator<Item = T>) -> Vec<(T, usize)> {
    let mut counts = BTreeMap::new();
    for value in values {
        *counts.entry(value).or_insert(0_usize) += 1;
    }
    let mut counts: Vec<_> = counts.into_iter().collect();
    counts.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    counts
}

/// A tag as words.
fn spaced(tag: &str) -> String {
    tag.replace('_', " ")
}

/// The surest of each outcome, then the surest of the rest, told in time order.
fn handful(game: &Game, people: &People<'_>, screens: &[&ScreenRow], tables: &GameTables) -> String {
    if screens.is_empty() {
        return String::new();
    }
    let mut surest: Vec<&ScreenRow> = screens.to_vec();
    // A stable sort: of equals the earlier one.
    surest.sort_by(|a, b| b.confidence.total_cmp(&a.confidence));
    let word = |row: &ScreenRow| (row.screen_kind, row.outcome);
    let mut words = Vec::new();
    let (mut chosen, mut rest) = (Vec::new(), Vec::new());
    for row in surest {
        if words.contains(&word(row)) {
            rest.push(row);
        } else {
            words.push(word(row));
            chosen.push(row);
        }
    }
    chosen.extend(rest);
    chosen.truncate(TOLD);
    chosen.sort_by_key(|row| row.screen_id);
    let mut text = format!(
        "\n  To look at on film ({} of {}):\n",
        chosen.len(),
        screens.len()
    );
    for row in chosen {
        let _ = write!(
            text,
            "  {}  {:<4} {:<18} {} ({})",
            when(game, row),
            people
                .team(&row.user_id)
                .map_or("?", |team| game.team_id(team).as_ref()),
            spaced(row.zone.as_str()),
            what(people, row),
            likelihood(row.confidence),
        );
        let coverage = tables.coverages.iter().find(|c| c.screen_id == row.screen_id);
        let option = tables.options.iter().find(|o| o.screen_id == row.screen_id);
        if let (Some(coverage), Some(option)) = (coverage, option) {
            let _ = write!(text, ": {}", reading::reading(people, coverage, option));
        }
        text.push('\n');
    }
    text
}

/// Period, and what the game clock showed at the use; without a clock, the time since the period's first frame.
fn when(game: &Game, row: &ScreenRow) -> String {
    let period = game.periods.iter().find(|period| period.number == row.period);
    let clock_s = period
        .filter(|period| period.frames > 0)
        .map(|period| period.game_clock_s[period.frame_at(row.t_use_s)])
        .filter(|clock_s| clock_s.is_finite());
    match clock_s {
        Some(clock_s) => format!("period {} {:>5} left", row.period, minutes(f64::from(clock_s))),
        None => format!("period {} {:>5} in  ", row.period, minutes(row.t_use_s)),
    }
}

fn minutes(seconds: f64) -> String {
    let seconds = seconds.max(0.0).floor() as u64;
    format!("{}:{:02}", seconds / 60, seconds % 60)
}

/// Who did what with whom.
fn what(people: &People<'_>, row: &ScreenRow) -> String {
    let screener = people.called(&row.screener_id);
    let user = people.called(&row.user_id);
    if row.early_denial {
        return format!("{user} is sent the other way before {screener} can screen");
    }
    match row.screen_kind {
        ScreenKind::Handoff => return format!("{screener} hands the ball to {user}"),
        ScreenKind::BallScreen => {}
        ScreenKind::Down
        | ScreenKind::Back
        | ScreenKind::Rub
        | ScreenKind::Cross
        | ScreenKind::Flex
        | ScreenKind::Flare
        | ScreenKind::Zipper => {
            return format!(
                "{screener} sets a {} screen for {user}: {}",
                row.screen_kind, row.outcome
            );
        }
        ScreenKind::OverTop => {
            return format!("{screener} screens for {user} over the top: {}", row.outcome);
        }
        ScreenKind::Exit => return format!("{screener} sets an exit screen for {user}: {}", row.outcome),
        ScreenKind::Other => {
            return format!(
                "{screener} screens for {user} away from the ball: {}",
                row.outcome
            );
        }
    }
    match row.outcome {
        Outcome::Used => format!("{screener} screens, {user} comes off it"),
        Outcome::Rejected => format!("{screener} screens, {user} goes away from it"),
        Outcome::Slipped => format!("{screener} comes to screen for {user} and slips to the rim"),
        Outcome::Ghosted => format!("{screener} runs through past {user} without stopping"),
        Outcome::Flipped => format!("{screener} screens for {user}, then turns it to his other side"),
        Outcome::Unused => format!("{screener} screens for {user}, nothing comes of it"),
    }
}

/// A confidence in words. The steps are common practice, no source.
fn likelihood(confidence: f32) -> &'static str {
    if confidence >= 0.95 {
        "almost certain"
    } else if confidence >= 0.8 {
        "very likely"
    } else if confidence >= 0.65 {
        "likely"
    } else if confidence >= 0.5 {
        "more likely than not"
    } else {
        "doubtful"
    }
}

#[cfg(test)]
mod tests;

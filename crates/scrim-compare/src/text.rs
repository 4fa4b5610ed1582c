//! A comparison for people.

use std::cmp::Ordering;
use std::fmt::Write;

use crate::changes::{Split, TableChanges};
use crate::comparison::Comparison;
use crate::rates::RateChange;
use crate::spot::Spot;

/// So many rows to look up stand behind each change; the JSON has all.
const SPOTS: usize = 3;
/// So many rates are listed; the JSON has all.
const RATES: usize = 40;
/// So many names of games are listed.
const GAMES: usize = 10;

impl Comparison {
    /// The comparison as text.
    pub fn to_text(&self) -> String {
        let mut text = String::new();
        self.head(&mut text);
        self.counts(&mut text);
        if self.games == 0 {
            text.push_str("\nNothing was compared.\n");
            return text;
        }
        if self.tables.is_none() {
            text.push_str("\nNo row and no word of the games' tables is other in B than in A.\n");
        } else {
            self.words(&mut text);
            self.alone(&mut text);
        }
        self.season(&mut text);
        text
    }

    fn head(&self, text: &mut String) {
        line(text, format_args!("A   {}", self.a));
        line(text, format_args!("B   {}", self.b));
        if self.a == self.b {
            line(text, format_args!("A and B are one place: nothing can differ."));
        }
        line(text, format_args!("{} games in both", self.games));
        for (which, games) in [("A", &self.only_in_a), ("B", &self.only_in_b)] {
            if games.is_empty() {
                continue;
            }
            let more = games.len().saturating_sub(GAMES);
            let named = games
                .iter()
                .take(GAMES)
                .map(String::as_str)
                .collect::<Vec<_>>()
                .join(", ");
            let more = if more > 0 {
                format!(" and {more} more")
            } else {
                String::new()
            };
            line(
                text,
                format_args!("{} games only in {which}, left out: {named}{more}", games.len()),
            );
        }
        for left in &self.left_out {
            line(
                text,
                format_args!("game {} left out: {}", left.game_id, left.reason),
            );
        }
        match &self.parameters {
            None => line(
                text,
                format_args!("Parameters: not recorded in both outputs, so season rates are by the defaults"),
            ),
            Some(changes) if changes.is_empty() => line(text, format_args!("Parameters: the same in both")),
            Some(changes) => {
                text.push_str("\nParameters that differ\n");
                for change in changes {
                    let value = |value: &Option<String>| value.clone().unwrap_or_else(|| "left out".into());
                    let (a, b) = (value(&change.a), value(&change.b));
                    line(text, format_args!("  {:<40} {a} -> {b}", change.key));
                }
            }
        }
    }

    fn counts(&self, text: &mut String) {
        let head = ["in A", "in B", "in both", "changed", "vanished", "appeared"];
        let _ = write!(text, "\n{:<28}", "Rows");
        for word in head {
            let _ = write!(text, "{word:>10}");
        }
        text.push('\n');
        for (name, table) in &self.tables.tables {
            counts_line(text, name, &table.rows);
            for (word, split) in &table.by {
                counts_line(text, &format!("  {}", no_word(word)), split);
            }
        }
    }

    fn words(&self, text: &mut String) {
        text.push_str("\nWords that changed, in rows of both\n");
        for (name, table) in &self.tables.tables {
            for (column, tags) in table.tags.iter().filter(|(_, tags)| tags.changed > 0) {
                line(
                    text,
                    format_args!("{name}.{column}: {} of {}", tags.changed, table.rows.in_both),
                );
                let mut moves: Vec<_> = tags.moves().collect();
                moves.sort_by_key(|of| std::cmp::Reverse(of.rows));
                for of in moves {
                    let (from, to) = (of.from.unwrap_or_default(), of.to.unwrap_or_default());
                    let words = format!("{} -> {}", no_word(&from), no_word(&to));
                    line(
                        text,
                        format_args!("  {words:<40}{:>6}  {}", of.rows, first_spots(&of.spots)),
                    );
                }
            }
        }
    }

    fn alone(&self, text: &mut String) {
        for (which, is_a) in [("A", true), ("B", false)] {
            let spots: fn(&TableChanges) -> &[Spot] = if is_a { vanished } else { appeared };
            let mut is_first = true;
            for (name, table) in &self.tables.tables {
                let spots = spots(table);
                if spots.is_empty() {
                    continue;
                }
                if std::mem::take(&mut is_first) {
                    line(text, format_args!("\nRows of {which} alone"));
                }
                line(
                    text,
                    format_args!("  {name:<40}{:>6}  {}", spots.len(), first_spots(spots)),
                );
            }
        }
    }

    fn season(&self, text: &mut String) {
        if self.poor_games > 0 {
            line(
                text,
                format_args!(
                    "\n{} of the games are no part of the season rates: their data are poor in one of the two",
                    self.poor_games
                ),
            );
        }
        if self.rates.is_empty() {
            text.push_str("\nSeason rates: none to compare\n");
            return;
        }
        let mut changed: Vec<&RateChange> = self.rates.iter().filter(|rate| !rate.is_same()).collect();
        if changed.is_empty() {
            line(
                text,
                format_args!("\nSeason rates: {}, all the same in both", self.rates.len()),
            );
            return;
        }
        let for_sure = changed.iter().filter(|rate| !rate.may_be_none()).count();
        line(
            text,
            format_args!(
                "\nSeason rates: {} of {} differ; of {for_sure} the 95 % interval of the difference (from ten games on) leaves zero out",
                changed.len(),
                self.rates.len()
            ),
        );
        changed.sort_by(|a, b| {
            let by_sureness = a.may_be_none().cmp(&b.may_be_none());
            by_sureness.then(weight(b).partial_cmp(&weight(a)).unwrap_or(Ordering::Equal))
        });
        line(
            text,
            format_args!(
                "{:>8}{:>8}{:>9}  {:>18}{:>7}  {:>15}  rate",
                "A", "B", "B - A", "95 % interval", "games", "n in A, B"
            ),
        );
        for rate in changed.iter().take(RATES) {
            rate_line(text, rate);
        }
        let more = changed.len().saturating_sub(RATES);
        if more > 0 {
            line(text, format_args!("and {more} more: --json has all"));
        }
    }
}

fn vanished(table: &TableChanges) -> &[Spot] {
    &table.vanished
}

fn appeared(table: &TableChanges) -> &[Spot] {
    &table.appeared
}

/// Writing to a string does not fail.
fn line(text: &mut String, arguments: std::fmt::Arguments<'_>) {
    let _ = writeln!(text, "{arguments}");
}

fn no_word(word: &str) -> &str {
    if word.is_empty() { "(none)" } else { word }
}

/// What is listed first: a difference of much rather than of little. A rate's scatter falls with the root of how often it could have
/// been.
fn weight(rate: &RateChange) -> f64 {
    rate.difference.unwrap_or_default().abs() * rate.n_before.min(rate.n_after).sqrt()
}

fn counts_line(text: &mut String, name: &str, rows: &Split) {
    let _ = write!(text, "{name:<28}");
    for count in [
        rows.in_a,
        rows.in_b,
        rows.in_both,
        rows.changed,
        rows.vanished,
        rows.appeared,
    ] {
        let _ = write!(text, "{count:>10}");
    }
    text.push('\n');
}

fn first_spots(spots: &[Spot]) -> String {
    let named: Vec<String> = spots.iter().take(SPOTS).map(spot_text).collect();
    let more = if spots.len() > SPOTS { "; ..." } else { "" };
    format!("{}{more}", named.join("; "))
}

fn spot_text(spot: &Spot) -> String {
    let possession = match (spot.possession_in_a, spot.possession_in_b) {
        (Some(a), Some(b)) if a != b => format!("possession {a} (in B {b})"),
        (Some(id), _) | (None, Some(id)) => format!("possession {id}"),
        (None, None) => "no possession".into(),
    };
    format!("{} {} {possession}", spot.game_id, spot.when)
}

fn rate_line(text: &mut String, rate: &RateChange) {
    let number = |value: Option<f64>| value.map_or("-".into(), |value| format!("{value:.3}"));
    let bounds = match (rate.difference_low, rate.difference_high) {
        (Some(low), Some(high)) => format!("{low:+.3} to {high:+.3}"),
        _ => "-".into(),
    };
    let difference = rate.difference.map_or("-".into(), |value| format!("{value:+.3}"));
    let words = [
        rate.season.as_str(),
        rate.team_id.as_deref().unwrap_or("league"),
        rate.side.as_deref().unwrap_or_default(),
        rate.group.as_str(),
        rate.key.as_str(),
    ];
    let words: Vec<&str> = words.into_iter().filter(|word| !word.is_empty()).collect();
    line(
        text,
        format_args!(
            "{:>8}{:>8}{difference:>9}  {bounds:>18}{:>7}  {:>15}  {}.{}: {}",
            number(rate.before),
            number(rate.after),
            rate.games,
            format!("{}, {}", rate.n_before, rate.n_after),
            rate.table,
            rate.column,
            words.join(" ")
        ),
    );
}

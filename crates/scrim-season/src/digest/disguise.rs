//! Disguised ball screens: whether disguise paid, and those that worked.

use std::fmt::Write;

use scrim_tables::chain::merged;
use scrim_tables::rows::DisguisePayRow;
use scrim_tables::tags::{PayMeasure, RunResult};

use super::{Digest, LINES, numbers};
use crate::counters::option_of;
use crate::facts::Play;
use crate::look::Look;
use crate::play_in_game::PlayInGame;
use crate::questions::AskedScreen;
use crate::words::Words;

impl Digest<'_> {
    pub(super) fn disguise(&self) -> String {
        let mut text =
            "DISGUISE: out of an entry, when the team's earlier games made another action likelier\n"
                .to_owned();
        let judged = |screen: &&PlayInGame<'_>| screen.play.disguise.surprise_bits.is_some();
        if !self.screens.all().iter().any(|screen| judged(&screen)) {
            text.push_str("  Not known: the season has no games before these.\n");
            return text;
        }
        for row in &self.pay {
            text.push_str(&pay_line(&self.words, row));
        }
        let disguised: Vec<&PlayInGame<'_>> = self
            .screens
            .all()
            .iter()
            .filter(|screen| screen.play.disguise.disguised)
            .collect();
        let mut worked = disguised.clone();
        worked.retain(|screen| screen.result(self.definitions.open_shot_m) == Some(RunResult::Beat));
        let _ = writeln!(
            text,
            "  {} disguised, {} of them with points or an open shot; the most surprising of these:",
            disguised.len(),
            worked.len()
        );
        // Stable: of equal ones the latest first.
        worked.sort_by(|a, b| {
            let bits = |screen: &PlayInGame<'_>| screen.play.disguise.surprise_bits.unwrap_or(0.0);
            bits(b).total_cmp(&bits(a))
        });
        for screen in worked.into_iter().take(LINES) {
            let Play { look, disguise, .. } = screen.play;
            let shown = Look {
                alignment: look.alignment,
                tokens: merged(&look.tokens).collect(),
            };
            let bits = disguise.surprise_bits.unwrap_or(0.0);
            let option = option_of(screen.play).map_or_else(
                || "what they made of it is unclear".into(),
                |option| self.words.option(&option),
            );
            let points = screen
                .possession()
                .points
                .map_or("points not known".into(), |points| format!("{points} points"));
            let space = screen.play.shot.and_then(|shot| shot.space_m);
            let space = space.map_or(String::new(), |space_m| {
                format!(", shot with {space_m:.1} m of space")
            });
            let lag = disguise.lag_s;
            let lag = lag.map_or(String::new(), |lag_s| {
                format!(", screener's defender {lag_s:+.1} s against the team's median")
            });
            let _ = writeln!(
                text,
                "    {}: {}\n      {bits:.1} bits; {}, {option}, {points}{space}{lag}",
                self.place(screen),
                self.words.look(&shown),
                self.words.coverage(screen.play.coverage)
            );
        }
        text
    }
}

/// One comparison of disguised and plain, over the whole season.
fn pay_line(words: &Words, row: &DisguisePayRow) -> String {
    let (what, unit) = match row.measure {
        PayMeasure::PointsPerPlay => ("points", ""),
        PayMeasure::OpenShotRate => ("share of shots that were open", ""),
        PayMeasure::DefenderLag => ("screener's defender late against the team's median", " s"),
    };
    let who = if row.team_id.is_some() {
        "this team"
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
    let few = numbers::caution(words, row.disguised_n.min(row.plain_n));
    let mut text = format!(
        "  {who}, {what}: {disguised:.2}{unit} disguised ({}) against {plain:.2}{unit} plain ({}): {difference:+.2} ({low:+.2} to {high:+.2}{few})",
        row.disguised_n, row.plain_n
    );
    if let (Some(shrunk), Some(low), Some(high)) = (row.shrunk, row.shrunk_low, row.shrunk_high) {
        let _ = write!(
            text,
            "; drawn toward the league: {shrunk:+.2} ({low:+.2} to {high:+.2})"
        );
    }
    text.push('\n');
    text
}

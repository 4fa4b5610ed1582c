//! What a run has done, as text.

use std::fmt;

use super::{DoneGame, DoneSeason, RunSummary, Skipped};
use crate::terminal::shown_on_a_line;

/// Notes that the text lists one by one.
const MAX_NOTES: usize = 20;

/// What speaks against it: for one that is not good.
impl fmt::Display for DoneGame {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{}, game {}: {}: {}",
            self.source, self.game_id, self.verdict, self.reasons
        )
    }
}

impl fmt::Display for Skipped {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let game = self.game_id.as_ref().map(|game| format!(", game {game}"));
        write!(f, "{}{}: {}", self.source, game.unwrap_or_default(), self.reason)
    }
}

impl fmt::Display for DoneSeason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = self.season.as_deref().unwrap_or("unknown");
        write!(f, "{name}: {} games, {} tendencies", self.games, self.tendencies)?;
        if self.undated_games > 0 {
            write!(
                f,
                "; {} games without a date, taken last, in the order of their ids",
                self.undated_games
            )?;
        }
        Ok(())
    }
}

impl fmt::Display for RunSummary {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let all = &self.all;
        let sum = |of: fn(&DoneGame) -> u64| all.done.iter().map(of).sum::<u64>();
        writeln!(f, "games done        {}", all.done.len())?;
        if self.missing() > 0 {
            writeln!(
                f,
                "MISSING           {} of the {} games that were expected",
                self.missing(),
                self.expected.unwrap_or(0)
            )?;
        }
        let short: Vec<&DoneGame> = self.not_good().collect();
        if !short.is_empty() {
            let poor = short.iter().filter(|game| game.is_poor()).count();
            writeln!(
                f,
                "not good          {}, {poor} of them poor: left out of season tables",
                short.len()
            )?;
            for game in short {
                writeln!(f, "  - {}", shown_on_a_line(&game.to_string()))?;
            }
        }
        if !all.unchanged.is_empty() {
            writeln!(f, "games unchanged   {}", all.unchanged.len())?;
        }
        writeln!(f, "skipped           {}", all.skipped.len())?;
        for skipped in &all.skipped {
            writeln!(f, "  - {}", shown_on_a_line(&skipped.to_string()))?;
        }
        if !all.still_refused.is_empty() {
            writeln!(
                f,
                "still refused     {}: refused by an earlier run, and unchanged since",
                all.still_refused.len()
            )?;
            for skipped in &all.still_refused {
                writeln!(f, "  - {}", shown_on_a_line(&skipped.to_string()))?;
            }
        }
        if !all.left_behind.is_empty() {
            writeln!(
                f,
                "left behind       {}: no longer in their source; `scrim prune --game GAME` removes their tables",
                all.left_behind.len()
            )?;
            for game in &all.left_behind {
                writeln!(f, "  - game {}", shown_on_a_line(&game.game_id))?;
            }
        }
        if !self.not_read.is_empty() {
            writeln!(f, "not read          {}", self.not_read.len())?;
            for (reason, paths) in self.not_read_by_reason() {
                let more = match paths.len() - 1 {
                    0 => String::new(),
                    more => format!(" and {more} more"),
                };
                let line = format!("{}{more}: {reason}", paths[0]);
                writeln!(f, "  - {}", shown_on_a_line(&line))?;
            }
        }
        if !all.notes.is_empty() {
            writeln!(f, "notes             {}", all.notes.len())?;
            for note in all.notes.iter().take(MAX_NOTES) {
                writeln!(f, "  - {}", shown_on_a_line(note))?;
            }
            if all.notes.len() > MAX_NOTES {
                writeln!(f, "  - and {} more, in the log", all.notes.len() - MAX_NOTES)?;
            }
        }
        writeln!(f, "possessions       {}", sum(|game| game.possessions))?;
        writeln!(f, "ball screens      {}", sum(|game| game.ball_screens))?;
        writeln!(f, "handoffs          {}", sum(|game| game.handoffs))?;
        for season in &self.seasons {
            writeln!(f, "season            {season}")?;
        }
        writeln!(f, "rows read         {}", all.rows_read)?;
        writeln!(f, "rows quarantined  {}", all.rows_quarantined)?;
        if !all.unknown_events.is_empty() {
            let words: Vec<_> = all
                .unknown_events
                .iter()
                .map(|(word, count)| format!("{word} ({count})"))
                .collect();
            writeln!(f, "unknown events    {}", shown_on_a_line(&words.join(", ")))?;
        }
        writeln!(f, "seconds           {:.1}", self.seconds)
    }
}

//! An inspection as plain text.

use std::fmt;

use super::found::{InspectedClock, InspectedGame, InspectedSource, Inspection, Severity};

impl fmt::Display for Inspection {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, source) in self.sources.iter().enumerate() {
            if i > 0 {
                writeln!(f)?;
            }
            source.fmt(f)?;
        }
        Ok(())
    }
}

impl fmt::Display for InspectedSource {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "Source {}", self.name)?;
        match &self.mapping {
            Some(mapping) => writeln!(f, "  mapping      {mapping}")?,
            None => writeln!(f, "  mapping      none: canonical columns")?,
        }
        for file in &self.files {
            writeln!(
                f,
                "  file         {} ({}, {} rows)",
                file.path, file.format, file.rows
            )?;
            for (name, spread) in [("x", file.x), ("y", file.y)] {
                if let Some(spread) = spread {
                    writeln!(
                        f,
                        "    {name} as given {:.2} to {:.2} (middle 98 %: {:.2} to {:.2})",
                        spread.least, spread.most, spread.percent_1, spread.percent_99
                    )?;
                }
            }
        }
        let side = &self.side_tables;
        for (name, path) in [
            ("games", &side.games),
            ("players", &side.players),
            ("events", &side.events),
        ] {
            writeln!(f, "  {name:<12} {}", path.as_deref().unwrap_or("none"))?;
        }
        for game in &self.games {
            write_game(f, game)?;
        }
        for (game, why) in &self.refused_games {
            writeln!(f, "  Game {game}: REFUSED: {why}")?;
        }
        if !self.event_words.is_empty() {
            let words: Vec<String> = self
                .event_words
                .iter()
                .map(|(word, n)| format!("{word} {n}"))
                .collect();
            writeln!(f, "  event words  {}", words.join(", "))?;
        }
        let refused: Vec<String> = self
            .refused_rows
            .iter()
            .map(|(reason, n)| format!("{reason} {n}"))
            .collect();
        writeln!(
            f,
            "  refused rows {}",
            if refused.is_empty() {
                "none".into()
            } else {
                refused.join(", ")
            }
        )?;
        for example in &self.refusal_examples {
            writeln!(
                f,
                "    {} row {}: {}",
                example.source, example.row, example.detail
            )?;
        }
        for finding in &self.findings {
            let word = match finding.severity {
                Severity::Wrong => "WRONG",
                Severity::Doubtful => "DOUBTFUL",
                Severity::Note => "note",
            };
            writeln!(f, "  {word}: {}", finding.what)?;
            writeln!(f, "    -> {}", finding.suggestion)?;
        }
        if self.is_usable {
            Ok(())
        } else {
            writeln!(f, "  Nothing here can be used as it is.")
        }
    }
}

fn write_game(f: &mut fmt::Formatter<'_>, game: &InspectedGame) -> fmt::Result {
    let home = if game.home_is_known { "home first" } else { "by id" };
    writeln!(
        f,
        "  Game {}: {} and {} ({home}), {} and {} players, court {}, {} rows refused",
        game.game_id,
        game.teams[0],
        game.teams[1],
        game.players[0],
        game.players[1],
        game.court,
        game.refused_rows
    )?;
    for period in &game.periods {
        let hz = period.hz.map_or("? Hz".into(), |hz| format!("{hz:.2} Hz"));
        writeln!(
            f,
            "    period {}: {} samples, {:.2} to {:.2} s at {hz} ({:.0} % regular, {} repeats), {} players, {} at once",
            period.number,
            period.samples,
            period.from_s,
            period.to_s,
            100.0 * period.regular_share,
            period.duplicate_rows,
            period.players,
            period.players_at_once
        )?;
        let bounds = |b: Option<[f32; 2]>| b.map_or("unknown".into(), |[a, b]| format!("{a:.2} to {b:.2} m"));
        writeln!(
            f,
            "      x {}, y {}; ball at {:.0} % of the instants, {}",
            bounds(period.x_m),
            bounds(period.y_m),
            100.0 * period.ball_share,
            if period.ball_height {
                "with height"
            } else {
                "no height"
            }
        )?;
        writeln!(
            f,
            "      game clock {}; shot clock {}",
            clock_text(&period.game_clock),
            clock_text(&period.shot_clock)
        )?;
    }
    Ok(())
}

fn clock_text(clock: &InspectedClock) -> String {
    match (clock.first_s, clock.last_s) {
        (Some(first), Some(last)) => {
            let sense = if clock.steps_up > clock.steps_down {
                "counts up"
            } else {
                "counts down"
            };
            format!("{first:.1} to {last:.1} s, {sense}")
        }
        _ => "not given".into(),
    }
}

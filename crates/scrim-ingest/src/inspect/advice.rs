//! What looks wrong or doubtful, with a suggestion in the mapping's words. The bounds here are common practice, no
//! source; they only lead to advice.

use scrim_floor::Court;

use super::found::{Finding, InspectedClock, InspectedPeriod, InspectedSource, Severity, Spread};
use super::watcher::Watcher;
use crate::IngestParams;
use crate::mapping::{ClockSense, CourtChoice, LengthUnit, Mapping, Origin, Points};

/// Rates that the pipeline was made for.
const RATES_HZ: std::ops::RangeInclusive<f64> = 9.0..=61.0;

pub(super) fn findings(
    source: &InspectedSource,
    watcher: &Watcher,
    mapping: &Mapping,
    params: &IngestParams,
) -> Vec<Finding> {
    let mut findings = Vec::new();
    for file in &watcher.files {
        if let (Some(x), Some(y)) = (file.x.spread(), file.y.spread()) {
            findings.extend(place_finding(x, y, source, mapping, params));
        }
    }
    if source.side_tables.events.is_none() {
        findings.push(note(
            "no `events` table",
            "shots and their results will be inferred from the ball, and marked so",
        ));
    }
    if source.side_tables.games.is_none() {
        findings.push(note(
            "no `games` table",
            "season, date and home team stay unknown; add games.csv with game_id, date, season, home_team_id, \
             away_team_id, court",
        ));
    }
    if !source.ignored_columns.is_empty() {
        let what = format!("columns that are not read: {}", source.ignored_columns.join(", "));
        findings.push(note(&what, "nothing, unless one of them belongs in the mapping"));
    }
    for (word, count) in &source.unknown_event_words {
        let what = format!("event word `{word}` ({count} times) is not known; it is kept and not used");
        findings.push(doubtful(
            what,
            "rename it in the `events` table if it means one of the contract's words",
        ));
    }
    let refused: u64 = source.refused_rows.values().sum();
    if refused > 0 {
        let reasons: Vec<String> = source
            .refused_rows
            .iter()
            .map(|(r, n)| format!("{r} {n}"))
            .collect();
        let what = format!("{refused} rows would be refused ({})", reasons.join(", "));
        findings.push(doubtful(what, "see the examples; each says how to fix it"));
    }
    for game in &source.games {
        for period in &game.periods {
            let at = format!("game `{}`, period {}", game.game_id, period.number);
            findings.extend(period_findings(&at, period, mapping));
        }
    }
    findings
}

fn note(what: &str, suggestion: &str) -> Finding {
    Finding {
        severity: Severity::Note,
        what: what.into(),
        suggestion: suggestion.into(),
    }
}

fn doubtful(what: String, suggestion: &str) -> Finding {
    Finding {
        severity: Severity::Doubtful,
        what,
        suggestion: suggestion.into(),
    }
}

fn period_findings(at: &str, period: &InspectedPeriod, mapping: &Mapping) -> Vec<Finding> {
    let mut findings = Vec::new();
    match period.hz {
        Some(hz) if !RATES_HZ.contains(&hz) => {
            let what = format!("{at}: {hz:.2} instants a second; the pipeline was made for 10 to 60");
            findings.push(doubtful(
                what,
                "check [time] unit, and rate_hz if it counts frames",
            ));
        }
        Some(_) => {}
        None => {
            findings.push(doubtful(
                format!("{at}: fewer than two instants"),
                "check [time] and [period]",
            ));
        }
    }
    if period.hz.is_some() && period.regular_share < 0.9 {
        let share = 100.0 * (1.0 - period.regular_share);
        let what = format!(
            "{at}: {share:.0} % of the time steps are irregular, {} of them over 1 s",
            period.long_steps
        );
        findings.push(doubtful(
            what,
            "it will be put on a uniform grid; check [time] if it should be regular",
        ));
    }
    let names = [
        ("game clock", "game_clock", period.game_clock),
        ("shot clock", "shot_clock", period.shot_clock),
    ];
    for (name, key, clock) in names {
        if clock.first_s.is_none() {
            findings.push(note(
                &format!("{at}: no {name}"),
                &format!("give [{key}] column if the source has it"),
            ));
        }
    }
    if let Some(finding) = clock_finding(at, &period.game_clock, mapping) {
        findings.push(finding);
    }
    if period.players_at_once != 10 {
        let what = format!(
            "{at}: mostly {} players at an instant, not 10",
            period.players_at_once
        );
        findings.push(doubtful(what, "check [player], [team] and what marks the ball"));
    }
    if period.ball_share < 0.5 {
        let what = format!(
            "{at}: the ball is known at {:.0} % of the instants",
            100.0 * period.ball_share
        );
        findings.push(doubtful(
            what,
            "check [ball]: what marks it, or which columns it has",
        ));
    } else if !period.ball_height {
        findings.push(note(
            &format!("{at}: no ball height"),
            "give [place] z, or [ball] z, if the source has it",
        ));
    }
    findings
}

fn clock_finding(at: &str, clock: &InspectedClock, mapping: &Mapping) -> Option<Finding> {
    let (first_s, last_s) = clock.first_s.zip(clock.last_s)?;
    if clock.steps_up > clock.steps_down {
        let what = format!("{at}: the game clock counts up, from {first_s} to {last_s} s");
        return Some(match mapping.game_clock.counts {
            ClockSense::Down => doubtful(
                what,
                "give [game_clock] counts = \"up\" and length_s, the length of a period in seconds",
            ),
            ClockSense::Up => doubtful(
                what,
                "give [game_clock] counts = \"down\", and leave out length_s",
            ),
        });
    }
    let largest_s = first_s.max(last_s);
    if largest_s > 1500.0 {
        let what = format!("{at}: the game clock shows {largest_s} s, more than any period has");
        return Some(doubtful(what, "check [game_clock] unit: \"ms\" for milliseconds"));
    }
    if first_s <= 20.0
        && clock.steps_down > 0
        && first_s == largest_s
        && last_s >= 0.0
        && first_s.fract() != 0.0
    {
        let what = format!("{at}: the game clock shows at most {largest_s} s");
        return Some(doubtful(what, "check [game_clock] unit: \"min\" for minutes"));
    }
    None
}

/// Whether the coordinates would spread over the court better with another unit or origin.
fn place_finding(
    x: Spread,
    y: Spread,
    source: &InspectedSource,
    mapping: &Mapping,
    params: &IngestParams,
) -> Option<Finding> {
    let of_game = source
        .games
        .first()
        .and_then(|game| Court::by_name(&game.court).ok());
    let court = of_game.or_else(|| match &mapping.court {
        Some(CourtChoice::Measures(court)) => Some(court.clone()),
        Some(CourtChoice::Name(name)) => Court::by_name(name).ok(),
        None => Court::by_name(&params.court).ok(),
    })?;
    let place = &mapping.place;
    let is_along = place.x_points.is_along();
    let points = [place.x_points, place.y_points()];
    let now = misfit(x, y, &court, place.unit, place.origin, points);
    let mut best = (now, place.unit, place.origin, is_along);
    for unit in LengthUnit::ALL {
        for origin in Origin::ALL {
            for along in [is_along, !is_along] {
                let turned = if along {
                    [Points::Right, Points::Up]
                } else {
                    [Points::Up, Points::Left]
                };
                let points = if along == is_along { points } else { turned };
                let candidate = misfit(x, y, &court, unit, origin, points);
                // Clearly better, not by a hair: a half-court drill spreads over half a court.
                if candidate < best.0 - 0.05 {
                    best = (candidate, unit, origin, along);
                }
            }
        }
    }
    let (misfit, unit, origin, along) = best;
    if now < 0.35 || misfit > 0.25 {
        return None;
    }
    let mut suggestion = format!(
        "give [place] unit = \"{}\", origin = \"{}\"",
        unit.as_str(),
        origin.as_str()
    );
    if along != is_along {
        suggestion.push_str(if along {
            ", x_points = \"right\", y_points = \"up\""
        } else {
            ", x_points = \"up\", y_points = \"left\""
        });
    }
    let what = format!(
        "coordinates from {:.2} to {:.2} and from {:.2} to {:.2} (the middle 98 %) do not spread over the court as mapped; \
         they would as {} from the {}",
        x.percent_1,
        x.percent_99,
        y.percent_1,
        y.percent_99,
        unit.as_str(),
        match origin {
            Origin::Centre => "middle",
            Origin::BottomLeft | Origin::BottomRight | Origin::TopLeft | Origin::TopRight => "corner",
        },
    );
    Some(Finding {
        severity: Severity::Wrong,
        what,
        suggestion,
    })
}

/// How far the middle 98 % of the coordinates are from spreading over the whole court, in court lengths and widths. `points`: where
/// the two coordinates grow to.
fn misfit(x: Spread, y: Spread, court: &Court, unit: LengthUnit, origin: Origin, points: [Points; 2]) -> f64 {
    let (length, width) = (
        f64::from(court.length_m) / unit.in_m(),
        f64::from(court.width_m) / unit.in_m(),
    );
    let [x_points, y_points] = points;
    let ((along, along_points), (across, across_points)) = if x_points.is_along() {
        ((x, x_points), (y, y_points))
    } else {
        ((y, y_points), (x, x_points))
    };
    // A coordinate that grows the other way runs from the other end.
    let turned = |halves: f64, points: Points| match points {
        Points::Right | Points::Up => halves,
        Points::Left | Points::Down => -halves,
    };
    let (halves_x, halves_y) = origin.halves();
    let (halves_x, halves_y) = (turned(halves_x, along_points), turned(halves_y, across_points));
    // With the origin at −1 half, coordinates run from 0 to a whole length; at 0, from minus to plus a half.
    let off = |spread: Spread, size: f64, halves: f64| {
        let (least, most) = ((-0.5 - halves / 2.0) * size, (0.5 - halves / 2.0) * size);
        ((spread.percent_1 - least).abs() + (spread.percent_99 - most).abs()) / size
    };
    off(along, length, halves_x) + off(across, width, halves_y)
}

#[cfg(test)]
mod tests {
    use super::*;

    const UPRIGHT: [Points; 2] = [Points::Right, Points::Up];

    fn over(from: f64, to: f64) -> Spread {
        Spread {
            least: from,
            percent_1: from,
            percent_99: to,
            most: to,
        }
    }

    #[test]
    fn coordinates_that_fill_the_court_fit_it() {
        let court = Court::fiba();
        assert!(
            misfit(
                over(-14.0, 14.0),
                over(-7.5, 7.5),
                &court,
                LengthUnit::M,
                Origin::Centre,
                UPRIGHT
            ) < 1e-6
        );
        assert!(
            misfit(
                over(0.0, 28.0),
                over(0.0, 15.0),
                &court,
                LengthUnit::M,
                Origin::BottomLeft,
                UPRIGHT
            ) < 1e-6
        );
        assert!(
            misfit(
                over(0.0, 28.0),
                over(-15.0, 0.0),
                &court,
                LengthUnit::M,
                Origin::TopLeft,
                UPRIGHT
            ) < 1e-6
        );
        assert!(
            misfit(
                over(0.0, 15.0),
                over(0.0, 28.0),
                &court,
                LengthUnit::M,
                Origin::BottomLeft,
                [Points::Up, Points::Right]
            ) < 1e-6
        );
        // From the top left corner, the second coordinate down.
        assert!(
            misfit(
                over(0.0, 28.0),
                over(0.0, 15.0),
                &court,
                LengthUnit::M,
                Origin::TopLeft,
                [Points::Right, Points::Down]
            ) < 1e-6
        );
        // Feet taken for metres: 28 m are 91.9 ft, so that the far end is 63.9 court metres off its own.
        let off = misfit(
            over(0.0, 91.9),
            over(0.0, 49.2),
            &court,
            LengthUnit::M,
            Origin::BottomLeft,
            UPRIGHT,
        );
        assert!((off - (63.9 / 28.0 + 34.2 / 15.0)).abs() < 0.01, "{off}");
    }
}

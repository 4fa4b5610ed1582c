//! Does disguise pay? Disguised ball screens against plain ones, team by team and for the league.

use scrim_floor::Definitions;
use scrim_tables::Id;
use scrim_tables::rows::DisguisePayRow;
use scrim_tables::tags::{Entry, PayMeasure};

use crate::ball_screens::is_ball_screen;
use crate::facts::{GameFacts, Play};
use crate::teams::{TeamIx, Teams};
use scrim_statistics::{
    Estimate, Interval, RateSpread, Sample, mean_difference, rate_difference, shrink_differences, wilson,
};

/// One side of the comparison, of one team.
#[derive(Debug, Clone, Copy, Default)]
struct Arm {
    /// Points of possessions.
    points: Sample,
    open_shots: u32,
    /// Shots whose space is known.
    shots: u32,
    lag_s: Sample,
}

impl Arm {
    fn with(self, other: Self) -> Self {
        Self {
            points: self.points.with(other.points),
            open_shots: self.open_shots + other.open_shots,
            shots: self.shots + other.shots,
            lag_s: self.lag_s.with(other.lag_s),
        }
    }
}

/// What a team's disguised and plain ball screens brought.
#[derive(Debug, Clone, Copy, Default)]
struct Arms {
    disguised: Arm,
    plain: Arm,
}

/// The rows of `disguise_pay`, by measure; the league first, then the teams by id.
///
/// Compared are ball screens that came out of an entry and of which the surprise is known: disguised against plain. Points are
/// those of the possession, and count for its last such ball screen only: a possession is one play.
pub(crate) fn disguise_pay_rows(
    games: &[GameFacts],
    teams: &Teams,
    definitions: &Definitions,
) -> Vec<DisguisePayRow> {
    let mut arms = vec![Arms::default(); teams.len()];
    for game in games {
        add_game(&mut arms, game, teams, definitions);
    }
    let league = arms.iter().fold(Arms::default(), |sum, team| Arms {
        disguised: sum.disguised.with(team.disguised),
        plain: sum.plain.with(team.plain),
    });
    let mut rows = Vec::new();
    rows.extend(of_means(
        PayMeasure::PointsPerPlay,
        &arms,
        &league,
        teams,
        |arm| arm.points,
    ));
    rows.extend(of_rates(&arms, &league, teams));
    rows.extend(of_means(PayMeasure::DefenderLag, &arms, &league, teams, |arm| {
        arm.lag_s
    }));
    rows
}

fn add_game(arms: &mut [Arms], game: &GameFacts, teams: &Teams, definitions: &Definitions) {
    let compared: Vec<&Play> = game
        .plays
        .iter()
        .filter(|play| {
            is_ball_screen(play.kind)
                && play.entry.entry != Entry::None
                && play.disguise.surprise_bits.is_some()
        })
        .collect();
    for (at, play) in compared.iter().enumerate() {
        let possession = &game.possessions[play.possession];
        let team = &mut arms[teams.place(&possession.offense).0];
        let arm = if play.disguise.disguised {
            &mut team.disguised
        } else {
            &mut team.plain
        };
        let is_last = compared
            .get(at + 1)
            .is_none_or(|next| next.possession != play.possession);
        if is_last && let Some(points) = possession.points {
            arm.points.add(f64::from(points));
        }
        if let Some(space_m) = play.shot.and_then(|shot| shot.space_m) {
            arm.shots += 1;
            arm.open_shots += u32::from(space_m >= definitions.open_shot_m);
        }
        if let Some(lag_s) = play.disguise.lag_s {
            arm.lag_s.add(f64::from(lag_s));
        }
    }
}

/// The comparison of one team, or of the league.
struct Compared {
    n: [u32; 2],
    value: [Option<f64>; 2],
    difference: Option<Interval>,
    shrunk: Option<Interval>,
}

fn row(team_id: Option<&Id>, measure: PayMeasure, compared: &Compared) -> DisguisePayRow {
    let of =
        |interval: &Option<Interval>, get: fn(&Interval) -> f64| interval.as_ref().map(|i| get(i) as f32);
    DisguisePayRow {
        team_id: team_id.cloned(),
        measure,
        disguised_n: compared.n[0],
        plain_n: compared.n[1],
        disguised: compared.value[0].map(|value| value as f32),
        plain: compared.value[1].map(|value| value as f32),
        difference: of(&compared.difference, |i| i.value),
        difference_low: of(&compared.difference, |i| i.low),
        difference_high: of(&compared.difference, |i| i.high),
        shrunk: of(&compared.shrunk, |i| i.value),
        shrunk_low: of(&compared.shrunk, |i| i.low),
        shrunk_high: of(&compared.shrunk, |i| i.high),
    }
}

fn of_means(
    measure: PayMeasure,
    arms: &[Arms],
    league: &Arms,
    teams: &Teams,
    sample: fn(&Arm) -> Sample,
) -> Vec<DisguisePayRow> {
    // One spread for all: that of every value of the season.
    let variance = sample(&league.disguised).with(sample(&league.plain)).variance();
    let compare = |arms: &Arms| {
        let (disguised, plain) = (sample(&arms.disguised), sample(&arms.plain));
        Compared {
            n: [disguised.n, plain.n],
            value: [disguised.mean(), plain.mean()],
            difference: variance.and_then(|variance| mean_difference(&disguised, &plain, variance)),
            shrunk: None,
        }
    };
    let mut teams_compared: Vec<Compared> = arms.iter().map(compare).collect();
    let known: Vec<usize> = (0..teams_compared.len())
        .filter(|&team| teams_compared[team].difference.is_some())
        .collect();
    let estimates: Vec<Estimate> = known
        .iter()
        .filter_map(|&team| teams_compared[team].difference)
        .map(|difference| Estimate {
            value: difference.value,
            standard_error: (difference.high - difference.low) / (2.0 * scrim_statistics::Z_95),
        })
        .collect();
    for (team, shrunk) in known.into_iter().zip(shrink_differences(&estimates)) {
        teams_compared[team].shrunk = Some(shrunk);
    }
    let mut rows = vec![row(None, measure, &compare(league))];
    rows.extend(
        teams_compared
            .iter()
            .enumerate()
            .map(|(team, compared)| row(Some(teams.id(TeamIx(team))), measure, compared)),
    );
    rows
}

fn of_rates(arms: &[Arms], league: &Arms, teams: &Teams) -> Vec<DisguisePayRow> {
    let counts = |arm: &Arm| (arm.open_shots, arm.shots);
    let learn = |of: fn(&Arms) -> &Arm| {
        RateSpread::learn(&arms.iter().map(|arms| counts(of(arms))).collect::<Vec<_>>())
    };
    let spreads = [learn(|arms| &arms.disguised), learn(|arms| &arms.plain)];
    let compare = |arms: &Arms| {
        let counted = [counts(&arms.disguised), counts(&arms.plain)];
        let rates = counted.map(|(hits, n)| wilson(hits, n));
        let difference = rates[0]
            .zip(rates[1])
            .map(|(first, second)| rate_difference(first, second));
        let shrink = |arm: usize| {
            let (hits, n) = counted[arm];
            spreads[arm].as_ref().map(|spread| spread.shrink(hits, n))
        };
        Compared {
            n: counted.map(|(_, n)| n),
            value: rates.map(|rate| rate.map(|rate| rate.value)),
            difference,
            // Of a team without a shot in one arm the model knows only the league.
            shrunk: difference
                .and_then(|_| shrink(0).zip(shrink(1)))
                .map(|(first, second)| rate_difference(first, second)),
        }
    };
    let of_league = Compared {
        shrunk: None,
        ..compare(league)
    };
    let mut rows = vec![row(None, PayMeasure::OpenShotRate, &of_league)];
    rows.extend(arms.iter().enumerate().map(|(team, arms)| {
        row(
            Some(teams.id(TeamIx(team))),
            PayMeasure::OpenShotRate,
            &compare(arms),
        )
    }));
    rows
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;
    use crate::disguise::Disguise;
    use crate::staging::{Staged, What};

    const DISGUISED: Disguise = Disguise {
        surprise_bits: Some(3.0),
        disguised: true,
        lag_s: Some(0.5),
    };
    const PLAIN: Disguise = Disguise {
        surprise_bits: Some(1.0),
        disguised: false,
        lag_s: Some(0.1),
    };

    fn shot(space_m: f32) -> What {
        What {
            space_m: Some(space_m),
            ..What::default()
        }
    }

    #[test]
    fn disguised_is_held_against_plain_and_a_possession_pays_once() {
        let mut game = Staged::new("g", None)
            .possession("horns down:left ball_screen:left", Some(3), shot(2.5))
            .possession("horns down:left ball_screen:left", Some(1), shot(1.0))
            // Two ball screens: the points are the second's, which is plain.
            .possession(
                "horns down:left ball_screen:left ball_screen:right",
                Some(2),
                What::default(),
            )
            .possession("horns down:left ball_screen:left", Some(0), shot(1.0))
            .done();
        for (play, disguise) in game
            .plays
            .iter_mut()
            .zip([DISGUISED, DISGUISED, DISGUISED, PLAIN, PLAIN])
        {
            play.disguise = disguise;
        }
        let games = [game];
        let rows = disguise_pay_rows(&games, &Teams::of(&games), &Definitions::DEFAULT);
        let of = |measure| {
            let mut rows = rows
                .iter()
                .filter(|row| row.measure == measure && row.team_id.as_deref() == Some("a"));
            rows.next().unwrap()
        };
        let points = of(PayMeasure::PointsPerPlay);
        assert_eq!((points.disguised_n, points.plain_n), (2, 2));
        assert_eq!(
            (points.disguised, points.plain, points.difference),
            (Some(2.0), Some(1.0), Some(1.0))
        );
        // Values 3, 1, 2, 0: variance 5/3. 1.959964 * sqrt(5/3 * (1/2 + 1/2)) = 2.530303.
        assert_relative_eq!(points.difference_high.unwrap(), 3.530_303, epsilon = 1e-5);
        let open = of(PayMeasure::OpenShotRate);
        assert_eq!((open.disguised_n, open.plain_n), (2, 1));
        assert_eq!((open.disguised, open.plain), (Some(0.5), Some(0.0)));
        let lag = of(PayMeasure::DefenderLag);
        assert_eq!((lag.disguised_n, lag.plain_n), (3, 2));
        assert_relative_eq!(lag.difference.unwrap(), 0.4, epsilon = 1e-6);
        // One team cannot show how teams differ, and the other had no such ball screen.
        assert_eq!(open.shrunk, None);
        let none = rows
            .iter()
            .find(|row| row.team_id.as_deref() == Some("b"))
            .unwrap();
        assert_eq!((none.disguised_n, none.difference, none.shrunk), (0, None, None));
    }

    #[test]
    fn of_an_unknown_surprise_nothing_is_compared() {
        let game = Staged::new("g", None)
            .possession("horns down:left ball_screen:left", Some(3), shot(2.5))
            .done();
        let games = [game];
        let rows = disguise_pay_rows(&games, &Teams::of(&games), &Definitions::DEFAULT);
        assert!(rows.iter().all(|row| row.disguised_n + row.plain_n == 0));
    }
}

//! Which hoop a team attacks in each period, found from the data.

use scrim_floor::AttackDirection;
use scrim_tracks::{Game, Period, TeamSlot};

use crate::attempt::Attempt;
use crate::spell::Spell;

/// A ball nearer to half court than this says nothing, m.
const NEUTRAL_M: f32 = 3.0;
/// Weight of a shot, in seconds of control in the front court.
const SHOT_WEIGHT_S: f64 = 5.0;
/// Evidence below this is thin: the other periods decide, s.
const MIN_EVIDENCE_S: f64 = 20.0;

/// Which hoop [`TeamSlot::First`] attacks in a period, and how sure that is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PeriodDirection {
    /// The hoop that `team_ids[0]` attacks; the other team attacks the other.
    pub first_team: AttackDirection,
    /// Seconds of evidence for it less those against it; below [`MIN_EVIDENCE_S`] it is thin and the
    /// other periods decided.
    pub evidence_s: f64,
}

impl PeriodDirection {
    /// The hoop that `team` attacks.
    pub const fn of(&self, team: TeamSlot) -> AttackDirection {
        match team {
            TeamSlot::First => self.first_team,
            TeamSlot::Second => self.first_team.opposite(),
        }
    }
}

/// The direction in each period of `game`. `spells` and `attempts` have an entry a period.
pub(crate) fn find_directions(
    game: &Game,
    spells: &[Vec<Spell>],
    attempts: &[Vec<Attempt>],
) -> Vec<PeriodDirection> {
    let evidence_s: Vec<f64> = game
        .periods
        .iter()
        .zip(spells)
        .zip(attempts)
        .map(|((period, spells), attempts)| {
            let toward = |team: TeamSlot, frame: usize| {
                let x_m = period.ball.x_m[frame];
                let sign = match team {
                    TeamSlot::First => 1.0,
                    TeamSlot::Second => -1.0,
                };
                // A missing ball (NaN) is on no side.
                if x_m > NEUTRAL_M {
                    sign
                } else if x_m < -NEUTRAL_M {
                    -sign
                } else {
                    0.0
                }
            };
            let mut sum_s = 0.0;
            for spell in spells {
                let held: f64 = spell.frames.clone().map(|frame| toward(spell.team, frame)).sum();
                sum_s += held / period.hz + advanced_s(period, spell);
            }
            sum_s += guarded_s(period);
            for attempt in attempts {
                let release = attempt.release.min(period.frames.saturating_sub(1));
                sum_s += SHOT_WEIGHT_S * toward(attempt.team, release);
            }
            sum_s
        })
        .collect();
    // Teams change ends after half the game; later periods go on in the second half's direction.
    let half = half_time_after(game);
    let mut halves_s = 0.0;
    for (period, &sum_s) in game.periods.iter().zip(&evidence_s) {
        halves_s += if period.number <= half { sum_s } else { -sum_s };
    }
    game.periods
        .iter()
        .zip(&evidence_s)
        .map(|(period, &sum_s)| {
            let by_halves_s = if period.number <= half {
                halves_s
            } else {
                -halves_s
            };
            let decided_s = if sum_s.abs() >= MIN_EVIDENCE_S {
                sum_s
            } else {
                by_halves_s
            };
            let first_team = if decided_s >= 0.0 {
                AttackDirection::PositiveX
            } else {
                AttackDirection::NegativeX
            };
            let evidence_s = if decided_s >= 0.0 { sum_s } else { -sum_s };
            PeriodDirection {
                first_team,
                evidence_s,
            }
        })
        .collect()
}

/// How far a spell brings the ball along the court counts as the seconds that a team needs for it at this pace, m/s: a ball
/// that is brought up was in the wrong half before.
const ADVANCE_MPS: f32 = 3.0;

/// Seconds of evidence for First attacking the hoop at +x from where a spell brings the ball.
fn advanced_s(period: &Period, spell: &Spell) -> f64 {
    let xs_m = &period.ball.x_m[spell.frames.clone()];
    let seen = |x_m: &&f32| x_m.is_finite();
    let (Some(from_m), Some(to_m)) = (xs_m.iter().find(seen), xs_m.iter().rfind(seen)) else {
        return 0.0;
    };
    let advanced_s = f64::from((to_m - from_m) / ADVANCE_MPS);
    match spell.team {
        TeamSlot::First => advanced_s,
        TeamSlot::Second => -advanced_s,
    }
}

/// Fewer players of a team than this on the ball's side say nothing about who guards the hoop.
const MIN_SIDE: usize = 3;
/// Teams whose mean places differ by less than this along the court stand level, metres.
const LEVEL_M: f32 = 0.5;

/// Seconds during which the teams stand as they do when First attacks the hoop at +x, less those of the opposite: of the
/// players on the ball's side of the floor the guarding team's are nearer to the end line, whoever has the ball.
fn guarded_s(period: &Period) -> f64 {
    let mut frames = 0i64;
    for lineup in &period.lineups {
        for frame in lineup.start..lineup.end.min(period.frames) {
            let side = period.ball.x_m[frame];
            // A missing ball is on no side.
            if side.is_nan() || side.abs() <= NEUTRAL_M {
                continue;
            }
            let mean_m = |team: TeamSlot| {
                let xs_m = lineup
                    .of(team)
                    .iter()
                    .map(|&track| period.track(track).x_m[frame])
                    .filter(|x_m| x_m * side.signum() > 0.0);
                let (sum_m, count) = xs_m.fold((0.0, 0usize), |(sum_m, count), x_m| (sum_m + x_m, count + 1));
                (count >= MIN_SIDE).then(|| sum_m / count as f32)
            };
            if let (Some(first_m), Some(second_m)) = (mean_m(TeamSlot::First), mean_m(TeamSlot::Second)) {
                frames += i64::from(second_m - first_m > LEVEL_M) - i64::from(first_m - second_m > LEVEL_M);
            }
        }
    }
    frames as f64 / period.hz
}

/// Number of the last period before the teams change ends: 2 of four quarters, 1 of two halves.
fn half_time_after(game: &Game) -> u8 {
    // A first period's clock above a quarter's 12 min is a half.
    let longest_s = game
        .periods
        .iter()
        .flat_map(|period| &period.game_clock_s)
        .copied()
        .fold(0.0, f32::max);
    if longest_s > 12.5 * 60.0 { 1 } else { 2 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::PlayParams;
    use crate::control::{ControlContext, ControlRule, find_control};
    use crate::staging::Staging;

    /// A game of several periods: in each, First has the ball for so many seconds before one of the hoops.
    fn game(periods: &[(u8, f64, f32)]) -> Game {
        let mut game = Staging::new(1.0).game();
        game.periods = periods
            .iter()
            .map(|&(number, seconds, x_m)| {
                let scene = Staging::new(seconds).stand(0, (x_m, 0.0)).hold(0, 0.0..seconds);
                let mut period = scene.game().periods.remove(0);
                period.number = number;
                period
            })
            .collect();
        game
    }

    fn directions(game: &Game) -> Vec<PeriodDirection> {
        let rule = ControlRule::of(&PlayParams::default());
        let of = |period| find_control(period, ControlContext::default(), &rule);
        let spells: Vec<_> = game.periods.iter().map(of).collect();
        let attempts = vec![Vec::new(); spells.len()];
        find_directions(game, &spells, &attempts)
    }

    #[test]
    fn where_the_ball_is_held_shows_the_hoop() {
        let found = directions(&game(&[(1, 40.0, 8.0), (3, 40.0, -8.0)]));
        assert_eq!(found[0].first_team, AttackDirection::PositiveX);
        assert_eq!(found[1].first_team, AttackDirection::NegativeX);
        assert_eq!(found[0].of(TeamSlot::Second), AttackDirection::NegativeX);
        assert!((found[1].evidence_s - 40.0).abs() < 0.5);
    }

    #[test]
    fn thin_evidence_yields_to_the_other_half() {
        // Six seconds on the wrong side in period 2 (a steal, say) do not outweigh the rest of the first half.
        let found = directions(&game(&[(1, 40.0, 8.0), (2, 6.0, -8.0), (3, 40.0, -8.0)]));
        assert_eq!(found[1].first_team, AttackDirection::PositiveX);
        assert!(found[1].evidence_s < MIN_EVIDENCE_S);
    }
}

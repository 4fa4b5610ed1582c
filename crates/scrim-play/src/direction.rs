//! Which hoop a team attacks in each period, found from the data.
//!
//! Those who defend stand nearer to their own hoop than those who attack it, in either half of the floor: while the
//! ball comes up, most of them are back already. The ball's place alone says the wrong hoop for all the time that a
//! possession spends in its back court; the defence alone is fooled by one who runs away with the ball. So both count.

use scrim_floor::AttackDirection;
use scrim_tracks::{Game, Period, TeamSlot};

use crate::DirectionParams;
use crate::attempt::Attempt;
use crate::control::Spell;

/// The ball's share of the evidence, the defence's place has the rest. Of 600 real possessions the ball alone tells the
/// wrong hoop in 67; with a share of 1/2 to 2/3 none is wrong, and 2/3 forgives a lone runner more.
const BALL_SHARE: f64 = 2.0 / 3.0;

/// Which hoop [`TeamSlot::First`] attacks in a period, and how sure that is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PeriodDirection {
    /// The hoop that `team_ids[0]` attacks; the other team attacks the other.
    pub first_team: AttackDirection,
    /// Seconds of evidence for it less those against it; below [`DirectionParams::min_evidence_s`] it is thin and the
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
    params: &DirectionParams,
) -> Vec<PeriodDirection> {
    let evidence_s: Vec<f64> = game
        .periods
        .iter()
        .zip(spells)
        .zip(attempts)
        .map(|((period, spells), attempts)| {
            let side = |team: TeamSlot, x_m: f32, neutral_m: f32| match team {
                // What is missing (NaN) is on no side.
                _ if x_m.is_nan() || x_m.abs() <= neutral_m => 0.0,
                TeamSlot::First => f64::from(x_m.signum()),
                TeamSlot::Second => -f64::from(x_m.signum()),
            };
            let vote = |team, frame: usize| {
                BALL_SHARE * side(team, period.ball.x_m[frame], params.neutral_m)
                    + (1.0 - BALL_SHARE)
                        * side(team, defence_lead_m(period, team, frame), params.neutral_lead_m)
            };
            let mut sum_s = 0.0;
            for spell in spells {
                let held: f64 = spell.frames.clone().map(|frame| vote(spell.team, frame)).sum();
                sum_s += held / period.hz;
            }
            for attempt in attempts {
                let release = attempt.release.min(period.frames.saturating_sub(1));
                sum_s += params.shot_weight_s * vote(attempt.team, release);
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
            let decided_s = if sum_s.abs() >= params.min_evidence_s {
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

/// How much nearer to the hoop at positive x the team without the ball stands, by the mean places of both teams; NaN
/// when one of them is not seen.
fn defence_lead_m(period: &Period, offense: TeamSlot, frame: usize) -> f32 {
    let Some(lineup) = period.lineup_at(frame) else {
        return f32::NAN;
    };
    let mean_x_m = |team: TeamSlot| {
        let (mut sum_m, mut seen) = (0.0, 0_u8);
        for &track in &lineup.on_floor[team.index()] {
            let x_m = period.tracks[track].x_m[frame];
            if x_m.is_finite() {
                sum_m += x_m;
                seen += 1;
            }
        }
        sum_m / f32::from(seen)
    };
    mean_x_m(offense.other()) - mean_x_m(offense)
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
    use crate::staging::Staging;
    use crate::{ControlContext, ControlParams, find_control};

    /// A game of several periods: in each, First has the ball for so many seconds, before five defenders who stand
    /// between them and the hoop at positive x, or (turned) the other one.
    fn game(periods: &[(u8, f64, bool)]) -> Game {
        let mut game = Staging::new(1.0).game();
        game.periods = periods
            .iter()
            .map(|&(number, seconds, is_turned)| {
                let scene = Staging::new(seconds).hold(0, 0.0..seconds);
                let scene = if is_turned { scene.turned() } else { scene };
                let mut period = scene.game().periods.remove(0);
                period.number = number;
                period
            })
            .collect();
        game
    }

    fn directions(game: &Game) -> Vec<PeriodDirection> {
        let of = |period| find_control(period, ControlContext::default(), &ControlParams::default());
        let spells: Vec<_> = game.periods.iter().map(of).collect();
        let attempts = vec![Vec::new(); spells.len()];
        find_directions(game, &spells, &attempts, &DirectionParams::default())
    }

    #[test]
    fn the_defence_stands_before_the_hoop_that_is_attacked() {
        let found = directions(&game(&[(1, 40.0, false), (3, 40.0, true)]));
        assert_eq!(found[0].first_team, AttackDirection::PositiveX);
        assert_eq!(found[1].first_team, AttackDirection::NegativeX);
        assert_eq!(found[0].of(TeamSlot::Second), AttackDirection::NegativeX);
        assert!((found[1].evidence_s - 40.0).abs() < 0.5);
    }

    #[test]
    fn a_ball_that_is_longer_in_the_back_court_does_not_turn_the_floor() {
        // For 8 of 14 s everyone is 18 m further back, the defence between the ball and the hoop at positive x. The
        // ball's place alone would speak for the other hoop, by 2 s.
        let mut whole = game(&[(1, 14.0, false)]);
        let period = &mut whole.periods[0];
        let xs = period.tracks.iter_mut().map(|track| &mut track.x_m);
        for x_m in xs.chain([&mut period.ball.x_m]) {
            x_m[..200].iter_mut().for_each(|x| *x -= 18.0);
        }
        assert!(period.ball.x_m[..200].iter().all(|x| *x < -5.0));
        let found = directions(&whole)[0];
        assert_eq!(found.first_team, AttackDirection::PositiveX);
        // 14 s of the defence · 1/3 + (6 − 8) s of the ball · 2/3.
        assert!((found.evidence_s - 10.0 / 3.0).abs() < 0.4, "{found:?}");
    }

    #[test]
    fn with_a_defence_that_is_not_seen_the_ball_alone_tells() {
        let mut whole = game(&[(1, 12.0, false)]);
        for track in &mut whole.periods[0].tracks {
            if track.team == TeamSlot::Second {
                track.x_m.fill(f32::NAN);
            }
        }
        // 12 s · 2/3.
        assert!((directions(&whole)[0].evidence_s - 8.0).abs() < 0.4);
    }

    #[test]
    fn thin_evidence_yields_to_the_other_half() {
        // Six seconds on the wrong side in period 2 (a steal, say) do not outweigh the rest of the first half.
        let found = directions(&game(&[(1, 40.0, false), (2, 6.0, true), (3, 40.0, true)]));
        assert_eq!(found[1].first_team, AttackDirection::PositiveX);
        assert!(found[1].evidence_s < DirectionParams::default().min_evidence_s);
    }
}

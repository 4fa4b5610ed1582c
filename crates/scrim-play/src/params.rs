//! The stage's parameters, a struct a concept. Defaults: vocabulary, "Ball and possession"; what the vocabulary does
//! not give is common practice, no source.

use serde::{Deserialize, Serialize};

/// All parameters of [`crate::find_play`].
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PlayParams {
    /// Who has the ball.
    pub control: ControlParams,
    /// Field-goal attempts and their results.
    pub shots: ShotParams,
    /// Where possessions begin and end.
    pub possessions: PossessionParams,
    /// Touches, passes and handoffs.
    pub touches: TouchParams,
    /// Which hoop a team attacks.
    pub direction: DirectionParams,
    /// Who guards whom.
    pub matchups: crate::MatchupParams,
}

/// A parameter that makes no sense.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PlayError {
    /// A parameter lies outside its bounds.
    #[error("parameter `{name}` is {found}; it must lie between {least} and {most}")]
    Parameter {
        /// The parameter, with the name of its group before the dot.
        name: &'static str,
        /// What it is.
        found: f64,
        /// Its lower bound.
        least: f64,
        /// Its upper bound.
        most: f64,
    },
}

impl PlayParams {
    /// Whether every parameter of control, shots, possessions, touches and direction is a number within its bounds.
    ///
    /// # Errors
    /// [`PlayError::Parameter`] for the first that is not.
    pub fn check(&self) -> Result<(), PlayError> {
        let (c, s, p, t, d) = (
            &self.control,
            &self.shots,
            &self.possessions,
            &self.touches,
            &self.direction,
        );
        let bounds: [(&'static str, f64, f64, f64); CHECKED] = [
            ("control.reach_m", c.reach_m.into(), 0.1, 10.0),
            ("control.max_height_m", c.max_height_m.into(), 0.0, 10.0),
            ("control.min_control_s", c.min_control_s, 0.0, 10.0),
            ("control.reach_cost_per_s", c.reach_cost_per_s.into(), 0.0, 1e3),
            (
                "control.beyond_cost_per_m_s",
                c.beyond_cost_per_m_s.into(),
                0.0,
                1e3,
            ),
            ("control.loose_cost_per_s", c.loose_cost_per_s.into(), 0.0, 1e3),
            ("control.gain_cost", c.gain_cost.into(), 0.0, 1e3),
            ("control.lose_cost", c.lose_cost.into(), 0.0, 1e3),
            ("control.change_team_cost", c.change_team_cost.into(), 0.0, 1e3),
            (
                "control.own_hoop_cost_per_s",
                c.own_hoop_cost_per_s.into(),
                0.0,
                1e3,
            ),
            ("control.at_rim_cost_per_s", c.at_rim_cost_per_s.into(), 0.0, 1e3),
            ("control.told_s", c.told_s, 0.0, 60.0),
            ("control.told_cost_per_s", c.told_cost_per_s.into(), 0.0, 1e3),
            ("control.before_shot_s", c.before_shot_s, 0.0, 60.0),
            ("control.free_speed_mps", c.free_speed_mps.into(), 0.0, 100.0),
            ("control.speed_cost_per_m", c.speed_cost_per_m.into(), 0.0, 1e3),
            ("control.speed_window_s", c.speed_window_s, 0.0, 5.0),
            ("control.free_retreat_mps", c.free_retreat_mps.into(), 0.0, 100.0),
            (
                "control.retreat_cost_per_m",
                c.retreat_cost_per_m.into(),
                0.0,
                1e3,
            ),
            (
                "control.height_cost_per_m_s",
                c.height_cost_per_m_s.into(),
                0.0,
                1e3,
            ),
            ("control.fall_cost_per_s", c.fall_cost_per_s.into(), 0.0, 1e3),
            ("control.keep_missing_s", c.keep_missing_s.into(), 0.01, 60.0),
            ("shots.rim_radius_m", s.rim_radius_m.into(), 0.1, 5.0),
            ("shots.min_rim_height_m", s.min_rim_height_m.into(), 0.0, 5.0),
            ("shots.min_stay_s", s.min_stay_s, 0.0, 10.0),
            ("shots.max_stay_s", s.max_stay_s, 0.0, 10.0),
            ("shots.min_approach_mps", s.min_approach_mps.into(), 0.0, 100.0),
            ("shots.min_hang_s", s.min_hang_s, 0.0, 10.0),
            ("shots.max_near_shot_s", s.max_near_shot_s, 0.0, 60.0),
            ("shots.max_bounce_mps", s.max_bounce_mps.into(), 0.0, 100.0),
            ("shots.same_hands_s", s.same_hands_s, 0.0, 10.0),
            ("shots.same_visit_s", s.same_visit_s, 0.0, 10.0),
            ("shots.max_flight_s", s.max_flight_s, 0.0, 10.0),
            ("shots.through_radius_m", s.through_radius_m.into(), 0.01, 5.0),
            ("shots.fall_weight", s.fall_weight.into(), 0.0, 1e3),
            ("shots.throw_in_weight", s.throw_in_weight.into(), 0.0, 1e3),
            ("shots.rebound_weight", s.rebound_weight.into(), 0.0, 1e3),
            ("shots.end_line_m", s.end_line_m.into(), 0.0, 10.0),
            ("shots.behind_line_m", s.behind_line_m.into(), -5.0, 5.0),
            ("shots.away_m", s.away_m.into(), 0.1, 30.0),
            ("shots.next_control_s", s.next_control_s, 0.0, 60.0),
            ("shots.event_early_s", s.event_early_s, 0.0, 60.0),
            ("shots.event_late_s", s.event_late_s, 0.0, 60.0),
            ("possessions.min_team_control_s", p.min_team_control_s, 0.0, 10.0),
            ("possessions.min_dead_s", p.min_dead_s, 0.0, 60.0),
            ("possessions.throw_in_s", p.throw_in_s, 0.0, 60.0),
            ("possessions.throw_in_flight_s", p.throw_in_flight_s, 0.0, 60.0),
            ("possessions.told_before_s", p.told_before_s, 0.0, 60.0),
            ("possessions.told_after_s", p.told_after_s, 0.0, 60.0),
            ("possessions.out_s", p.out_s, 0.0, 60.0),
            ("possessions.out_m", p.out_m.into(), 0.0, 10.0),
            (
                "possessions.half_court_attackers",
                p.half_court_attackers as f64,
                0.0,
                5.0,
            ),
            ("touches.handoff_gap_m", t.handoff_gap_m.into(), 0.0, 10.0),
            (
                "touches.handoff_speed_mps",
                t.handoff_speed_mps.into(),
                0.0,
                100.0,
            ),
            ("touches.handoff_around_s", t.handoff_around_s, 0.0, 10.0),
            ("touches.flip_gap_m", t.flip_gap_m.into(), 0.0, 10.0),
            ("touches.flip_s", t.flip_s, 0.0, 10.0),
            ("touches.same_touch_s", t.same_touch_s, 0.0, 10.0),
            ("touches.bounce_height_m", t.bounce_height_m.into(), 0.0, 5.0),
            ("touches.dribble_path_m", t.dribble_path_m.into(), 0.0, 100.0),
            ("direction.neutral_m", d.neutral_m.into(), 0.0, 20.0),
            ("direction.shot_weight_s", d.shot_weight_s, 0.0, 1e3),
            ("direction.min_evidence_s", d.min_evidence_s, 0.0, 1e4),
        ];
        match bounds
            .into_iter()
            .find(|(_, found, least, most)| !(least..=most).contains(&found))
        {
            Some((name, found, least, most)) => Err(PlayError::Parameter {
                name,
                found,
                least,
                most,
            }),
            None => Ok(()),
        }
    }
}

/// How many parameters [`PlayParams::check`] looks at.
const CHECKED: usize = 63;

/// Who has the ball: the cheapest path through {loose, each player} over all frames of a period (Viterbi, "Error
/// bounds for convolutional codes and an asymptotically optimum decoding algorithm", IEEE Trans. Inf. Theory 13(2),
/// 1967). Costs are per second, so that they do not depend on the frame rate.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct ControlParams {
    /// Farthest that the ball is from the player who controls it, in the plane, m. Default 1.2.
    pub reach_m: f32,
    /// Highest that a controlled ball is, m. Default 2.6.
    pub max_height_m: f32,
    /// Shortest spell of control, s. Default 0.2.
    pub min_control_s: f64,
    /// Cost of a controlled ball at [`Self::reach_m`], per second; nearer it falls with the fourth power of the
    /// distance: within arm's reach nearness tells little. Default 3.
    pub reach_cost_per_s: f32,
    /// Further cost per metre beyond [`Self::reach_m`], per second. Default 15.
    pub beyond_cost_per_m_s: f32,
    /// Cost of a ball that nobody controls, per second. Default 6.
    pub loose_cost_per_s: f32,
    /// Cost of taking control. Default 1.0: with the loose cost of 6 a second, a ball near at hand is controlled after
    /// about 0.2 s.
    pub gain_cost: f32,
    /// Cost of giving control up. Default 0.5.
    pub lose_cost: f32,
    /// Further cost of taking a ball that the other team had last. Default 2.
    pub change_team_cost: f32,
    /// Cost of a player's control before a shot at the hoop that he defends, per second. Default 3.
    pub own_hoop_cost_per_s: f32,
    /// Cost of control while the ball is at the rim, per second. Default 8.
    pub at_rim_cost_per_s: f32,
    /// A player whom the events give the ball has it for this long after, s. Default 1.5.
    pub told_s: f64,
    /// Cost of the other team's control in that time, per second. Default 3.
    pub told_cost_per_s: f32,
    /// How long before the ball comes to the rim that counts, s. Default 1.2.
    pub before_shot_s: f64,
    /// Ball and player may differ in velocity by this, before and after, and the ball is still his, m/s. Default 3.5.
    pub free_speed_mps: f32,
    /// Cost for each m/s above [`Self::free_speed_mps`], per second. Default 4.
    pub speed_cost_per_m: f32,
    /// How far back and ahead that velocity is looked at, s. Default 0.2.
    pub speed_window_s: f64,
    /// A player may move toward his own hoop this fast and still have the ball, m/s. Default 2.
    pub free_retreat_mps: f32,
    /// Cost for each m/s above [`Self::free_retreat_mps`], per second. Default 0.8.
    pub retreat_cost_per_m: f32,
    /// Cost for each metre above [`Self::max_height_m`], per second. Default 60.
    pub height_cost_per_m_s: f32,
    /// Cost of a controlled ball that falls freely from above a dribble's height, per second. Default 8.
    pub fall_cost_per_s: f32,
    /// How long control is kept while the ball is missing, s. Default 2.0.
    pub keep_missing_s: f32,
}

impl Default for ControlParams {
    fn default() -> Self {
        Self {
            reach_m: 1.2,
            max_height_m: 2.6,
            min_control_s: 0.2,
            reach_cost_per_s: 3.0,
            beyond_cost_per_m_s: 15.0,
            loose_cost_per_s: 6.0,
            gain_cost: 1.0,
            lose_cost: 0.5,
            change_team_cost: 2.0,
            own_hoop_cost_per_s: 3.0,
            before_shot_s: 1.2,
            at_rim_cost_per_s: 8.0,
            told_s: 1.5,
            told_cost_per_s: 3.0,
            free_speed_mps: 3.5,
            speed_cost_per_m: 4.0,
            speed_window_s: 0.2,
            free_retreat_mps: 2.0,
            retreat_cost_per_m: 0.8,
            height_cost_per_m_s: 60.0,
            fall_cost_per_s: 8.0,
            keep_missing_s: 2.0,
        }
    }
}

/// Field-goal attempts and their results.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct ShotParams {
    /// A shot comes within this of the hoop's centre, in the plane, m. Default 0.75 (the rim's radius is 0.225 m and
    /// the backboard 0.15 m behind it, FIBA Official Basketball Rules, Art. 3 and Basketball Equipment).
    pub rim_radius_m: f32,
    /// A ball at least this high beside the hoop is a shot (or a tip), m. Default 2.8; the ring is at 3.05 m.
    pub min_rim_height_m: f32,
    /// Without height: a shot stays at the rim at least this long, s. Default 0.2.
    pub min_stay_s: f64,
    /// Without height: after this a ball at the rim has come down, s. Default 0.8; from the ring to the floor a ball
    /// falls √(2 · 3.05 / 9.80665) = 0.79 s.
    pub max_stay_s: f64,
    /// Without height: a shot comes to the rim at least this fast, m/s. Default 1.
    pub min_approach_mps: f32,
    /// Without height: a ball that stays at the ring this long while it would have fallen was shot, however slowly it came,
    /// s. Default 0.3: a dribble at 3 m/s crosses the ring's reach of 0.45 m to either side in that time.
    pub min_hang_s: f64,
    /// Without height: a ball that leaves the hoop faster than this was passed out and not shot, m/s. Default 6: faster than
    /// most balls come in.
    pub max_bounce_mps: f32,
    /// Without height: who has the ball again within this after a visit has dribbled past under the hoop, s. Default 0.3.
    pub same_hands_s: f64,
    /// A defender who has the ball for less than this before it comes to the rim has only been near the shot, s. Default 0.8.
    pub max_near_shot_s: f64,
    /// Two visits of the rim within this are one, s. Default 0.6.
    pub same_visit_s: f64,
    /// Longest time from release to the rim, s. Default 3.0.
    pub max_flight_s: f64,
    /// A ball that falls through the hoop stays within this of its centre, on the mean, m. Default 0.4: about the ring's
    /// radius and the tracking's error.
    pub through_radius_m: f32,
    /// Without events: weight of that fall, from 1 (straight down) to −1.5. Default 2.5.
    pub fall_weight: f32,
    /// Without events: weight of a throw-in from the end line (for) or of any other control by the defence (against).
    /// Default 1.
    pub throw_in_weight: f32,
    /// Without events: weight of control by the shooting team, against a made shot. Default 1.5.
    pub rebound_weight: f32,
    /// Who throws in stands at most this far inside the end line, m. Default 1.2.
    pub end_line_m: f32,
    /// Without height: after a made shot the other team has the ball behind the end line, or at most this far inside it, m.
    /// Default 0.25: in the hands of a player who stands behind the line.
    pub behind_line_m: f32,
    /// Without height: a ball that somebody has this far from the hoop, and that was not behind the end line before, did not
    /// go in, m. Default 4.5: nobody throws in from there.
    pub away_m: f32,
    /// Control later than this after the shot tells nothing of it, s. Default 8.
    pub next_control_s: f64,
    /// An event may be told this much before what it tells, s. Default 2.0.
    pub event_early_s: f64,
    /// An event may be told this much after what it tells, s. Default 5.0.
    pub event_late_s: f64,
}

impl Default for ShotParams {
    fn default() -> Self {
        Self {
            rim_radius_m: 0.75,
            min_rim_height_m: 2.8,
            min_stay_s: 0.2,
            max_stay_s: 0.8,
            min_approach_mps: 1.0,
            min_hang_s: 0.3,
            max_bounce_mps: 6.0,
            same_hands_s: 0.3,
            max_near_shot_s: 0.8,
            same_visit_s: 0.6,
            max_flight_s: 3.0,
            through_radius_m: 0.4,
            fall_weight: 2.5,
            throw_in_weight: 1.0,
            rebound_weight: 1.5,
            end_line_m: 1.2,
            behind_line_m: 0.25,
            away_m: 4.5,
            next_control_s: 8.0,
            event_early_s: 2.0,
            event_late_s: 5.0,
        }
    }
}

/// Where possessions begin and end.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PossessionParams {
    /// A team that has the ball for less than this between two spells of the other has only deflected it, s.
    /// Default 0.5.
    pub min_team_control_s: f64,
    /// Stops of play shorter than this are a flicker of the clock, s. Default 0.6.
    pub min_dead_s: f64,
    /// Longest time the ball is at the disposal of the player who throws in, s. Default 5.0 (FIBA Official
    /// Basketball Rules, Art. 17; NBA Official Rules, Rule 8).
    pub throw_in_s: f64,
    /// Longest flight of a throw-in, s. Default 2.0.
    pub throw_in_flight_s: f64,
    /// An event this long before a stop of play may tell of it, s. Default 3.
    pub told_before_s: f64,
    /// An event this long after the end of a possession may tell of it, s. Default 5.
    pub told_after_s: f64,
    /// Without events: a ball out of bounds this shortly before or after a stop was the reason, s. Default 0.8.
    pub out_s: f64,
    /// How far past the line a ball is surely out, m. Default 0.3.
    pub out_m: f32,
    /// Attackers past half court (besides the ball) that make it a half-court possession. Default 4.
    pub half_court_attackers: usize,
}

impl Default for PossessionParams {
    fn default() -> Self {
        Self {
            min_team_control_s: 0.5,
            min_dead_s: 0.6,
            throw_in_s: 5.0,
            throw_in_flight_s: 2.0,
            told_before_s: 3.0,
            told_after_s: 5.0,
            out_s: 0.8,
            out_m: 0.3,
            half_court_attackers: 4,
        }
    }
}

/// Touches, passes and handoffs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct TouchParams {
    /// The two players of a handoff are within this at the exchange, m. Default 1.6.
    pub handoff_gap_m: f32,
    /// The receiver of a handoff moves at least this fast relative to the giver, m/s. Default 2.0.
    pub handoff_speed_mps: f32,
    /// The receiver may reach that speed this long before or after the ball is theirs, s. Default 0.4.
    pub handoff_around_s: f64,
    /// A flip: the ball goes to a player who is at most this far from the giver at the catch, m. Default 2.7: a ball that
    /// flies 2 m, and an arm of 0.35 m at each end.
    pub flip_gap_m: f32,
    /// Who takes a flip runs past the giver, within [`Self::handoff_gap_m`], at most this long after the catch, s. Default
    /// 0.8.
    pub flip_s: f64,
    /// Two spells of one player this close to each other, with nothing between, are one touch, s. Default 0.8.
    pub same_touch_s: f64,
    /// A ball this low has bounced, m. Default 0.45.
    pub bounce_height_m: f32,
    /// Without height: a handler who has covered this while he had the ball has dribbled, m. Default 2.5.
    pub dribble_path_m: f32,
}

impl Default for TouchParams {
    fn default() -> Self {
        Self {
            handoff_gap_m: 1.6,
            handoff_speed_mps: 2.0,
            handoff_around_s: 0.4,
            flip_gap_m: 2.7,
            flip_s: 0.8,
            same_touch_s: 0.8,
            bounce_height_m: 0.45,
            dribble_path_m: 2.5,
        }
    }
}

/// Which hoop a team attacks.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct DirectionParams {
    /// A ball nearer to half court than this tells nothing, m. Default 3.0.
    pub neutral_m: f32,
    /// Weight of a shot, in seconds of control in the front court. Default 5.
    pub shot_weight_s: f64,
    /// Evidence below this is thin: the other periods decide, s. Default 20.
    pub min_evidence_s: f64,
}

impl Default for DirectionParams {
    fn default() -> Self {
        Self {
            neutral_m: 3.0,
            shot_weight_s: 5.0,
            min_evidence_s: 20.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_defaults_are_within_their_bounds() {
        assert_eq!(PlayParams::default().check(), Ok(()));
    }

    #[test]
    fn a_parameter_out_of_bounds_is_named() {
        let shots = ShotParams {
            event_late_s: f64::INFINITY,
            ..Default::default()
        };
        let told = PlayParams {
            shots,
            ..Default::default()
        }
        .check()
        .unwrap_err()
        .to_string();
        assert_eq!(
            told,
            "parameter `shots.event_late_s` is inf; it must lie between 0 and 60"
        );
        let control = ControlParams {
            reach_m: f32::NAN,
            ..Default::default()
        };
        assert!(
            PlayParams {
                control,
                ..Default::default()
            }
            .check()
            .is_err()
        );
    }
}

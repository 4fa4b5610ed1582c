//! Courts as values.

use serde::{Deserialize, Serialize};

use crate::{AttackFrame, CourtFrame, Point};

const FOOT_M: f32 = 0.3048;
const INCH_M: f32 = 0.0254;

/// A court's measures, metres. A league can write its own; [`Court::checked`] reports what does not add up.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Court {
    /// What the court is called in tables and messages.
    pub name: String,
    /// Between the inner edges of the end lines.
    pub length_m: f32,
    /// Between the inner edges of the sidelines.
    pub width_m: f32,
    /// From the inner edge of the end line to the floor under the hoop's centre.
    pub hoop_from_end_line_m: f32,
    /// From the floor under the hoop's centre to the outer edge of the arc.
    pub three_point_radius_m: f32,
    /// From the sideline to the outer edge of the straight piece of the three-point line in the corner.
    pub corner_line_from_sideline_m: f32,
    /// Length of the lane (restricted area): end line to the far edge of the free-throw line.
    pub lane_length_m: f32,
    /// Width of the lane.
    pub lane_width_m: f32,
    /// Radius of the no-charge (restricted) semicircle.
    pub no_charge_radius_m: f32,
}

/// A court whose measures do not add up.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CourtError {
    /// A measure is not a length.
    #[error("court `{court}`: {measure} is {found} m; it must be a number of metres above 0 and under 100")]
    NotALength {
        /// The court's name.
        court: String,
        /// Which measure.
        measure: &'static str,
        /// What it was.
        found: f32,
    },
    /// Two measures contradict each other.
    #[error("court `{court}`: {problem}; check the measures (all are metres)")]
    Contradiction {
        /// The court's name.
        court: String,
        /// What does not fit.
        problem: &'static str,
    },
    /// No built-in court of this name.
    #[error(
        "no court is called `{found}`; known are fiba, nba and ncaa, or give a court's measures in metres"
    )]
    UnknownName {
        /// The name given.
        found: String,
    },
}

impl Court {
    /// FIBA Official Basketball Rules, Art. 2 (court, lines, three-point area, restricted area, no-charge area).
    pub fn fiba() -> Self {
        Self {
            name: "fiba".into(),
            length_m: 28.0,
            width_m: 15.0,
            hoop_from_end_line_m: 1.575,
            three_point_radius_m: 6.75,
            corner_line_from_sideline_m: 0.90,
            lane_length_m: 5.80,
            lane_width_m: 4.90,
            no_charge_radius_m: 1.25,
        }
    }

    /// NBA Official Rules, Rule 1 (court dimensions and equipment).
    pub fn nba() -> Self {
        Self {
            name: "nba".into(),
            length_m: 94.0 * FOOT_M,
            width_m: 50.0 * FOOT_M,
            hoop_from_end_line_m: 5.25 * FOOT_M,
            three_point_radius_m: 23.75 * FOOT_M,
            corner_line_from_sideline_m: 3.0 * FOOT_M,
            lane_length_m: 19.0 * FOOT_M,
            lane_width_m: 16.0 * FOOT_M,
            no_charge_radius_m: 4.0 * FOOT_M,
        }
    }

    /// NCAA Men's Basketball Rules, Rule 1. The corner line's 40.125 in from the sideline (21 ft 7.875 in from
    /// the hoop) is from memory of that rule.
    pub fn ncaa() -> Self {
        Self {
            name: "ncaa".into(),
            length_m: 94.0 * FOOT_M,
            width_m: 50.0 * FOOT_M,
            hoop_from_end_line_m: 5.25 * FOOT_M,
            three_point_radius_m: 22.0 * FOOT_M + 1.75 * INCH_M,
            corner_line_from_sideline_m: 40.125 * INCH_M,
            lane_length_m: 19.0 * FOOT_M,
            lane_width_m: 12.0 * FOOT_M,
            no_charge_radius_m: 4.0 * FOOT_M,
        }
    }

    /// The built-in court called `name` (`fiba`, `nba`, `ncaa`; case does not matter).
    ///
    /// # Errors
    /// [`CourtError::UnknownName`] for any other name.
    pub fn by_name(name: &str) -> Result<Self, CourtError> {
        match name.trim().to_ascii_lowercase().as_str() {
            "fiba" => Ok(Self::fiba()),
            "nba" => Ok(Self::nba()),
            "ncaa" => Ok(Self::ncaa()),
            _ => Err(CourtError::UnknownName { found: name.into() }),
        }
    }

    /// This court, once its measures are known to be lengths that fit into each other.
    ///
    /// # Errors
    /// [`CourtError::NotALength`] for a measure that is not finite, not positive or 100 m and more;
    /// [`CourtError::Contradiction`] when two measures cannot both be true.
    pub fn checked(self) -> Result<Self, CourtError> {
        let measures = [
            ("length_m", self.length_m),
            ("width_m", self.width_m),
            ("hoop_from_end_line_m", self.hoop_from_end_line_m),
            ("three_point_radius_m", self.three_point_radius_m),
            ("corner_line_from_sideline_m", self.corner_line_from_sideline_m),
            ("lane_length_m", self.lane_length_m),
            ("lane_width_m", self.lane_width_m),
            ("no_charge_radius_m", self.no_charge_radius_m),
        ];
        for (measure, found) in measures {
            if !(found > 0.0 && found < 100.0) {
                return Err(CourtError::NotALength {
                    court: self.name,
                    measure,
                    found,
                });
            }
        }
        let problem = if self.length_m <= self.width_m {
            Some("the length is not above the width")
        } else if self.lane_width_m >= self.width_m {
            Some("the lane is as wide as the court")
        } else if self.lane_length_m <= self.hoop_from_end_line_m {
            Some("the free-throw line is not in front of the hoop")
        } else if self.lane_length_m >= self.length_m / 2.0 {
            Some("the free-throw line is past half court")
        } else if self.three_point_radius_m <= self.corner_line_y_m() || self.corner_line_y_m() <= 0.0 {
            Some("the corner line does not meet the arc")
        } else {
            None
        };
        match problem {
            Some(problem) => Err(CourtError::Contradiction {
                court: self.name,
                problem,
            }),
            None => Ok(self),
        }
    }

    /// x of the attacked hoop in the court frame is ± this, metres.
    pub fn hoop_x_m(&self) -> f32 {
        self.length_m / 2.0 - self.hoop_from_end_line_m
    }

    /// x of the half-court line in the attack frame, metres.
    pub fn half_court_x_m(&self) -> f32 {
        self.hoop_x_m()
    }

    /// x of the free-throw line (far edge) in the attack frame, metres.
    pub fn free_throw_x_m(&self) -> f32 {
        self.lane_length_m - self.hoop_from_end_line_m
    }

    /// |y| of the straight corner piece of the three-point line, metres.
    pub fn corner_line_y_m(&self) -> f32 {
        self.width_m / 2.0 - self.corner_line_from_sideline_m
    }

    /// x in the attack frame where the arc meets the straight corner piece, metres.
    pub fn corner_break_x_m(&self) -> f32 {
        let (radius, y) = (self.three_point_radius_m, self.corner_line_y_m());
        (radius * radius - y * y).max(0.0).sqrt()
    }

    /// The corners of the attacked half, attack frame, in order round it.
    pub fn half_court_corners(&self) -> [Point<AttackFrame>; 4] {
        let (back_m, front_m) = (-self.hoop_from_end_line_m, self.half_court_x_m());
        let aside_m = self.width_m / 2.0;
        [
            Point::new(back_m, -aside_m),
            Point::new(front_m, -aside_m),
            Point::new(front_m, aside_m),
            Point::new(back_m, aside_m),
        ]
    }

    /// Whether `spot` lies in the attacked lane, its lines included.
    pub fn is_in_lane(&self, spot: Point<AttackFrame>) -> bool {
        spot.x_m >= -self.hoop_from_end_line_m
            && spot.x_m <= self.free_throw_x_m()
            && spot.y_m.abs() <= self.lane_width_m / 2.0
    }

    /// Whether `p` lies on the court or within `margin_m` of its lines.
    pub fn contains(&self, p: Point<CourtFrame>, margin_m: f32) -> bool {
        p.x_m.abs() <= self.length_m / 2.0 + margin_m && p.y_m.abs() <= self.width_m / 2.0 + margin_m
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;
    use proptest::prelude::*;

    #[test]
    fn the_nba_arc_meets_the_corner_line_about_14_ft_from_the_end_line() {
        // √(23.75² − 22²) = 8.95 ft before the hoop, which stands 5.25 ft in: 14.2 ft; the rule book draws 14 ft.
        let court = Court::nba();
        let from_end_line_ft = (court.corner_break_x_m() + court.hoop_from_end_line_m) / FOOT_M;
        assert_abs_diff_eq!(from_end_line_ft, 14.2, epsilon = 0.01);
    }

    #[test]
    fn contradictions_are_refused_with_their_reason() {
        let court = Court {
            lane_length_m: 1.0,
            ..Court::fiba()
        };
        let text = court
            .checked()
            .expect_err("a free-throw line behind the hoop")
            .to_string();
        assert!(
            text.contains("free-throw line is not in front of the hoop"),
            "{text}"
        );
        let court = Court {
            width_m: f32::NAN,
            ..Court::fiba()
        };
        assert!(matches!(
            court.checked(),
            Err(CourtError::NotALength {
                measure: "width_m",
                ..
            })
        ));
        assert!(Court::by_name("moon").is_err());
        for name in ["fiba", "NBA", " ncaa "] {
            assert!(Court::by_name(name).and_then(Court::checked).is_ok());
        }
    }

    proptest! {
        #[test]
        fn checking_a_court_is_total(measures in proptest::array::uniform8(any::<f32>())) {
            let [length_m, width_m, hoop_from_end_line_m, three_point_radius_m, rest @ ..] = measures;
            let [corner_line_from_sideline_m, lane_length_m, lane_width_m, no_charge_radius_m] = rest;
            let court = Court {
                name: "any".into(), length_m, width_m, hoop_from_end_line_m, three_point_radius_m,
                corner_line_from_sideline_m, lane_length_m, lane_width_m, no_charge_radius_m,
            };
            if let Ok(court) = court.checked() {
                prop_assert!(measures.iter().all(|m| m.is_finite() && *m > 0.0));
                prop_assert!(court.hoop_x_m() > 0.0 && court.free_throw_x_m() > 0.0);
            }
        }
    }
}

//! Strong and weak side: which half of the floor the ball is in.

use serde::{Deserialize, Serialize};

use crate::{AttackFrame, Definitions, Point};

/// A spot's side of the line through both hoops, as a player at half court who faces the attacked hoop sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// Left of the middle strip (y below minus the band, attack frame).
    Left,
    /// Right of the middle strip.
    Right,
    /// Inside the middle strip.
    Middle,
}

impl Side {
    /// The side of `spot`; within `band_m` of the line through both hoops it is the middle.
    pub fn of(spot: Point<AttackFrame>, band_m: f32) -> Self {
        if spot.y_m > band_m {
            Self::Right
        } else if spot.y_m < -band_m {
            Self::Left
        } else {
            Self::Middle
        }
    }

    /// The tag, as the vocabulary spells it.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
            Self::Middle => "middle",
        }
    }
}

/// One of the two halves that the line through both hoops makes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Half {
    /// y < 0 in the attack frame.
    Left,
    /// y ≥ 0 in the attack frame.
    Right,
}

impl Half {
    /// The half that `spot` lies in; a spot on the line is in the right half.
    pub fn of(spot: Point<AttackFrame>) -> Self {
        if spot.y_m < 0.0 { Self::Left } else { Self::Right }
    }
}

/// Follows the ball and reports the strong side, with hysteresis: within the band around the line through both
/// hoops the strong side stays what it was.
#[derive(Debug, Clone, Copy)]
pub struct SideTracker {
    band_m: f32,
    strong: Option<Half>,
}

impl SideTracker {
    /// Half-width of the band in which the last side is kept, metres.
    pub const DEFAULT_BAND_M: f32 = Definitions::SIDE_BAND_M;

    /// A tracker that has seen no ball yet. `band_m`: half-width of the band that keeps the last side, metres.
    pub const fn new(band_m: f32) -> Self {
        Self { band_m, strong: None }
    }

    /// Takes the ball's next spot and gives the strong half. The first spot decides even inside the band; a
    /// missing ball (NaN) changes nothing and, before any spot was seen, gives `None`.
    pub fn follow(&mut self, ball: Point<AttackFrame>) -> Option<Half> {
        if ball.is_finite() && (self.strong.is_none() || ball.y_m.abs() > self.band_m) {
            self.strong = Some(Half::of(ball));
        }
        self.strong
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn at(y_m: f32) -> Point<AttackFrame> {
        Point::new(6.0, y_m)
    }

    #[test]
    fn inside_the_band_the_last_side_stays() {
        let mut tracker = SideTracker::new(1.2);
        assert_eq!(tracker.follow(at(-3.0)), Some(Half::Left));
        assert_eq!(tracker.follow(at(1.1)), Some(Half::Left));
        assert_eq!(tracker.follow(at(1.3)), Some(Half::Right));
        assert_eq!(tracker.follow(at(-1.1)), Some(Half::Right));
    }

    #[test]
    fn a_missing_ball_changes_nothing() {
        let mut tracker = SideTracker::new(1.2);
        assert_eq!(tracker.follow(Point::new(f32::NAN, 0.0)), None);
        assert_eq!(tracker.follow(at(-0.5)), Some(Half::Left));
        assert_eq!(tracker.follow(Point::new(f32::NAN, f32::NAN)), Some(Half::Left));
    }

    #[test]
    fn the_middle_strip_is_neither_left_nor_right() {
        assert_eq!(Side::of(at(1.2), 1.2), Side::Middle);
        assert_eq!(Side::of(at(1.21), 1.2), Side::Right);
        assert_eq!(Side::of(at(-1.21), 1.2), Side::Left);
    }

    proptest! {
        #[test]
        fn the_strong_side_changes_only_outside_the_band(path in proptest::collection::vec(-7.5f32..7.5, 2..60)) {
            let mut tracker = SideTracker::new(SideTracker::DEFAULT_BAND_M);
            let mut last = tracker.follow(at(path[0]));
            for &y in &path[1..] {
                let now = tracker.follow(at(y));
                prop_assert!(now == last || y.abs() > SideTracker::DEFAULT_BAND_M, "changed at y = {y}");
                prop_assert!(y.abs() <= SideTracker::DEFAULT_BAND_M || now == Some(Half::of(at(y))));
                last = now;
            }
        }

        #[test]
        fn mirrored_the_side_is_the_other(y in 0.001f32..8.0, band in 0.0f32..2.0) {
            let mirrored = match Side::of(at(y), band) {
                Side::Right => Side::Left,
                Side::Left => Side::Right,
                Side::Middle => Side::Middle,
            };
            prop_assert_eq!(Side::of(at(-y), band), mirrored);
        }
    }
}

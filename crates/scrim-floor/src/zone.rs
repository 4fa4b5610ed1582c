//! Zones: names for the parts of the attacked half. Every spot has exactly one.

use serde::{Deserialize, Serialize};

use crate::{AttackFrame, Court, Definitions, Point};

/// A named part of the floor, in the attack frame: left and right are those of a player who faces the hoop.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Zone {
    /// Within 1.5 m of the hoop.
    Rim,
    /// The lane, but for rim, blocks, elbows and nail.
    Paint,
    /// Around the left lane line beside the hoop.
    LeftBlock,
    /// Around the right lane line beside the hoop.
    RightBlock,
    /// Around the left end of the free-throw line.
    LeftElbow,
    /// Around the right end of the free-throw line.
    RightElbow,
    /// Around the middle of the free-throw line.
    Nail,
    /// Between left block and left corner.
    LeftShortCorner,
    /// Between right block and right corner.
    RightShortCorner,
    /// Behind or just inside the straight piece of the three-point line, left.
    LeftCorner,
    /// Behind or just inside the straight piece of the three-point line, right.
    RightCorner,
    /// The flank, left.
    LeftWing,
    /// The flank, right.
    RightWing,
    /// Between wing and top, left.
    LeftSlot,
    /// Between wing and top, right.
    RightSlot,
    /// Before the hoop, outside the lane.
    Top,
    /// Behind half court.
    BackCourt,
}

/// Where the block's middle lies before the hoop, metres. Common practice, no source.
const BLOCK_X_M: f32 = 1.0;
/// Radius of a block, an elbow and the nail, metres. Common practice, no source.
const SPOT_RADIUS_M: f32 = 1.25;
/// Corner and short corner reach this far before the hoop, metres. Common practice, no source.
pub const CORNER_DEPTH_M: f32 = 3.0;
/// The corner begins this far inside the straight three-point line, metres. Common practice, no source.
const CORNER_INSIDE_M: f32 = 0.9;
/// Half-angle of the top, seen from the hoop, as tan. 15°; common practice, no source.
const TOP_TAN: f32 = 0.267_949_2;
/// Angle between slot and wing, seen from the hoop, as tan. 42°; common practice, no source.
const SLOT_TAN: f32 = 0.900_404_04;

impl Zone {
    /// All zones, in the order of the vocabulary.
    pub const ALL: [Self; 17] = [
        Self::Rim,
        Self::Paint,
        Self::LeftBlock,
        Self::RightBlock,
        Self::LeftElbow,
        Self::RightElbow,
        Self::Nail,
        Self::LeftShortCorner,
        Self::RightShortCorner,
        Self::LeftCorner,
        Self::RightCorner,
        Self::LeftWing,
        Self::RightWing,
        Self::LeftSlot,
        Self::RightSlot,
        Self::Top,
        Self::BackCourt,
    ];

    /// The tag, as the vocabulary spells it.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Rim => "rim",
            Self::Paint => "paint",
            Self::LeftBlock => "left_block",
            Self::RightBlock => "right_block",
            Self::LeftElbow => "left_elbow",
            Self::RightElbow => "right_elbow",
            Self::Nail => "nail",
            Self::LeftShortCorner => "left_short_corner",
            Self::RightShortCorner => "right_short_corner",
            Self::LeftCorner => "left_corner",
            Self::RightCorner => "right_corner",
            Self::LeftWing => "left_wing",
            Self::RightWing => "right_wing",
            Self::LeftSlot => "left_slot",
            Self::RightSlot => "right_slot",
            Self::Top => "top",
            Self::BackCourt => "back_court",
        }
    }

    /// The zone on the other side of the line through both hoops; a zone in the middle is its own.
    pub const fn mirrored(self) -> Self {
        match self {
            Self::LeftBlock => Self::RightBlock,
            Self::RightBlock => Self::LeftBlock,
            Self::LeftElbow => Self::RightElbow,
            Self::RightElbow => Self::LeftElbow,
            Self::LeftShortCorner => Self::RightShortCorner,
            Self::RightShortCorner => Self::LeftShortCorner,
            Self::LeftCorner => Self::RightCorner,
            Self::RightCorner => Self::LeftCorner,
            Self::LeftWing => Self::RightWing,
            Self::RightWing => Self::LeftWing,
            Self::LeftSlot => Self::RightSlot,
            Self::RightSlot => Self::LeftSlot,
            Self::Rim | Self::Paint | Self::Nail | Self::Top | Self::BackCourt => self,
        }
    }
}

impl Court {
    /// The zone of `spot`. Spots out of bounds belong to the zone they lie beside; a spot that is not finite is
    /// nowhere and counts as back court.
    pub fn zone_of(&self, spot: Point<AttackFrame>) -> Zone {
        if !spot.is_finite() || spot.x_m > self.half_court_x_m() {
            return Zone::BackCourt;
        }
        if spot.distance_m(Point::origin()) <= Definitions::RIM_ZONE_M {
            return Zone::Rim;
        }
        let across_m = spot.y_m.abs();
        let lane_y_m = self.lane_width_m / 2.0;
        let free_throw_x_m = self.free_throw_x_m();
        let sided = |left: Zone, right: Zone| if spot.y_m < 0.0 { left } else { right };
        let folded = Point::<AttackFrame>::new(spot.x_m, across_m);

        // The marked spots, nearest first: on a narrow lane nail and elbow overlap.
        let to_nail_m = folded.distance_m(Point::new(free_throw_x_m, 0.0));
        let to_elbow_m = folded.distance_m(Point::new(free_throw_x_m, lane_y_m));
        if to_nail_m.min(to_elbow_m) <= SPOT_RADIUS_M {
            return if to_nail_m <= to_elbow_m {
                Zone::Nail
            } else {
                sided(Zone::LeftElbow, Zone::RightElbow)
            };
        }
        if folded.distance_m(Point::new(BLOCK_X_M, lane_y_m)) <= SPOT_RADIUS_M {
            return sided(Zone::LeftBlock, Zone::RightBlock);
        }
        if across_m <= lane_y_m && spot.x_m <= free_throw_x_m {
            return Zone::Paint;
        }
        if spot.x_m <= CORNER_DEPTH_M {
            return if across_m > self.corner_line_y_m() - CORNER_INSIDE_M {
                sided(Zone::LeftCorner, Zone::RightCorner)
            } else {
                sided(Zone::LeftShortCorner, Zone::RightShortCorner)
            };
        }
        if across_m <= spot.x_m * TOP_TAN {
            Zone::Top
        } else if across_m <= spot.x_m * SLOT_TAN {
            sided(Zone::LeftSlot, Zone::RightSlot)
        } else {
            sided(Zone::LeftWing, Zone::RightWing)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn known_spots_have_their_names() {
        let court = Court::fiba();
        let at = |x, y| court.zone_of(Point::new(x, y));
        assert_eq!(at(0.5, 0.5), Zone::Rim);
        assert_eq!(at(2.6, 0.0), Zone::Paint);
        assert_eq!(at(4.2, 0.1), Zone::Nail);
        assert_eq!(at(4.2, 2.4), Zone::RightElbow);
        assert_eq!(at(1.0, -2.4), Zone::LeftBlock);
        assert_eq!(at(0.5, -4.6), Zone::LeftShortCorner);
        assert_eq!(at(0.5, 7.0), Zone::RightCorner);
        assert_eq!(at(4.0, -6.0), Zone::LeftWing);
        assert_eq!(at(7.0, 3.5), Zone::RightSlot);
        assert_eq!(at(8.5, -0.5), Zone::Top);
        assert_eq!(at(13.0, 0.0), Zone::BackCourt);
        assert_eq!(at(-1.2, 7.3), Zone::RightCorner);
        assert_eq!(at(f32::NAN, 0.0), Zone::BackCourt);
    }

    #[test]
    fn every_zone_is_somewhere_on_every_court() {
        for court in [Court::fiba(), Court::nba(), Court::ncaa()] {
            let mut seen = std::collections::BTreeSet::new();
            for i in -16..=160 {
                for j in -80..=80 {
                    seen.insert(court.zone_of(Point::new(i as f32 / 10.0, j as f32 / 10.0)));
                }
            }
            assert_eq!(seen.into_iter().collect::<Vec<_>>(), Zone::ALL, "{}", court.name);
        }
    }

    proptest! {
        #[test]
        fn every_point_has_a_zone_and_no_input_panics(x: f32, y: f32) {
            for court in [Court::fiba(), Court::nba(), Court::ncaa()] {
                let zone = court.zone_of(Point::new(x, y));
                prop_assert!(Zone::ALL.contains(&zone));
                // Nothing but the back court lies behind half court.
                prop_assert_eq!(zone == Zone::BackCourt, !Point::<AttackFrame>::new(x, y).is_finite() || x > court.half_court_x_m());
            }
        }

        #[test]
        fn left_zones_are_left_and_right_zones_right(x in -1.5f32..16.0, y in -8.0f32..8.0) {
            let name = Court::ncaa().zone_of(Point::new(x, y)).as_str();
            prop_assert!(!name.starts_with("left_") || y < 0.0, "{} at y = {}", name, y);
            prop_assert!(!name.starts_with("right_") || y >= 0.0, "{} at y = {}", name, y);
        }

        #[test]
        fn a_mirrored_spot_has_the_mirrored_zone(x in -2.0f32..16.0, y in 0.001f32..8.0) {
            let court = Court::nba();
            let here = court.zone_of(Point::new(x, y));
            prop_assert_eq!(court.zone_of(Point::new(x, -y)), here.mirrored());
            prop_assert_eq!(here.mirrored().mirrored(), here);
        }
    }
}

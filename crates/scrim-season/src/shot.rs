//! A shot that came of a ball screen.

use scrim_floor::{AttackFrame, CORNER_DEPTH_M, Definitions, Point};
use scrim_tables::Id;
use scrim_tables::rows::OptionRow;

/// A shot that came of a ball screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shot {
    /// Shooter to the nearest defender, m; `None` when not known.
    pub space_m: Option<f32>,
    /// Whether the screener took it.
    pub by_screener: bool,
    /// Where, in the attack frame; `None` when the shooter is not seen.
    pub spot: Option<Point<AttackFrame>>,
    /// What it was worth.
    pub value: Option<u8>,
}

impl Shot {
    /// The shot of a row of `options`, of a ball screen of `screener`; `None` when no shot came of it.
    pub fn of_option(row: &OptionRow, screener: &Id) -> Option<Self> {
        let spot = row.shot_x_m.zip(row.shot_y_m);
        Some(Self {
            space_m: row.space_m,
            by_screener: row.shooter_id.as_ref()? == screener,
            spot: spot.map(|(x_m, y_m)| Point::new(x_m, y_m)),
            value: row.shot_value,
        })
    }

    /// Whether it was as open as `open_shot_m`; `None` when the space is not known.
    pub fn is_open(self, open_shot_m: f32) -> Option<bool> {
        self.space_m.map(|space_m| space_m >= open_shot_m)
    }

    /// Whether it was taken at the rim; `None` when the place is not known.
    pub fn is_at_rim(self) -> Option<bool> {
        self.spot
            .map(|spot| spot.distance_m(Point::origin()) <= Definitions::RIM_ZONE_M)
    }

    /// Whether it was a three-pointer from a corner; `None` when its place or worth is not known.
    pub fn is_corner_three(self) -> Option<bool> {
        Some(self.value? == 3 && self.spot?.x_m <= CORNER_DEPTH_M)
    }
}

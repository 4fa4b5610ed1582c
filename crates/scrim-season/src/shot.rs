//! What the offence made of a ball screen, as far as the season needs it, and the shot that came of it.

use scrim_floor::{AttackFrame, CORNER_DEPTH_M, Definitions, Point};
use scrim_tables::Id;
use scrim_tables::rows::OptionRow;
use scrim_tables::tags::{HandlerAction, ScreenerAction};
use serde::Deserialize;

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
        Some(Self::by(
            row.shooter_id.as_ref()?,
            screener,
            spot,
            row.shot_value,
            row.space_m,
        ))
    }

    /// The shot that `shooter` took, of a ball screen of `screener`; `spot`: x and y in the attack frame, m.
    fn by(
        shooter: &Id,
        screener: &Id,
        spot: Option<(f32, f32)>,
        value: Option<u8>,
        space_m: Option<f32>,
    ) -> Self {
        Self {
            space_m,
            by_screener: shooter == screener,
            spot: spot.map(|(x_m, y_m)| Point::new(x_m, y_m)),
            value,
        }
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

/// What the season needs of a row of `options`.
#[derive(Debug, Deserialize)]
pub(crate) struct OptionColumns {
    pub screen_id: u32,
    pub screener_action: ScreenerAction,
    pub handler_action: HandlerAction,
    shooter_id: Option<Id>,
    shot_x_m: Option<f32>,
    shot_y_m: Option<f32>,
    shot_value: Option<u8>,
    space_m: Option<f32>,
}

impl OptionColumns {
    pub const NAMES: [&str; 8] = [
        "screen_id",
        "screener_action",
        "handler_action",
        "shooter_id",
        "shot_x_m",
        "shot_y_m",
        "shot_value",
        "space_m",
    ];

    /// The shot of a ball screen of `screener`; `None` when no shot came of it.
    pub fn shot(&self, screener: &Id) -> Option<Shot> {
        let spot = self.shot_x_m.zip(self.shot_y_m);
        let shooter = self.shooter_id.as_ref()?;
        Some(Shot::by(shooter, screener, spot, self.shot_value, self.space_m))
    }
}

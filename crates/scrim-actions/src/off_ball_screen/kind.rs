//! The kind of an off-ball screen: how well each fits, from the user's way and the floor.

use scrim_floor::{AttackFrame, Point};
use scrim_tables::tags::ScreenKind;

use super::OffBallScreenParams;
use super::reading::Reading;

/// How well one kind fits, 0 (not at all) to 1 (fully).
pub(super) type KindFit = (ScreenKind, f32);

/// Scores of the seven kinds in the order in which equals are resolved: the narrower definition first.
pub(super) fn kind_fits(reading: &Reading, params: &OffBallScreenParams) -> [KindFit; 7] {
    let way = Way::of(reading, params);
    [
        (ScreenKind::Rub, way.rub()),
        (ScreenKind::Cross, way.cross()),
        (ScreenKind::Flex, way.flex()),
        (ScreenKind::Zipper, way.zipper()),
        (ScreenKind::Flare, way.flare()),
        (ScreenKind::Back, way.back()),
        (ScreenKind::Down, way.down()),
    ]
}

/// The user's way, seen so that the screener stands on the side of positive y.
struct Way {
    /// Where the run began.
    from: Point<AttackFrame>,
    /// Where he is a second past the screener.
    past: Point<AttackFrame>,
    /// Where the run ended.
    to: Point<AttackFrame>,
    /// Where the screener stands.
    spot: Point<AttackFrame>,
    /// Where the ball is.
    ball: Point<AttackFrame>,
    /// He passed the ball not long before: 0 to 1.
    after_pass: f32,
    /// He gets the ball soon: 0 to 1.
    receives: f32,
}

impl Way {
    fn of(reading: &Reading, params: &OffBallScreenParams) -> Self {
        let side = if reading.spot.y_m < 0.0 { -1.0 } else { 1.0 };
        let turned = |at: Point<AttackFrame>| Point::new(at.x_m, at.y_m * side);
        Self {
            from: turned(reading.from),
            past: turned(reading.past),
            to: turned(reading.to),
            spot: turned(reading.spot),
            ball: turned(reading.ball),
            after_pass: reading
                .since_own_touch_s
                .map_or(0.0, |s| fade(s, params.after_pass_s, params.after_pass_s + 1.0)),
            receives: reading.until_own_touch_s.map_or(0.0, |s| fade(s, 2.0, 3.0)),
        }
    }

    /// How much nearer the hoop the second past the screener has brought him, m.
    fn toward_hoop_m(&self) -> f32 {
        let hoop = Point::origin();
        self.from.distance_m(hoop) - self.past.distance_m(hoop)
    }

    /// Up the floor, m.
    fn up_m(&self) -> f32 {
        self.past.x_m - self.from.x_m
    }

    fn rub(&self) -> f32 {
        least(&[
            self.after_pass,
            rise(self.from.x_m, 5.0, 6.5),
            fade(self.from.y_m.abs(), 3.5, 5.0),
            rise(self.toward_hoop_m(), 1.0, 3.0),
            rise(self.spot.x_m, 2.2, 3.2),
            fade(self.spot.y_m.abs(), 3.6, 4.6),
        ])
    }

    fn cross(&self) -> f32 {
        let across_m = (self.past.y_m - self.from.y_m).abs();
        least(&[
            fade(self.from.x_m, 3.2, 4.4),
            fade(self.past.x_m, 3.2, 4.4),
            fade(self.spot.x_m, 3.2, 4.0),
            fade(self.from.y_m.abs(), 3.4, 4.6),
            fade(self.spot.y_m.abs(), 1.8, 3.0),
            rise(across_m, 0.6, 2.2),
        ])
    }

    fn flex(&self) -> f32 {
        least(&[
            rise(self.from.y_m, 3.6, 5.0),
            fade(self.from.x_m, 2.2, 3.4),
            fade(self.spot.x_m, 2.4, 3.4),
            rise(self.spot.y_m, 1.0, 1.8),
            fade(self.spot.y_m, 3.8, 4.8),
            rise(self.from.y_m - self.past.y_m, 1.0, 2.6),
            fade(self.past.x_m, 3.0, 4.2),
        ])
    }

    fn zipper(&self) -> f32 {
        least(&[
            fade(self.from.x_m, 2.6, 4.0),
            fade(self.from.y_m.abs(), 3.6, 4.8),
            rise(self.spot.x_m, 2.4, 3.6),
            fade((self.spot.y_m - 2.45).abs(), 1.2, 2.0),
            rise(self.up_m(), 1.5, 3.5),
            fade(self.to.y_m.abs(), 2.6, 4.0),
            rise(self.to.x_m, 5.0, 6.5),
        ])
    }

    fn flare(&self) -> f32 {
        let hoop = Point::origin();
        let from_ball_m = self.past.distance_m(self.ball) - self.from.distance_m(self.ball);
        least(&[
            rise(self.from.x_m, 4.5, 6.0),
            rise(self.spot.x_m, 3.5, 5.0),
            rise(self.past.y_m.abs() - self.from.y_m.abs(), 0.6, 2.2),
            rise(from_ball_m, 0.4, 2.0),
            rise(self.past.distance_m(hoop), 4.5, 6.0),
        ])
    }

    fn back(&self) -> f32 {
        let hoop = Point::origin();
        least(&[
            rise(self.from.distance_m(hoop), 3.5, 5.0),
            rise(self.from.x_m, 1.8, 3.0),
            rise(self.toward_hoop_m(), 0.6, 2.4),
        ])
    }

    fn down(&self) -> f32 {
        let hoop = Point::origin();
        let out_m = self.to.distance_m(hoop) - self.from.distance_m(hoop);
        least(&[
            fade(self.from.x_m, 3.0, 4.6),
            rise(self.up_m(), 0.4, 2.0),
            rise(self.spot.x_m - self.from.x_m, -0.2, 0.8),
            rise(out_m, -3.0, 0.0).max(0.5),
        ])
    }
}

/// 0 at `none` and below, 1 at `full` and above, straight between.
pub(super) fn rise(value: f32, none: f32, full: f32) -> f32 {
    ((value - none) / (full - none)).clamp(0.0, 1.0)
}

/// 1 at `full` and below, 0 at `none` and above, straight between.
pub(super) fn fade(value: f32, full: f32, none: f32) -> f32 {
    1.0 - rise(value, full, none)
}

fn least(parts: &[f32]) -> f32 {
    parts.iter().copied().fold(1.0, f32::min)
}

//! A user's way past a screener, and how well it fits each kind's definition (vocabulary, "Screens").

use scrim_floor::{AttackFrame, Definitions, Point};

use super::reading::Reading;

/// A user who passed the ball this long before the use, or less, may have come off a rub, s.
const AFTER_PASS_S: f32 = 4.0;

/// The user's way, seen so that the screener stands on the side of positive y.
pub(super) struct Way {
    /// Where the run began.
    from: Point<AttackFrame>,
    /// Where the user is beside the screener.
    beside: Point<AttackFrame>,
    /// Where they are a second past the screener.
    past: Point<AttackFrame>,
    /// Where the run ended.
    to: Point<AttackFrame>,
    /// Where the screener stands.
    spot: Point<AttackFrame>,
    /// Where the ball is.
    ball: Point<AttackFrame>,
    /// They passed the ball not long before: 0 to 1.
    after_pass: f32,
}

impl Way {
    /// The way that a user took.
    pub fn taken(reading: &Reading) -> Self {
        Self {
            from: reading.from,
            beside: reading.beside,
            past: reading.past,
            to: reading.to,
            spot: reading.spot,
            ball: reading.ball,
            after_pass: after_pass(reading.since_own_touch_s),
        }
        .with_screener_on_positive_side()
    }

    /// The way that a user who did not go would have taken: straight past the screener.
    pub fn meant(
        from: Point<AttackFrame>,
        spot: Point<AttackFrame>,
        ball: Point<AttackFrame>,
        after_pass: f32,
    ) -> Self {
        let on = (spot - from).unit();
        Self {
            from,
            beside: spot,
            past: spot + on * MEANT_PAST_M,
            to: spot + on * MEANT_PAST_M,
            spot,
            ball,
            after_pass,
        }
        .with_screener_on_positive_side()
    }

    fn with_screener_on_positive_side(self) -> Self {
        let side = if self.spot.y_m < 0.0 { -1.0 } else { 1.0 };
        let turned = |at: Point<AttackFrame>| Point::new(at.x_m, at.y_m * side);
        Self {
            from: turned(self.from),
            beside: turned(self.beside),
            past: turned(self.past),
            to: turned(self.to),
            spot: turned(self.spot),
            ball: turned(self.ball),
            after_pass: self.after_pass,
        }
    }

    /// How much nearer the hoop the second past the screener has brought the user, m.
    fn toward_hoop_m(&self) -> f32 {
        from_hoop_m(self.from) - from_hoop_m(self.past)
    }

    /// Up the floor, m, at the screener or a second past them: who curls is on the way down again by then.
    fn up_m(&self) -> f32 {
        self.past.x_m.max(self.beside.x_m) - self.from.x_m
    }

    /// After a pass, from top or slot to the rim, past a screener at elbow or high post.
    pub fn rub(&self) -> f32 {
        least(&[
            self.after_pass,
            rise(self.from.x_m, 5.0, 6.5),
            fade(self.from.y_m.abs(), 3.5, 5.0),
            rise(self.toward_hoop_m(), 1.0, 3.0),
            rise(self.spot.x_m, 2.2, 3.2),
            fade(self.spot.y_m.abs(), 3.6, 4.6),
        ])
    }

    /// Across the lane from block to block, low. Whoever goes over the screener's top is across only later, so the run's
    /// end counts too, as long as it is low; who runs on to the corner only passes.
    pub fn cross(&self) -> f32 {
        let ends = [self.past, self.to];
        let low_m = |at: Point<AttackFrame>| {
            fade(
                at.x_m,
                Definitions::CROSS_DEPTH_M,
                Definitions::CROSS_DEPTH_M + 1.2,
            )
        };
        let across = ends
            .iter()
            .map(|&end| {
                let way_m = end.y_m - self.from.y_m;
                // Where the user began, on the side they leave.
                let began_m = -self.from.y_m * way_m.signum();
                least(&[low_m(end), rise(way_m.abs(), 0.6, 2.2), rise(began_m, 0.0, 0.9)])
            })
            .fold(0.0, f32::max);
        least(&[
            across,
            low_m(self.from),
            fade(
                self.spot.x_m,
                Definitions::CROSS_DEPTH_M,
                Definitions::CROSS_DEPTH_M + 0.8,
            ),
            fade(self.from.y_m.abs(), 3.4, 4.6),
            fade(self.spot.y_m.abs(), 1.8, 3.0),
            fade(self.to.y_m.abs(), 3.8, 5.2).max(RUNS_ON),
        ])
    }

    /// Along the baseline from corner or short corner into the lane, past a screener at the near block.
    pub fn flex(&self) -> f32 {
        least(&[
            rise(self.from.y_m, 3.6, 5.0),
            fade(self.from.x_m, 2.2, 3.4),
            fade(self.spot.x_m, 2.4, 3.4),
            rise(self.spot.y_m, 1.0, 1.8),
            fade(self.spot.y_m, 3.8, 4.8),
            rise(self.from.y_m - self.past.y_m, 1.0, 2.6),
            fade(self.past.x_m, 3.0, 4.2),
            rise(self.to.y_m, -3.0, -1.5).max(RUNS_ON),
        ])
    }

    /// From the block up the lane line to slot or top.
    pub fn zipper(&self) -> f32 {
        least(&[
            fade(self.from.x_m, 2.6, 4.0),
            fade(self.from.y_m.abs(), 3.6, 4.8),
            rise(self.spot.x_m, 2.4, 3.6),
            fade((self.spot.y_m - LANE_LINE_M).abs(), 1.2, 2.0),
            rise(self.up_m(), 1.5, 3.5),
            fade(self.past.y_m.abs(), 2.2, 3.4),
            rise(self.to.x_m, 5.0, 6.5),
        ])
    }

    /// Away from the ball toward sideline or corner, from the slot or the wing, and not to the rim.
    pub fn flare(&self) -> f32 {
        let from_ball_m = self.past.distance_m(self.ball) - self.from.distance_m(self.ball);
        least(&[
            rise(self.from.x_m, 4.5, 6.0),
            rise(self.spot.x_m, 3.5, 5.0),
            rise(self.past.y_m.abs() - self.from.y_m.abs(), 0.6, 2.2),
            rise(from_ball_m, 0.4, 2.0),
            rise(from_hoop_m(self.past), 4.5, 6.0),
        ])
    }

    /// From the perimeter toward the rim, past a screener who is outside too and nearer to it than the run's beginning.
    pub fn back(&self) -> f32 {
        let from_m = from_hoop_m(self.from);
        let spot_m = from_hoop_m(self.spot);
        least(&[
            rise(from_m, 3.5, 5.0),
            rise(self.from.x_m, 1.8, 3.0),
            rise(self.toward_hoop_m(), 0.6, 2.4),
            rise(spot_m, 1.8, 3.0),
            rise(from_m - spot_m, -0.5, 0.8),
        ])
    }

    /// From low up toward the perimeter, past a screener who is higher; who curls to the rim has still come off it.
    pub fn down(&self) -> f32 {
        let out_m = from_hoop_m(self.to) - from_hoop_m(self.from);
        least(&[
            fade(self.from.x_m, 3.0, 4.6),
            rise(self.up_m(), 0.4, 2.0),
            rise(self.spot.x_m - self.from.x_m, -0.2, 0.8),
            rise(out_m, -3.0, 0.0).max(RUNS_ON),
        ])
    }

    /// From one wing to the other, over a screener near the free-throw line: past them on the side away from the hoop, and
    /// still outside when the run ends.
    pub fn over_top(&self) -> f32 {
        let way_m = self.to.y_m - self.from.y_m;
        let on = way_m.signum();
        least(&[
            rise(self.from.x_m, 2.8, 4.0),
            rise(-self.from.y_m * on, 3.0, 4.4),
            rise(self.to.y_m * on, 0.8, 2.8),
            rise(way_m.abs(), 5.0, 7.0),
            rise(self.spot.x_m, 2.8, 3.8),
            fade(self.spot.x_m, 6.4, 7.4),
            fade(self.spot.y_m.abs(), 3.2, 4.2),
            rise(self.beside.x_m - self.spot.x_m, -0.8, 0.2),
            rise(from_hoop_m(self.to), 4.5, 6.0),
        ])
    }

    /// From the paint out to the corner, past a screener at the block on that side; who comes up is off a down screen.
    pub fn exit(&self) -> f32 {
        least(&[
            fade(self.from.x_m, 4.0, 5.4),
            fade(self.from.y_m.abs(), LANE_LINE_M, LANE_LINE_M + 1.0),
            fade(self.up_m(), 0.4, 2.0),
            fade(self.spot.x_m, 2.2, 3.2),
            rise(self.spot.y_m, 1.0, 1.8),
            fade(self.spot.y_m, 4.2, 5.2),
            rise(self.past.y_m - self.from.y_m, 1.0, 2.6),
            fade(self.to.x_m, 2.8, 4.2),
            rise(self.to.y_m, 4.6, 6.0),
        ])
    }
}

/// How far past the screener a user would have gone in a second, m: a run of some 4 m/s less the start.
const MEANT_PAST_M: f32 = 3.0;

/// How surely the user has passed the ball not long before, 0 to 1.
pub(super) fn after_pass(since_own_touch_s: Option<f32>) -> f32 {
    since_own_touch_s.map_or(0.0, |s| fade(s, AFTER_PASS_S, 1.4 * AFTER_PASS_S))
}

/// The lane line from the middle of the floor, m: half of 4.90 m (FIBA Official Basketball Rules, Art. 2).
const LANE_LINE_M: f32 = 2.45;
/// A user who comes off as the kind has it and then runs on elsewhere fits no better than this.
const RUNS_ON: f32 = 0.5;

fn from_hoop_m(at: Point<AttackFrame>) -> f32 {
    at.distance_m(Point::origin())
}

/// 0 at `none` and below, 1 at `full` and above, straight between; 0 for what is not known (NaN).
pub(super) fn rise(value: f32, none: f32, full: f32) -> f32 {
    if value.is_nan() {
        return 0.0;
    }
    ((value - none) / (full - none)).clamp(0.0, 1.0)
}

/// 1 at `full` and below, 0 at `none` and above, straight between; 0 for what is not known (NaN).
pub(super) fn fade(value: f32, full: f32, none: f32) -> f32 {
    if value.is_nan() {
        return 0.0;
    }
    1.0 - rise(value, full, none)
}

fn least(parts: &[f32]) -> f32 {
    parts.iter().copied().fold(1.0, f32::min)
}

//! What a defender has to do.

use crate::vec2::Vec2;

/// A defender's job.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Duty {
    /// Canonical position on their player, close on the handler.
    Guard,
    /// On the handler, far off (a shot is allowed).
    Sag { gap_m: f64 },
    /// Chase the handler over the top of a screen at `screen`; `out` points the way the handler goes.
    Over { screen: Vec2, out: Vec2 },
    /// Go on the hoop side of a screen.
    Under { screen: Vec2, out: Vec2 },
    /// Wait below the screen, between handler and rim.
    Drop { screen: Vec2, depth_m: f64 },
    /// Stand at the screen's height on the handler's side.
    Level { screen: Vec2, out: Vec2 },
    /// A step out at the screen's height, toward where the handler comes.
    Show { screen: Vec2, out: Vec2 },
    /// Step out beyond the screen into the handler's way.
    Hedge { screen: Vec2, out: Vec2 },
    /// Double the handler; `side` is where from, relative to the handler.
    Double { side: Vec2 },
    /// On the handler: stand between them and the screen that comes from `out`.
    Ice { out: Vec2 },
    /// The screener's defender under ice: low, on the side away from the screen.
    IceLow { out: Vec2 },
    /// In the passing lane, between their player and the ball.
    Deny,
    /// Into the way of a roller.
    Tag { roller: usize },
    /// On the handler, expecting to switch: at the screener's hip on the hoop side.
    Stay { screen: Vec2, out: Vec2 },
    /// After a switch: to the player taken over, on the hoop side, and along with them.
    Take,
    /// Toward the lane.
    Lane,
    /// A step at the handler.
    Stunt,
    /// To a spot.
    Spot { spot: Vec2 },
}

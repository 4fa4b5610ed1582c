//! What bodies are to do: the legs of their way, and orders for later.

use std::collections::VecDeque;

use scrim_tables::tags::CutKind;

use crate::duty::Duty;
use crate::plan::HardCoverage;
use crate::vec2::Vec2;

/// One thing that a body does.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Leg {
    /// Run to a spot and stop there.
    To { spot: Vec2, speed_mps: f64 },
    /// Run past a spot, without slowing down.
    Past { spot: Vec2, speed_mps: f64 },
    /// Stand for a while.
    Wait { left_s: f64 },
}

impl Leg {
    pub fn to(spot: Vec2, speed_mps: f64) -> Self {
        Self::To { spot, speed_mps }
    }

    pub fn past(spot: Vec2, speed_mps: f64) -> Self {
        Self::Past { spot, speed_mps }
    }
}

/// An order for later.
#[derive(Debug, Clone)]
pub(crate) enum Order {
    Duty {
        slot: usize,
        duty: Duty,
    },
    /// The screener of a screen (index in the log) stands.
    Plant {
        index: usize,
    },
    /// Its user comes off it.
    ComeOff {
        index: usize,
        legs: Vec<Leg>,
        kind: Option<CutKind>,
    },
    /// A screener stands no more.
    Unplant {
        slot: usize,
    },
    /// The screener's defender and the handler's of the screen `index` exchange their players; `case` is what makes this switch a hard one.
    Switch {
        index: usize,
        case: HardCoverage,
    },
}

/// What a body is doing: its legs, then holding a spot.
#[derive(Debug, Clone, Default)]
pub(crate) struct Task {
    pub legs: VecDeque<Leg>,
    pub hold: Vec2,
    /// The way is no part of an action: it leads round the player with the ball.
    pub makes_way: bool,
}

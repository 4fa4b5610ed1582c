//! Where a row has its game, period, clocks, players and ball: which column is what.

use crate::mapping::Mapping;
use crate::names::{NameIx, Names};

/// Where a row's game is.
#[derive(Debug, Clone, Copy)]
pub(crate) enum GameIs {
    Column(usize),
    Fixed(NameIx),
}

/// Where a row's period is.
#[derive(Debug)]
pub(crate) enum PeriodIs {
    Number(usize),
    Words(usize, Vec<(NameIx, u8)>),
    Fixed(u8),
}

/// Where a clock is, and how it counts.
#[derive(Debug)]
pub(crate) struct ClockIs {
    pub column: usize,
    /// Seconds a unit of the column.
    pub unit_s: f64,
    /// For a clock that counts up: what it counts up to (s), the same in overtime, and how many periods are not overtime.
    pub up_to: Option<(f32, f32, u8)>,
}

/// How entities lie in rows.
#[derive(Debug)]
pub(crate) enum Shape {
    Long {
        team: TeamIs,
        player: usize,
        at: PlaceColumns,
        ball: BallIs,
    },
    Wide {
        players: Vec<WideEntity>,
        ball: Option<PlaceColumns>,
    },
}

/// Where the team is.
#[derive(Debug, Clone, Copy)]
pub(crate) enum TeamIs {
    Column(usize),
    Fixed(NameIx),
    Roster,
}

/// Columns of a place.
#[derive(Debug, Clone, Copy)]
pub(crate) struct PlaceColumns {
    pub x: usize,
    pub y: usize,
    pub z: Option<usize>,
}

/// What marks the ball.
#[derive(Debug)]
pub(crate) enum BallIs {
    /// Neither team nor player.
    Nulls,
    /// One of these values in that column.
    Marked(usize, Vec<NameIx>),
    /// Columns of its own, in every row.
    Own(PlaceColumns),
}

impl BallIs {
    /// Marked in this column by the mapping's values.
    pub(super) fn marked(column: usize, mapping: &Mapping, names: &mut Names) -> Self {
        let values = mapping.ball.values.iter();
        Self::Marked(column, values.map(|value| names.number(value)).collect())
    }
}

/// An entity of a wide row.
#[derive(Debug)]
pub(crate) struct WideEntity {
    pub team: TeamIs,
    pub player: WidePlayerIs,
    pub at: PlaceColumns,
}

/// Where the player of a wide entity is.
#[derive(Debug, Clone, Copy)]
pub(crate) enum WidePlayerIs {
    Fixed(NameIx),
    Column(usize),
}

//! The two teams of a game and their players.

use scrim_tables::Id;

/// One of the game's two teams, by its place in [`GameInfo::team_ids`](crate::GameInfo::team_ids).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum TeamSlot {
    /// `team_ids[0]`
    First,
    /// `team_ids[1]`
    Second,
}

impl TeamSlot {
    /// Both, in order.
    pub const BOTH: [Self; 2] = [Self::First, Self::Second];

    /// The opponent.
    pub const fn other(self) -> Self {
        match self {
            Self::First => Self::Second,
            Self::Second => Self::First,
        }
    }

    /// Place in arrays of two.
    pub const fn index(self) -> usize {
        match self {
            Self::First => 0,
            Self::Second => 1,
        }
    }
}

/// A player's place in [`Game::players`](crate::Game::players).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub struct PlayerIx(pub u16);

impl PlayerIx {
    /// Place in arrays.
    pub const fn index(self) -> usize {
        self.0 as usize
    }
}

/// A player.
#[derive(Debug, Clone, PartialEq)]
pub struct Player {
    /// As the source spells it.
    pub id: Id,
    /// Their team.
    pub team: TeamSlot,
    /// Number on the shirt.
    pub jersey: Option<Id>,
    /// Name.
    pub name: Option<Id>,
    /// Role, as the `players` side table spells it.
    pub role: Option<Id>,
}

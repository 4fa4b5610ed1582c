//! How rows are laid out: one an entity, columns by pattern, or arrays inside each other.

use serde::{Deserialize, Serialize};

/// How rows are laid out.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Form {
    /// A row an entity and instant.
    #[default]
    Long,
    /// A row an instant, with columns for each player.
    Wide,
    /// JSON with arrays inside each other.
    Nested,
}

/// Columns by pattern.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct WideMapping {
    /// Groups of columns: mostly one, or one a team.
    pub players: Vec<WidePlayers>,
}

/// A group of columns whose names say, by a pattern, whose they are. `{player}` in a pattern stands for the player's
/// id, `{team}` for the team's; `{slot}` for a place in the line-up whose player the column `player_in` names.
/// A placeholder takes what stands before the text that follows it, as little as possible, and never nothing.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct WidePlayers {
    /// Pattern of the columns of the first coordinate, for example `{team}_{player}_x`.
    pub x: String,
    /// Pattern of the columns of the second coordinate.
    pub y: String,
    /// Pattern of the columns of the height.
    pub z: Option<String>,
    /// With `{slot}`: pattern of the columns that hold the players' ids.
    pub player_in: Option<String>,
    /// The team of the whole group, when the pattern has no `{team}`.
    pub team_id: Option<String>,
    /// With `{player}`: the player's id, composed of `{team}` and `{player}`, such as `{team}-{player}`. Default
    /// `{player}`.
    pub player_id: Option<String>,
}

/// The way through nested JSON.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct NestedMapping {
    /// The arrays (or objects) to walk, outermost first; the last one's elements are the instants. None: the
    /// document itself (in JSON lines, each line) is an instant.
    pub walk: Vec<NestedWalk>,
    /// Where, in an instant, the players are. Fields elsewhere in the mapping are then pointers: `/x` counts from the
    /// player, `LEVEL:/x` from the element of a walk of that name, `document:/x` from the document, and `LEVEL:#` is
    /// the element's place in its array (from 0) or its key in its object (`#` alone: the player's). None: each
    /// element of the last walk is a row by itself, a player or the ball.
    pub players: Vec<NestedPlayers>,
    /// Where, in an instant, the ball is, when it is not among the players; its coordinates have the players' names
    /// unless `[ball]` gives others.
    pub ball_at: Option<String>,
}

/// A step of the walk.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NestedWalk {
    /// What its elements are called in the paths of this mapping.
    pub name: String,
    /// JSON Pointer (RFC 6901) from the element of the step before, or from the document.
    pub at: String,
}

/// An array (or object) of players in an instant.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct NestedPlayers {
    /// JSON Pointer from the instant; it leads to an array or an object of players.
    pub at: String,
    /// The team of all of them: a path, instead of the mapping's `team.column`.
    pub team: Option<String>,
    /// The team of all of them: its id.
    pub team_id: Option<String>,
}

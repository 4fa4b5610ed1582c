//! The shapes of many games.

use crate::GameShapes;

/// The shapes of many games, oldest game first (unknown days before all), then by season and id.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Index {
    games: Vec<GameShapes>,
}

impl Index {
    /// Of games in any order.
    pub fn of(mut games: Vec<GameShapes>) -> Self {
        let order = |a: &GameShapes, b: &GameShapes| {
            let key = |game: &GameShapes| (game.date.clone(), game.season.clone(), game.game_id.clone());
            key(a).cmp(&key(b))
        };
        games.sort_by(order);
        Self { games }
    }

    /// The games, in order.
    pub fn games(&self) -> &[GameShapes] {
        &self.games
    }

    /// The games, to be put together again.
    pub fn into_games(self) -> Vec<GameShapes> {
        self.games
    }

    /// How many possessions have a shape.
    pub fn possessions(&self) -> usize {
        self.games.iter().map(|game| game.shapes.len()).sum()
    }
}

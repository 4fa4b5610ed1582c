//! Counting: how often, in how many games, with how many points.

use scrim_statistics::Sample;

/// How often something came up.
#[derive(Debug, Clone, Default)]
pub(crate) struct Tally {
    pub(crate) count: u32,
    pub(crate) games: u32,
    /// Points of the possessions with it, each once.
    pub(crate) points: Sample,
    last: Option<(u32, usize)>,
}

impl Tally {
    /// Once more, in that game and possession. Calls come game by game, possession by possession.
    pub(crate) fn add(&mut self, game: u32, possession: usize, points: Option<u8>) {
        self.count += 1;
        let before = self.last.replace((game, possession));
        if before.is_none_or(|(last, _)| last != game) {
            self.games += 1;
        }
        if before != self.last
            && let Some(points) = points
        {
            self.points.add(f64::from(points));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_game_and_a_possession_count_once() {
        let mut tally = Tally::default();
        for (game, possession, points) in [(0, 3, Some(2)), (0, 3, Some(2)), (0, 4, None), (2, 4, Some(0))] {
            tally.add(game, possession, points);
        }
        assert_eq!((tally.count, tally.games), (4, 2));
        assert_eq!((tally.points.n, tally.points.sum), (2, 2.0));
    }
}

//! Seeded chance: one stream a game, so that a game is the same whatever else was played before it.

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};

/// What a stream of random numbers is used for; each use has its own, so that noise does not change the play.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Purpose {
    Play,
    Noise,
    Faults,
    /// The habits of a season's teams.
    Habits,
}

/// A game's dice.
#[derive(Debug, Clone)]
pub(crate) struct Dice {
    rng: ChaCha8Rng,
}

impl Dice {
    pub fn new(seed: u64, game_index: u32, purpose: Purpose) -> Self {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let lane = match purpose {
            Purpose::Play => 0,
            Purpose::Noise => 1,
            Purpose::Faults => 2,
            Purpose::Habits => 3,
        };
        rng.set_stream(u64::from(game_index) * 4 + lane);
        Self { rng }
    }

    /// Evenly in [low, high); `low` when the interval is empty.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.rng.random::<f64>()
    }

    pub fn chance(&mut self, probability: f64) -> bool {
        self.rng.random::<f64>() < probability
    }

    /// −1 or +1.
    pub fn sign(&mut self) -> f64 {
        if self.chance(0.5) { 1.0 } else { -1.0 }
    }

    /// Mean 0, variance 1.
    pub fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.rng)
    }

    pub fn index(&mut self, length: usize) -> usize {
        self.rng.random_range(0..length)
    }

    /// One of the options, by weight. The weights must not all be zero.
    pub fn weighted<T: Copy>(&mut self, options: &[(T, f64)]) -> T {
        let total: f64 = options.iter().map(|o| o.1).sum();
        let mut left = self.between(0.0, total);
        for &(option, weight) in options {
            left -= weight;
            if left < 0.0 {
                return option;
            }
        }
        options[options.len() - 1].0
    }
}

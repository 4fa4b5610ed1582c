//! A possession in numbers, of one length for all: where each of the ten and the ball is at so many instants.

/// Instants of a shape, evenly spread over its window. A window is mostly 6 to 10 s long, so they are about half a second apart, in
/// which a player at 5 m/s goes 2.5 m. Common practice, no source.
pub const INSTANTS: usize = 16;

/// Those whose ways a shape has: see [`Shape`].
pub const WAYS: usize = 11;

/// Attackers without a part in the ball screen: their order says nothing.
pub(crate) const OTHERS: usize = 3;

/// Numbers of a shape: x and y of each way at each instant.
pub const NUMBERS: usize = WAYS * 2 * INSTANTS;

/// The ball's place among the ways.
pub(crate) const BALL: usize = WAYS - 1;

/// The ways of the ten and the ball, cm, in the attack frame: user, screener, the other three attackers, then the defender of each of
/// the five in the same order, then the ball. Of each its x at all instants, then its y.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shape([i16; NUMBERS]);

/// One way: x and y at each instant, cm.
pub(crate) type Way = [[i16; INSTANTS]; 2];

impl Shape {
    /// From numbers in a shape's order.
    pub const fn of_numbers(cm: [i16; NUMBERS]) -> Self {
        Self(cm)
    }

    /// Its numbers, cm.
    pub const fn numbers(&self) -> &[i16; NUMBERS] {
        &self.0
    }

    pub(crate) fn of_ways(ways: &[Way; WAYS]) -> Self {
        let mut cm = [0; NUMBERS];
        for (place, number) in ways.as_flattened().as_flattened().iter().enumerate() {
            cm[place] = *number;
        }
        Self(cm)
    }

    /// Its mirror image: left is right.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let mut cm = self.0;
        for way in cm.chunks_exact_mut(2 * INSTANTS) {
            for y_cm in &mut way[INSTANTS..] {
                *y_cm = y_cm.saturating_neg();
            }
        }
        Self(cm)
    }
}

/// The ways in metres, for arithmetic.
#[derive(Debug, Clone)]
pub(crate) struct Metres {
    pub(crate) x: [[f32; INSTANTS]; WAYS],
    pub(crate) y: [[f32; INSTANTS]; WAYS],
}

impl Metres {
    pub(crate) fn of(shape: &Shape) -> Self {
        let mut metres = Self {
            x: [[0.0; INSTANTS]; WAYS],
            y: [[0.0; INSTANTS]; WAYS],
        };
        for (way, cm) in shape.0.chunks_exact(2 * INSTANTS).enumerate() {
            for instant in 0..INSTANTS {
                metres.x[way][instant] = f32::from(cm[instant]) * 0.01;
                metres.y[way][instant] = f32::from(cm[INSTANTS + instant]) * 0.01;
            }
        }
        metres
    }

    pub(crate) fn mirrored(&self) -> Self {
        let mut mirrored = self.clone();
        for y in mirrored.y.as_flattened_mut() {
            *y = -*y;
        }
        mirrored
    }
}

/// How much each way counts: all alike. Only the order of size matters; the distance is divided by their sum.
pub(crate) const WEIGHTS: [f32; WAYS] = [1.0; WAYS];

/// The sum of the weights.
pub(crate) const WEIGHT: f32 = {
    let mut sum = 0.0;
    let mut way = 0;
    while way < WAYS {
        sum += WEIGHTS[way];
        way += 1;
    }
    sum
};

/// User, screener, their defenders, the ball: whom each is compared with is given.
pub(crate) const WITH_A_PART: [usize; 5] = [0, 1, 5, 6, BALL];

/// The other ways.
pub(crate) const WITHOUT_A_PART: [usize; 6] = [2, 3, 4, 7, 8, 9];

/// The ways of an attacker without a part and of their defender.
pub(crate) const fn other(place: usize) -> [usize; 2] {
    [2 + place, 7 + place]
}

/// Every order of the three.
pub(crate) const ORDERS: [[usize; OTHERS]; 6] =
    [[0, 1, 2], [0, 2, 1], [1, 0, 2], [1, 2, 0], [2, 0, 1], [2, 1, 0]];

//! Tracks of players in the attack frame: one player's, and a side's by place.

use std::marker::PhantomData;
use std::ops::{Index, IndexMut};

use scrim_floor::{AttackFrame, Point, Vector};
use scrim_tracks::PlayerIx;

use crate::places::{Place, SIDE_SIZE};

/// One player's track over the possession, attack frame. NaN is "missing".
#[derive(Debug, Clone, PartialEq)]
pub struct Mover {
    /// Whose.
    pub player: PlayerIx,
    /// From the hoop toward half court.
    pub x_m: Vec<f32>,
    /// To the right of one who faces the hoop.
    pub y_m: Vec<f32>,
    /// Velocity along x.
    pub vx_mps: Vec<f32>,
    /// Velocity along y.
    pub vy_mps: Vec<f32>,
}

impl Mover {
    /// Place at scene frame `k`.
    pub fn at(&self, k: usize) -> Point<AttackFrame> {
        Point::new(self.x_m[k], self.y_m[k])
    }

    /// Velocity at scene frame `k`.
    pub fn velocity_at(&self, k: usize) -> Vector<AttackFrame> {
        Vector::new(self.vx_mps[k], self.vy_mps[k])
    }

    /// Speed at scene frame `k`, m/s.
    pub fn speed_at(&self, k: usize) -> f32 {
        self.velocity_at(k).length()
    }
}

/// The tracks of one side, at most five, by place.
#[derive(Debug, Clone, PartialEq)]
pub struct Movers<P> {
    movers: Vec<Mover>,
    side: PhantomData<P>,
}

impl<P: Place> Movers<P> {
    /// How many there are.
    #[inline]
    pub fn len(&self) -> usize {
        self.movers.len()
    }

    /// Whether there is nobody.
    #[inline]
    pub fn is_empty(&self) -> bool {
        self.movers.is_empty()
    }

    /// The places that are taken, ascending.
    #[inline]
    pub fn places(&self) -> impl Iterator<Item = P> + Clone + use<P> {
        P::ALL.into_iter().take(self.len())
    }

    /// Each place that is taken with its track, ascending.
    #[inline]
    pub fn placed(&self) -> impl Iterator<Item = (P, &Mover)> + Clone {
        P::ALL.into_iter().zip(&self.movers)
    }

    /// The tracks, in the order of the places.
    #[inline]
    pub fn iter(&self) -> std::slice::Iter<'_, Mover> {
        self.movers.iter()
    }

    /// The tracks, to be changed.
    #[inline]
    pub fn iter_mut(&mut self) -> std::slice::IterMut<'_, Mover> {
        self.movers.iter_mut()
    }

    /// The track at a place; `None` where nobody stands there.
    #[inline]
    pub fn get(&self, place: P) -> Option<&Mover> {
        self.movers.get(place.index())
    }

    /// A player's place; `None` for who is not in the scene, or on the other side.
    pub fn place_of(&self, player: PlayerIx) -> Option<P> {
        let is_theirs = |place: &P| self[*place].player == player;
        self.places().find(is_theirs)
    }

    /// A player's track.
    pub fn of(&self, player: PlayerIx) -> Option<&Mover> {
        self.place_of(player).map(|place| &self[place])
    }
}

impl<P> Default for Movers<P> {
    /// Nobody.
    fn default() -> Self {
        Self {
            movers: Vec::new(),
            side: PhantomData,
        }
    }
}

impl<P: Place> FromIterator<Mover> for Movers<P> {
    /// The first five.
    fn from_iter<I: IntoIterator<Item = Mover>>(movers: I) -> Self {
        Self {
            movers: movers.into_iter().take(SIDE_SIZE).collect(),
            side: PhantomData,
        }
    }
}

impl<P: Place> Index<P> for Movers<P> {
    type Output = Mover;

    #[inline]
    fn index(&self, place: P) -> &Mover {
        &self.movers[place.index()]
    }
}

impl<P: Place> IndexMut<P> for Movers<P> {
    #[inline]
    fn index_mut(&mut self, place: P) -> &mut Mover {
        &mut self.movers[place.index()]
    }
}

impl<'a, P: Place> IntoIterator for &'a Movers<P> {
    type Item = &'a Mover;
    type IntoIter = std::slice::Iter<'a, Mover>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

impl<'a, P: Place> IntoIterator for &'a mut Movers<P> {
    type Item = &'a mut Mover;
    type IntoIter = std::slice::IterMut<'a, Mover>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter_mut()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::places::Attacker;

    fn mover(player: u16) -> Mover {
        Mover {
            player: PlayerIx(player),
            x_m: vec![f32::from(player)],
            y_m: vec![0.0],
            vx_mps: vec![0.0],
            vy_mps: vec![0.0],
        }
    }

    #[test]
    fn who_is_on_the_floor_has_a_place_and_nobody_else() {
        let three: Movers<Attacker> = [7, 2, 9].into_iter().map(mover).collect();
        let [first, second, third, fourth, _] = Attacker::ALL;
        assert_eq!(three.places().collect::<Vec<_>>(), [first, second, third]);
        assert_eq!(three.place_of(PlayerIx(9)), Some(third));
        assert_eq!(three.of(PlayerIx(2)), Some(&three[second]));
        assert_eq!((three.place_of(PlayerIx(0)), three.get(fourth)), (None, None));
    }

    #[test]
    fn a_sixth_has_no_place() {
        let six: Movers<Attacker> = (0..6).map(mover).collect();
        assert_eq!((six.len(), six.place_of(PlayerIx(5))), (SIDE_SIZE, None));
    }
}

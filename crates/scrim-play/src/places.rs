//! Places of the players in a scene. An attacker's place and a defender's are two types, so that one is never taken for the other.

use std::marker::PhantomData;
use std::ops::{Index, IndexMut};

/// At most this many a side stand in a scene: the players with the most frames.
pub const SIDE_SIZE: usize = 5;

/// A place is one of these and nothing else, so that looking it up in a list of five needs no check.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Nth {
    First,
    Second,
    Third,
    Fourth,
    Fifth,
}

/// An attacker's place among the scene's attackers.
///
/// ```
/// # use scrim_play::{Attacker, Mover, Scene};
/// fn track(scene: &Scene, attacker: Attacker) -> &Mover {
///     &scene.attackers[attacker]
/// }
/// ```
///
/// It says nothing about the defenders:
///
/// ```compile_fail
/// # use scrim_play::{Attacker, Mover, Scene};
/// fn track(scene: &Scene, attacker: Attacker) -> &Mover {
///     &scene.defenders[attacker]
/// }
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Attacker(Nth);

/// A defender's place among the scene's defenders.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Defender(Nth);

/// A place on one side: [`Attacker`] or [`Defender`].
pub trait Place: Copy + Eq + 'static {
    /// All places, ascending.
    const ALL: [Self; SIDE_SIZE];

    /// The place as a number, from 0.
    fn index(self) -> usize;
}

macro_rules! place {
    ($side:ident) => {
        impl Place for $side {
            const ALL: [Self; SIDE_SIZE] = [
                Self(Nth::First),
                Self(Nth::Second),
                Self(Nth::Third),
                Self(Nth::Fourth),
                Self(Nth::Fifth),
            ];

            #[inline]
            fn index(self) -> usize {
                self.0 as usize
            }
        }
    };
}

place!(Attacker);
place!(Defender);

/// A value for each place of one side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Five<P, T> {
    values: [T; SIDE_SIZE],
    side: PhantomData<P>,
}

impl<P: Place, T> Five<P, T> {
    /// The value that `of` gives for each place.
    #[inline]
    pub fn from_fn(of: impl FnMut(P) -> T) -> Self {
        Self::from(P::ALL.map(of))
    }

    /// What `of` makes of each value.
    #[inline]
    pub fn map<U>(self, of: impl FnMut(T) -> U) -> Five<P, U> {
        Five::from(self.values.map(of))
    }

    /// Each place with its value, ascending.
    #[inline]
    pub fn iter(&self) -> impl Iterator<Item = (P, &T)> {
        P::ALL.into_iter().zip(&self.values)
    }

    /// The values alone, in the order of the places.
    #[inline]
    pub fn values(&self) -> &[T; SIDE_SIZE] {
        &self.values
    }

    /// The first place for which `holds` is true.
    #[inline]
    pub fn find(&self, holds: impl Fn(&T) -> bool) -> Option<P> {
        self.iter()
            .find(|(_, value)| holds(value))
            .map(|(place, _)| place)
    }
}

impl<P, T> From<[T; SIDE_SIZE]> for Five<P, T> {
    fn from(values: [T; SIDE_SIZE]) -> Self {
        Self {
            values,
            side: PhantomData,
        }
    }
}

impl<P: Place, T: Default> Default for Five<P, T> {
    fn default() -> Self {
        Self::from_fn(|_| T::default())
    }
}

impl<P: Place, T> Index<P> for Five<P, T> {
    type Output = T;

    #[inline]
    fn index(&self, place: P) -> &T {
        &self.values[place.index()]
    }
}

impl<P: Place, T> IndexMut<P> for Five<P, T> {
    #[inline]
    fn index_mut(&mut self, place: P) -> &mut T {
        &mut self.values[place.index()]
    }
}

/// Who guards each attacker; `None` where nobody is known to.
pub type Guards = Five<Attacker, Option<Defender>>;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_count_from_0_to_4_and_each_has_its_value() {
        assert_eq!(Attacker::ALL.map(Place::index), [0, 1, 2, 3, 4]);
        assert!(Defender::ALL.is_sorted());
        let mut tens = Five::<Defender, usize>::from_fn(|place| 10 * place.index());
        tens[Defender::ALL[3]] += 1;
        assert_eq!(*tens.values(), [0, 10, 20, 31, 40]);
        assert!(tens.iter().all(|(place, &value)| tens[place] == value));
    }

    #[test]
    fn the_first_place_that_holds_is_found() {
        let five = Five::<Attacker, _>::from([1, 4, 2, 4, 0]);
        assert_eq!(five.find(|&value| value == 4), Some(Attacker::ALL[1]));
        assert_eq!(five.find(|&value| value == 9), None);
    }

    #[test]
    fn an_unknown_guard_takes_no_more_room_than_a_known_one() {
        assert_eq!(size_of::<Guards>(), SIDE_SIZE);
    }
}

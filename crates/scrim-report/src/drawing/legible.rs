//! Marks of a sketch that can be told apart: where they stand, and on which side of a shot its word.

use scrim_floor::{Court, Segment, Vector, distance_to_segment_m};
use scrim_tables::Id;

use super::sketch::{Attacker, Defender, Route, Sketch};
use super::spread::{APART_M, Mark, spread};
use super::tracks::Spot;

/// How readily an attacker gives way where marks would cover each other; a defender: 1.
const ATTACKER_GIVES_WAY: f32 = 0.3;
/// Players have their places when the mark of a shot looks for its own.
const STAYS: f32 = 1e-6;
/// From a shot's middle to its word's, m: beside it, and above or below it.
const WORD_BESIDE_M: f32 = 2.2;
const WORD_ABOVE_M: f32 = 1.4;

impl Sketch {
    /// Where the marks of players stand.
    fn players(&self) -> impl Iterator<Item = Spot> {
        let attackers = self.attackers.iter().map(|attacker| attacker.spot);
        attackers.chain(self.defenders.iter().map(|defender| defender.spot))
    }

    /// How far a player's ways in it lead, m: the longest from its start to its end.
    pub(crate) fn reach_m(&self, player: &Id) -> f32 {
        let ways = self
            .routes
            .iter()
            .filter(|route| route.player.as_ref() == Some(player));
        ways.filter_map(|route| Some(route.path.first()?.distance_m(*route.path.last()?)))
            .fold(0.0, f32::max)
    }

    /// How far the two marks, of players and of a shot, are apart that are nearest to each other, m; infinite of one alone.
    pub(crate) fn apart_m(&self) -> f32 {
        let shot = self.shot.iter().map(|(_, spot)| *spot);
        let spots: Vec<Spot> = self.players().chain(shot).collect();
        let pairs = spots
            .iter()
            .enumerate()
            .flat_map(|(k, one)| spots[k + 1..].iter().map(move |other| one.distance_m(*other)));
        pairs.fold(f32::INFINITY, f32::min)
    }

    /// Moves marks apart that would cover each other: those of players, then that of a shot out of their way.
    pub(super) fn spread(&mut self, court: &Court) {
        apart(&mut self.attackers, &mut self.defenders, &mut self.routes, court);
        let Some((shooter, spot)) = self.shot.take() else {
            return;
        };
        // Who shoots from where they stand has the mark around them.
        let stands = self
            .attackers
            .iter()
            .find(|attacker| attacker.player == shooter && attacker.spot.distance_m(spot) < APART_M);
        let spot = match stands {
            Some(attacker) => attacker.spot,
            None => self.beside_players(spot, court),
        };
        self.shot = Some((shooter, spot));
    }

    /// A place beside `spot` where a mark covers no player's.
    fn beside_players(&self, spot: Spot, court: &Court) -> Spot {
        let mark = |spot, gives_way| Mark { spot, gives_way };
        let players = self.players().map(|player| mark(player, STAYS));
        let mut marks: Vec<Mark> = players.chain([mark(spot, 1.0)]).collect();
        spread(&mut marks, court);
        marks.last().map_or(spot, |moved| moved.spot)
    }

    /// Where the word of a shot at `spot` stands: on the side that is farthest from all marks and lines, within the floor.
    pub(super) fn word_beside(&self, spot: Spot, court: &Court) -> Spot {
        let taken: Vec<Spot> = self.players().filter(|mark| *mark != spot).collect();
        let ways = || self.routes.iter().flat_map(|route| route.path.windows(2));
        let half_m = court.width_m / 2.0 - WORD_BESIDE_M / 2.0;
        let sides = [
            Vector::new(0.0, WORD_BESIDE_M),
            Vector::new(0.0, -WORD_BESIDE_M),
            Vector::new(WORD_ABOVE_M, 0.0),
            Vector::new(-WORD_ABOVE_M, 0.0),
        ];
        let places = sides
            .into_iter()
            .map(|side| spot + side)
            .filter(|place| place.y_m.abs() <= half_m && place.x_m >= -court.hoop_from_end_line_m + 0.3);
        let room_m = |place: Spot| {
            let to_ways = ways().map(|way| distance_to_segment_m(place, Segment::new(way[0], way[1])));
            let to_marks = taken.iter().map(|taken| taken.distance_m(place));
            to_marks.chain(to_ways).fold(f32::INFINITY, f32::min)
        };
        // Of equals the first.
        let best = places.map(|place| (room_m(place), place));
        let best = best.reduce(|best, other| if other.0 > best.0 { other } else { best });
        best.map_or(spot, |(_, place)| place)
    }
}

/// Moves marks apart that would cover each other; a route begins where its player's mark is then.
fn apart(attackers: &mut [Attacker], defenders: &mut [Defender], routes: &mut [Route], court: &Court) {
    let of_attackers = attackers
        .iter()
        .map(|attacker| (attacker.spot, ATTACKER_GIVES_WAY));
    let of_defenders = defenders.iter().map(|defender| (defender.spot, 1.0));
    let mut marks: Vec<Mark> = of_attackers
        .chain(of_defenders)
        .map(|(spot, gives_way)| Mark { spot, gives_way })
        .collect();
    spread(&mut marks, court);
    let (of_attackers, of_defenders) = marks.split_at(attackers.len());
    for (attacker, mark) in attackers.iter_mut().zip(of_attackers) {
        for route in routes.iter_mut() {
            if route.player.is_some()
                && route.player == attacker.player
                && let Some(first) = route.path.first_mut()
                && *first == attacker.spot
            {
                *first = mark.spot;
            }
        }
        attacker.spot = mark.spot;
    }
    for (defender, mark) in defenders.iter_mut().zip(of_defenders) {
        defender.spot = mark.spot;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::Moment;

    fn sketch(shooter_at: Spot, defender_at: Spot, shot_at: Spot) -> Sketch {
        Sketch {
            moment: Moment::After,
            attackers: vec![Attacker {
                player: Some("a".into()),
                spot: shooter_at,
                label: "5".into(),
                has_ball: true,
            }],
            defenders: vec![Defender {
                spot: defender_at,
                guards: None,
            }],
            routes: Vec::new(),
            passes: Vec::new(),
            shot: Some((Some("a".into()), shot_at)),
        }
    }

    #[test]
    fn a_shot_covers_no_player_but_one_who_shoots_where_they_stand() {
        let court = Court::fiba();
        let mut driven = sketch(Spot::new(8.0, 0.0), Spot::new(1.0, 0.5), Spot::new(1.0, 0.0));
        driven.spread(&court);
        assert!(driven.apart_m() >= APART_M, "{}", driven.apart_m());
        assert_eq!(driven.defenders[0].spot, Spot::new(1.0, 0.5));
        let mut stood = sketch(Spot::new(6.0, 3.0), Spot::new(3.0, 0.5), Spot::new(6.4, 3.0));
        stood.spread(&court);
        let (_, at) = stood.shot.as_ref().unwrap();
        assert_eq!(*at, stood.attackers[0].spot);
    }

    #[test]
    fn the_word_of_a_shot_stands_where_there_is_room() {
        let court = Court::fiba();
        let shot = Spot::new(6.0, 0.0);
        // A defender on the one side, then on the other.
        for (defender_y_m, word_y_m) in [(2.0, -WORD_BESIDE_M), (-2.0, WORD_BESIDE_M)] {
            let sketch = sketch(shot, Spot::new(6.0, defender_y_m), shot);
            assert_eq!(sketch.word_beside(shot, &court), Spot::new(6.0, word_y_m));
        }
        // On the sideline it stands within the floor.
        let corner = Spot::new(0.0, 7.2);
        let sketch = sketch(corner, Spot::new(3.0, 0.0), corner);
        assert!(sketch.word_beside(corner, &court).y_m.abs() < court.width_m / 2.0 - 1.0);
    }
}

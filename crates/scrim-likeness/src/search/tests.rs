//! The search against a plain one, and what it says of what is not there.

use proptest::prelude::*;

use super::*;
use crate::apart_m;
use crate::staging::{game, moved, shape};

fn asked(game_id: &str, possession_id: u32) -> Asked<'_> {
    Asked {
        game_id,
        period: None,
        possession_id,
        team: None,
        last: None,
        count: 3,
    }
}

fn names(likes: &Likes<'_>) -> Vec<String> {
    likes.alike.iter().map(Found::name).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]
    #[test]
    fn it_finds_what_comparing_with_all_finds(shapes in proptest::collection::vec(shape(), 2..24), near in 0_i16..60) {
        let mut shapes = shapes;
        let twin = moved(&shapes[0], near).mirrored();
        shapes.push(twin);
        let index = Index::of(vec![game("G1", None, &shapes)]);
        let likes = find_like(&index, &asked("G1", 10)).unwrap();
        let mut all: Vec<(f32, u32)> = (1..shapes.len())
            .map(|place| (apart_m(&shapes[0], &shapes[place]), 10 + 2 * place as u32))
            .collect();
        all.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        all.truncate(3);
        let found: Vec<(f32, u32)> = likes.alike.iter().map(|found| (found.apart_m, found.row.possession_id)).collect();
        prop_assert_eq!(found, all);
        prop_assert_eq!(likes.searched, shapes.len() - 1);
    }
}

#[test]
fn of_many_it_finds_what_comparing_with_all_finds() {
    // 5,000 shapes, more than the sample: everybody stands somewhere on a line, by a sequence without a pattern, every third one mirrored.
    let still = Shape::of_numbers([0; crate::shape::NUMBERS]);
    let spot = |place: usize| ((place * 7919) % 1201) as i16;
    let shapes: Vec<Shape> = (0..5000)
        .map(|place| {
            let mut numbers = *moved(&still, spot(place)).numbers();
            numbers[crate::shape::INSTANTS..2 * crate::shape::INSTANTS].fill(spot(place + 3) / 4);
            let shape = Shape::of_numbers(numbers);
            if place % 3 == 0 { shape.mirrored() } else { shape }
        })
        .collect();
    let index = Index::of(vec![game("G1", None, &shapes)]);
    for asked_place in [0, 1, 2500] {
        let id = 10 + 2 * asked_place as u32;
        let likes = find_like(&index, &asked("G1", id)).unwrap();
        let mut all: Vec<(f32, u32)> = (0..shapes.len())
            .filter(|place| *place != asked_place)
            .map(|place| {
                (
                    apart_m(&shapes[asked_place], &shapes[place]),
                    10 + 2 * place as u32,
                )
            })
            .collect();
        all.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        all.truncate(3);
        let found = likes
            .alike
            .iter()
            .map(|found| (found.apart_m, found.row.possession_id));
        assert_eq!(found.collect::<Vec<_>>(), all);
        assert!(likes.compared < 1000, "{}", likes.compared);
    }
}

/// Three games of four possessions each; the shapes of a later game are farther from the first's.
fn three_games() -> Index {
    let still = Shape::of_numbers([0; crate::shape::NUMBERS]);
    let of = |by_cm: i16| -> Vec<Shape> { (0..4).map(|k| moved(&still, by_cm + k)).collect() };
    Index::of(vec![
        game("G3", Some("2041-03-01"), &of(200)),
        game("G1", Some("2041-01-01"), &of(0)),
        game("G2", Some("2041-02-01"), &of(100)),
    ])
}

#[test]
fn the_nearest_come_first_and_the_one_itself_is_left_out() {
    let index = three_games();
    let likes = find_like(&index, &asked("G1", 10)).unwrap();
    assert_eq!(likes.asked.name(), "G1:1:10");
    assert_eq!(names(&likes), ["G1:1:12", "G1:1:14", "G1:1:16"]);
    assert!((likes.alike[0].apart_m - 0.01).abs() < 1e-5);
    // All else is at least 1 m away and is never compared.
    assert_eq!((likes.searched, likes.compared), (11, 3));
}

#[test]
fn a_team_and_its_last_games() {
    let index = three_games();
    let of_team = Asked {
        team: Some("SM"),
        last: Some(2),
        ..asked("G1", 10)
    };
    // Games G2 and G3; the second and fourth possession are SM's.
    let likes = find_like(&index, &of_team).unwrap();
    assert_eq!(names(&likes), ["G2:1:12", "G2:1:16", "G3:1:12"]);
    assert_eq!(likes.searched, 4);
    let unknown = Asked {
        team: Some("XX"),
        ..asked("G1", 10)
    };
    let message = find_like(&index, &unknown).unwrap_err().to_string();
    assert_eq!(
        message,
        "no possession of team `XX`; the tables have [\"KH\", \"SM\"]: give one of these, spelled as here"
    );
}

#[test]
fn what_is_not_there_is_said_with_what_is_near() {
    let index = three_games();
    let message = |asked: &Asked<'_>| find_like(&index, asked).unwrap_err().to_string();
    assert_eq!(
        message(&asked("G2b", 10)),
        "no game `G2b` in the tables; the nearest are G1, G2, G3"
    );
    assert_eq!(
        message(&asked("G2", 99)),
        "game G2 has no possession 99; the nearest are G2:1:10, G2:1:12, G2:1:14, G2:1:16"
    );
    assert_eq!(
        message(&asked("G2", 11)),
        "possession 11 of game G2 cannot be compared: it has no ball screen and no handoff; the nearest are G2:1:10, G2:1:12, G2:1:14, G2:1:16"
    );
    let other_period = Asked {
        period: Some(3),
        ..asked("G2", 12)
    };
    assert_eq!(
        message(&other_period),
        "possession 12 of game G2 is of period 1, not 3; ask for G2:1:12"
    );
    let mut poor = index.into_games();
    poor[0].is_poor = true;
    let message = find_like(&Index::of(poor), &asked("G1", 10))
        .unwrap_err()
        .to_string();
    assert!(message.starts_with("game G1: its data are poor"), "{message}");
}

#[test]
fn none_are_found_where_none_are_wanted_or_there() {
    let index = three_games();
    let none = Asked {
        count: 0,
        ..asked("G1", 10)
    };
    assert_eq!(names(&find_like(&index, &none).unwrap()), [""; 0]);
    let alone = Index::of(vec![game(
        "G1",
        None,
        &[Shape::of_numbers([0; crate::shape::NUMBERS])],
    )]);
    assert_eq!(names(&find_like(&alone, &asked("G1", 10)).unwrap()), [""; 0]);
}

//! Shapes and rows made by hand, for tests.

use proptest::prelude::*;
use scrim_tables::tags::{Coverage, Outcome, ScreenKind};

use crate::shape::{INSTANTS, NUMBERS, OTHERS, Shape, WAYS, Way, other};
use crate::{GameShapes, LeftOut, ShapeRow};

/// Any shape on a half court: every way goes straight from one spot to another, a little off at each instant.
pub(crate) fn shape() -> impl Strategy<Value = Shape> {
    let spot = || (0_i16..1400, -750_i16..750);
    let way = (
        spot(),
        spot(),
        proptest::collection::vec((-80_i16..80, -80_i16..80), INSTANTS),
    );
    proptest::collection::vec(way, WAYS).prop_map(|ways| {
        let mut all: [Way; WAYS] = [[[0; INSTANTS]; 2]; WAYS];
        for (target, (from, to, off)) in all.iter_mut().zip(ways) {
            for (instant, off) in off.into_iter().enumerate() {
                let share = instant as f32 / (INSTANTS - 1) as f32;
                let on_line =
                    |from: i16, to: i16| f32::from(from) + (f32::from(to) - f32::from(from)) * share;
                target[0][instant] = on_line(from.0, to.0) as i16 + off.0;
                target[1][instant] = on_line(from.1, to.1) as i16 + off.1;
            }
        }
        Shape::of_ways(&all)
    })
}

/// Everybody farther from the hoop.
pub(crate) fn moved(shape: &Shape, by_cm: i16) -> Shape {
    let mut numbers = *shape.numbers();
    for way in numbers.chunks_exact_mut(2 * INSTANTS) {
        for x_cm in &mut way[..INSTANTS] {
            *x_cm += by_cm;
        }
    }
    Shape::of_numbers(numbers)
}

/// The three without a part in another order, each with their defender.
pub(crate) fn with_others(shape: &Shape, order: [usize; OTHERS]) -> Shape {
    const ONE: usize = 2 * INSTANTS;
    let mut numbers: [i16; NUMBERS] = *shape.numbers();
    for (place, from) in order.into_iter().enumerate() {
        for (to, from) in other(place).into_iter().zip(other(from)) {
            numbers[to * ONE..(to + 1) * ONE].copy_from_slice(&shape.numbers()[from * ONE..(from + 1) * ONE]);
        }
    }
    Shape::of_numbers(numbers)
}

/// A game of team `KH` against `SM` with these shapes, possessions 10, 12, 14 ...
pub(crate) fn game(game_id: &str, date: Option<&str>, shapes: &[Shape]) -> GameShapes {
    let rows = (0..shapes.len()).map(|place| {
        let t_use_s = 40.0 * place as f64;
        ShapeRow {
            period: 1,
            possession_id: 10 + 2 * place as u32,
            team_id: if place % 2 == 0 { "KH".into() } else { "SM".into() },
            opponent_id: if place % 2 == 0 { "SM".into() } else { "KH".into() },
            screen_id: place as u32,
            t_from_s: t_use_s - 7.5,
            t_use_s,
            game_clock_s: Some(700.0 - t_use_s),
            video_s: None,
            look: Some("horns".into()),
            screen_kind: ScreenKind::BallScreen,
            outcome: Outcome::Used,
            coverage: Some(Coverage::Drop),
            points: Some(2),
        }
    });
    GameShapes {
        season: Some("2041".into()),
        game_id: game_id.into(),
        date: date.map(Into::into),
        digest: "0".into(),
        is_poor: false,
        rows: rows.collect(),
        left_out: vec![(11, 1, LeftOut::NoBallScreen)],
        shapes: shapes.to_vec(),
    }
}

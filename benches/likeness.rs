//! The possessions most like one, among 200,000: the search, and reading the index.
//!
//! The shapes stand for a season: 1,250 games of 160; two hundred ways of playing, each a straight way for everybody with a bend, run
//! with 0.8 m of difference (standard deviation, about) at each end. Made once from a fixed seed outside the measured part.
#![allow(missing_docs, reason = "criterion's macro makes undocumented items")]

use std::hint::black_box;

use criterion::{Criterion, SamplingMode, criterion_group, criterion_main};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use scrim_likeness::{Asked, GameShapes, INSTANTS, Index, NUMBERS, Shape, ShapeRow, WAYS, find_like};
use scrim_tables::tags::{Coverage, Outcome, ScreenKind};

const GAMES: usize = 1250;
const SHAPES: usize = 160;
const KINDS: usize = 200;

/// Begin, middle and end of each way, cm.
type Kind = [[[f32; 2]; 3]; WAYS];

fn kind(rng: &mut ChaCha8Rng) -> Kind {
    std::array::from_fn(|_| {
        std::array::from_fn(|_| [rng.random_range(0.0..1200.0), rng.random_range(-700.0..700.0)])
    })
}

fn run_of(kind: &Kind, rng: &mut ChaCha8Rng) -> Shape {
    let mut numbers = [0; NUMBERS];
    for (way, numbers) in kind.iter().zip(numbers.chunks_exact_mut(2 * INSTANTS)) {
        let off: [[f32; 2]; 3] =
            std::array::from_fn(|_| std::array::from_fn(|_| rng.random_range(-140.0..140.0)));
        for instant in 0..INSTANTS {
            let place = 2.0 * instant as f32 / (INSTANTS - 1) as f32;
            let (from, share) = if place < 1.0 { (0, place) } else { (1, place - 1.0) };
            for axis in 0..2 {
                let at = |stop: usize| way[stop][axis] + off[stop][axis];
                let cm = at(from) + (at(from + 1) - at(from)) * share;
                numbers[axis * INSTANTS + instant] = cm as i16;
            }
        }
    }
    Shape::of_numbers(numbers)
}

fn season() -> Index {
    let mut rng = ChaCha8Rng::seed_from_u64(6);
    let kinds: Vec<Kind> = (0..KINDS).map(|_| kind(&mut rng)).collect();
    let games = (0..GAMES).map(|game| {
        let shapes: Vec<Shape> = (0..SHAPES)
            .map(|_| run_of(&kinds[rng.random_range(0..KINDS)], &mut rng))
            .collect();
        let rows = (0..SHAPES).map(|place| ShapeRow {
            period: 1,
            possession_id: place as u32,
            team_id: "KH".into(),
            opponent_id: "SM".into(),
            screen_id: place as u32,
            t_from_s: 15.0 * place as f64,
            t_use_s: 15.0 * place as f64 + 7.25,
            game_clock_s: Some(700.0),
            video_s: None,
            look: Some("three_out_two_in cross:left down:right".into()),
            screen_kind: ScreenKind::BallScreen,
            outcome: Outcome::Used,
            coverage: Some(Coverage::Drop),
            points: Some(2),
        });
        GameShapes {
            season: Some("2041".into()),
            game_id: format!("P1-{game:04}"),
            date: Some("2041-03-02".into()),
            digest: "0".repeat(64),
            is_poor: false,
            rows: rows.collect(),
            left_out: Vec::new(),
            shapes,
        }
    });
    Index::of(games.collect())
}

fn likeness(criterion: &mut Criterion) {
    let index = season();
    let bytes = index.to_bytes().expect("an index can be written");
    let asked = Asked {
        game_id: "P1-0700",
        period: None,
        possession_id: 77,
        team: None,
        last: None,
        count: 10,
    };
    let mut group = criterion.benchmark_group(format!("like_among_{}", GAMES * SHAPES));
    group.sampling_mode(SamplingMode::Flat).sample_size(10);
    group.bench_function("search", |bench| {
        bench.iter(|| {
            find_like(black_box(&index), &asked)
                .expect("it is there")
                .compared
        });
    });
    group.bench_function("read_index", |bench| {
        bench.iter(|| Index::from_bytes(black_box(&bytes)).expect("it is whole"))
    });
    group.finish();
}

criterion_group!(benches, likeness);
criterion_main!(benches);

use super::*;
use crate::{PlayerIx, TeamSlot};

const GRID: Grid = Grid {
    hz: 25.0,
    frames: 100,
};

fn track(at: impl Fn(f32) -> [f32; 2]) -> Track {
    let places = [0, 1].map(|axis| (0..100).map(|k| at(k as f32 / 25.0 - 2.0)[axis]).collect());
    Track::of_places(PlayerIx(0), TeamSlot::First, places)
}

fn exchanged_from<const N: usize>(tracks: &[Track; N], pair: Pair, from: usize) -> [Track; N] {
    let mut tracks = tracks.clone();
    let [one, other] = pair.map(|which| tracks[which].clone());
    tracks[pair[0]].x_m[from..].copy_from_slice(&other.x_m[from..]);
    tracks[pair[0]].y_m[from..].copy_from_slice(&other.y_m[from..]);
    tracks[pair[1]].x_m[from..].copy_from_slice(&one.x_m[from..]);
    tracks[pair[1]].y_m[from..].copy_from_slice(&one.y_m[from..]);
    tracks
}

fn lose(track: &mut Track, frames: std::ops::Range<usize>) {
    track.x_m[frames.clone()].fill(f32::NAN);
    track.y_m[frames].fill(f32::NAN);
}

fn repaired<const N: usize>(tracks: &[Track; N], sigma_m: f32) -> ([Track; N], Crossings, Vec<Vec<Gap>>) {
    let mut tracks = tracks.clone();
    let mut gaps: Vec<_> = tracks.iter().map(|track| find_gaps(&track.x_m, GRID)).collect();
    let found = repair_crossings(&mut tracks, &mut gaps, Reading::new(GRID, GRID.hz, sigma_m));
    (tracks, found, gaps)
}

fn same(a: &[f32], b: &[f32]) -> bool {
    a.iter().zip(b).all(|(a, b)| a == b || (a.is_nan() && b.is_nan()))
}

#[track_caller]
fn assert_repaired<const N: usize>(whole: &[Track; N], spoilt: &[Track; N], times: usize, sigma_m: f32) {
    let (tracks, found, gaps) = repaired(spoilt, sigma_m);
    assert_eq!((found.repaired.len(), found.doubtful.len()), (times, 0));
    for ((is, was), gaps) in tracks.iter().zip(whole).zip(&gaps) {
        assert!(same(&is.x_m, &was.x_m) && same(&is.y_m, &was.y_m));
        assert_eq!(*gaps, find_gaps(&was.x_m, GRID));
    }
}

#[test]
fn runners_who_are_exchanged_in_passing_or_side_by_side_are_set_right() {
    // Opposite ways at 3 m/s, 0.5 m apart in passing.
    let passing = [track(|t| [3.0 * t, 0.0]), track(|t| [-3.0 * t, 0.5])];
    assert_repaired(&passing, &exchanged_from(&passing, [0, 1], 50), 1, 0.01);
    // Side by side at one speed: the places alone decide.
    let pair = [track(|t| [2.0 * t, 0.0]), track(|t| [2.0 * t + 0.3, 0.6])];
    assert_repaired(&pair, &exchanged_from(&pair, [0, 1], 37), 1, 0.03);
}

#[test]
fn exchanges_with_a_third_are_undone_in_the_order_of_their_times() {
    // Three side by side. First 1 and 2 are exchanged, then, by their labels, 0 and 1, who is 2 by then.
    let lanes = [0.0, 0.7, 1.4].map(|y_m| track(move |t| [2.0 * t, y_m]));
    let spoilt = exchanged_from(&exchanged_from(&lanes, [1, 2], 30), [0, 1], 60);
    assert_repaired(&lanes, &spoilt, 2, 0.02);
}

#[test]
fn an_exchange_of_two_who_are_lost_at_once_is_set_right() {
    let mut whole = [track(|t| [3.0 * t, 0.0]), track(|t| [-3.0 * t, 0.8])];
    whole.iter_mut().for_each(|track| lose(track, 45..52));
    assert_repaired(&whole, &exchanged_from(&whole, [0, 1], 52), 1, 0.02);
}

#[test]
fn one_who_is_taken_for_another_while_that_one_is_lost_is_set_right() {
    // 1 is lost from 1.6 to 2.4 s. At 2.0 s the label of 1 goes over to 0, whom it follows from then on; at 2.4 s the
    // one who comes back is called 0.
    let mut whole = [track(|t| [2.0 * t, 0.0]), track(|t| [1.5 * t, 0.9])];
    lose(&mut whole[1], 40..60);
    let spoilt = exchanged_from(&whole, [0, 1], 50);
    assert_eq!(find_gaps(&spoilt[0].x_m, GRID), [(49, 60)]);
    assert_eq!(find_gaps(&spoilt[1].x_m, GRID), [(39, 50)]);
    assert_repaired(&whole, &spoilt, 1, 0.02);
}

#[test]
fn runners_who_pass_stop_or_turn_beside_each_other_are_left_alone_with_and_without_gaps() {
    let passing = [track(|t| [3.0 * t, 0.0]), track(|t| [-3.0 * t, 0.05])];
    // A stop from 5 m/s at 8 m/s², just past a team-mate who starts as hard: hard, and possible.
    let stopping = [
        track(|t| {
            [
                if t < 0.0 {
                    5.0 * t
                } else {
                    5.0 * t.min(0.625) - 4.0 * t.min(0.625).powi(2)
                },
                0.0,
            ]
        }),
        track(|t| {
            [
                if t < 0.0 {
                    0.0
                } else {
                    4.0 * t.min(0.625).powi(2) + 5.0 * (t - 0.625).max(0.0)
                },
                0.3,
            ]
        }),
    ];
    for whole in [passing, stopping] {
        for gap in [0, 3, 10] {
            let mut whole = whole.clone();
            lose(&mut whole[0], 48..48 + gap);
            lose(&mut whole[1], 50..50 + gap);
            let (tracks, found, _) = repaired(&whole, 0.02);
            assert_eq!(found, Crossings::default());
            for (is, was) in tracks.iter().zip(&whole) {
                assert!(same(&is.x_m, &was.x_m) && same(&is.y_m, &was.y_m));
            }
        }
    }
}

#[test]
fn a_gap_is_known_by_what_is_seen_around_it_and_a_very_long_one_links_nobody() {
    let mut one = track(|t| [t, 0.0]);
    lose(&mut one, 0..3);
    lose(&mut one, 20..21);
    lose(&mut one, 60..70);
    assert_eq!(find_gaps(&one.x_m, GRID), [(19, 21), (59, 70)]);
    // At a frame a second the second one lasts 11 s.
    assert_eq!(find_gaps(&one.x_m, Grid { hz: 1.0, ..GRID }), [(19, 21)]);
}

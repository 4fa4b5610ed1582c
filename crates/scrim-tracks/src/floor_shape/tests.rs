use super::*;
use crate::PlayerIx;

const HZ: f64 = 10.0;
const HOOP_X_M: f32 = 12.4;
/// A possession's frames: teams take turns.
const POSSESSION: usize = 200;
const FRAMES: usize = 10 * POSSESSION;
/// Attackers at the hoop at positive x.
const SPOTS: [[f32; 2]; SIDE] = [[5.0, 0.0], [8.0, -5.0], [8.0, 5.0], [12.0, -6.5], [12.0, 6.5]];

/// Ten who attack and defend in turn; `guards(frame)` tells whom each defender guards.
fn floor(guards: impl Fn(usize) -> Five) -> Vec<Track> {
    let mut places = vec![Vec::new(); 2 * SIDE];
    for frame in 0..FRAMES {
        let first_attacks = (frame / POSSESSION).is_multiple_of(2);
        let sign = if first_attacks { 1.0 } else { -1.0 };
        let (offence, defence) = if first_attacks { (0, SIDE) } else { (SIDE, 0) };
        for place in 0..SIDE {
            let attacker = SPOTS[place].map(|m| sign * m);
            places[offence + place].push(attacker);
            let [x_m, y_m] = SPOTS[guards(frame)[place]].map(|m| 0.7 * sign * m);
            places[defence + place].push([x_m + 0.3 * sign * HOOP_X_M, y_m]);
        }
    }
    let track = |(n, places): (usize, Vec<[f32; 2]>)| Track {
        player: PlayerIx(n as u16),
        team: if n < SIDE {
            TeamSlot::First
        } else {
            TeamSlot::Second
        },
        x_m: places.iter().map(|p| p[0]).collect(),
        y_m: places.iter().map(|p| p[1]).collect(),
        vx_mps: vec![f32::NAN; FRAMES],
        vy_mps: vec![f32::NAN; FRAMES],
    };
    places.into_iter().enumerate().map(track).collect()
}

/// From `from` on the two have each other's places.
fn exchanged(mut tracks: Vec<Track>, [a, b]: [usize; 2], from: usize) -> Vec<Track> {
    let (head, tail) = tracks.split_at_mut(b);
    head[a].x_m[from..].swap_with_slice(&mut tail[0].x_m[from..]);
    head[a].y_m[from..].swap_with_slice(&mut tail[0].y_m[from..]);
    tracks
}

fn gain(tracks: &[Track], pair: [usize; 2], at: usize) -> f64 {
    FloorShape::new(HOOP_X_M, HZ, &[], 1).gain(tracks, pair, (at, at + 1), usize::MAX)
}

fn steady(_: usize) -> Five {
    [0, 1, 2, 3, 4]
}

#[test]
fn opponents_who_are_exchanged_break_the_order_before_the_hoop() {
    let at = POSSESSION + 30;
    assert!(gain(&exchanged(floor(steady), [0, 6], at + 1), [0, 6], at) >= MIN_GAIN);
    assert_eq!(gain(&floor(steady), [0, 6], at), 0.0);
}

#[test]
fn team_mates_who_are_exchanged_seem_to_be_guarded_and_to_guard_the_other_way_round_for_good() {
    let at = 5 * POSSESSION + 60;
    for pair in [[1, 2], [6, 8]] {
        assert!(gain(&exchanged(floor(steady), pair, at + 1), pair, at) >= MIN_GAIN);
    }
    assert_eq!(gain(&floor(steady), [1, 2], at), 0.0);
}

#[test]
fn a_switch_that_lasts_a_possession_and_other_matchups_on_one_side_are_no_exchange() {
    let at = 5 * POSSESSION + 60;
    let switched = |frame: usize| match frame {
        _ if frame > at && frame / POSSESSION == 5 => [0, 2, 1, 3, 4],
        _ => steady(frame),
    };
    // First defends in odd possessions.
    assert_eq!(gain(&floor(switched), [1, 2], at), 0.0);
    let only_first = |frame: usize| match frame {
        _ if frame > at && frame / POSSESSION % 2 == 1 => [0, 2, 1, 3, 4],
        _ => steady(frame),
    };
    assert_eq!(gain(&floor(only_first), [1, 2], at), 0.0);
}

#[test]
fn matchups_that_change_on_both_sides_at_a_break_are_no_exchange_a_possession_later() {
    let change = 4 * POSSESSION;
    let changed = |frame: usize| {
        if frame < change {
            steady(frame)
        } else {
            [0, 2, 1, 3, 4]
        }
    };
    assert_eq!(gain(&floor(changed), [1, 2], change + POSSESSION), 0.0);
}

#[test]
fn a_clock_that_stands_and_a_sixth_player_tell_nothing() {
    let at = POSSESSION + 30;
    let tracks = exchanged(floor(steady), [1, 6], at + 1);
    let stopped = FloorShape::new(HOOP_X_M, HZ, &[Some(false); FRAMES], 1);
    assert_eq!(stopped.gain(&tracks, [1, 6], (at, at + 1), usize::MAX), 0.0);
    let mut six = tracks.clone();
    six.push(tracks[0].clone());
    assert_eq!(gain(&six, [1, 6], at), 0.0);
}

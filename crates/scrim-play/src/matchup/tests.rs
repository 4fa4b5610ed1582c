use super::*;
use crate::Play;
use crate::staging::{HZ, Staging};
use proptest::prelude::*;
use scrim_tracks::{Game, PlayerIx, TrackIx};

#[test]
fn there_are_120_assignments_in_order() {
    let all = permutations();
    assert_eq!(all.len(), 120);
    assert!(all.is_sorted() && all.windows(2).all(|pair| pair[0] != pair[1]));
}

#[test]
fn the_weights_add_up_to_one() {
    assert!((ATTACKER_WEIGHT + BALL_WEIGHT + HOOP_WEIGHT - 1.0).abs() < 1e-6);
}

#[test]
fn the_canonical_position_lies_between_attacker_ball_and_hoop() {
    // 0.62 · (7, −3) + 0.11 · (8, 1) = (5.22, −1.75); the hoop is the origin.
    let spot = canonical_position(Point::new(7.0, -3.0), Point::new(8.0, 1.0));
    assert!((spot.x_m - 5.22).abs() < 1e-5 && (spot.y_m + 1.75).abs() < 1e-5);
}

/// The whole of a staged scene as one possession of the first team.
fn possession_of(game: &Game) -> Possession {
    Possession::blank(0..game.periods[0].frames)
}

fn matchups_of(game: &Game) -> Vec<Matchup> {
    let possession = possession_of(game);
    let scene = Scene::of(game, &Play::default(), &possession);
    MatchupModel::new(&MatchupParams::default()).find_matchups(&scene, 0, &possession)
}

/// Defender, attacker, first and last instant of each matchup.
fn short(matchups: &[Matchup]) -> Vec<(u16, u16, f64, f64)> {
    let t_s = |frame: usize| frame as f64 / HZ;
    matchups
        .iter()
        .map(|m| (m.defender.0, m.attacker.0, t_s(m.frames.start), t_s(m.frames.end)))
        .collect()
}

fn five_in_place(seconds: f64) -> Staging {
    Staging::new(seconds).dribble(0, 0.0..seconds)
}

#[test]
fn who_stands_between_an_attacker_and_the_hoop_guards_them_all_the_time() {
    let found = matchups_of(&five_in_place(6.0).game());
    let expected: Vec<_> = (0..5).map(|n| (5 + n, n, 0.0, 6.0)).collect();
    assert_eq!(short(&found), expected);
    for matchup in &found {
        assert!(matchup.confidence > 0.95, "{matchup:?}");
    }
    // 5 stands 1.5 m from 0, 6 stands √(0.8² + 1²) = 1.28 m from 1.
    assert!((found[0].mean_gap_m - 1.5).abs() < 1e-3 && (found[1].mean_gap_m - 1.281).abs() < 1e-3);
}

/// `found` is everyone on their own player, but for 5 and 6, who exchange theirs at `switch_s`, within 0.4 s.
fn assert_switched(found: &[Matchup], switch_s: f64) {
    let of = |defender: u16| -> Vec<_> { short(found).into_iter().filter(|row| row.0 == defender).collect() };
    for (defender, first, second) in [(5, 0, 1), (6, 1, 0)] {
        let rows = of(defender);
        assert_eq!(rows.len(), 2, "{found:#?}");
        assert_eq!((rows[0].1, rows[1].1), (first, second), "{found:#?}");
        assert!((rows[0].3 - switch_s).abs() <= 0.4, "{found:#?}");
        assert_eq!(rows[0].3, rows[1].2, "{found:#?}");
    }
    for n in 2..5 {
        assert_eq!(of(5 + n), [(5 + n, n, 0.0, 9.0)]);
    }
}

#[test]
fn two_defenders_who_change_places_have_switched_half_way() {
    // From 4 to 5 s; they are as near to the one as to the other player at 4.5 s.
    let scene = five_in_place(9.0)
        .walk(5, 4.0..5.0, (8.8, -4.0))
        .walk(6, 4.0..5.0, (6.5, 0.0));
    assert_switched(&matchups_of(&scene.game()), 4.5);
}

#[test]
fn two_attackers_who_change_places_before_defenders_who_stay_are_switched_half_way() {
    let scene = five_in_place(9.0)
        .walk(0, 4.0..5.0, (8.0, -5.0))
        .walk(1, 4.0..5.0, (5.0, 0.0));
    assert_switched(&matchups_of(&scene.game()), 4.5);
}

#[test]
fn a_defender_who_only_helps_for_a_second_keeps_their_attacker() {
    // 6 leaves 1 for the lane and comes back.
    let scene = five_in_place(9.0)
        .walk(6, 4.0..4.5, (8.0, -1.5))
        .walk(6, 5.0..5.5, (8.8, -4.0));
    let expected: Vec<_> = (0..5).map(|n| (5 + n, n, 0.0, 9.0)).collect();
    assert_eq!(short(&matchups_of(&scene.game())), expected);
}

/// The game without any sample of a player, who stays in the lineup.
fn unseen(mut game: Game, player: u16) -> Game {
    for track in &mut game.periods[0].tracks {
        if track.player == PlayerIx(player) {
            track.x_m.fill(f32::NAN);
            track.y_m.fill(f32::NAN);
            track.vx_mps.fill(f32::NAN);
            track.vy_mps.fill(f32::NAN);
        }
    }
    game
}

/// The game without a player in any lineup.
fn benched(mut game: Game, player: u16) -> Game {
    for lineup in &mut game.periods[0].lineups {
        for team in &mut lineup.on_floor {
            team.retain(|&track| track != TrackIx(player));
        }
    }
    game
}

#[test]
fn a_defender_who_is_never_seen_guards_nobody_and_the_others_keep_their_attackers() {
    let scene = five_in_place(6.0).game();
    let expected: Vec<_> = [(5, 0), (7, 2), (8, 3), (9, 4)]
        .map(|(defender, attacker)| (defender, attacker, 0.0, 6.0))
        .to_vec();
    assert_eq!(short(&matchups_of(&unseen(scene.clone(), 6))), expected);
    // Four against five.
    assert_eq!(short(&matchups_of(&benched(scene, 6))), expected);
}

#[test]
fn five_against_four_leave_one_defender_without_an_attacker() {
    let found = matchups_of(&benched(five_in_place(6.0).game(), 1));
    let expected: Vec<_> = [(5, 0), (7, 2), (8, 3), (9, 4)]
        .map(|(defender, attacker)| (defender, attacker, 0.0, 6.0))
        .to_vec();
    assert_eq!(short(&found), expected);
}

#[test]
fn a_side_without_anybody_has_no_matchups() {
    let scene = five_in_place(2.0).game();
    for gone in [0..5, 5..10] {
        let empty = gone.fold(scene.clone(), benched);
        assert!(matchups_of(&empty).is_empty());
    }
}

#[test]
fn two_defenders_on_one_spot_are_less_sure_than_two_apart() {
    // 0 and 1 stand 2 m to either side of a line; both defenders on it, or each before their own player.
    let players = || five_in_place(6.0).stand(0, (6.0, -4.0)).stand(1, (6.0, 0.0));
    let confidence = |scene: Staging| {
        let found = matchups_of(&scene.game());
        let of = |defender: u16| {
            let rows: Vec<_> = found
                .iter()
                .filter(|m| m.defender == PlayerIx(defender))
                .collect();
            rows.iter().map(|m| m.confidence).fold(1.0, f32::min)
        };
        (of(5), of(6))
    };
    let apart = confidence(players().stand(5, (8.0, -2.8)).stand(6, (8.0, 0.0)));
    let together = confidence(players().stand(5, (8.0, -1.4)).stand(6, (8.0, -1.4)));
    // Apart there is no doubt; together, either has either at even odds.
    assert!(apart.0 > 0.95 && apart.1 > 0.95, "{apart:?}");
    assert!(
        (together.0 - 0.5).abs() < 0.05 && (together.1 - 0.5).abs() < 0.05,
        "{together:?}"
    );
}

/// The logarithm of a path's probability, worked out from the parameters and the places alone.
struct PathModel {
    params: MatchupParams,
    /// `log_seen[step][state]`.
    log_seen: Vec<Vec<f64>>,
}

impl PathModel {
    fn of(scene: &Scene, params: &MatchupParams) -> Self {
        let step = scene.frames_in(params.step_s);
        let states = permutations();
        let log_seen = (0..scene.frames / step)
            .map(|index| {
                let frames = index * step..(index + 1) * step;
                let mean_squared = |d: Defender, a: Attacker| -> f64 {
                    let sum: f64 = frames
                        .clone()
                        .map(|k| {
                            let spot = canonical_position(scene.attackers[a].at(k), scene.ball_at(k));
                            let off_m =
                                f64::from(scene.defenders[d].at(k).distance_m(spot).min(params.farthest_m));
                            off_m * off_m
                        })
                        .sum();
                    sum / frames.len() as f64
                };
                let looks = f64::from(params.looks_per_s) * f64::from(params.step_s);
                let spread = 2.0 * f64::from(params.scatter_m).powi(2);
                states
                    .iter()
                    .map(|state| {
                        Defender::ALL
                            .map(|d| mean_squared(d, state[d]))
                            .iter()
                            .sum::<f64>()
                    })
                    .map(|sum| -looks * sum / spread)
                    .collect()
            })
            .collect();
        Self {
            params: params.clone(),
            log_seen,
        }
    }

    fn log_step(&self, from: &Assignment, to: &Assignment) -> f64 {
        let (swap, anew) = (
            self.params.swap_rate_per_s * f64::from(self.params.step_s),
            self.params.reshuffle_rate_per_s * f64::from(self.params.step_s),
        );
        let moved = Defender::ALL.iter().filter(|&&d| from[d] != to[d]).count();
        match moved {
            0 => (1.0 - 10.0 * swap - anew).ln(),
            // Two who differ can only have exchanged.
            2 => swap.ln(),
            _ => (anew / 120.0).ln(),
        }
    }

    fn log_path(&self, path: &[usize]) -> f64 {
        let states = permutations();
        let seen: f64 = path
            .iter()
            .zip(&self.log_seen)
            .map(|(state, row)| row[*state])
            .sum();
        let steps: f64 = path
            .windows(2)
            .map(|pair| self.log_step(&states[pair[0]], &states[pair[1]]))
            .sum();
        seen + steps
    }

    /// The best path of three steps, of all 120³.
    fn best_of_three(&self) -> f64 {
        let states = permutations();
        let step: Vec<Vec<f64>> = states
            .iter()
            .map(|from| states.iter().map(|to| self.log_step(from, to)).collect())
            .collect();
        let mut best = f64::NEG_INFINITY;
        for (from, first_seen) in step.iter().zip(&self.log_seen[0]) {
            for ((to, second_seen), log_step) in step.iter().zip(&self.log_seen[1]).zip(from) {
                let so_far = first_seen + log_step + second_seen;
                for (log_step, third_seen) in to.iter().zip(&self.log_seen[2]) {
                    best = best.max(so_far + log_step + third_seen);
                }
            }
        }
        best
    }
}

/// The state at each step that the rows give.
fn path_of(found: &[Matchup], steps: usize, step: usize) -> Vec<usize> {
    let states = permutations();
    (0..steps)
        .map(|index| {
            let state = Assignment::from_fn(|d| {
                let row = found.iter().find(|m| {
                    usize::from(m.defender.0) == 5 + d.index() && m.frames.contains(&(index * step))
                });
                let row = row.expect("everyone is seen, so everyone has a row at any time");
                Attacker::ALL[row.attacker.index()]
            });
            states
                .binary_search(&state)
                .expect("an assignment is a permutation")
        })
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn no_path_of_all_is_likelier_than_the_one_found(
        places in proptest::collection::vec((2.0f32..12.0, -6.0f32..6.0), 20),
        switch_rate_per_s in 0.01f64..1.0,
    ) {
        // Three steps of 0.2 s; everyone runs somewhere else in the middle one, and switches are cheap, so that the best
        // path is not simply the first state.
        let mut scene = Staging::new(0.6);
        for (player, place) in places[..10].iter().enumerate() {
            scene = scene.stand(player, *place);
        }
        for (player, place) in places[10..].iter().enumerate() {
            scene = scene.walk(player, 0.2..0.4, *place);
        }
        let game = scene.dribble(0, 0.0..0.6).game();
        let params = MatchupParams {
            looks_per_s: 15.0,
            swap_rate_per_s: switch_rate_per_s / 5.0,
            reshuffle_rate_per_s: 0.01,
            ..MatchupParams::default()
        };
        let possession = possession_of(&game);
        let scene = Scene::of(&game, &Play::default(), &possession);
        let found = MatchupModel::new(&params).find_matchups(&scene, 0, &possession);
        let plain = PathModel::of(&scene, &params);
        let path = path_of(&found, 3, 5);
        // Within rounding of f32 places.
        prop_assert!((plain.log_path(&path) - plain.best_of_three()).abs() < 1e-3);
    }
}

proptest! {
    #[test]
    fn the_cheapest_assignment_is_the_cheapest(values in proptest::array::uniform25(0.0f64..100.0)) {
        let cost = CostTable::from_fn(|d| Five::from_fn(|a: Attacker| values[d.index() * SIDE_SIZE + a.index()]));
        let model = MatchupModel::new(&MatchupParams::default());
        let total = |order: &Assignment| -> f64 { Defender::ALL.map(|d| cost[d][order[d]]).iter().sum() };
        let found = total(&model.cheapest(&cost));
        prop_assert!(permutations().iter().all(|order| total(order) >= found));
    }
}

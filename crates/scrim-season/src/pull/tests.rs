//! Pull on samples made by hand.

use approx::assert_relative_eq;
use scrim_floor::Parameters;

use super::*;

/// A sample of team `t`: possession, player, weight of the player's own defender's columns, moving and standing residual. The other
/// defenders' columns have the same weight; their residual is 1 more, and 0 toward the player.
fn sample(possession_id: u32, player: &str, weight_s: f32, moving_m: f32, standing_m: f32) -> Sample {
    Sample {
        possession_id,
        team_id: "t".into(),
        player_id: player.into(),
        lineup: Some("p/q/r/s/u".into()),
        moving_s: 3.0,
        standing_s: 5.0,
        own_weight_s: weight_s,
        own_moving_m: (weight_s > 0.0).then_some(moving_m),
        own_standing_m: (weight_s > 0.0).then_some(standing_m),
        own_late_moving_m: (weight_s > 0.0).then_some(standing_m),
        own_late_standing_m: (weight_s > 0.0).then_some(standing_m),
        others_weight_s: weight_s,
        others_moving_m: (weight_s > 0.0).then_some(moving_m + 1.0),
        others_standing_m: (weight_s > 0.0).then_some(standing_m + 1.0),
        others_toward_moving_m: (weight_s > 0.0).then_some(0.0),
        others_toward_standing_m: (weight_s > 0.0).then_some(0.0),
    }
}

fn game(id: &str, samples: Vec<Sample>) -> PullGame {
    PullGame {
        partition: Partition::new(Some("2041"), id),
        samples,
    }
}

fn all() -> PullSeasonParams {
    PullSeasonParams {
        subjects: PullSubjects::All,
        resamples: 500,
        ..PullSeasonParams::default()
    }
}

fn pull_rows(games: Vec<PullGame>, params: &PullSeasonParams) -> Vec<PullRow> {
    let subjects = pull_subjects(games);
    subjects.iter().flat_map(|subject| subject.rows(params)).collect()
}

#[track_caller]
fn of<'a>(rows: &'a [PullRow], subject: PullSubject, key: Option<&str>, measure: PullMeasure) -> &'a PullRow {
    let mut rows = rows
        .iter()
        .filter(|row| row.subject == subject && row.key.as_deref() == key && row.measure == measure);
    let row = rows.next().unwrap();
    assert!(rows.next().is_none());
    row
}

#[test]
fn a_long_possession_weighs_more_and_each_counts_once_for_its_five() {
    let games = vec![
        game(
            "g1",
            vec![
                sample(0, "p", 3.0, 1.0, 0.5),
                sample(0, "q", 1.0, 0.4, 0.6),
                sample(1, "p", 1.0, 0.2, 0.6),
                // Neither moved nor stood before anyone twice: no part of any row.
                sample(2, "p", 0.0, 0.0, 0.0),
            ],
        ),
        game("g2", vec![sample(0, "p", 1.0, 0.8, 0.6)]),
    ];
    let rows = pull_rows(games, &all());
    let player = of(&rows, PullSubject::Player, Some("p"), PullMeasure::OwnDefender);
    assert_eq!((player.games, player.possessions), (2, 3));
    assert_eq!(
        (player.moving_s, player.standing_s, player.weight_s),
        (9.0, 15.0, 5.0)
    );
    // Moving (3 · 1.0 + 0.2 + 0.8)/5 = 0.8; standing (3 · 0.5 + 0.6 + 0.6)/5 = 0.54.
    assert_relative_eq!(player.moving_m, 0.8, epsilon = 1e-6);
    assert_relative_eq!(player.standing_m, 0.54, epsilon = 1e-6);
    assert_relative_eq!(player.change_m, 0.26, epsilon = 1e-6);
    // Three possessions are too few for an interval.
    assert_eq!((player.change_low_m, player.change_high_m), (None, None));
    let lineup = of(
        &rows,
        PullSubject::Lineup,
        Some("p/q/r/s/u"),
        PullMeasure::OwnDefender,
    );
    // Both of possession 0 together: (3 · 0.5 − 0.2 − 0.4 + 0.2)/6 = 0.1833.
    assert_eq!((lineup.possessions, lineup.moving_s), (3, 12.0));
    assert_relative_eq!(lineup.change_m, 1.1 / 6.0, epsilon = 1e-6);
    for (subject, team) in [(PullSubject::Team, Some("t".into())), (PullSubject::League, None)] {
        let row = of(&rows, subject, None, PullMeasure::OwnDefender);
        assert_eq!((&row.team_id, row.change_m), (&team, lineup.change_m));
    }
    let others = of(&rows, PullSubject::Player, Some("p"), PullMeasure::OtherDefenders);
    assert_relative_eq!(others.moving_m, 1.8, epsilon = 1e-6);
    let toward = of(
        &rows,
        PullSubject::Player,
        Some("q"),
        PullMeasure::OtherDefendersToward,
    );
    assert_eq!((toward.change_m, toward.possessions), (0.0, 1));
    let subjects: Vec<_> = rows.iter().map(|row| row.subject).collect();
    assert!(subjects.is_sorted(), "{subjects:?}");
}

/// Possessions whose changes swing about 0.2 m.
fn swinging(id: &str, possessions: u32) -> PullGame {
    let of = |k: u32| {
        let swing = ((k * 37 % 11) as f32 - 5.0) / 20.0;
        sample(k, "p", 0.5 + (k % 3) as f32, 0.7 + swing, 0.5)
    };
    game(id, (0..possessions).map(of).collect())
}

#[test]
fn intervals_hold_their_estimate_and_stand_on_the_seed_alone() {
    let rows = |params: &PullSeasonParams| pull_rows(vec![swinging("g", 60)], params);
    let first = rows(&all());
    for row in &first {
        let (low_m, high_m) = (row.change_low_m.unwrap(), row.change_high_m.unwrap());
        assert!(low_m <= row.change_m && row.change_m <= high_m, "{row:?}");
    }
    // Values (k − 5)/20 about evenly spread over 11: standard deviation √10/20 = 0.158; of a mean of 60, 0.0204; the weights
    // 0.5, 1.5, 2.5 make that √(60 · 8.75/3)/90 · 0.158 = 0.0232. The interval is ± 1.96 of it, 0.091 wide.
    let player = of(&first, PullSubject::Player, Some("p"), PullMeasure::OwnDefender);
    let width_m = player.change_high_m.unwrap() - player.change_low_m.unwrap();
    assert!((0.075..=0.107).contains(&width_m), "{width_m}");
    assert_eq!(first, rows(&all()));
    let other = rows(&PullSeasonParams { seed: 2, ..all() });
    assert_ne!(first, other);
    assert_eq!(
        first.iter().map(|row| row.change_m).collect::<Vec<_>>(),
        other.iter().map(|row| row.change_m).collect::<Vec<_>>()
    );
}

#[test]
fn neither_the_order_of_games_nor_other_players_change_a_row() {
    let (a, b) = (swinging("a", 40), swinging("b", 25));
    let forth = pull_rows(vec![a.clone(), b.clone()], &all());
    assert_eq!(forth, pull_rows(vec![b.clone(), a.clone()], &all()));
    let mut more = b;
    more.samples.push(sample(90, "q", 1.0, 0.9, 0.1));
    let more = pull_rows(vec![a, more], &all());
    let player = |rows| of(rows, PullSubject::Player, Some("p"), PullMeasure::OwnDefender).clone();
    assert_eq!(player(&forth), player(&more));
}

#[test]
fn without_resamples_there_is_no_interval_and_without_games_no_row() {
    let none = PullSeasonParams {
        resamples: 0,
        ..all()
    };
    let rows = pull_rows(vec![swinging("g", 60)], &none);
    assert!(!rows.is_empty() && rows.iter().all(|row| row.change_low_m.is_none()));
    assert_eq!(pull_rows(Vec::new(), &all()), []);
}

#[test]
fn too_many_resamples_are_refused_by_name() {
    let params = PullSeasonParams {
        resamples: 100_001,
        ..all()
    };
    let message = params.check_in("season.pull").unwrap_err().to_string();
    assert!(
        message.contains("season.pull.resamples") && message.contains("100001"),
        "{message}"
    );
}

//! Tendencies are counted by hand.

use approx::assert_relative_eq;

use super::*;
use crate::staging::{Staged, What};

fn rows(games: &[GameFacts]) -> Vec<TendencyRow> {
    let params = SeasonParams {
        min_look_n: 1,
        ..SeasonParams::default()
    };
    tendency_rows(games, &Teams::of(games), &params)
}

fn find<'a>(rows: &'a [TendencyRow], team: &str, grouping: Grouping, key: &str) -> &'a TendencyRow {
    let mut found = rows
        .iter()
        .filter(|row| row.team_id.as_ref() == team && row.grouping == grouping && row.key == key);
    found
        .next()
        .unwrap_or_else(|| panic!("no row {team} {grouping} {key} in {rows:#?}"))
}

fn season() -> Vec<GameFacts> {
    let switch = What {
        coverage: Coverage::Switch,
        entry: Entry::Rub,
        ..What::default()
    };
    let unclear = What {
        coverage: Coverage::Unclear,
        ..What::default()
    };
    vec![
        Staged::new("g1", None)
            .possession("horns down:left ball_screen:left", Some(3), What::default())
            .possession("horns down:right flare:left", Some(0), What::default())
            .possession(
                "horns rub:right ball_screen:right ball_screen:left",
                Some(2),
                switch,
            )
            .done(),
        Staged::new("g2", None)
            .possession("horns down:right", None, What::default())
            .possession("horns down:left ball_screen:right", Some(0), unclear)
            .done(),
    ]
}

#[test]
fn a_look_counts_its_mirror_image_and_what_came_next() {
    let rows = rows(&season());
    // Down screens four times: a ball screen twice, a flare, nothing more.
    let down = find(&rows, "a", Grouping::Look, "horns down:right");
    assert_eq!((down.n, down.hits, down.games), (4, 2, 2));
    // Points 3, 0 and 0 of the three that are known.
    assert_eq!((down.points_per_play, down.possessions), (Some(1.0), 3));
    // Shares 1/2, 1/4, 1/4: 1.5 bits, and (3 - 1) / 8 nats = 0.3607 bits.
    assert_relative_eq!(down.next_action_entropy_bits.unwrap(), 1.860_67, epsilon = 1e-4);
    let horns = find(&rows, "a", Grouping::Look, "horns");
    assert_eq!((horns.n, horns.hits), (5, 0));
    let twice = find(&rows, "a", Grouping::Look, "horns rub:right ball_screen:right");
    assert_eq!((twice.n, twice.hits), (1, 1));
}

#[test]
fn entries_pairs_and_zones_count_among_all_ball_screens() {
    let rows = rows(&season());
    let down = find(&rows, "a", Grouping::Entry, "down");
    assert_eq!((down.n, down.hits, down.games, down.possessions), (4, 2, 2, 2));
    // Two ball screens of one possession: its points count once.
    let rub = find(&rows, "a", Grouping::Entry, "rub");
    assert_eq!(
        (rub.n, rub.hits, rub.possessions, rub.points_per_play),
        (4, 2, 1, Some(2.0))
    );
    let pair = find(&rows, "a", Grouping::Pair, "h/s");
    assert_eq!((pair.n, pair.hits), (4, 4));
    assert_eq!(find(&rows, "a", Grouping::Zone, "top").hits, 4);
}

#[test]
fn a_ball_screen_that_follows_another_came_out_of_that_one_unless_something_came_between() {
    let bare = What {
        entry: Entry::None,
        ..What::default()
    };
    let mut game = Staged::new("g1", None)
        .possession("horns ball_screen:left ball_screen:right", Some(2), bare)
        .possession(
            "horns ball_screen:left down:right ball_screen:right",
            Some(0),
            What::default(),
        )
        .done();
    game.plays[1].entry.previous_ball_screen_id = Some(0);
    game.plays[3].entry.previous_ball_screen_id = Some(2);
    let rows = rows(&[game]);
    let of = |key| find(&rows, "a", Grouping::Entry, key).hits;
    assert_eq!((of("none"), of("ball_screen"), of("down")), (1, 1, 2));
    assert_eq!(
        find(&rows, "b", Grouping::EntryCoverage, "ball_screen/drop").hits,
        1
    );
}

#[test]
fn coverages_count_among_the_clear_ones_and_unclear_among_all() {
    let rows = rows(&season());
    let of = |key| find(&rows, "b", Grouping::Coverage, key);
    assert_eq!((of("drop").n, of("drop").hits), (3, 1));
    assert_eq!((of("switch").n, of("switch").hits), (3, 2));
    assert_eq!((of("unclear").n, of("unclear").hits), (4, 1));
    let of = |key| find(&rows, "b", Grouping::EntryCoverage, key);
    assert_eq!((of("down/drop").n, of("down/drop").hits), (1, 1));
    assert_eq!((of("down/unclear").n, of("down/unclear").hits), (2, 1));
}

#[test]
fn expected_coverages_are_the_sums_of_their_probabilities_also_of_those_without_a_tag() {
    let screen = |coverage, probabilities| What {
        coverage,
        probabilities,
        ..What::default()
    };
    let horns = "horns down:left ball_screen:left";
    let game = Staged::new("g1", None)
        .possession(
            horns,
            Some(0),
            screen(Coverage::Drop, Some([0.0, 0.0, 0.7, 0.0, 0.0, 0.3])),
        )
        .possession(
            horns,
            Some(0),
            screen(Coverage::Unclear, Some([0.2, 0.2, 0.2, 0.2, 0.1, 0.1])),
        )
        .possession(horns, Some(0), screen(Coverage::Unclear, None))
        .done();
    let params = SeasonParams {
        count: Counting::Expected,
        ..SeasonParams::default()
    };
    let games = [game];
    let rows = tendency_rows(&games, &Teams::of(&games), &params);
    let of = |key| find(&rows, "b", Grouping::Coverage, key);
    // 0.7 + 0.2 of two; the third says nothing.
    let drop = of("drop");
    assert_eq!((drop.n, drop.hits), (2, 1));
    assert_relative_eq!(drop.expected_hits.unwrap(), 0.9, epsilon = 1e-5);
    assert_relative_eq!(drop.rate, 0.45, epsilon = 1e-5);
    assert!(drop.rate_low < 0.45 && drop.rate_high > 0.45);
    // A word that is no ball screen's tag has a row too.
    assert_eq!((of("ice").n, of("ice").hits), (2, 0));
    assert_relative_eq!(of("ice").rate, 0.1, epsilon = 1e-5);
    // The unclear ones are counted as before.
    let unclear = of("unclear");
    assert_eq!((unclear.n, unclear.hits, unclear.expected_hits), (3, 2, None));
    let rates = ["ice", "switch", "drop", "blitz", "hedge", "level"].map(|key| of(key).rate);
    assert_relative_eq!(rates.iter().sum::<f32>(), 1.0, epsilon = 1e-5);
    let entry = find(&rows, "b", Grouping::EntryCoverage, "down/level");
    assert_relative_eq!(entry.expected_hits.unwrap(), 0.4, epsilon = 1e-5);
}

#[test]
fn what_one_side_did_the_other_met() {
    let rows = rows(&season());
    let (ours, theirs): (Vec<_>, Vec<_>) = rows.iter().partition(|row| row.team_id.as_ref() == "a");
    assert!(ours.iter().all(|row| row.side == TeamSide::Offense));
    assert!(theirs.iter().all(|row| row.side == TeamSide::Defense));
    let bare = |rows: Vec<&TendencyRow>| -> Vec<TendencyRow> {
        let bare = rows.into_iter().map(|row| TendencyRow {
            team_id: "".into(),
            side: TeamSide::Offense,
            ..row.clone()
        });
        bare.collect()
    };
    assert_eq!(bare(ours), bare(theirs));
}

#[test]
fn ids_with_a_slash_make_a_key_that_stays_their_own() {
    assert_eq!(ids_key(&["a/b", "c"]), "a%2Fb/c");
    assert_ne!(ids_key(&["a/b", "c"]), ids_key(&["a", "b/c"]));
    assert_ne!(ids_key(&["a%2Fb", "c"]), ids_key(&["a/b", "c"]));
}

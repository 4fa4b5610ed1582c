//! What the digest says of a season made by hand.

use super::*;
use crate::build_season;
use crate::staging::{Staged, What};

fn season() -> Vec<GameFacts> {
    let open = What {
        space_m: Some(2.4),
        ..What::default()
    };
    let game = |id: &str, date: &str| {
        let mut staged = Staged::new(id, Some(date));
        for k in 0..8 {
            let next = if k == 7 { "ball_screen:left" } else { "flare:left" };
            staged = staged.possession(&format!("horns down:left {next}"), Some(3), open);
        }
        staged
    };
    let again = "horns down:right ball_screen:right";
    let mut games = vec![
        game("g1", "2041-01-01").done(),
        game("g2", "2041-01-05")
            .possession(again, Some(0), What::default())
            .done(),
    ];
    build_season(&mut games, &SeasonParams::default(), &Definitions::DEFAULT);
    games
}

fn describe(games: Vec<GameFacts>, team: &str, last: Option<u32>) -> Option<String> {
    describe_team(
        games,
        team,
        last,
        &SeasonParams::default(),
        &Definitions::DEFAULT,
        GameClock::of_facts,
    )
}

#[test]
fn every_part_is_there_with_its_numbers_and_where_to_look() {
    let text = describe(season(), "a", None).unwrap();
    for part in [
        "a: 2 games, 2041-01-01 to 2041-01-05; with the ball 17 possessions and 3 ball screens",
        "horns → down screen (both sides)\n      3 of 17 (18 %, 6 to 41 %; small sample), in 2 games",
        // The last of its game: the ninth possession, at 600 - 8 * 20 - 5 s = 7:15.
        "look up: game g2, P1 7:15",
        "down screen: 3 of 3",
        "2 disguised, 1 of them with points or an open shot",
        "drop after it gave up points or an open shot: handler drives, screener rolls, 1 of 1",
        "look at the film",
    ] {
        assert!(text.contains(part), "no `{part}` in:\n{text}");
    }
}

#[test]
fn the_last_games_are_the_latest_by_date() {
    let text = describe(season(), "a", Some(1)).unwrap();
    assert!(text.starts_with("a: 1 game, 2041-01-05 to 2041-01-05"), "{text}");
    assert!(!text.contains("game g1"), "{text}");
}

#[test]
fn the_other_teams_part_is_its_defence() {
    let text = describe(season(), "b", None).unwrap();
    assert!(text.contains("drop: 3 of 3"), "{text}");
    assert!(
        text.contains("drop after it gave up points or an open shot: drop, 1 of 1"),
        "{text}"
    );
}

#[test]
fn of_a_team_that_is_not_there_nothing_is_said() {
    assert_eq!(describe(season(), "z", None), None);
}

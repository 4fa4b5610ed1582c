//! Every file and folder of the input is accounted for, and so is what is missing or contradicts itself.

use scrim_tables::read_rows;
use scrim_tables::rows::GameQualityRow;

use crate::house::House;

#[test]
fn what_is_no_tracking_is_listed_and_no_failure() {
    let house = House::new();
    house.game("a", 0);
    house.write("in/empty folder/notes.txt", "words about the night");
    house.write("in/stray.csv", "a,b\n1,2\n");
    let ended = house.run("out", &[]);
    assert_eq!(ended.code, 0, "{}", ended.stdout);
    let lines: Vec<&str> = ended.stdout.lines().collect();
    let at = lines
        .iter()
        .position(|line| line.starts_with("not read"))
        .unwrap();
    let listed = lines[at..].join("\n");
    assert!(
        listed.contains("empty folder and 1 more: no tracking here"),
        "{}",
        ended.stdout
    );
}

#[test]
fn fewer_games_than_expected_is_exit_code_3_and_a_line() {
    let house = House::new();
    house.game("a", 0);
    house.game("b", 1);
    assert_eq!(house.run("out", &["--expect", "2"]).code, 0);
    assert_eq!(house.run("out", &["--expect", "1"]).code, 0);
    let ended = house.run("out", &["--expect", "3"]);
    assert_eq!(ended.code, 3);
    ended.has_line("MISSING 1 of the 3 games that were expected");
    assert_eq!(house.run("out", &["--expect", "many"]).code, 2);
}

#[test]
fn contradictions_show_in_the_summary_and_in_quality() {
    let house = House::new();
    let game = house.game("a", 0);
    let other = &game.players[0];
    house.write(
        "in/a/players.csv",
        &format!("player_id,team_id\n{},SOMEWHERE\n", other.player_id),
    );
    let ended = house.run("out", &[]);
    let words = "in another team than the tracking";
    ended.has_line("notes 1");
    assert!(ended.stdout.contains(words), "{}", ended.stdout);
    let files = house.tables("out");
    let (_, bytes) = files
        .iter()
        .find(|(name, _)| name.starts_with("game_quality/"))
        .unwrap();
    let quality: Vec<GameQualityRow> = read_rows(bytes.clone()).unwrap();
    assert!(quality[0].notes.contains(words), "{}", quality[0].notes);
}

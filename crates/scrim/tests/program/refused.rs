//! Refused rows and refused games: ended, kept, and gone when they are fixed.

use std::fmt::Write;

use scrim_practice::PracticeGame;
use scrim_tables::read_rows;
use scrim_tables::rows::QuarantineRow;

use crate::house::House;

const HEADER: &str = "game_id,period,t_s,game_clock_s,shot_clock_s,team_id,player_id,x_m,y_m,z_m\n";

/// The game's tracking as CSV rows with scrim's own columns.
fn csv(game: &PracticeGame) -> String {
    let mut text = String::new();
    let t = &game.tracking;
    for row in 0..t.len() {
        let player = t.player[row].map(|p| &game.players[usize::from(p)]);
        let (team, player) = player.map_or(("", ""), |p| (p.team_id.as_ref(), p.player_id.as_ref()));
        let z = t.z_m[row].map(|z| z.to_string()).unwrap_or_default();
        let (period, t_s, clock) = (t.period[row], t.t_s[row], t.game_clock_s[row]);
        let (shot_clock, x, y) = (t.shot_clock_s[row], t.x_m[row], t.y_m[row]);
        let id = &game.game_id;
        writeln!(
            text,
            "{id},{period},{t_s},{clock},{shot_clock},{team},{player},{x},{y},{z}"
        )
        .unwrap();
    }
    text
}

/// A source folder `in/NAME` with `rows` as its tracking, and no side tables.
fn csv_source(house: &House, name: &str, rows: &str) {
    house.write(&format!("in/{name}/tracking.csv"), &format!("{HEADER}{rows}"));
}

/// The game played, without its files.
fn played(house: &House, number: u32) -> PracticeGame {
    let game = house.game("unused", number);
    std::fs::remove_dir_all(house.at("in/unused")).unwrap();
    game
}

fn quarantine(house: &House, ends: &str) -> Option<Vec<QuarantineRow>> {
    let files = house.tables("out");
    let mut fitting = files
        .iter()
        .filter(|(name, _)| name.starts_with("quarantine/") && name.ends_with(ends));
    let found = fitting.next().map(|(_, bytes)| read_rows(bytes.clone()).unwrap());
    assert!(fitting.next().is_none(), "{:?}", files.keys());
    found
}

#[test]
fn a_refused_row_is_in_quarantine_until_it_is_fixed() {
    let house = House::new();
    let game = played(&house, 0);
    let id = &game.game_id;
    let rows = csv(&game);
    let bad = format!("{id},1,1.5,59,24,XX,xx-1,not a number,0,\n");
    csv_source(&house, "a", &format!("{rows}{bad}"));
    let ended = house.run("out", &[]);
    assert_eq!(ended.code, 0, "{ended:?}");
    ended.has_line("rows quarantined 1");
    let ends = format!("~{id}.parquet");
    let row = quarantine(&house, &ends).unwrap().remove(0);
    assert!(
        row.raw.contains("not a number") && row.detail.contains("x_m"),
        "{row:?}"
    );
    csv_source(&house, "a", &rows);
    house.run("out", &[]).has_line("rows quarantined 0");
    assert_eq!(quarantine(&house, &ends), Some(Vec::new()));
}

#[test]
fn rows_that_name_no_game_have_a_file_a_source_until_they_are_fixed() {
    let house = House::new();
    let games = [played(&house, 0), played(&house, 1)];
    let bad = ",1,1.5,59,24,,,0,0,\n";
    for (name, game) in ["a", "b"].iter().zip(&games) {
        csv_source(&house, name, &format!("{}{bad}", csv(game)));
    }
    let ended = house.run("out", &[]);
    assert_eq!(ended.code, 0, "{ended:?}");
    ended.has_line("rows quarantined 2");
    let of = |source| quarantine(&house, &format!("unknown~~{source}.parquet"));
    for name in ["a", "b"] {
        let row = of(name).unwrap().remove(0);
        assert!(row.game_id.is_none() && row.detail.contains("game_id"), "{row:?}");
    }
    csv_source(&house, "a", &csv(&games[0]));
    // The summary is about what was done: `b` has not changed.
    house.run("out", &[]).has_line("rows quarantined 0");
    assert!(of("a").is_none() && of("b").is_some());
}

#[test]
fn a_refused_game_of_a_source_leaves_its_other_games() {
    let house = House::new();
    let games = [played(&house, 0), played(&house, 1)];
    let bad = "Z9,1,0,60,24,AA,aa-1,left,right,\n".repeat(3);
    csv_source(
        &house,
        "all",
        &format!("{}{bad}{}", csv(&games[0]), csv(&games[1])),
    );
    for jobs in ["1", "2"] {
        let ended = house.run("out", &["--force", "--jobs", jobs]);
        assert_eq!(ended.code, 3, "{ended:?}");
        ended.has_line("games done 2");
        ended.has_line("skipped 1");
        assert!(ended.stdout.contains("  - all, game Z9: "), "{ended:?}");
        assert_eq!(quarantine(&house, "~Z9.parquet").unwrap().len(), 3);
    }
}

#[test]
fn a_game_that_its_source_no_longer_holds_is_named_and_its_tables_stay() {
    let house = House::new();
    let games = [played(&house, 0), played(&house, 1)];
    csv_source(&house, "all", &format!("{}{}", csv(&games[0]), csv(&games[1])));
    assert_eq!(house.run("out", &[]).code, 0);
    csv_source(&house, "all", &csv(&games[0]));
    let ended = house.run("out", &[]);
    ended.has_line("games done 1");
    let gone = &games[1].game_id;
    assert!(
        ended.stdout.contains("left behind       1") && ended.stdout.contains(&format!("- game {gone}")),
        "{ended:?}"
    );
    assert!(
        house
            .tables("out")
            .contains_key(&format!("screens/unknown~{gone}.parquet"))
    );
}

#[test]
fn a_game_id_that_is_a_path_stays_in_the_output() {
    let house = House::new();
    let game = played(&house, 0);
    let rows = csv(&game).replace(&format!("{},", game.game_id), "../../../evil/../x,");
    csv_source(&house, "a", &rows);
    let before = house.files("in");
    let ended = house.run("out", &[]);
    assert_eq!(ended.code, 0, "{ended:?}");
    assert_eq!(house.files("in"), before);
    let inside = "screens/unknown~..%2F..%2F..%2Fevil%2F..%2Fx.parquet";
    assert!(
        house.tables("out").contains_key(inside),
        "{:?}",
        house.tables("out").keys()
    );
}

#[test]
fn a_whole_game_goes_before_one_that_was_refused_whoever_comes_first() {
    let house = House::new();
    let game = played(&house, 0);
    let bad = format!("{},1,0,60,24,AA,aa-1,left,right,\n", game.game_id).repeat(3);
    csv_source(&house, "a-refused", &bad);
    csv_source(&house, "b-whole", &csv(&game));
    csv_source(&house, "c-refused", &bad);
    let whole = house.scrim(&["run", "mine.toml", "--input", "in/b-whole", "--output", "whole"]);
    assert_eq!(whole.code, 0, "{whole:?}");
    for jobs in ["1", "2", "8"] {
        let output = format!("out-{jobs}");
        let ended = house.run(&output, &["--jobs", jobs]);
        assert_eq!(ended.code, 3, "{ended:?}");
        ended.has_line("games done 1");
        for source in ["a-refused", "c-refused"] {
            let line = format!("  - {source}, game {}: the source `b-whole` has", game.game_id);
            assert!(ended.stdout.contains(&line), "{ended:?}");
        }
        assert!(house.tables(&output) == house.tables("whole"), "{jobs}");
    }
}

#[test]
fn a_refused_game_of_a_known_season_leaves_nothing_stale_when_it_is_fixed() {
    let house = House::new();
    let game = played(&house, 0);
    let id = &game.game_id;
    let bad = format!("{id},1,0,60,24,AA,aa-1,left,right,\n").repeat(3);
    csv_source(&house, "a", &bad);
    house.write("in/a/games.csv", &format!("game_id,season\n{id},2041\n"));
    let ended = house.run("out", &[]);
    assert_eq!(ended.code, 1, "{ended:?}");
    let ends = format!("/2041~{id}.parquet");
    assert_eq!(quarantine(&house, &ends).unwrap().len(), 3);
    csv_source(&house, "a", &csv(&game));
    assert_eq!(house.run("out", &[]).code, 0);
    // Tables of the game, and the season's put together from them.
    let of_season = "/2041.parquet";
    assert!(
        house
            .tables("out")
            .keys()
            .all(|name| name.ends_with(&ends) || name.ends_with(of_season)),
        "{:?}",
        house.tables("out").keys()
    );
    assert_eq!(quarantine(&house, &ends), Some(Vec::new()));
}

//! Season tables: made at the end of a run, the same in whatever order games came; described in words by the digest.

use scrim_practice::PracticeGame;
use scrim_tables::rows::{DisguiseRow, EntryRow, GameRow, TendencyRow};
use scrim_tables::{Partition, Row, read_rows, season_path};

use crate::house::House;

fn four_games(house: &House) -> Vec<PracticeGame> {
    // Two games of the league's first day, two of its second.
    let names = ["a", "b", "c", "d"].iter().zip([0, 1, 4, 5]);
    // Long enough for some ball screens in each.
    names
        .map(|(name, number)| house.game_lasting(name, number, 240.0))
        .collect()
}

#[test]
fn night_by_night_in_any_order_gives_the_bytes_of_all_at_once() {
    let house = House::new();
    four_games(&house);
    assert_eq!(house.run("whole", &[]).code, 0);
    let expected = house.tables("whole");
    assert!(
        expected.contains_key("tendencies/2041.parquet"),
        "{:?}",
        expected.keys()
    );
    for order in [["a", "b", "c", "d"], ["d", "b", "a", "c"]] {
        let output = order.concat();
        for night in order {
            let input = format!("in/{night}");
            let ended = house.scrim(&["run", "mine.toml", "--input", &input, "--output", &output]);
            assert_eq!(ended.code, 0, "{ended:?}");
        }
        assert!(house.tables(&output) == expected, "{output}");
        let ended = house.scrim(&[
            "season",
            "--tables",
            &output,
            "--pipeline",
            "mine.toml",
            "--jobs",
            "1",
        ]);
        assert_eq!(ended.code, 0, "{ended:?}");
        assert!(house.tables(&output) == expected, "{output}, once more");
    }
}

#[test]
fn a_later_game_is_judged_by_earlier_ones_and_rows_can_be_read() {
    let house = House::new();
    let games = four_games(&house);
    assert_eq!(house.run("out", &[]).code, 0);
    let path = house
        .at("out")
        .join(season_path(Some("2041"), TendencyRow::TABLE));
    let rows: Vec<TendencyRow> = read_rows(std::fs::read(path).unwrap()).unwrap();
    assert!(
        rows.iter()
            .all(|row| row.hits <= row.n && row.rate_low <= row.rate && row.rate <= row.rate_high)
    );
    let path = house
        .at("out")
        .join(season_path(Some("2041"), DisguiseRow::TABLE));
    let disguises: Vec<DisguiseRow> = read_rows(std::fs::read(path).unwrap()).unwrap();
    let mut dated: Vec<(String, Vec<EntryRow>)> = games
        .iter()
        .map(|game| {
            let partition = Partition::new(Some("2041"), &game.game_id);
            let read = |table| std::fs::read(house.at("out").join(partition.path(table))).unwrap();
            let of_game: Vec<GameRow> = read_rows(read(GameRow::TABLE)).unwrap();
            let date = of_game[0].date.as_ref().unwrap().to_string();
            (date, read_rows(read(EntryRow::TABLE)).unwrap())
        })
        .collect();
    dated.sort_by(|a, b| a.0.cmp(&b.0));
    let first_day = dated[0].0.clone();
    let mut judged = 0;
    for (date, entries) in dated {
        for row in entries {
            let is_of =
                |other: &&DisguiseRow| (&other.game_id, other.screen_id) == (&row.game_id, row.screen_id);
            let of_row: Vec<&DisguiseRow> = disguises.iter().filter(is_of).collect();
            assert_eq!(of_row.len(), 1, "{row:?}");
            let bits = of_row[0].surprise_bits;
            assert_eq!(bits.is_some(), date != first_day, "{date}: {row:?}");
            judged += usize::from(bits.is_some());
        }
    }
    assert!(judged > 0);
}

#[test]
fn the_digest_describes_a_team_and_refuses_what_is_not_there() {
    let house = House::new();
    let games = four_games(&house);
    assert_eq!(house.run("out", &[]).code, 0);
    let team = games[0].team_ids[0].to_string();
    let ended = house.scrim(&["digest", "--tables", "out", "--team", &team, "--last", "2"]);
    assert_eq!(ended.code, 0, "{ended:?}");
    let headline = format!("Season 2041, {team}: ");
    assert!(ended.stdout.starts_with(&headline), "{ended:?}");
    for part in ["LOOKS", "ENTRIES", "DISGUISE", "COUNTERS", "look at the film"] {
        assert!(ended.stdout.contains(part), "no `{part}` in:\n{}", ended.stdout);
    }
    let ended = house.scrim(&["digest", "--tables", "out", "--team", "nobody"]);
    assert_eq!(ended.code, 1, "{ended:?}");
    assert!(
        ended.stderr.contains("nobody") && ended.stderr.contains(&team),
        "{ended:?}"
    );
    let ended = house.scrim(&["digest", "--tables", "out", "--team", &team, "--season", "1999"]);
    assert_eq!(ended.code, 1, "{ended:?}");
    assert!(
        ended.stderr.contains("1999") && ended.stderr.contains("2041"),
        "{ended:?}"
    );
    for command in ["season", "digest"] {
        let mut args = vec![command, "--tables", "none"];
        if command == "digest" {
            args.extend(["--team", "x"]);
        }
        let ended = house.scrim(&args);
        assert_eq!(ended.code, 1, "{ended:?}");
        assert!(ended.stderr.contains("none: no tables of a game"), "{ended:?}");
    }
}

#[test]
fn a_game_whose_tables_are_broken_is_reported_and_the_season_goes_on() {
    let house = House::new();
    let games = four_games(&house);
    assert_eq!(house.run("out", &[]).code, 0);
    let broken = format!("out/coverages/2041~{}.parquet", games[1].game_id);
    std::fs::write(house.at(&broken), "PAR1 and no more").unwrap();
    let ended = house.scrim(&["season", "--tables", "out"]);
    assert_eq!(ended.code, 3, "{ended:?}");
    assert!(
        ended.stdout.contains("2041: 3 games") && ended.stdout.contains("coverages"),
        "{ended:?}"
    );
}

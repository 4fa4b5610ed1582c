//! A season built through a store: in any order, a night at a time, the same bytes.

use scrim_floor::Definitions;
use std::collections::BTreeMap;

use scrim_tables::ledger::{Part, PartStage};
use scrim_tables::rows::{CoverageRow, GameRow, OptionRow, PossessionRow, ScreenRow, SequenceRow};
use scrim_tables::{
    Id, LocalStore, Partition, ReadStore, Row, RunInfo, Store, TakesRows, read_rows, season_path,
};

use super::*;
use crate::read_game;
use crate::staging::{Staged, What};

fn run_info() -> RunInfo {
    RunInfo {
        pipeline: "test".into(),
        parameters_toml: "name = \"test\"\n".into(),
        game_parameters_toml: String::new(),
        version: "9".into(),
    }
}

/// Puts a game's tables where a run would.
fn put_game(store: &LocalStore, game: &GameFacts) {
    let game_id: Id = game.partition.game_id().into();
    let run = run_info();
    let mut stage = PartStage::new(&run, Part::Game(game.partition.clone()));
    let possession = |(id, possession): (usize, &crate::Possession)| PossessionRow {
        game_id: game_id.clone(),
        period: possession.period,
        possession_id: id as u32,
        t_start_s: possession.t_start_s,
        t_end_s: possession.t_start_s + 15.0,
        game_clock_start_s: possession.game_clock_start_s,
        game_clock_end_s: possession.game_clock_end_s,
        offense_team_id: possession.offense.clone(),
        defense_team_id: possession.defense.clone(),
        phase: possession.phase,
        points: possession.points,
        alignment: Some(possession.alignment),
        token_chain: possession
            .chain
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>()
            .join(" "),
        ..PossessionRow::blank()
    };
    let possessions: Vec<_> = game.possessions.iter().enumerate().map(possession).collect();
    stage.add(&possessions).unwrap();
    let (mut screens, mut coverages, mut options, mut entries) = (vec![], vec![], vec![], vec![]);
    for play in &game.plays {
        let row = &play.entry;
        let (period, possession_id, screen_id) = (row.period, row.possession_id, row.screen_id);
        screens.push(ScreenRow {
            game_id: game_id.clone(),
            period,
            possession_id,
            screen_id,
            on_ball: true,
            screen_kind: play.kind,
            screener_id: play.screener.clone(),
            user_id: play.handler.clone(),
            t_use_s: play.t_use_s,
            zone: play.zone,
            ..ScreenRow::blank()
        });
        coverages.push(CoverageRow {
            game_id: game_id.clone(),
            period,
            possession_id,
            screen_id,
            coverage: play.coverage,
            ..CoverageRow::blank()
        });
        let (screener_action, handler_action) = play.option.unwrap();
        options.push(OptionRow {
            game_id: game_id.clone(),
            period,
            possession_id,
            screen_id,
            screener_action,
            handler_action,
            shooter_id: play.shot.map(|_| "h".into()),
            space_m: play.shot.and_then(|shot| shot.space_m),
            ..OptionRow::blank()
        });
        entries.push(row.clone());
    }
    stage.add(&screens).unwrap();
    stage.add(&coverages).unwrap();
    stage.add(&options).unwrap();
    stage.add(&entries).unwrap();
    let runs = game.runs.iter().map(|run| {
        let play = &game.plays[run.play];
        SequenceRow {
            game_id: game_id.clone(),
            period: 1,
            possession_id: play.entry.possession_id,
            team_id: game.possessions[play.possession].offense.clone(),
            set_key: play.entry.set_key.clone(),
            run_index: run.run_index,
            screen_id: play.entry.screen_id,
            coverage: play.coverage,
            option: "roll+drive".into(),
            ..SequenceRow::blank()
        }
    });
    stage.add(&runs.collect::<Vec<_>>()).unwrap();
    let court = scrim_floor::Court::fiba();
    stage
        .add(&[GameRow {
            date: game.date.clone(),
            home_is_known: true,
            ..GameRow::on(&court, game_id.clone(), ["a".into(), "b".into()])
        }])
        .unwrap();
    stage.publish(store, BTreeMap::new()).unwrap();
}

/// The season's stage over what is in the store.
fn do_season(store: &LocalStore) {
    let partitions = Partition::find(store, PossessionRow::TABLE).unwrap();
    let read = |partition| read_game(store, partition).unwrap();
    let mut games: Vec<GameFacts> = partitions.iter().map(read).collect();
    let tables = build_season(&mut games, &SeasonParams::default(), &Definitions::DEFAULT);
    let run = run_info();
    let mut stage = PartStage::new(&run, Part::Season(Some("2041".into())));
    tables.stage(&mut stage).unwrap();
    stage.publish(store, BTreeMap::new()).unwrap();
}

fn files(store: &LocalStore) -> BTreeMap<String, Vec<u8>> {
    // The tables alone: the ledger beside them is not the season's.
    fn gather(store: &LocalStore, folder: &str, files: &mut BTreeMap<String, Vec<u8>>) {
        for name in store.list(folder).unwrap() {
            let path = format!("{folder}/{name}");
            if name == "ledger" {
                continue;
            }
            if name.ends_with(".parquet") {
                files.insert(path.clone(), store.get(&path).unwrap().unwrap());
            } else {
                gather(store, &path, files);
            }
        }
    }
    let mut found = BTreeMap::new();
    gather(store, ".", &mut found);
    found
}

/// Six games of four teams, on four days; each with looks that flow on differently.
fn games() -> Vec<GameFacts> {
    let days = ["01", "01", "02", "03", "03", "04"];
    (0..6)
        .map(|number| {
            let mut staged = Staged::new(
                &format!("g{}", 5 - number),
                Some(&format!("2041-01-{}", days[number])),
            );
            let teams = if number % 2 == 0 { ["a", "b"] } else { ["c", "d"] };
            for k in 0..30 {
                let next = [
                    "ball_screen:left",
                    "flare:right",
                    "",
                    "rub:left ball_screen:middle",
                ][(k + number) % 4];
                let what = What {
                    late_s: Some(0.1 * (k % 7) as f32),
                    space_m: (k % 3 == 0).then_some(0.5 * k as f32),
                    ..What::default()
                };
                let points = [Some(0), Some(2), None, Some(3)][k % 4];
                let turned = if k % 2 == 0 { teams } else { [teams[1], teams[0]] };
                staged = staged.possession_of(turned, &format!("horns down:left {next}"), points, what);
            }
            staged.done()
        })
        .collect()
}

#[test]
fn whatever_order_games_were_added_in_the_bytes_are_the_same() {
    let games = games();
    let folder = tempfile::tempdir().unwrap();
    let whole = LocalStore::new(folder.path().join("whole"));
    for game in &games {
        put_game(&whole, game);
    }
    do_season(&whole);
    let expected = files(&whole);
    assert_eq!(expected.len(), 6 * 7 + 5);
    for (name, order) in [
        ("forward", [0, 1, 2, 3, 4, 5]),
        ("back", [5, 4, 3, 2, 1, 0]),
        ("mixed", [3, 0, 5, 1, 4, 2]),
    ] {
        let nightly = LocalStore::new(folder.path().join(name));
        for game in order {
            put_game(&nightly, &games[game]);
            do_season(&nightly);
        }
        assert!(files(&nightly) == expected, "{name}");
        // A game that is run again changes nothing: what it brings depends on itself alone.
        put_game(&nightly, &games[3]);
        assert!(files(&nightly) == expected, "{name}, run again");
        do_season(&nightly);
        assert!(files(&nightly) == expected, "{name}, again");
    }
}

#[test]
fn a_game_at_the_end_changes_no_other_games_disguise() {
    let games = games();
    let folder = tempfile::tempdir().unwrap();
    let store = LocalStore::new(folder.path());
    let disguises = || -> Vec<DisguiseRow> {
        do_season(&store);
        let path = season_path(Some("2041"), DisguiseRow::TABLE);
        read_rows(store.get(&path).unwrap().unwrap()).unwrap()
    };
    for game in &games[..5] {
        put_game(&store, game);
    }
    let before = disguises();
    // The two of the first day have nothing before them.
    let judged: std::collections::BTreeSet<&str> = before
        .iter()
        .filter(|row| row.surprise_bits.is_some())
        .map(|row| row.game_id.as_ref())
        .collect();
    assert_eq!(judged.into_iter().collect::<Vec<_>>(), ["g1", "g2", "g3"]);
    put_game(&store, &games[5]);
    let last = games[5].partition.game_id();
    let (of_last, others): (Vec<_>, Vec<_>) = disguises()
        .into_iter()
        .partition(|row| row.game_id.as_ref() == last);
    assert_eq!(others, before);
    assert_eq!(of_last.len(), games[5].plays.len());
}

#[test]
fn a_game_that_lacks_a_table_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let store = LocalStore::new(folder.path());
    let game = &games()[0];
    put_game(&store, game);
    store.remove(&game.partition.path("options")).unwrap();
    let message = read_game(&store, &game.partition).unwrap_err().to_string();
    assert!(
        message.contains("g5") && message.contains("options") && message.contains("run the game again"),
        "{message}"
    );
}

#[test]
fn a_season_without_games_is_empty() {
    let tables = build_season(&mut [], &SeasonParams::default(), &Definitions::DEFAULT);
    assert!(tables.tendencies.is_empty() && tables.counters.is_empty());
    // The league's three rows say that nothing is known.
    assert_eq!(tables.disguise_pay.len(), 3);
}

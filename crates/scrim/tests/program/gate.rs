//! Nonsense does not pass as a game.

use scrim_practice::{PracticeGame, PracticeParams, play_game, write_game};
use scrim_tables::rows::{GameQualityRow, GameRow, PossessionRow, RunRow};
use scrim_tables::tags::Verdict;
use scrim_tables::{Partition, Row, read_rows};

use crate::house::House;

/// One game of two minutes, spoiled, beside a good one; what the run said, and the spoiled game's quality.
fn run_spoiled(spoil: impl Fn(&mut PracticeGame)) -> (House, i32, String, Vec<GameQualityRow>, Partition) {
    let house = House::new();
    house.game_lasting("good", 0, 120.0);
    let params = PracticeParams {
        seed: 7,
        periods: 1,
        period_s: 120.0,
        ..PracticeParams::default()
    };
    let mut game = play_game(&params, 1);
    spoil(&mut game);
    write_game(&game, &house.at("in/spoiled")).unwrap();
    let run = house.run("out", &[]);
    let partition = Partition::new(Some(&game.season), &game.game_id);
    let bytes = std::fs::read(house.at("out").join(partition.path(GameQualityRow::TABLE))).unwrap();
    let quality = read_rows(bytes).unwrap();
    (house, run.code, run.stdout, quality, partition)
}

/// Keeps the tracking rows whose player (`None`: the ball) and time `keep` accepts.
fn retain(game: &mut PracticeGame, keep: impl Fn(Option<u8>, f64) -> bool) {
    let rows = game.tracking.player.iter().zip(&game.tracking.t_s);
    let kept: Vec<bool> = rows.map(|(player, t_s)| keep(*player, *t_s)).collect();
    fn of<T>(values: &mut Vec<T>, kept: &[bool]) {
        let mut kept = kept.iter();
        values.retain(|_| *kept.next().unwrap());
    }
    let tracking = &mut game.tracking;
    of(&mut tracking.period, &kept);
    of(&mut tracking.t_s, &kept);
    of(&mut tracking.game_clock_s, &kept);
    of(&mut tracking.shot_clock_s, &kept);
    of(&mut tracking.player, &kept);
    of(&mut tracking.x_m, &kept);
    of(&mut tracking.y_m, &kept);
    of(&mut tracking.z_m, &kept);
}

/// Three players of a squad who start.
fn is_left_out(player: u8) -> bool {
    player < 3
}

/// Whether the table that the season's games come from has the game.
fn is_tagged(house: &House, partition: &Partition) -> bool {
    house
        .at("out")
        .join(partition.path(PossessionRow::TABLE))
        .is_file()
}

#[test]
fn a_game_without_a_ball_is_refused_and_says_why() {
    let (house, code, text, quality, partition) =
        run_spoiled(|game| retain(game, |player, _| player.is_some()));
    assert_eq!(code, 3);
    assert!(
        text.contains("only 0 % of the live time have ten players and the ball"),
        "{text}"
    );
    assert_eq!(quality[0].verdict, Verdict::Refused);
    assert!(!is_tagged(&house, &partition));
}

#[test]
fn the_tables_that_a_refused_game_keeps_are_whole_under_other_parameters_too() {
    let house = House::new();
    let mut game = house.game_lasting("a", 0, 120.0);
    assert_eq!(house.run("out", &[]).code, 0);
    retain(&mut game, |player, _| player.is_some());
    write_game(&game, &house.at("in/a")).unwrap();
    house.write("mine.toml", "[screens]\nmin_confidence = 0.5\n");
    let ended = house.run("out", &[]);
    assert_ne!(ended.code, 0, "{ended:?}");
    assert!(is_tagged(
        &house,
        &Partition::new(Some(&game.season), &game.game_id)
    ));
    // Its refused rows are new, and say what the tables beside them say.
    let ended = house.scrim(&["verify", "out"]);
    assert_eq!(ended.code, 0, "{ended:?}");
}

#[test]
fn a_game_with_seven_of_ten_players_is_refused() {
    let (house, code, _, quality, partition) =
        run_spoiled(|game| retain(game, |player, _| player.is_none_or(|player| !is_left_out(player))));
    assert_eq!((code, quality[0].verdict), (3, Verdict::Refused));
    assert!(!is_tagged(&house, &partition));
}

#[test]
fn a_clock_that_runs_twice_as_fast_as_the_frames_is_refused() {
    // 25 instants a second taken for 50.
    let (_, code, text, quality, _) =
        run_spoiled(|game| game.tracking.t_s.iter_mut().for_each(|t_s| *t_s /= 2.0));
    assert_eq!((code, quality[0].verdict), (3, Verdict::Refused));
    assert!(text.contains("[time] unit and rate_hz"), "{text}");
}

#[test]
fn places_in_another_unit_or_from_another_origin_are_not_good() {
    // Metres taken for feet: everybody within a third of the court.
    let (_, code, text, quality, _) = run_spoiled(|game| {
        let tracking = &mut game.tracking;
        for value in tracking.x_m.iter_mut().chain(&mut tracking.y_m) {
            *value *= 0.3048;
        }
    });
    assert_eq!(code, 3, "{text}");
    assert!(quality[0].verdict >= Verdict::Poor, "{text}");
    assert!(text.contains("of the court's width is used"), "{text}");
    // A corner taken for the middle.
    let (_, code, text, quality, _) =
        run_spoiled(|game| game.tracking.x_m.iter_mut().for_each(|x_m| *x_m += 14.0));
    assert_eq!(code, 3, "{text}");
    assert!(quality[0].verdict >= Verdict::Poor, "{text}");
    assert!(text.contains("of the players' places are on the court"), "{text}");
}

#[test]
fn a_poor_game_is_tagged_and_stays_out_of_the_season_unless_asked() {
    // The ball is lost for six seconds of eight.
    let spoil = |game: &mut PracticeGame| retain(game, |player, t_s| player.is_some() || t_s % 8.0 >= 6.0);
    let (house, code, text, quality, partition) = run_spoiled(spoil);
    assert_eq!((code, quality[0].verdict), (3, Verdict::Poor), "{text}");
    assert!(is_tagged(&house, &partition));
    assert!(
        text.contains("1 of them poor: left out of season tables") && text.contains(": 1 games"),
        "{text}"
    );
    let games = std::fs::read(house.at("out").join(partition.path(GameRow::TABLE))).unwrap();
    let team = read_rows::<GameRow>(games).unwrap()[0].home_team_id.to_string();
    let report = ["report", "--tables", "out", "--team", &team, "--output", "r.html"];
    let ended = house.scrim(&report);
    assert!(
        ended.stderr.contains("poor") && ended.stderr.contains("--poor-too"),
        "{ended:?}"
    );
    let ended = house.scrim(&[&report[..], &["--poor-too"]].concat());
    assert!(ended.code == 0 && !ended.stderr.contains("poor"), "{ended:?}");
    house.write("mine.toml", "name = \"mine\"\n[gate]\npoor_in_seasons = true\n");
    let again = house.run("all", &[]);
    assert!(again.stdout.contains(": 2 games"), "{}", again.stdout);
    let verdicts: Vec<Verdict> = house
        .files("out")
        .into_iter()
        .filter(|(name, _)| name.starts_with("runs/"))
        .flat_map(|(_, bytes)| read_rows::<RunRow>(bytes).unwrap())
        .map(|row| row.verdict)
        .collect();
    assert!(
        verdicts.contains(&Verdict::Good) && verdicts.contains(&Verdict::Poor),
        "{verdicts:?}"
    );
}

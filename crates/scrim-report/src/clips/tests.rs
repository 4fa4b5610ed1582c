use std::collections::BTreeMap;

use scrim_season::words::Words;
use scrim_tables::tags::{Coverage, Entry, HandlerAction, ScreenKind, TouchEnd};

use super::{ClipFile, ClipFormat, ClipSide, Wanted, clip_lists, file_stem};
use crate::TeamGames;
use crate::staging::{staged_game, staged_team};

fn files(team: &TeamGames, format: ClipFormat) -> Vec<ClipFile> {
    clip_lists(team, &Wanted::default(), &[format], &Words::english())
        .unwrap()
        .files
}

/// The rows of a CSV, each cell by its column's name.
fn rows(csv: &str) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    reader.deserialize().map(Result::unwrap).collect()
}

#[test]
fn a_csv_row_has_period_clock_and_video_time() {
    let team = staged_team(vec![staged_game("G1", 2)]);
    let csv = &files(&team, ClipFormat::Csv)[0];
    assert_eq!(csv.name, "clips.csv");
    // The second possession starts at 20 s; its screen is set at 26 s, used at 26.8 s. The clip begins 6 s before the set, where the
    // possession does too, and goes on until 1 s after the possession's end at 29 s. The video runs 100 s ahead.
    let row = &rows(&csv.text)[1];
    for (name, value) in [
        ("game_id", "G1"),
        ("period", "1"),
        ("game_clock", "9:33"),
        ("t_start_s", "20.00"),
        ("t_end_s", "30.00"),
        ("video_start_s", "120.00"),
        ("video_end_s", "130.00"),
        ("video_start", "0:02:00.00"),
        ("screener", "KH 8"),
        ("handler", "KH 4"),
        ("coverage", "drop"),
        ("entry", "down"),
        ("disguised", "true"),
        ("points", "0"),
    ] {
        assert_eq!(row[name], value, "{name}");
    }
}

#[test]
fn a_clip_shows_the_end_of_its_possession_or_says_that_the_shot_comes_later() {
    // The screen is over at 8.2 s, so that an end at 20.2 s is the last one that is shown.
    let of = |end_s: f64, shot_s: f64| {
        let mut game = staged_game("G1", 1);
        game.possessions[0].t_end_s = end_s;
        for touch in game
            .touches
            .iter_mut()
            .filter(|row| row.ended_by == TouchEnd::Shot)
        {
            touch.t_end_s = shot_s;
        }
        let row = rows(&files(&staged_team(vec![game]), ClipFormat::Csv)[0].text).remove(0);
        (
            row["t_end_s"].clone(),
            row["title"].ends_with("the shot comes later"),
        )
    };
    assert_eq!(of(20.2, 19.4), ("21.20".into(), false));
    // Later than that: 2 s after the screen.
    assert_eq!(of(20.3, 19.5), ("10.20".into(), true));
    // Or after the shot that came of it, the second one being the later.
    assert_eq!(of(30.0, 8.8), ("10.80".into(), false));
}

/// The first clip's title.
fn title(team: &TeamGames, wanted: &Wanted) -> String {
    let lists = clip_lists(team, wanted, &[ClipFormat::Csv], &Words::english()).unwrap();
    rows(&lists.files[0].text)[0]["title"].clone()
}

#[test]
fn what_the_question_fixed_stands_first_in_a_title() {
    let team = staged_team(vec![staged_game("G1", 1), staged_game("G0", 1)]);
    assert_eq!(
        title(&team, &Wanted::default()),
        "SM 2 Mar, P1 9:53, KH 8 for 4, used, drop, screener rolls, 2 points"
    );
    let asked = Wanted {
        coverages: vec![Coverage::Drop],
        entries: vec![Entry::Down],
        handler_actions: vec![HandlerAction::Pass],
        ..Wanted::default()
    };
    assert_eq!(
        title(&team, &asked),
        "SM 2 Mar, P1 9:53, KH 8 for 4, drop, handler passes, out of a down screen, used, screener rolls, 2 points"
    );
}

#[test]
fn a_title_says_handoff_and_open_shot_and_leaves_out_what_is_not_known() {
    let mut game = staged_game("G1", 1);
    for screen in game.screens.iter_mut().filter(|row| row.on_ball) {
        screen.screen_kind = ScreenKind::Handoff;
    }
    game.coverages.clear();
    game.possessions[0].points = Some(0);
    // An open shot has 1.83 m of space and more.
    game.options[0].space_m = Some(2.5);
    // A player's number is said as one says it; without a number stands the name.
    for player in &mut game.players {
        player.jersey = match player.jersey.as_deref() {
            Some("8") => Some("08".into()),
            _ => None,
        };
    }
    assert_eq!(
        title(&staged_team(vec![game]), &Wanted::default()),
        "SM 2 Mar, P1 9:53, KH 8 for KH 4, handoff, used, screener rolls, open shot, no points"
    );
}

#[test]
fn web_vtt_has_chapters_that_do_not_overlap_and_tags_on_their_instants() {
    let team = staged_team(vec![staged_game("G1", 1)]);
    let files = files(&team, ClipFormat::Vtt);
    assert_eq!(files[0].name, "2041_G1.chapters.vtt");
    assert_eq!(
        files[0].text,
        "WEBVTT\n\nNOTE Times are those of the video.\n\n1\n00:01:40.000 --> 00:01:50.000\n\
         SM 2 Mar, P1 9:53, KH 8 for 4, used, drop, screener rolls, 2 points\n"
    );
    assert_eq!(files[1].name, "2041_G1.tags.vtt");
    // The down screen is set at 3 s, 103 s into the video.
    let tag = "00:01:43.000 --> 00:01:44.500\ndown screen set: KH 8 for KH 5\n";
    assert!(files[1].text.contains(tag), "{}", files[1].text);
}

#[test]
fn without_an_offset_a_period_has_files_of_its_own_that_say_so() {
    let mut game = staged_game("G1", 1);
    game.game.video_offset_s.clear();
    let team = staged_team(vec![game]);
    let lists = clip_lists(&team, &Wanted::default(), &[ClipFormat::Vtt], &Words::english()).unwrap();
    assert_eq!(
        (lists.clips, lists.ball_screens, lists.with_video_time),
        (1, 1, 0)
    );
    assert_eq!(lists.files[0].name, "2041_G1.P1.chapters.vtt");
    assert!(
        lists.files[0]
            .text
            .contains("times count from the first frame of period 1")
    );
    assert!(lists.files[0].text.contains("\n00:00:00.000 --> "));
}

#[test]
fn what_lies_before_the_video_begins_is_cut_off() {
    let mut game = staged_game("G1", 1);
    game.game.video_offset_s = vec![Some(-4.0)];
    let team = staged_team(vec![game]);
    let files = files(&team, ClipFormat::Vtt);
    // The clip of 0 to 10 s begins at 4 s of the period, the video's first instant.
    assert!(
        files[0].text.contains("\n00:00:00.000 --> 00:00:06.000\n"),
        "{}",
        files[0].text
    );
    // The use at 6.8 s is 2.8 s into the video.
    assert!(files[1].text.contains("\n00:00:02.800 --> "), "{}", files[1].text);
}

#[test]
fn a_side_is_one_teams() {
    let team = staged_team(vec![staged_game("G1", 2)]);
    let count = |side| {
        let wanted = Wanted {
            side,
            ..Wanted::default()
        };
        clip_lists(&team, &wanted, &[], &Words::english()).unwrap().clips
    };
    assert_eq!(
        [ClipSide::Offense, ClipSide::Defense, ClipSide::Both].map(count),
        [2, 0, 2]
    );
}

#[test]
fn no_id_leaves_its_folder_or_hides() {
    assert_eq!(file_stem("../x"), "%2E.%2Fx");
    assert_eq!(file_stem("."), "%2E");
    assert_eq!(file_stem("Ålesund/7"), "%C3%85lesund%2F7");
}

use scrim_season::words::Words;

use super::{ClipFile, ClipFormat, ClipSide, Wanted, clip_lists, file_stem};
use crate::TeamGames;
use crate::staging::{staged_game, staged_team};

fn files(team: &TeamGames, format: ClipFormat) -> Vec<ClipFile> {
    clip_lists(team, &Wanted::default(), &[format], &Words::english())
        .unwrap()
        .files
}

#[test]
fn a_csv_row_has_period_clock_and_video_time() {
    let team = staged_team(vec![staged_game("G1", 2)]);
    let csv = &files(&team, ClipFormat::Csv)[0];
    assert_eq!(csv.name, "clips.csv");
    let mut lines = csv.text.lines();
    let header: Vec<&str> = lines.next().unwrap().split(',').collect();
    // The second possession starts at 20 s; its screen is set at 26 s, used at 26.8 s. The clip begins 6 s before the set, where the
    // possession does too, and goes on until 2 s after the shot at 28.8 s. The video runs 100 s ahead.
    let row: Vec<&str> = lines.nth(1).unwrap().split(',').collect();
    let cell = |name: &str| row[header.iter().position(|head| *head == name).unwrap()];
    for (name, value) in [
        ("game_id", "G1"),
        ("period", "1"),
        ("game_clock", "9:33"),
        ("t_start_s", "20.00"),
        ("t_end_s", "30.80"),
        ("video_start_s", "120.00"),
        ("video_end_s", "130.80"),
        ("video_start", "0:02:00.00"),
        ("screener", "KH 8"),
        ("handler", "KH 4"),
        ("coverage", "drop"),
        ("entry", "down"),
        ("disguised", "true"),
        ("points", "0"),
    ] {
        assert_eq!(cell(name), value, "{name}");
    }
}

#[test]
fn web_vtt_has_chapters_that_do_not_overlap_and_tags_on_their_instants() {
    let team = staged_team(vec![staged_game("G1", 1)]);
    let files = files(&team, ClipFormat::Vtt);
    assert_eq!(files[0].name, "2041_G1.chapters.vtt");
    assert_eq!(
        files[0].text,
        "WEBVTT\n\nNOTE Times are those of the video.\n\n1\n00:01:40.000 --> 00:01:50.800\n\
         P1 9:53 KH: ball screen KH 8 for KH 4, drop\n"
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
    // The clip of 0 to 10.8 s begins at 4 s of the period, the video's first instant.
    assert!(
        files[0].text.contains("\n00:00:00.000 --> 00:00:06.800\n"),
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

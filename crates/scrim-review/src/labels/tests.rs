use scrim_tables::tags::ScreenKind;

use super::*;
use crate::answer::Answer;
use crate::clip::{Beside, Clip};
use crate::staging::{clip, lines_of};

fn rows(answers: Vec<(Clip, Answer)>, file: &str) -> Vec<String> {
    let files = label_files(&Standing::of(&lines_of(answers)), false).unwrap();
    files.0[file].lines().skip(1).map(Into::into).collect()
}

fn missed(screener_id: &str, t_use_s: f64) -> Answer {
    Answer::Missed {
        screener_id: screener_id.into(),
        user_id: "p4".into(),
        screen_kind: ScreenKind::Handoff,
        t_use_s,
    }
}

fn beside(t_use_s: f64) -> Clip {
    Clip {
        beside: vec![Beside {
            screen_id: 1,
            screener_id: "p5".into(),
            user_id: "p4".into(),
            t_use_s,
            given_up: None,
        }],
        ..clip(0)
    }
}

#[test]
fn a_right_clip_is_a_row_of_each_table_and_a_window() {
    let answers = || vec![(clip(0), Answer::Right)];
    assert_eq!(
        rows(answers(), "screens.csv"),
        ["G,1,1,true,ball_screen,used,p8,p4,10,"]
    );
    // Its path is unclear: that is left open.
    assert_eq!(rows(answers(), "coverages.csv"), ["G,1,drop,"]);
    assert_eq!(rows(answers(), "options.csv"), ["G,1,roll,pass"]);
    assert_eq!(rows(answers(), "entries.csv"), ["G,1,down"]);
    assert_eq!(rows(answers(), "labelled.csv"), ["G,plain_only,1,8.5,11.5"]);
}

#[test]
fn another_word_stands_in_place_of_the_programs_and_one_that_cannot_be_told_is_left_open() {
    let word = |question, word: Option<&str>| Answer::Word {
        question,
        word: word.map(Into::into),
    };
    let answers = || {
        vec![
            (clip(0), word(Question::Coverage, Some("hedge"))),
            (clip(0), word(Question::ScreenerId, Some("p5"))),
            (clip(0), word(Question::Entry, None)),
            (clip(0), Answer::Right),
        ]
    };
    assert_eq!(rows(answers(), "coverages.csv"), ["G,1,hedge,"]);
    assert_eq!(
        rows(answers(), "screens.csv"),
        ["G,1,1,true,ball_screen,used,p5,p4,10,"]
    );
    assert_eq!(rows(answers(), "entries.csv"), [""; 0]);
}

#[test]
fn what_is_no_screen_has_a_window_alone_and_what_cannot_be_told_or_is_open_has_nothing() {
    let coverage = Answer::Word {
        question: Question::Coverage,
        word: Some("ice".into()),
    };
    let answers = || {
        vec![
            (clip(0), Answer::NotAScreen),
            (clip(1), missed("p5", 33.5)),
            (clip(1), Answer::CannotTell),
            (clip(2), coverage.clone()),
        ]
    };
    // The missed one's window is its instant: without one, its game would be one that was looked at as a whole.
    assert_eq!(
        rows(answers(), "labelled.csv"),
        ["G,plain_only,1,8.5,11.5", "G,plain_only,1,33.5,33.5"]
    );
    assert_eq!(
        rows(answers(), "screens.csv"),
        ["G,1,missed-2,true,handoff,,p5,p4,33.5,"]
    );
    assert_eq!(rows(answers(), "coverages.csv"), [""; 0]);
}

#[test]
fn a_game_that_only_a_missed_screen_names_was_not_looked_at_as_a_whole() {
    for ended in [Some(Answer::CannotTell), None] {
        let mut answers = vec![(clip(0), missed("p5", 9.0))];
        answers.extend(ended.map(|answer| (clip(0), answer)));
        assert_eq!(
            rows(answers.clone(), "screens.csv"),
            ["G,1,missed-1,true,handoff,,p5,p4,9,"]
        );
        assert_eq!(rows(answers, "labelled.csv"), ["G,plain_only,1,9,9"]);
    }
}

#[test]
fn clips_that_tables_made_anew_call_by_one_id_have_labels_of_their_own() {
    let mut other = clip(3);
    other.screen_id = 0;
    other.shown.insert(Question::Coverage, "ice".into());
    let answers = || vec![(clip(0), Answer::Right), (other.clone(), Answer::Right)];
    assert_eq!(
        rows(answers(), "screens.csv"),
        [
            "G,1,1,true,ball_screen,used,p8,p4,10,",
            "G,1,2,true,ball_screen,used,p8,p4,70,"
        ]
    );
    assert_eq!(rows(answers(), "coverages.csv"), ["G,1,drop,", "G,2,ice,"]);
    assert_eq!(rows(answers(), "options.csv"), ["G,1,roll,pass", "G,2,roll,pass"]);
    assert_eq!(rows(answers(), "entries.csv"), ["G,1,down", "G,2,down"]);
}

#[test]
fn a_missed_screen_that_is_another_clip_or_was_noted_before_is_one_row() {
    let ids = |answers: Vec<(Clip, Answer)>| -> Vec<String> {
        let rows = rows(answers, "screens.csv");
        rows.iter()
            .map(|row| row.split(',').nth(2).unwrap().to_owned())
            .collect()
    };
    // The same two 0.6 s later: noted already. The same two 1.5 s later: another one.
    let noted = |t_use_s| (clip(0), missed("p5", t_use_s));
    assert_eq!(ids(vec![noted(9.0), noted(9.6)]), ["missed-1"]);
    assert_eq!(ids(vec![noted(9.0), noted(10.5)]), ["missed-1", "missed-2"]);
    // A clip that is ended says it itself, with the player that was named there.
    let mut other = clip(1);
    other.t_use_s = 12.0;
    let screener = Answer::Word {
        question: Question::ScreenerId,
        word: Some("p5".into()),
    };
    let mut answers = vec![noted(12.5), (other.clone(), screener), (clip(0), Answer::Right)];
    assert_eq!(ids(answers.clone()), ["1", "missed-1"]);
    answers.push((other, Answer::Right));
    assert_eq!(ids(answers), ["1", "2"]);
}

#[test]
fn a_folder_that_is_gone_is_not_made_anew() {
    let folder = tempfile::tempdir().unwrap();
    let gone = folder.path().join("ANN");
    let standing = Standing::of(&lines_of(vec![(clip(0), Answer::Right)]));
    assert!(write_labels(&gone, &standing).is_err());
    assert!(!gone.exists());
    fs::create_dir(&gone).unwrap();
    write_labels(&gone, &standing).unwrap();
    write_labels(&gone, &standing).unwrap();
    assert!(gone.join(CHANCE).join("screens.csv").is_file());
}

#[test]
fn a_window_ends_half_way_to_a_screen_without_an_answer() {
    assert_eq!(
        rows(vec![(beside(11.0), Answer::NotAScreen)], "labelled.csv"),
        ["G,plain_only,1,8.5,10.5"]
    );
    assert_eq!(
        rows(vec![(beside(8.0), Answer::NotAScreen)], "labelled.csv"),
        ["G,plain_only,1,9,11.5"]
    );
    // Answered, it has a window of its own.
    let mut other = clip(1);
    other.t_use_s = 11.0;
    other.shown.insert(Question::ScreenerId, "p5".into());
    let both = vec![(beside(11.0), Answer::NotAScreen), (other, Answer::Right)];
    assert_eq!(
        rows(both, "labelled.csv"),
        ["G,plain_only,1,8.5,11.5", "G,plain_only,1,9.5,12.5"]
    );
    // Of two at one instant neither is judged while one is open.
    assert_eq!(rows(vec![(beside(10.02), Answer::Right)], "screens.csv"), [""; 0]);
}

#[test]
fn the_labels_by_chance_are_of_the_clips_that_chance_picked() {
    let lines = lines_of((0..40).map(|number| (clip(number), Answer::Right)).collect());
    let files = label_files(&Standing::of(&lines), true).unwrap();
    let expected: Vec<u32> = (0..40)
        .filter(|&number| is_by_chance(&clip(number)))
        // Lines count from 1.
        .map(|number| number + 1)
        .collect();
    let ids: Vec<u32> = files.0["entries.csv"]
        .lines()
        .skip(1)
        .map(|line| line.split(',').nth(1).unwrap().parse().unwrap())
        .collect();
    assert_eq!(ids, expected);
    assert!(!ids.is_empty() && ids.len() < 40);
}

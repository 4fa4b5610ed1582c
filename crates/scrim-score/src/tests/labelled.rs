//! Games that are named as labelled, and labels that are not complete.

use super::*;
use crate::Judged;

const HEAD: &str = "game_id,period,screen_id,on_ball,screen_kind,outcome,screener_id,user_id,t_use_s";

#[test]
fn a_prediction_in_a_labelled_game_without_any_row_is_a_false_alarm() {
    let folder = |labelled: &str| {
        Folder::new()
            .label(
                "screens.csv",
                &format!("{HEAD}\nG1,1,a,true,ball_screen,used,A5,A1,10\n"),
            )
            .label("labelled.csv", labelled)
            .table(
                "screens",
                &format!("{HEAD}\nG1,1,0,true,ball_screen,used,A5,A1,10.2"),
            )
            .table_of(
                "G2",
                "screens",
                &format!("{HEAD}\nG2,1,0,true,ball_screen,used,A5,A1,30\nG2,1,1,false,down,used,A5,A2,40"),
            )
            .table_of(
                "G3",
                "screens",
                &format!("{HEAD}\nG3,1,0,true,ball_screen,used,A5,A1,30"),
            )
    };
    let report = folder("game_id\nG1\nG2\n").score().unwrap();
    assert_eq!(report.games, ["G1", "G2"]);
    assert!(report.warnings.is_empty(), "{:?}", report.warnings);
    assert_eq!(
        four(&report.on_ball_screens.scored().unwrap().detection),
        (1, 0, 1, 0)
    );
    assert_eq!(
        four(&report.off_ball_screens.scored().unwrap().detection),
        (0, 0, 1, 0)
    );
    // Not named, G2 is not looked at.
    let report = folder("game_id\nG1\n").score().unwrap();
    assert_eq!(
        four(&report.on_ball_screens.scored().unwrap().detection),
        (1, 0, 0, 0)
    );
}

#[test]
fn an_empty_label_table_of_labelled_games_judges_every_prediction() {
    let report = Folder::new()
        .label("screens.csv", &format!("{HEAD}\n"))
        .label("labelled.csv", "game_id\nG1\n")
        .table(
            "screens",
            &format!("{HEAD}\nG1,1,0,true,ball_screen,used,A5,A1,10.2"),
        )
        .score()
        .unwrap();
    let detection = report.on_ball_screens.scored().unwrap().detection;
    assert_eq!(four(&detection), (0, 0, 1, 0));
    assert_eq!(detection.precision.unwrap().share, 0.0);
    assert_eq!((detection.recall, detection.judged), (None, None));
}

#[test]
fn labelled_is_read_as_parquet_and_in_a_folder_a_game_too() {
    let folder = Folder::new()
        .label(
            "a/labels/screens.csv",
            &format!("{HEAD}\nG1,1,a,true,ball_screen,used,A5,A1,10\n"),
        )
        .table(
            "screens",
            &format!("{HEAD}\nG1,1,0,true,ball_screen,used,A5,A1,10.2"),
        )
        .table_of(
            "G2",
            "screens",
            &format!("{HEAD}\nG2,1,0,true,ball_screen,used,A5,A1,30"),
        );
    write(
        &folder.labels().join("b/labels/labelled.parquet"),
        &parquet_of("game_id\nG2"),
    );
    assert_eq!(folder.score().unwrap().games, ["G1", "G2"]);
}

#[test]
fn a_game_named_as_labelled_that_was_not_run_is_refused_by_name() {
    let refused = Folder::new()
        .label(
            "screens.csv",
            &format!("{HEAD}\nG1,1,a,true,ball_screen,used,A5,A1,10\n"),
        )
        .label("labelled.csv", "game_id\nG7\n")
        .table(
            "screens",
            &format!("{HEAD}\nG1,1,0,true,ball_screen,used,A5,A1,10.2"),
        )
        .score()
        .unwrap_err();
    assert!(refused.to_string().contains("labelled games G7"), "{refused}");
}

#[test]
fn a_word_that_labelled_does_not_know_is_refused_with_its_place() {
    let refused = Folder::new()
        .label("screens.csv", &format!("{HEAD}\n"))
        .label("labelled.csv", "game_id,off_ball_screens\nG1,plain\n")
        .score()
        .unwrap_err()
        .to_string();
    assert!(
        refused.contains("labelled.csv, line 2") && refused.contains("all, plain_only"),
        "{refused}"
    );
}

#[test]
fn where_only_plain_off_ball_screens_are_labelled_they_have_recall_alone() {
    let labels = [
        "G1,1,a,false,down,used,A5,A1,10",
        "G1,1,b,false,down,used,A5,A1,30",
        "G1,1,c,true,ball_screen,used,A5,A1,50",
        "G1,1,d,true,,,A5,A1,70",
    ];
    let found = [
        "G1,1,0,false,down,used,A5,A1,10",
        "G1,1,1,false,flare,used,A4,A2,20",
        "G1,1,2,true,ball_screen,used,A5,A1,50",
        "G1,1,3,true,ball_screen,used,A4,A2,90",
        "G1,1,4,true,ball_screen,used,A5,A1,70.5",
    ];
    let folder = |extent: &str| {
        Folder::new()
            .label("screens.csv", &format!("{HEAD}\n{}\n", labels.join("\n")))
            .label(
                "labelled.csv",
                &format!("game_id,off_ball_screens\nG1,{extent}\n"),
            )
            .table("screens", &format!("{HEAD}\n{}", found.join("\n")))
    };
    let plain = folder("plain_only").score().unwrap();
    let off = plain.off_ball_screens.scored().unwrap().detection;
    assert_eq!((four(&off), off.not_judged), ((1, 1, 0, 0), 1));
    assert_eq!(
        (off.precision, off.precision_doubts_false, off.f1),
        (None, None, None)
    );
    assert_eq!(off.recall.unwrap().share, 0.5);
    // The doubt is on the ball, so both off-ball labels are judged.
    assert_eq!(
        off.judged,
        Some(Judged {
            rows: 2,
            of: 2,
            share: 1.0
        })
    );
    assert!(
        plain.to_table().contains("They have recall alone"),
        "{}",
        plain.to_table()
    );
    // On the ball everything is judged as ever: one of two right, one of three with the doubt as extra.
    let on = plain.on_ball_screens.scored().unwrap().detection;
    assert_eq!((four(&on), on.not_judged), ((1, 0, 1, 1), 0));
    assert_eq!(on.precision.unwrap().share, 0.5);
    assert_eq!(on.precision_doubts_false.unwrap().share, 1.0 / 3.0);
    assert_eq!(
        on.judged,
        Some(Judged {
            rows: 1,
            of: 2,
            share: 0.5
        })
    );

    for all in ["all", ""] {
        let report = folder(all).score().unwrap();
        let off = report.off_ball_screens.scored().unwrap().detection;
        assert_eq!((four(&off), off.not_judged), ((1, 1, 1, 0), 0));
        assert_eq!(off.precision.unwrap().share, 0.5);
        assert!(!report.to_table().contains("They have recall alone"));
    }
}

#[test]
fn what_hangs_on_screens_is_judged_of_all_labelled_ball_screens_and_handoffs() {
    // Three on the ball, of which two were found; one of these has a coverage label. The off-ball screen and the doubt do
    // not count.
    let report = Folder::new()
        .label(
            "screens.csv",
            &format!(
                "{HEAD}\nG1,1,a,true,ball_screen,used,A5,A1,10\nG1,1,b,true,handoff,used,A5,A1,30\n\
                 G1,1,c,true,ball_screen,,A5,A1,50\nG1,1,d,true,,,A5,A1,70\nG1,1,e,false,down,used,A5,A1,90\n"
            ),
        )
        .label(
            "coverages.csv",
            "game_id,screen_id,coverage\nG1,a,drop\nG1,c,ice\nG1,d,ice\n",
        )
        .table(
            "screens",
            &format!("{HEAD}\nG1,1,0,true,ball_screen,used,A5,A1,10\nG1,1,1,true,handoff,used,A5,A1,30"),
        )
        .table("coverages", "game_id,screen_id,coverage\nG1,0,drop\nG1,1,switch")
        .score()
        .unwrap();
    let coverage = report
        .coverages
        .scored()
        .unwrap()
        .columns
        .tag("coverage")
        .unwrap()
        .clone();
    let judged = coverage.judged.unwrap();
    assert_eq!((coverage.accuracy.hits, judged.rows, judged.of), (1, 1, 3));
    // Of the three, two were found and say an outcome.
    let outcome = report
        .on_ball_screens
        .scored()
        .unwrap()
        .columns
        .tag("outcome")
        .unwrap()
        .judged
        .unwrap();
    assert_eq!((outcome.rows, outcome.of), (2, 3));
    assert!(report.to_table().contains("coverages: coverage"));
    assert!(report.to_table().contains("1 of 3 (0.33)"));
}

#[test]
fn the_committed_labels_of_real_possessions_are_read() {
    // Counted in the files apart from this program: 299 scenes, 64 of them without any row.
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/reference/real");
    let labels = crate::screen_labels(&folder).unwrap();
    assert!(labels.warnings.is_empty(), "{:?}", labels.warnings);
    assert_eq!(labels.games.len(), 299);
    let count = |wanted: &dyn Fn(&crate::LabelledScreen) -> bool| {
        labels.screens.iter().filter(|row| wanted(row)).count()
    };
    assert_eq!(count(&|row| row.on_ball && row.kind.is_some()), 270);
    assert_eq!(count(&|row| row.on_ball && row.kind.is_none()), 37);
    assert_eq!(count(&|row| !row.on_ball), 94);
    assert_eq!(count(&|row| row.coverage.is_some()), 198);
    let with_rows: std::collections::BTreeSet<&str> =
        labels.screens.iter().map(|row| &*row.game_id).collect();
    assert_eq!(with_rows.len(), 235);
}

#[test]
fn of_a_game_with_windows_only_what_they_hold_can_be_false() {
    // Found: right at 10, of nobody at 30 and at 50, off the ball at 31. Looked at: 8.5 to 11.5 and 28.5 to 31.5, on the ball.
    let found = "G1,1,0,true,ball_screen,used,A5,A1,10.2\nG1,1,1,true,ball_screen,used,A5,A2,30\n\
                 G1,1,2,true,ball_screen,used,A5,A3,50\nG1,1,3,false,down,used,A5,A4,31\nG1,2,4,true,ball_screen,used,A5,A3,30";
    let folder = |labels: &str, labelled: &str| {
        Folder::new()
            .label("screens.csv", &format!("{HEAD}\n{labels}"))
            .label("labelled.csv", labelled)
            .table("screens", &format!("{HEAD}\n{found}"))
            .score()
            .unwrap()
    };
    let windows = "game_id,off_ball_screens,period,t_start_s,t_end_s\nG1,plain_only,1,8.5,11.5\nG1,plain_only,1,28.5,31.5\n";
    let right = "G1,1,a,true,ball_screen,used,A5,A1,10\n";
    let report = folder(right, windows);
    assert!(report.warnings.is_empty(), "{:?}", report.warnings);
    let detection = report.on_ball_screens.scored().unwrap().detection;
    assert_eq!(four(&detection), (1, 0, 1, 0));
    // The one at 50, and the one of the second period.
    assert_eq!(detection.not_judged, 2);
    assert_eq!(detection.precision.unwrap().share, 0.5);
    let off_ball = report.off_ball_screens.scored().unwrap().detection;
    assert_eq!((off_ball.extra, off_ball.not_judged), (0, 1));
    // A label outside them says what it says: found, or missed.
    let missed = folder(
        &format!("{right}G1,1,b,true,ball_screen,,A2,A1,70\nG1,1,c,true,ball_screen,,A5,A3,50\n"),
        windows,
    );
    assert_eq!(
        four(&missed.on_ball_screens.scored().unwrap().detection),
        (2, 1, 1, 0)
    );
    // Without windows the whole game was looked at.
    let whole = folder(right, "game_id,off_ball_screens\nG1,plain_only\n");
    assert_eq!(
        four(&whole.on_ball_screens.scored().unwrap().detection),
        (1, 0, 3, 0)
    );
}

#[test]
fn windows_of_one_folder_do_not_turn_off_what_another_labels_as_a_whole() {
    let right = format!("{HEAD}\nG1,1,a,true,ball_screen,used,A5,A1,10\n");
    let window = "game_id,off_ball_screens,period,t_start_s,t_end_s\nG1,plain_only,1,8.5,11.5\n";
    let found =
        format!("{HEAD}\nG1,1,0,true,ball_screen,used,A5,A1,10\nG1,1,1,true,ball_screen,used,A5,A2,50\n");
    let extra = |folder: Folder| {
        let report = folder.table("screens", &found).score().unwrap();
        let detection = report.on_ball_screens.scored().unwrap().detection;
        (detection.extra, detection.not_judged)
    };
    let reviewed = || {
        Folder::new()
            .label("ANN/screens.csv", &right)
            .label("ANN/labelled.csv", window)
    };
    assert_eq!(extra(reviewed()), (0, 1));
    // By a row of its own, or by its name in `labelled`.
    assert_eq!(extra(reviewed().label("whole/screens.csv", &right)), (1, 0));
    assert_eq!(
        extra(reviewed().label("whole/labelled.csv", "game_id\nG1\n")),
        (1, 0)
    );
    // Windows beside a folder `labels` are those of its rows.
    let beside = Folder::new()
        .label("a/labels/screens.csv", &right)
        .label("a/labelled.csv", window);
    assert_eq!(extra(beside), (0, 1));
}

#[test]
fn a_window_that_cannot_be_is_refused() {
    for (window, why) in [
        ("1,12,11", "t_end_s 11"),
        ("1,12,", "a part of a window"),
        (",12,13", "a part of a window"),
        ("1.5,12,13", "a part of a window"),
    ] {
        let error = Folder::new()
            .label("screens.csv", &format!("{HEAD}\n"))
            .label(
                "labelled.csv",
                &format!("game_id,period,t_start_s,t_end_s\nG1,{window}\n"),
            )
            .table("screens", &format!("{HEAD}\n"))
            .score()
            .unwrap_err()
            .to_string();
        assert!(
            error.contains("labelled.csv") && error.contains(why),
            "{window}: {error}"
        );
    }
}

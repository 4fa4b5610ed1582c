//! What hangs on screens, matchups, confidence; tables of the program's own types.

use approx::assert_abs_diff_eq;
use scrim_tables::rows::CoverageRow;
use scrim_tables::tags::{Coverage, OnBallPath};
use scrim_tables::{Row, RunInfo, write_rows};

use super::*;
use crate::{GamesWithoutTables, Section, Warning};

const SCREENS: &str = "game_id,period,screen_id,on_ball,screen_kind,screener_id,user_id,t_use_s,confidence";

#[test]
fn coverages_are_judged_on_screens_that_were_found_and_by_the_labels_own_ids() {
    let row = |screen_id, coverage, confidence| CoverageRow {
        game_id: "G1".into(),
        period: 1,
        screen_id,
        coverage,
        on_ball_path: OnBallPath::Over,
        confidence,
        depth_m: Some(2.5),
        ..CoverageRow::blank()
    };
    let run = RunInfo {
        pipeline: "test".into(),
        parameters_toml: String::new(),
        game_parameters_toml: String::new(),
        version: "0".into(),
    };
    let rows = [
        row(70, Coverage::Drop, 0.75),
        row(71, Coverage::Unclear, 0.25),
        row(72, Coverage::Ice, 0.75),
    ];
    let folder = Folder::new()
        .label(
            "screens.csv",
            "game_id,period,screen_id,on_ball,screen_kind,screener_id,user_id,t_use_s\nG1,1,0,1,ball_screen,A5,A1,10\n\
             G1,1,1,1,ball_screen,A5,A1,20\nG1,1,2,1,ball_screen,A5,A1,30\nG1,1,3,1,ball_screen,A5,A1,40\n\
             G1,1,4,1,ball_screen,A5,A1,50\n",
        )
        .label(
            "coverages.csv",
            // The screen of 3 has no coverage row in the tables; that of 4 was not found; 9 is no labelled screen.
            "game_id,screen_id,coverage,on_ball_path,depth_m\nG1,0,drop,over,2.0\nG1,1,ice,,\nG1,2,drop,under,2.5\n\
             G1,3,drop,,\nG1,4,drop,,\nG1,9,drop,,\n",
        )
        .table(
            "screens",
            &format!(
                "{SCREENS}\nG1,1,70,1,ball_screen,A5,A1,10,0.9\nG1,1,71,1,ball_screen,A5,A1,20,0.9\n\
                 G1,1,72,1,ball_screen,A5,A1,30,0.7\nG1,1,73,1,ball_screen,A5,A1,40,0.7\nG1,1,74,1,ball_screen,A3,A2,60,0.7"
            ),
        );
    write(
        &folder.tables().join("coverages/unknown~G1.parquet"),
        &write_rows(&rows, None, &run).unwrap(),
    );
    let report = folder.score().unwrap();
    let score = report.coverages.scored().unwrap();
    assert_eq!((score.labelled, score.judged, score.without_row), (6, 4, 1));
    assert!(report.warnings.contains(&Warning::ScreenNotLabelled {
        table: "coverages",
        rows: 1
    }));
    let tag = score.columns.tag("coverage").unwrap();
    assert_eq!(
        (tag.accuracy.hits, tag.accuracy.n, tag.unclear, tag.no_answer),
        (1, 4, 1, 1)
    );
    // drop: 3 labelled, 1 predicted, 1 right: F1 2/4. ice: 1 labelled, predicted once for a drop: 0. Mean 0.25.
    assert_abs_diff_eq!(tag.macro_f1, 0.25, epsilon = 1e-12);
    assert_eq!(score.columns.tag("on_ball_path").unwrap().accuracy.n, 2);
    // Depths: +0.5 and 0.0; the middle of two is 0.25.
    assert_abs_diff_eq!(
        score.columns.measure("depth_m").unwrap().median,
        0.25,
        epsilon = 1e-9
    );
    // `unclear` commits to nothing, so two rows state 0.75, and one of them is right.
    let sure = score.reliability.as_ref().unwrap();
    assert_eq!(sure.n, 2);
    assert_abs_diff_eq!(sure.expected_calibration_error, 0.25, epsilon = 1e-9);
    // Screens: 0.9 twice, both right: gap 0.1, weight 2/5. 0.7 three times, two right: gap 0.7 − 2/3, weight 3/5.
    let sure = report
        .on_ball_screens
        .scored()
        .unwrap()
        .reliability
        .as_ref()
        .unwrap();
    assert_abs_diff_eq!(
        sure.expected_calibration_error,
        0.4 * 0.1 + 0.6 * (0.7 - 2.0 / 3.0),
        epsilon = 1e-9
    );
}

#[test]
fn matchups_are_weighted_by_time() {
    let head = "game_id,period,defender_id,offender_id,t_start_s,t_end_s";
    let report = Folder::new()
        .label("matchups.csv", &format!("{head}\nG1,1,B1,A1,0,10\n"))
        // Right for 6 s, wrong for 2 s, nobody for 2 s.
        .table(
            "matchups",
            &format!("{head}\nG1,1,B1,A1,0,6\nG1,1,B1,A2,6.04,8\nG1,1,B2,A1,0,10"),
        )
        .score()
        .unwrap();
    let score = report.matchups.scored().unwrap();
    // Looks at 0.1, 0.3 … 9.9: 50, of which 30 lie below 6 and 10 above 8.
    let (right, uncovered) = (score.right.unwrap(), score.uncovered.unwrap());
    assert_eq!((right.hits, right.n, uncovered.hits), (30, 50, 10));
    assert_abs_diff_eq!(score.labelled_s, 10.0, epsilon = 1e-9);
}

#[test]
fn off_ball_motion_is_named_by_screen_and_player_and_options_by_the_screen() {
    let report = Folder::new()
        .label("screens.csv", "game_id,period,screen_id,screen_kind,screener_id,user_id,t_use_s\nG1,1,s1,ball_screen,A5,A1,10\n")
        .label("off_ball_motion.csv", "game_id,screen_id,player_id,activity\nG1,s1,A2,cut\nG1,s1,A3,shift\n")
        .label(
            "options.csv",
            "game_id,screen_id,receiver_id,shooter_id,shot_x_m,shot_y_m,shot_value\nG1,s1,A5,A4,3,4,2.0\n",
        )
        .table("screens", &format!("{SCREENS}\nG1,1,0,1,ball_screen,A5,A1,10,"))
        .table("off_ball_motion", "game_id,screen_id,player_id,activity\nG1,0,A3,shift\nG1,0,A2,stationary")
        .table(
            "options",
            "game_id,screen_id,receiver_id,shooter_id,shot_x_m,shot_y_m,shot_value\nG1,0,A5,A3,0,0,2",
        )
        .score()
        .unwrap();
    let activity = report
        .off_ball_motion
        .scored()
        .unwrap()
        .columns
        .tag("activity")
        .unwrap();
    assert_eq!((activity.accuracy.hits, activity.accuracy.n), (1, 2));
    let options = &report.options.scored().unwrap().columns;
    assert_eq!(options.value("receiver_id").unwrap().accuracy.hits, 1);
    assert_eq!(options.value("shooter_id").unwrap().accuracy.hits, 0);
    assert_eq!(options.tag("shot_value").unwrap().accuracy.hits, 1);
    // From (3, 4) to the origin: 5.
    assert_abs_diff_eq!(
        options.measure("shot_spot_m").unwrap().mean_absolute,
        5.0,
        epsilon = 1e-12
    );
}

#[test]
fn a_table_that_is_not_there_is_absent_and_one_without_labels_is_not_labelled() {
    let report = Folder::new()
        .label(
            "screens.csv",
            "game_id,period,screen_kind,screener_id,user_id,t_use_s\nG1,1,ball_screen,A5,A1,10\n",
        )
        .label(
            "cuts.csv",
            "game_id,period,player_id,cut_kind,t_start_s,t_end_s\nG1,1,A1,flash,1,2\n",
        )
        .table("screens", &format!("{SCREENS}\nG1,1,0,1,ball_screen,A5,A1,10,"))
        .score()
        .unwrap();
    assert_eq!(report.absent_tables, vec!["cuts"]);
    assert_eq!(report.cuts, Section::Absent);
    assert_eq!(report.possessions, Section::NotLabelled);
    let json = serde_json::to_value(&report).unwrap();
    assert_eq!(json["cuts"]["state"], "absent");
    assert_eq!(json["on_ball_screens"]["state"], "scored");
    assert_eq!(json["on_ball_screens"]["detection"]["found"], 1);
}

#[test]
fn only_labelled_games_are_judged_and_a_labelled_game_without_tables_is_refused_unless_asked() {
    let labels = "game_id,period,screen_kind,screener_id,user_id,t_use_s\nG 1/2,1,ball_screen,A5,A1,10\n\
                  G9,1,ball_screen,A5,A1,10\n";
    let row = |game| format!("{SCREENS}\n{game},1,0,1,ball_screen,A5,A1,10,");
    let folder = Folder::new()
        .label("screens.csv", labels)
        .table_of("G%201%2F2", "screens", &row("G 1/2"))
        .table_of("G3", "screens", &row("G3"));
    let message = folder.score().unwrap_err().to_string();
    assert!(
        message.contains("no tables for the labelled games G9; the tables hold G 1/2, G3"),
        "{message}"
    );
    let with = |games_without_tables| {
        folder
            .score_with(&ScoreParams {
                games_without_tables,
                ..Default::default()
            })
            .unwrap()
    };
    let counted = with(GamesWithoutTables::CountAsMissed);
    assert_eq!(
        four(&counted.on_ball_screens.scored().unwrap().detection),
        (1, 1, 0, 0)
    );
    let left_out = with(GamesWithoutTables::LeaveOut);
    assert_eq!(
        four(&left_out.on_ball_screens.scored().unwrap().detection),
        (1, 0, 0, 0)
    );
    assert_eq!(
        left_out.warnings,
        vec![Warning::GameWithoutTables { game_id: "G9".into() }]
    );
    assert_eq!(left_out.games, vec!["G 1/2"]);
}

//! The labelled screens, typed.

use scrim_tables::tags::{Coverage, OnBallPath, Outcome, ScreenKind};

use super::Folder;
use crate::{LabelledScreen, ScoreError, screen_labels};

const HEAD: &str = "game_id,period,screen_id,on_ball,screen_kind,outcome,screener_id,user_id,t_use_s";

#[test]
fn rows_come_typed_with_the_coverage_that_names_them_and_the_games_that_were_labelled() {
    // Row b is a zone of doubt; c says its family by its kind alone. G2 was labelled and has no row. The second coverage
    // of a comes too late; that of z names no screen.
    let folder = Folder::new()
        .label(
            "screens.csv",
            &format!("{HEAD}\nG1,4,a,true,ball_screen,slipped,5,1,12.5\nG1,4,b,true,,,5,2,20\nG3,1,c,,down,,5,3,30\n"),
        )
        .label(
            "coverages.csv",
            "game_id,screen_id,coverage,on_ball_path\nG1,a,drop,over\nG1,a,ice,denied\nG1,b,,under\nG1,z,hedge,\n",
        )
        .label("labelled.csv", "game_id,off_ball_screens\nG2,plain_only\nG1,all\n");
    let labels = screen_labels(&folder.labels()).unwrap();
    let games: Vec<&str> = labels.games.iter().map(|game| &**game).collect();
    assert_eq!(games, ["G1", "G2", "G3"]);
    assert!(
        labels
            .plain_only
            .iter()
            .eq(["G2"].map(scrim_tables::Id::from).iter())
    );
    assert!(labels.warnings.is_empty(), "{:?}", labels.warnings);
    let row = LabelledScreen {
        game_id: "G1".into(),
        period: 4,
        screen_id: Some("a".into()),
        on_ball: true,
        kind: Some(ScreenKind::BallScreen),
        screener: "5".into(),
        user: "1".into(),
        t_use_s: 12.5,
        outcome: Some(Outcome::Slipped),
        early_denial: false,
        coverage: Some(Coverage::Drop),
        on_ball_path: Some(OnBallPath::Over),
    };
    let doubt = LabelledScreen {
        screen_id: Some("b".into()),
        kind: None,
        user: "2".into(),
        t_use_s: 20.0,
        outcome: None,
        coverage: None,
        on_ball_path: Some(OnBallPath::Under),
        ..row.clone()
    };
    let down = LabelledScreen {
        game_id: "G3".into(),
        period: 1,
        screen_id: Some("c".into()),
        on_ball: false,
        kind: Some(ScreenKind::Down),
        user: "3".into(),
        t_use_s: 30.0,
        outcome: None,
        coverage: None,
        on_ball_path: None,
        ..row.clone()
    };
    assert_eq!(labels.screens, [row, doubt, down]);
}

#[test]
fn a_period_that_is_none_is_refused_with_its_place() {
    for period in ["0", "1.5", "256"] {
        let folder = Folder::new().label(
            "screens.csv",
            &format!("{HEAD}\nG1,{period},a,true,ball_screen,used,5,1,12.5\n"),
        );
        let refused = screen_labels(&folder.labels()).unwrap_err();
        let ScoreError::Unreadable { column, found, .. } = &refused else {
            panic!("{refused}");
        };
        assert_eq!((*column, found.as_str()), ("period", period));
        assert!(refused.to_string().contains("screens.csv, line 2"), "{refused}");
    }
}

#[test]
fn labels_without_screens_are_refused_by_the_tables_name() {
    let folder = Folder::new().label("coverages.csv", "game_id,screen_id,coverage\nG1,a,drop\n");
    let refused = screen_labels(&folder.labels()).unwrap_err();
    assert!(
        matches!(refused, ScoreError::NoLabelsOf { table: "screens", .. }),
        "{refused}"
    );
}

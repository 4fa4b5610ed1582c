//! The labelled coverage of found screens.

use scrim_floor::{Side, Zone};
use scrim_tables::Row;
use scrim_tables::rows::ScreenRow;
use scrim_tables::tags::{Coverage, Outcome, ScreenKind};

use super::Folder;
use crate::{ScoreError, ScoreParams, Warning, coverage_labels};

fn found(screen_id: u32, screener: &str, t_use_s: f64) -> ScreenRow {
    ScreenRow {
        game_id: "G1".into(),
        period: 1,
        possession_id: screen_id,
        screen_id,
        on_ball: true,
        screen_kind: ScreenKind::BallScreen,
        outcome: Outcome::Used,
        screener_id: screener.into(),
        user_id: "u".into(),
        t_use_s,
        t_end_s: t_use_s + 2.0,
        x_m: 7.0,
        y_m: 0.0,
        zone: Zone::Top,
        side: Side::Middle,
        strong_side: true,
        confidence: 0.9,
        screener_speed_mps: 0.2,
        user_gap_m: 0.8,
        ..ScreenRow::blank()
    }
}

const SCREENS: &str = "game_id,period,screen_id,on_ball,screen_kind,screener_id,user_id,t_use_s
G1,1,a,true,ball_screen,s,u,10.0
G1,1,b,true,ball_screen,s,u,20.0
G1,1,c,true,ball_screen,s,u,30.0
G1,1,d,true,,s,u,40.0
";

#[test]
fn labels_go_to_the_screens_that_a_score_would_match_them_with() {
    // a is found 0.9 s late; b with another screener, so not; c has no word; d is a zone of doubt.
    let folder = Folder::new().label("screens.csv", SCREENS).label(
        "coverages.csv",
        "game_id,screen_id,coverage
G1,a,hedge
G1,b,drop
G1,c,
G1,d,ice
G1,e,switch
",
    );
    let rows = [
        found(0, "s", 10.9),
        found(1, "t", 20.0),
        found(2, "s", 30.0),
        found(3, "s", 40.0),
    ];
    let labels = coverage_labels(&folder.labels(), &rows, &ScoreParams::default()).unwrap();
    let words: Vec<_> = labels
        .rows
        .iter()
        .map(|one| (one.screen_id, one.coverage))
        .collect();
    assert_eq!(words, [(0, Coverage::Hedge)]);
    assert_eq!((labels.labelled, labels.not_found), (4, 3));
    assert_eq!(labels.games, ["G1"]);
    assert!(
        labels.warnings.contains(&Warning::ScreenNotLabelled {
            table: "coverages",
            rows: 1
        }),
        "{:?}",
        labels.warnings
    );
}

#[test]
fn labels_of_screens_alone_are_refused_by_the_tables_name() {
    let folder = Folder::new().label("screens.csv", SCREENS);
    let refused = coverage_labels(&folder.labels(), &[], &ScoreParams::default()).unwrap_err();
    assert!(
        matches!(
            refused,
            ScoreError::NoLabelsOf {
                table: "coverages",
                ..
            }
        ),
        "{refused}"
    );
    assert!(refused.to_string().contains("coverages.csv"), "{refused}");
}

//! Labels as people type them.

use proptest::prelude::*;

use super::*;
use crate::Warning;

const TABLE: &str = "game_id,period,screen_id,on_ball,screen_kind,outcome,screener_id,user_id,t_use_s,early_denial\n\
                     G1,1,0,true,ball_screen,used,05,1,10,false\nG1,1,1,true,handoff,used,05,1,30,false";

#[test]
fn a_spreadsheet_with_mark_crlf_blanks_and_empty_columns_scores_as_the_plain_file_does() {
    let plain = "game_id,period,on_ball,screen_kind,outcome,screener_id,user_id,t_use_s\n\
                 G1,1,true,ball_screen,rejected,05,1,10.5\nG1,1,true,handoff,used,05,1,30\n";
    let typed = "\u{feff}Game_ID ,Period,on_ball,screen_kind,outcome,screener_id, user_id,t_use_s,,\r\n\
                 G1, 1,TRUE,Ball_Screen, rejected ,05,1,10.5,,\r\n,,,,,,,,,\r\n\r\nG1,1.0,1,handoff,used,05,1,30.0\r\n";
    let semicolons = plain.replace(',', ";");
    let tabs = plain.replace(',', "\t");
    let report = |text: &str| {
        Folder::new()
            .label("screens.csv", text)
            .table("screens", TABLE)
            .score()
            .unwrap()
    };
    let expected = report(plain);
    assert_eq!(
        four(&expected.on_ball_screens.scored().unwrap().detection),
        (2, 0, 0, 0)
    );
    assert!(expected.warnings.is_empty(), "{:?}", expected.warnings);
    for text in [typed, &semicolons, &tabs] {
        assert_eq!(report(text), expected);
    }
}

#[test]
fn quoted_cells_may_hold_commas() {
    let head = "game_id,period,screen_kind,screener_id,user_id,t_use_s";
    let report = Folder::new()
        .label(
            "screens.csv",
            &format!("{head},notes\nG1,1,ball_screen,05,1,10,\"slow, then quick\"\n"),
        )
        .table("screens", TABLE)
        .score()
        .unwrap();
    let [Warning::UnknownColumn { table, column, .. }] = report.warnings.as_slice() else {
        panic!("{:?}", report.warnings);
    };
    assert_eq!((*table, column.as_str()), ("screens", "notes"));
    assert_eq!(
        four(&report.on_ball_screens.scored().unwrap().detection),
        (1, 0, 1, 0)
    );
}

#[test]
fn labels_are_found_in_every_place_that_the_contract_names() {
    let text = "game_id,period,screen_kind,screener_id,user_id,t_use_s\nG1,1,ball_screen,05,1,10\n";
    for place in [
        "labels/screens.csv",
        "screens.csv",
        "game-a/labels/screens.csv",
        "game-a/screens.csv",
    ] {
        let report = Folder::new()
            .label(place, text)
            .table("screens", TABLE)
            .score()
            .unwrap();
        assert_eq!(
            report.on_ball_screens.scored().unwrap().detection.labelled,
            1,
            "{place}"
        );
    }
    // A game a folder, each in its own form.
    let folder = Folder::new()
        .label("a/labels/screens.csv", text)
        .table("screens", TABLE)
        .table_of("G2", "screens", &TABLE.replace("G1", "G2"));
    write(
        &folder.labels().join("b/screens.parquet"),
        &parquet_of(text.replace("G1", "G2").trim_end()),
    );
    assert_eq!(folder.score().unwrap().games, vec!["G1", "G2"]);
}

#[test]
fn rows_that_cannot_be_placed_are_reported_and_not_judged() {
    let report = Folder::new()
        .label(
            "screens.csv",
            "game_id,period,screen_kind,screener_id,user_id,t_use_s\nG1,1,ball_screen,05,1,10\nG1,1,ball_screen,05,,30\n",
        )
        .table("screens", TABLE)
        .score()
        .unwrap();
    assert_eq!(report.on_ball_screens.scored().unwrap().detection.labelled, 1);
    let [Warning::RowsNotPlaced { rows: 1, first, .. }] = report.warnings.as_slice() else {
        panic!("{:?}", report.warnings);
    };
    assert!(first.ends_with("screens.csv, line 3"), "{first}");
}

#[test]
fn labels_without_their_main_word_say_that_they_judge_nothing() {
    let report = Folder::new()
        .label(
            "screens.csv",
            "game_id,period,screener_id,user_id,t_use_s\nG1,1,05,1,10\n",
        )
        .table("screens", TABLE)
        .score()
        .unwrap();
    assert!(matches!(
        report.warnings.as_slice(),
        [Warning::AllInDoubt {
            column: "screen_kind",
            ..
        }]
    ));
    assert_eq!(
        four(&report.on_ball_screens.scored().unwrap().detection),
        (0, 0, 1, 1)
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn no_bytes_in_a_label_file_make_the_reader_panic(
        bytes in prop::collection::vec(any::<u8>(), 0..200),
        with_header in any::<bool>(),
    ) {
        let folder = Folder::new().table("screens", TABLE);
        let mut text = Vec::new();
        if with_header {
            text.extend(b"game_id,period,screen_kind,screener_id,user_id,t_use_s\n");
        }
        text.extend(bytes);
        write(&folder.labels().join("screens.csv"), &text);
        let _ = folder.score();
    }

    #[test]
    fn the_order_of_label_rows_does_not_change_the_counts(order in Just((0..6).collect::<Vec<usize>>()).prop_shuffle()) {
        let rows = [
            "G1,1,ball_screen,used,05,1,10", "G1,1,ball_screen,rejected,05,1,10.7", "G1,1,handoff,used,05,1,30.2",
            "G1,1,,,05,1,29.9", "G1,1,ball_screen,used,04,1,50", "G1,2,ball_screen,used,05,1,10",
        ];
        let file = |order: &[usize]| {
            let body: Vec<&str> = order.iter().map(|row| rows[*row]).collect();
            format!("game_id,period,screen_kind,outcome,screener_id,user_id,t_use_s\n{}\n", body.join("\n"))
        };
        let report = |text: &str| Folder::new().label("screens.csv", text).table("screens", TABLE).score().unwrap();
        prop_assert_eq!(report(&file(&order)), report(&file(&[0, 1, 2, 3, 4, 5])));
    }
}

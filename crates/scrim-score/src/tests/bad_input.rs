//! Each refusal names the place, what was found, what was expected, and what to do.

use super::*;

const HEAD: &str = "game_id,period,screen_kind,screener_id,user_id,t_use_s";
const TABLE: &str = "game_id,period,screen_id,on_ball,screen_kind,screener_id,user_id,t_use_s\nG1,1,0,true,ball_screen,A5,A1,10";

/// The message for a screens file of labels, less the folder's path.
fn message_of(bytes: &[u8]) -> String {
    let folder = Folder::new().table("screens", TABLE);
    write(&folder.labels().join("screens.csv"), bytes);
    let message = folder.score().unwrap_err().to_string();
    message
        .replace(&folder.labels().display().to_string(), "LABELS")
        .replace('\\', "/")
}

#[test]
fn a_folder_that_is_not_there_is_named() {
    let folder = Folder::new();
    let nowhere = folder.dir.path().join("nowhere");
    let params = ScoreParams::default();
    let message = score(&folder.tables(), &nowhere, &params).unwrap_err();
    assert!(
        matches!(&message, ScoreError::NoFolder { role: "labels", .. }),
        "{message}"
    );
    let folder = folder.label("screens.csv", &format!("{HEAD}\nG1,1,ball_screen,A5,A1,10\n"));
    let message = score(&nowhere, &folder.labels(), &params).unwrap_err();
    assert!(
        matches!(&message, ScoreError::NoFolder { role: "tables", .. }),
        "{message}"
    );
}

#[test]
fn a_folder_without_labels_says_what_they_would_be_called() {
    let message = Folder::new().score().unwrap_err().to_string();
    assert!(
        message.contains("no labels found; expected a file named possessions, matchups, screens"),
        "{message}"
    );
}

#[test]
fn an_unknown_word_is_reported_with_its_line() {
    let message =
        message_of(format!("{HEAD}\nG1,1,ball_screen,A5,A1,10\nG1,1,hand-off,A5,A1,20\n").as_bytes());
    assert_eq!(
        message,
        "LABELS/screens.csv, line 3: found `hand-off` in column `screen_kind`, expected one of ball_screen, handoff, \
         down, back, rub, cross, flex, flare, zipper, over_top, exit, other, or an empty cell for \"not judged\""
    );
}

#[test]
fn a_column_that_places_rows_must_be_there() {
    let message = message_of(
        b"game_id,period,screen_kind,screener_id,user_id,game_clock_s\nG1,1,ball_screen,A5,A1,540\n",
    );
    assert_eq!(
        message,
        "LABELS/screens.csv: no column `t_use_s`, without which no row of `screens` can be placed; found game_id, period, \
         screen_kind, screener_id, user_id, game_clock_s"
    );
}

#[test]
fn a_number_that_is_none_too_many_cells_and_a_column_twice_are_reported() {
    let number = message_of(format!("{HEAD}\nG1,1,ball_screen,A5,A1,9:41\n").as_bytes());
    assert_eq!(
        number,
        "LABELS/screens.csv, line 2: found `9:41` in column `t_use_s`, expected a number with a point for the decimals, or \
         an empty cell"
    );
    let cells = message_of(format!("{HEAD}\nG1,1,ball_screen,A5,A1,10,5\n").as_bytes());
    assert!(
        cells.contains("line 2: found 7 cells, expected at most 6"),
        "{cells}"
    );
    let twice = message_of(format!("{HEAD},t_use_s\nG1,1,ball_screen,A5,A1,10,10\n").as_bytes());
    assert!(twice.contains("column `t_use_s` is there twice"), "{twice}");
    let latin = message_of(&[HEAD.as_bytes(), b"\nG1,1,ball_screen,\xe9,A1,10\n"].concat());
    assert!(
        latin.contains("line 2: not UTF-8 text; save the sheet as \"CSV UTF-8\""),
        "{latin}"
    );
}

#[test]
fn parquet_that_is_none_and_a_row_of_it_are_reported() {
    let folder = Folder::new().table("screens", TABLE);
    let path = folder.labels().join("screens.parquet");
    write(&path, b"PAR1 not really");
    assert!(matches!(folder.score().unwrap_err(), ScoreError::Parquet { .. }));
    write(
        &path,
        &parquet_of(&format!(
            "{HEAD}\nG1,1,ball_screen,A5,A1,10\nG1,1,screen,A5,A1,20"
        )),
    );
    let message = folder.score().unwrap_err().to_string();
    assert!(
        message.contains("row 1 (the first is 0): found `screen` in column `screen_kind`"),
        "{message}"
    );
}

#[test]
fn a_table_without_the_columns_that_place_rows_is_refused() {
    let folder = Folder::new()
        .label("screens.csv", &format!("{HEAD}\nG1,1,ball_screen,A5,A1,10\n"))
        .table("screens", "game_id,period,screener_id\nG1,1,A5");
    let message = folder.score().unwrap_err().to_string();
    assert!(message.contains("no column `user_id`"), "{message}");
}

#[test]
fn a_span_that_ends_before_it_starts_is_refused() {
    let folder = Folder::new()
        .label(
            "cuts.csv",
            "game_id,period,player_id,cut_kind,t_start_s,t_end_s\nG1,1,A1,flash,12,2\n",
        )
        .table("screens", TABLE);
    let message = folder.score().unwrap_err().to_string();
    assert!(
        message.contains("cuts.csv, line 2: found t_start_s 12 and t_end_s 2, expected"),
        "{message}"
    );
}

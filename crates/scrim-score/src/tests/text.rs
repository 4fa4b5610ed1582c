//! The report as people read it.

use super::*;

#[test]
fn the_text_holds_counts_recall_by_outcome_and_confusion() {
    let head = "game_id,period,screen_kind,outcome,screener_id,user_id,t_use_s";
    let report = Folder::new()
        .label(
            "screens.csv",
            &format!("{head}\nG1,1,ball_screen,used,A5,A1,10\nG1,1,ball_screen,slipped,A5,A1,20\nG1,1,ball_screen,used,A5,A1,30\nG1,1,,,A5,A2,40\n"),
        )
        .label("cuts.csv", "game_id,period,player_id,cut_kind,t_start_s,t_end_s\nG1,1,A1,flash,1,2\n")
        .table("screens", &format!("{head}\nG1,1,ball_screen,used,A5,A1,10.4\nG1,1,ball_screen,used,A5,A1,20.2\nG1,1,ball_screen,used,A5,A2,40"))
        .score()
        .unwrap();
    let text = report.to_table();
    // Precision 2/2: Wilson from 2 / (2 + 1.96²) = 2 / 5.8415 = 0.342. Recall 2/3: 0.208 to 0.939. F1 = 4 / 5. With the row
    // in doubt as extra 2/3 too.
    let expected = [
        "Tables against labels: 1 game (G1)",
        "Labelled, but not among the tables: cuts",
        "  on-ball screens   3 of 4 (0.75)      2       1  0.667 [0.208, 0.939]  0.800",
        // The doubt names no family, so it is one off the ball too.
        "  off-ball screens  0 of 1 (0.00)      0       0                     –      –",
        "  cuts                   no table",
        "  on-ball screens       2      0         1           0  1.000 [0.342, 1.000]    0.667 [0.208, 0.939]",
        "  slipped      1         1  1.000 [0.207, 1.000]",
        "  used         1         2  0.500 [0.095, 0.905]",
        // Two of the three labels were found: 0.67.
        "  on-ball screens: outcome      2 of 3 (0.67)      1  0.500 [0.095, 0.905]     0.333        0          0",
        // Errors +0.4 and +0.2: middle 0.3, mean 0.3, 90th 0.2 + 0.9 · 0.2 = 0.38.
        "  on-ball screens: t_use_s  2 of 3 (0.67)  +0.300      0.300           0.380          0",
        "on-ball screens: outcome (down: labels; across: tables)",
        "           used     F1",
        "  slipped     1  0.000",
        // One right, one too many, none missed: 2 / 3.
        "  used        1  0.667",
    ];
    for line in expected {
        assert!(
            text.lines().any(|other| other == line),
            "no line {line:?} in\n{text}"
        );
    }
    assert!(text.lines().all(|line| line == line.trim_end()));
}

#[test]
fn many_games_are_named_by_the_first_and_the_last() {
    let head = "game_id,period,screen_kind,screener_id,user_id,t_use_s";
    let of = |games: u32| {
        let labelled: String = (10..10 + games).map(|game| format!("G{game}\n")).collect();
        (10..10 + games)
            .fold(Folder::new(), |folder, game| {
                folder.table_of(
                    &format!("G{game}"),
                    "screens",
                    &format!("{head}\nG{game},1,handoff,A5,A1,10"),
                )
            })
            .label("screens.csv", &format!("{head}\n"))
            .label("labelled.csv", &format!("game_id\n{labelled}"))
            .score()
            .unwrap()
            .to_table()
    };
    assert!(of(13).starts_with("Tables against labels: 13 games (G10, G11, … G22)\n"));
    assert!(of(12).lines().next().unwrap().ends_with("G20, G21)"));
}

#[test]
fn the_same_folders_give_the_same_bytes() {
    let head = "game_id,period,screen_kind,outcome,screener_id,user_id,t_use_s";
    let folder = Folder::new()
        .label(
            "screens.csv",
            &format!("{head}\nG1,1,ball_screen,used,A5,A1,10\nG1,1,down,used,A5,A2,20\n"),
        )
        .table(
            "screens",
            &format!("{head}\nG1,1,ball_screen,used,A5,A1,10.4\nG1,1,down,slipped,A5,A2,20.2"),
        );
    let json = || serde_json::to_string(&folder.score().unwrap()).unwrap();
    assert_eq!(json(), json());
    assert_eq!(
        folder.score().unwrap().to_table(),
        folder.score().unwrap().to_table()
    );
}

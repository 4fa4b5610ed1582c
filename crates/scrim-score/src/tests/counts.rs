//! Found, missed, extra: screens, cuts, possessions.

use super::*;

const HEAD: &str = "game_id, period, screen_id, on_ball, screen_kind, outcome, screener_id, user_id, t_use_s";

fn screens(rows: &[&str]) -> String {
    format!("{HEAD}\n{}\n", rows.join("\n"))
}

#[test]
fn a_screen_matches_within_a_second_and_with_the_same_two_players() {
    let report = Folder::new()
        .label(
            "screens.csv",
            &screens(&[
                "G1, 1, 0, true, ball_screen, used, A5, A1, 10.0",
                "G1, 1, 1, true, ball_screen, used, A5, A1, 30.0",
                "G1, 1, 2, true, ball_screen, used, A5, A1, 50.0",
                "G1, 1, 3, true, handoff, used, A4, A1, 70.0",
            ]),
        )
        .table(
            "screens",
            &screens(&[
                // At the very second: found. A hundredth past it: missed and one too many.
                "G1, 1, 7, true, ball_screen, used, A5, A1, 11.0",
                "G1, 1, 8, true, ball_screen, used, A5, A1, 31.01",
                // Another screener; another period.
                "G1, 1, 9, true, ball_screen, used, A4, A1, 50.0",
                "G1, 2, 10, true, handoff, used, A4, A1, 70.0",
            ]),
        )
        .score()
        .unwrap();
    let score = report.on_ball_screens.scored().unwrap();
    assert_eq!(four(&score.detection), (1, 3, 3, 0));
    // Precision 1/4, recall 1/4, so F1 is 1/4.
    assert_eq!(score.detection.f1, Some(0.25));
    let groups: Vec<_> = score
        .recall_by_group
        .iter()
        .map(|g| (g.group.as_str(), g.recall.hits, g.recall.n))
        .collect();
    assert_eq!(groups, vec![("handoff", 0, 1), ("used", 1, 3)]);
}

#[test]
fn each_row_is_paired_once_and_the_nearest_goes_first() {
    let report = Folder::new()
        .label(
            "screens.csv",
            &screens(&[
                "G1,1,0,true,ball_screen,used,A5,A1,10.0",
                "G1,1,1,true,ball_screen,used,A5,A1,10.9",
            ]),
        )
        .table(
            "screens",
            &screens(&[
                "G1,1,0,true,ball_screen,rejected,A5,A1,10.8",
                "G1,1,1,true,ball_screen,used,A5,A1,11.5",
            ]),
        )
        .score()
        .unwrap();
    let score = report.on_ball_screens.scored().unwrap();
    // 10.9–10.8 (0.1 s) goes first; then 10.0 has only 11.5 left, which is too far.
    assert_eq!(four(&score.detection), (1, 1, 1, 0));
    assert_eq!(score.columns.tag("outcome").unwrap().accuracy.hits, 0);
}

#[test]
fn a_zone_of_doubt_is_neither_a_miss_nor_a_false_alarm() {
    let report = Folder::new()
        .label(
            "screens.csv",
            &screens(&[
                "G1,1,0,,,,A5,A1,10.0",
                "G1,1,1,true,ball_screen,used,A5,A1,10.5",
                "G1,1,2,,,,A5,A1,40.0",
            ]),
        )
        .table(
            "screens",
            &screens(&[
                // Nearer to the doubt at 10.0, yet the real label at 10.5 comes first.
                "G1,1,0,true,ball_screen,used,A5,A1,10.1",
                // Stands for the doubt at 40.0.
                "G1,1,1,true,ball_screen,used,A5,A1,40.2",
                // Shares only the user with the doubt at 40.0, 1.9 s off: excused. The next, 2.1 s off, is not, nor is the
                // last, which shares nobody.
                "G1,1,2,true,ball_screen,used,A4,A1,41.9",
                "G1,1,3,true,ball_screen,used,A4,A1,42.1",
                "G1,1,4,true,ball_screen,used,A4,A2,40.0",
            ]),
        )
        .score()
        .unwrap();
    assert_eq!(
        four(&report.on_ball_screens.scored().unwrap().detection),
        (1, 0, 2, 2)
    );
}

#[test]
fn a_screen_predicted_in_the_wrong_family_is_a_miss_there_and_an_extra_here() {
    let report = Folder::new()
        .label(
            "screens.csv",
            &screens(&["G1,1,0,true,ball_screen,used,A5,A1,10.0"]),
        )
        .table("screens", &screens(&["G1,1,0,false,down,used,A5,A1,10.0"]))
        .score()
        .unwrap();
    assert_eq!(
        four(&report.on_ball_screens.scored().unwrap().detection),
        (0, 1, 0, 0)
    );
    assert_eq!(
        four(&report.off_ball_screens.scored().unwrap().detection),
        (0, 0, 1, 0)
    );
}

#[test]
fn early_denials_count_apart_and_a_labelled_link_is_followed() {
    let head = format!("{HEAD}, early_denial, previous_screen_id");
    let report = Folder::new()
        .label(
            "screens.csv",
            &format!(
                "{head}\nG1,1,0,true,ball_screen,rejected,A5,A1,10.0,true,\nG1,1,1,true,ball_screen,rejected,A5,A1,20.0,true,\n\
                 G1,1,2,true,ball_screen,flipped,A5,A1,30.0,,\nG1,1,3,true,ball_screen,used,A5,A1,32.0,,2\n"
            ),
        )
        .table(
            "screens",
            &format!(
                "{head}\nG1,1,5,true,ball_screen,rejected,A5,A1,10.0,true,\nG1,1,6,true,ball_screen,flipped,A5,A1,30.0,false,\n\
                 G1,1,7,true,ball_screen,used,A5,A1,32.0,false,6\n"
            ),
        )
        .score()
        .unwrap();
    let score = report.on_ball_screens.scored().unwrap();
    // The denial at 20.0 was not found: no miss. The one at 10.0 was: no find, and no extra either.
    assert_eq!(four(&score.detection), (2, 0, 0, 0));
    let early = score.early_denial.as_ref().unwrap();
    assert_eq!((early.labelled, early.found, early.flagged), (2, 1, 1));
    // The label's 3 points to the label's 2; the tables call these 7 and 6, and 7 points to 6.
    let link = score.previous_screen.as_ref().unwrap();
    assert_eq!((link.labelled, link.linked, link.right), (1, 1, 1));
}

#[test]
fn a_cut_matches_when_half_of_the_shorter_span_is_common() {
    let head = "game_id,period,player_id,cut_kind,t_start_s,t_end_s";
    let report = Folder::new()
        .label(
            "cuts.csv",
            &format!("{head}\nG1,1,A1,basket,10,12\nG1,1,A1,flash,20,22\nG1,1,A2,,30,32\nG1,1,A3,lift,40,42\n"),
        )
        .table(
            "cuts",
            &format!(
                // Common 1.0 of 2.0: found. Common 0.9 of 2.0: not. In the doubt: excused. Another player: extra.
                "{head}\nG1,1,A1,curl,11,13\nG1,1,A1,flash,21.1,23.1\nG1,1,A2,fill,30.5,31.5\nG1,1,A4,lift,40,42"
            ),
        )
        .score()
        .unwrap();
    let score = report.cuts.scored().unwrap();
    assert_eq!(four(&score.detection), (1, 2, 2, 1));
    assert_eq!(
        score.columns.tag("cut_kind").unwrap().confusion.predicted,
        vec!["curl"]
    );
    // Start and end are both a second late.
    assert_eq!(score.columns.measure("t_start_s").unwrap().median, 1.0);
}

#[test]
fn a_possession_matches_by_common_time_and_offence() {
    let head = "game_id,period,offense_team_id,phase,t_start_s,t_end_s,end_kind,points,t_half_court_s";
    let report = Folder::new()
        .label(
            "possessions.csv",
            &format!(
                "{head}\nG1,1,N,half_court,0,10,shot_made,2,4\nG1,1,S,half_court,20,30,turnover,0,\nG1,1,N,,40,50,,,\n\
                 G1,1,S,transition,60,70,foul,,\n"
            ),
        )
        .table(
            "possessions",
            &format!(
                // 7 of 10 s are common: found, just. 6.9 of 10: not. More than half in the doubt: excused. Wrong team: extra.
                "{head}\nG1,1,N,half_court,0,7,shot_made,3,4.5\nG1,1,S,half_court,20,26.9,turnover,0,\n\
                 G1,1,S,half_court,45.1,54,foul,0,\nG1,1,N,transition,60,70,foul,0,"
            ),
        )
        .score()
        .unwrap();
    let score = report.possessions.scored().unwrap();
    // Common with the doubt: 45.1 to 50 is 4.9 of 8.9 s, more than half.
    assert_eq!(four(&score.detection), (1, 2, 2, 1));
    assert_eq!(
        score.columns.measure("t_half_court_s").unwrap().mean_absolute,
        0.5
    );
    assert_eq!(score.columns.tag("points").unwrap().accuracy.share, 0.0);
}

use super::Folder;
use crate::BallScreenPossessions;

#[test]
fn half_court_possessions_are_counted_by_whether_they_have_a_ball_screen() {
    let possessions = "game_id,period,offense_team_id,defense_team_id,t_start_s,t_end_s,phase
G1,1,A,B,0,10,half_court
G1,1,B,A,10,20,half_court
G1,1,A,B,20,30,half_court
G1,1,B,A,30,40,half_court
G1,1,A,B,40,50,half_court
G1,1,B,A,50,60,transition";
    let screens = |rows: &str| {
        format!("game_id,period,screen_id,on_ball,screen_kind,screener_id,user_id,t_use_s\n{rows}")
    };
    // Seen; missed; none and none seen (a handoff is no ball screen); none and one seen; in doubt; in transition.
    let labelled = screens(
        "G1,1,0,true,ball_screen,s,h,5\nG1,1,1,true,ball_screen,s,h,15\nG1,1,2,true,handoff,s,h,25\nG1,1,3,true,,s,h,45\nG1,1,4,true,ball_screen,s,h,55",
    );
    let seen = screens(
        "G1,1,0,true,ball_screen,s,h,5\nG1,1,1,false,down,s,h,15\nG1,1,2,true,ball_screen,s,h,35\nG1,1,3,true,ball_screen,s,h,45",
    );
    let folder = Folder::new()
        .label("possessions.csv", possessions)
        .label("screens.csv", &labelled)
        .table("possessions", possessions)
        .table("screens", &seen);
    let possessions = BallScreenPossessions {
        labelled: 2,
        found: 1,
        others: 2,
        passed: 1,
    };
    assert_eq!(folder.score().unwrap().ball_screen_possessions, Some(possessions));
}

//! What a page shows of what it knows, in which order, and by which names.

use scrim_floor::Side;

use super::{has, page, text};
use crate::staging::{staged_game, staged_team};

#[test]
fn the_head_says_name_and_id_and_players_stand_by_number() {
    let mut game = staged_game("G1", 6);
    for player in &mut game.players {
        let name = if player.team_id.as_ref() == "KH" {
            "Kings Harbour"
        } else {
            "Salt Mill"
        };
        let jersey = player.jersey.as_deref().unwrap_or_default();
        player.name = Some(format!("{name} {jersey}").as_str().into());
    }
    let mut team = staged_team(vec![game]);
    let seen = text(&page(&team));
    has(&seen, "Kings Harbour (KH)");
    has(&seen, "8 screening for 4, 100 %");
    // Whom the other team's defenders switched on to: the reader's players are "our".
    team.choice.team = "SM".into();
    has(&text(&page(&team)), "Switched on to Kings Harbour 8 (2).");
    team.choice.reader = Some("KH".into());
    has(&text(&page(&team)), "Switched on to our 8 (2).");
}

#[test]
fn a_part_of_less_than_one_in_twenty_has_no_row() {
    // One of 21 on the left: 4.8 %; one of 20: 5 %.
    let sides = |possessions| {
        let mut game = staged_game("G1", possessions);
        game.screens.iter_mut().for_each(|row| row.side = Side::Right);
        game.screens[1].side = Side::Left;
        text(&page(&staged_team(vec![game])))
    };
    assert!(!sides(21).contains("Left side"));
    has(&sides(20), "Left side");
}

#[test]
fn what_is_folded_stands_last_and_is_named_on_paper() {
    let html = page(&staged_team(vec![staged_game("G1", 6)]));
    let (before, behind) = html.split_once("Not printed").unwrap();
    for shown in [
        "id=\"looks\"",
        "id=\"faced\"",
        "id=\"answers\"",
        "id=\"pairs\"",
        "id=\"played\"",
    ] {
        assert!(before.contains(shown) || !html.contains(shown), "{shown}");
    }
    for folded in [
        "id=\"disguised\"",
        "id=\"again\"",
        "id=\"splits\"",
        "id=\"defenders\"",
        "id=\"how-to-read\"",
    ] {
        assert!(behind.contains(folded), "{folded}");
    }
}

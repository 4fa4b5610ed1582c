//! What comes first on the page, what is a sentence there, and what the players are asked to do.

use scrim_season::words::Words;
use scrim_tables::Row;
use scrim_tables::rows::{AgainstLeagueRow, ScreenRow, TendencyRow};
use scrim_tables::tags::{Alignment, Entry, Grouping, Outcome, Question, TeamSide};

use super::{has, page, text};
use crate::staging::{staged_game, staged_team};
use crate::{TeamGames, make_players_sheet};

#[test]
fn what_is_seldom_disguised_is_a_sentence_and_what_came_once_has_no_row() {
    let disguised = |of: fn(u32) -> Option<Entry>| {
        let mut game = staged_game("G1", 42);
        for (row, entry) in game.disguises.iter_mut().zip(&mut game.entries) {
            let from = of(entry.possession_id);
            row.disguised = from.is_some();
            entry.entry = from.unwrap_or(Entry::None);
        }
        let text = text(&page(&staged_team(vec![game])));
        let section = text.split("Disguised ball screens").nth(2).unwrap();
        section.split("Sets they repeat").next().unwrap().to_owned()
    };
    // Two of 42 are 4.8 %.
    assert_eq!(
        disguised(|number| (number < 2).then_some(Entry::Flash)),
        "They hardly disguise their ball screens: 5 % (2 of 42; 1–16 %) of those that could be judged were disguised as something else."
    );
    let more = disguised(|number| match number {
        0..5 => Some(Entry::Flash),
        5..7 => Some(Entry::Rub),
        7 => Some(Entry::Curl),
        _ => None,
    });
    has(&more, "Flash");
    has(&more, "62 % 5 of 8; 31–86 %");
    has(
        &more,
        "Not in the table: 2 actions, each with fewer than 5 disguised ball screens, 3 in all.",
    );
    assert!(!more.contains("Curl"), "{more}");
}

#[test]
fn the_disguised_ones_that_scored_are_one_of_a_kind_and_of_a_possession() {
    let mut game = staged_game("G1", 8);
    for row in &mut game.possessions {
        row.points = Some(2);
    }
    // Out of a rub screen four times, a flash three times, the first of these in the possession of the first rub screen; out of a down
    // screen once.
    let kinds = [
        Entry::Rub,
        Entry::Rub,
        Entry::Rub,
        Entry::Rub,
        Entry::Flash,
        Entry::Flash,
        Entry::Flash,
        Entry::Down,
    ];
    for (row, kind) in game.entries.iter_mut().zip(kinds) {
        row.entry = kind;
        row.look = format!("horns {kind}:left");
    }
    for (place, row) in game.disguises.iter_mut().enumerate() {
        row.disguised = true;
        // The earliest of each kind is the greatest surprise.
        row.surprise_bits = Some(9.0 - place as f32);
    }
    let moved = game.possessions[0].possession_id;
    for row in game
        .screens
        .iter_mut()
        .filter(|row| row.on_ball && row.possession_id == 4)
    {
        row.possession_id = moved;
    }
    let html = page(&staged_team(vec![game]));
    let shown = html.split("Ones that scored, one of each kind").nth(1).unwrap();
    let shown = text(&format!("<body>{}", shown.split("</section>").next().unwrap()));
    let places = [
        "Horns → rub screen left",
        "Horns → flash left",
        "Horns → down screen left",
    ]
    .map(|title| (shown.matches(title).count(), shown.find(title).unwrap()));
    assert!(places.iter().all(|(times, _)| *times == 1), "{shown}");
    assert!(places.is_sorted_by_key(|(_, place)| *place), "{shown}");
    // The first rub screen is at 593.2 s; the flash of possession 5 at 493.2 s, as that of 4 is of the first rub screen's possession.
    assert!(shown.contains("P1 9:53") && shown.contains("P1 8:13"), "{shown}");
}

#[test]
fn a_look_is_named_by_the_last_action_before_it() {
    let mut game = staged_game("G1", 6);
    // Two out of the down screen; of the others two have a zipper screen before them, and two nothing.
    for (place, row) in game.entries.iter_mut().enumerate().skip(2) {
        row.entry = Entry::None;
        row.look = ["box", "box cross:middle zipper:left"][place / 4].into();
        row.alignment = Some(Alignment::Box);
    }
    let text = text(&page(&staged_team(vec![game])));
    for part in [
        "Four out, one in, out of a down screen",
        "Box, a zipper screen first",
        "Box, straight into it",
    ] {
        let (_, row) = text.split_once(part).unwrap();
        has(row.split("points").next().unwrap_or_default(), "33 % 2 of 6");
    }
}

#[test]
fn clips_of_the_latest_game_stand_first() {
    let mut games = ["G1", "G2"].map(|id| staged_game(id, 2));
    games[1].game.date = Some("2041-03-09".into());
    let text = text(&page(&staged_team(games.to_vec())));
    let shown = text.split("Over").nth(1).unwrap();
    has(
        shown,
        "See SM 9 Mar, P1 9:53, SM 9 Mar, P1 9:33, SM 2 Mar, P1 9:53 and 1 more",
    );
}

/// A finding of the staged team, whose six ball screens h5 sets for h1.
fn finding(question: Question, answer: &str) -> AgainstLeagueRow {
    AgainstLeagueRow {
        team_id: "KH".into(),
        side: TeamSide::Offense,
        question,
        answer: Some(answer.into()),
        n: 40,
        hits: Some(10),
        games: 4,
        value: 0.25,
        value_low: 0.14,
        value_high: 0.4,
        league: 0.02,
        effect: 0.7,
        rank: Some(1),
        points_per_play: Some(0.8),
        points_without: Some(1.1),
        points_gain_low: Some(-0.7),
        points_gain_high: Some(0.1),
        ..Row::blank()
    }
}

#[test]
fn a_finding_says_whether_it_pays_beside_the_usual_points() {
    let mut team = staged_team(vec![staged_game("G1", 6)]);
    team.season.against_league = vec![finding(Question::Entry, "down")];
    let text = text(&page(&team));
    has(
        &text,
        "10 of 40; 14–40 %, in 4 games. It has brought less so far, which may be chance: 0.80 points a possession with it, 1.10 on the others of these ball screens \
         (difference -0.70 to +0.10). See P1 9:53, ",
    );
}

#[test]
fn a_rule_about_a_flip_shows_the_screen_that_it_turned_into() {
    let mut game = staged_game("G1", 1);
    game.screens[1].outcome = Outcome::Flipped;
    // Set again at 7.4 s, used at 8.2 s: 591.8 s are left then.
    game.screens.push(ScreenRow {
        screen_id: 2,
        outcome: Outcome::Used,
        previous_screen_id: Some(1),
        t_set_s: Some(7.4),
        t_use_s: 8.2,
        ..game.screens[1].clone()
    });
    let mut team = staged_team(vec![game]);
    team.season.against_league = vec![AgainstLeagueRow {
        handler_id: Some("h1".into()),
        screener_id: Some("h5".into()),
        ..finding(Question::PairOutcome, "flipped")
    }];
    let sheet = make_players_sheet(&team, &Words::english()).unwrap();
    let text = text(&sheet.html);
    has(
        &text,
        "When KH 8 screens for KH 4, the first side is not the real one: stay with KH 8 and call the flip.",
    );
    has(&text, "P1 9:51");
    assert!(!text.contains("P1 9:53"), "{text}");
}

#[test]
fn a_rule_about_a_way_in_shows_the_ball_screen_that_it_warns_of() {
    let mut team = staged_team(vec![staged_game("G1", 2)]);
    team.season.against_league = vec![finding(Question::Entry, "down")];
    let sheet = make_players_sheet(&team, &Words::english()).unwrap();
    has(
        &text(&sheet.html),
        "When you see a down screen, call out the ball screen: it often comes next.",
    );
    let drawn: Vec<&str> = sheet
        .drawings
        .iter()
        .map(|drawing| drawing.name.as_str())
        .collect();
    assert_eq!(drawn, ["01-before", "01-ball-screen"]);
}

#[test]
fn a_way_in_that_sets_them_apart_is_not_said_again_as_the_most_frequent_one() {
    let mut team = staged_team(vec![staged_game("G1", 12)]);
    let said = |team: &TeamGames| text(&make_players_sheet(team, &Words::english()).unwrap().html);
    let most = "it is their most frequent way into one";
    has(&said(&team), most);
    team.season.against_league = vec![finding(Question::Entry, "down")];
    let text = said(&team);
    has(&text, "it often comes next.");
    assert!(!text.contains(most), "{text}");
}

#[test]
fn what_they_do_most_is_said_where_it_leads_and_else_the_first_two_are() {
    // Twelve ball screens, all out of a down screen by one pair; six on either side. The screener rolls.
    let mut team = staged_team(vec![staged_game("G1", 12)]);
    let said = |team: &TeamGames| text(&make_players_sheet(team, &Words::english()).unwrap().html);
    let often = "When you see a down screen, call out the ball screen: it is their most frequent way into one.100 % of their ball screens come out of it (12 of 12).";
    let place = "Be at the left slot or the right slot early: they set it there.100 % of their ball screens are set there (12 of 12).";
    for rule in [
        "After the screen, stop the roll: it is what they do most.On 100 % of their ball screens the screener rolls (12 of 12).",
        often,
        place,
    ] {
        has(&said(&team), rule);
    }
    // What the screener does is not known.
    team.games[0].options.clear();
    for rule in [
        often,
        place,
        "Get early to the screen of KH 8 for KH 4: it is the one they set most.",
    ] {
        has(&said(&team), rule);
    }
}

#[test]
fn how_often_a_ball_screen_comes_next_is_said_of_what_is_seen() {
    let mut team = staged_team(vec![staged_game("G1", 12)]);
    let look = |key: &str, n, hits| TendencyRow {
        team_id: "KH".into(),
        side: TeamSide::Offense,
        grouping: Grouping::Look,
        key: key.into(),
        n,
        hits,
        ..TendencyRow::blank()
    };
    team.season.tendencies = vec![
        look("horns down:left", 30, 18),
        look("box flash:left down:right", 20, 12),
        // After another action.
        look("box flash:left", 100, 0),
    ];
    let said = |team: &TeamGames| text(&make_players_sheet(team, &Words::english()).unwrap().html);
    let next = "After it a ball screen was the very next action 60 % of the time (30 of 50).";
    has(&said(&team), next);
    // Of fewer than 25 nothing is said.
    team.season.tendencies[0].n = 4;
    team.season.tendencies[0].hits = 4;
    assert!(!said(&team).contains("very next action"));
}

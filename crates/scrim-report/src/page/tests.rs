use std::collections::BTreeMap;

use proptest::prelude::*;
use scrim_floor::Side;
use scrim_season::words::Words;
use scrim_tables::rows::{CounterRow, DilemmaRow, DisguisePayRow, ScreenRow, TendencyRow};
use scrim_tables::tags::{Coverage, Grouping, HelperAction, PayMeasure, RunResult, TeamSide};
use scrim_tables::{Id, Row};

use super::make_report;
use crate::staging::{staged_game, staged_team};
use crate::{ClipFormat, GameRows, Note, TeamGames, Wanted, clip_lists};

mod findings;
mod shown;

fn page(team: &TeamGames) -> String {
    make_report(team, &Words::english()).unwrap().html
}

/// The page's text as a reader sees it, without tags; no-break spaces as spaces.
fn text(html: &str) -> String {
    let body = html
        .split("<body>")
        .nth(1)
        .unwrap()
        .split("<script")
        .next()
        .unwrap();
    let mut text = String::new();
    let mut inside = false;
    for letter in body.chars() {
        match letter {
            '<' => inside = true,
            '>' => inside = false,
            letter if !inside => text.push(letter),
            _ => {}
        }
    }
    text.replace('\u{a0}', " ")
}

#[track_caller]
fn has(text: &str, part: &str) {
    assert!(text.contains(part), "no `{part}` in:\n{text}");
}

#[test]
fn the_first_screen_says_what_they_run_with_counts() {
    // 6 possessions, each with one ball screen; drop but for possessions 2 and 5; points 2, 0, 2, 0, 2, 0.
    let text = text(&page(&staged_team(vec![staged_game("G1", 6)])));
    has(
        &text,
        "on 100 % of half-court possessions (6 of 6; 61–100 %): 6 ball screens in 1 game.",
    );
    has(&text, "8 screening for 4, 100 % (6 of 6; 61–100 %)");
    has(&text, "most often a down screen, 100 % (6 of 6; 61–100 %)");
    has(
        &text,
        "Against them: drop 67 %, switch 33 % (6 that could be read).",
    );
    has(
        &text,
        "No one place leads: left slot 50 % (3 of 6; 19–81 %), right slot 50 % (3 of 6; 19–81 %).",
    );
    has(&text, "Counted over the 1 game of this report.");
    has(&text, "33 % were disguised as something else (2 of 6; 10–70 %)");
    has(&text, "Very small sample.");
}

#[test]
fn a_repeated_set_is_listed_run_by_run() {
    let text = text(&page(&staged_team(vec![staged_game("G1", 4)])));
    // Possession k starts 20 k s into a period of 600 s; the use is 6.8 s later: 593.2 s left shows as 9:53.
    has(
        &text,
        "Against SM 2 Mar: P1 9:53 drop, 2 → P1 9:33 drop, 0 → P1 9:13 switch, 2 → P1 8:53 drop, 0",
    );
}

#[test]
fn each_defender_has_how_they_meet_a_screen_and_who_helps_whom_it_leaves_open() {
    let mut game = staged_game("G1", 6);
    for (entry, late_s) in game.entries.iter_mut().zip([0.2, 0.4, 0.9]) {
        entry.screener_defender_late_s = Some(late_s);
    }
    for (place, coverage) in game.coverages.iter_mut().take(2).enumerate() {
        coverage.helper_id = Some("s3".into());
        coverage.helper_action = HelperAction::Tag;
        game.dilemmas.push(DilemmaRow {
            screen_id: coverage.screen_id,
            helper_id: Some("s3".into()),
            left_open_id: Some("h3".into()),
            ball_got_there: Some(place == 0),
            ..DilemmaRow::blank()
        });
    }
    let mut team = staged_team(vec![game]);
    team.choice.team = "SM".into();
    let text = text(&page(&team));
    // Six ball screens against them; possessions 2 and 5 are switched, and every path goes over.
    for part in [
        "4Ball screens: 6. Switched on to KH 8 (2). See P1 9:53",
        "8Drop 4, switch 2. Switched on to KH 4 (2). See P1 9:53",
        "0.4 s known for 3 of 6",
        "6Tags the roller 2. Left open KH 6 (2). See P1 9:53",
        "33 % 2 of 6; 10–70 %",
        "50 % 1 of 2; 9–91 %",
    ] {
        has(&text, part);
    }
}

#[test]
fn the_run_that_is_drawn_was_covered_and_ended_as_most_were() {
    // All runs are alike on the floor, so that whichever is nearest to the others is once the odd one.
    for odd in 0..6 {
        let mut game = staged_game("G1", 6);
        for coverage in &mut game.coverages {
            coverage.coverage = Coverage::Drop;
        }
        game.coverages[odd].coverage = Coverage::Hedge;
        let text = text(&page(&staged_team(vec![game])));
        let drawn = text.split("Typical runs").nth(1).unwrap();
        let drawn = drawn.split("Key to the drawings").next().unwrap();
        has(drawn, "Ball screen, drop");
        assert!(!drawn.contains("hedge"), "{odd}: {drawn}");
    }
}

#[test]
fn ball_screens_are_parted_by_side_corner_screeners_and_time() {
    let mut game = staged_game("G1", 6);
    // The first on the left, where somebody stands in the corner, and late; with a second screener.
    game.screens[1].side = Side::Left;
    game.possessions[0].t_start_s = -10.0;
    game.screens.push(ScreenRow {
        screen_id: 100,
        screener_id: "h4".into(),
        previous_screen_id: Some(1),
        ..game.screens[1].clone()
    });
    // All four on the left met a drop, of the two on the right one: 51 to 100 %, and 9 to 91 %.
    game.coverages[5].coverage = Coverage::Drop;
    // Before the last one play stands still for 50 s.
    game.possessions[4].t_end_s = 50.0;
    let text = text(&page(&staged_team(vec![game])));
    for part in [
        "Left sideMostly against drop (4 of 4). ",
        "Right sideSee ",
        "Filled cornerSee ",
        "Empty corner",
        "Double screenSee ",
        "Late, from 16 s on",
        "After a stop",
        "14 % 1 of 7; 3–51 %",
        "29 % 2 of 7; 8–64 %",
    ] {
        has(&text, part);
    }
}

#[test]
fn the_season_adds_what_comes_next_whether_disguise_pays_and_the_answers() {
    let mut team = staged_team(vec![staged_game("G1", 3)]);
    for (row, chain) in team.games[0].possessions.iter_mut().zip([
        "down:left flash:right",
        "down:right",
        "down:left ball_screen:left",
    ]) {
        row.token_chain = chain.into();
    }
    team.season.season = Some("2041".into());
    team.season.tendencies.push(TendencyRow {
        team_id: "KH".into(),
        side: TeamSide::Offense,
        grouping: Grouping::Look,
        key: "four_out_one_in down:right".into(),
        games: 4,
        n: 40,
        hits: 10,
        rate: 0.25,
        rate_low: 0.14,
        rate_high: 0.40,
        next_action_entropy_bits: Some(1.5),
        ..TendencyRow::blank()
    });
    team.season.disguise_pay.push(DisguisePayRow {
        team_id: Some("KH".into()),
        measure: PayMeasure::PointsPerPlay,
        disguised_n: 30,
        plain_n: 40,
        disguised: Some(1.2),
        plain: Some(1.0),
        difference: Some(0.2),
        difference_low: Some(-0.3),
        difference_high: Some(0.7),
        shrunk: None,
        shrunk_low: None,
        shrunk_high: None,
    });
    team.season.counters.push(CounterRow {
        team_id: Some("KH".into()),
        side: TeamSide::Defense,
        coverage: Coverage::Drop,
        option: "any".into(),
        result: RunResult::Beat,
        next: "switch".into(),
        games: 3,
        n: 12,
        hits: 9,
        rate: 0.75,
        rate_low: 0.47,
        rate_high: 0.91,
        rate_adjusted: None,
        rate_adjusted_low: None,
        rate_adjusted_high: None,
    });
    let text = text(&page(&team));
    // 10 of 40: Wilson 14.2 to 40.2 %. 9 of 12: 46.8 to 91.1 %.
    has(&text, "Four out, one in → down screen (both sides)");
    // Of the three possessions one goes on with a flash, one ends there, one has a ball screen.
    has(&text, "Otherwise: nothing more 1, a flash 1.");
    has(&text, "in the 1 game of this report");
    has(&text, "25 % 10 of 40; 14–40 %");
    has(
        &text,
        "Points per possession: 1.20 disguised (n = 30), 1.00 not (n = 40); difference +0.20 (-0.30 to +0.70).",
    );
    has(
        &text,
        "After their defence was beaten in a drop, it met the next run of the same set with a switch most, 75 % (9 of 12; 47–91 %). Small sample.",
    );
}

#[test]
fn the_page_says_what_is_missing() {
    let mut game = staged_game("G1", 3);
    game.entries.clear();
    game.sequences.clear();
    game.tracks.clear();
    let mut team = staged_team(vec![game]);
    team.absent = BTreeMap::from([("entries", 1), ("sequences", 1), ("tracks", 1)]);
    let text = text(&page(&team));
    has(
        &text,
        "These tables have no entries, so ball screens are grouped by place.",
    );
    has(&text, "These tables have no sequences");
    has(&text, "No drawings");
    has(&text, "Table tracks: missing for 1 game of 1.");
    has(&text, "Ball screen at the right slot");
}

#[test]
fn a_game_without_anything_makes_a_page() {
    let text = text(&page(&staged_team(vec![staged_game("G1", 0)])));
    has(
        &text,
        "None of their half-court possessions was found in these games",
    );
    assert!(
        clip_lists(
            &staged_team(vec![]),
            &Wanted::default(),
            &[ClipFormat::Csv],
            &Words::english()
        )
        .is_ok()
    );
}

const HOSTILE: &str = "<script>hostile()</script><!--\"'&</title></style>]]>";

/// Every text from data is hostile.
fn hostile() -> TeamGames {
    let mut game = staged_game(HOSTILE, 3);
    let id: Id = HOSTILE.into();
    for player in &mut game.players {
        player.name = Some(id.clone());
        player.jersey = Some("<b".into());
    }
    game.game.date = Some(id.clone());
    game.game.home_team_id = id.clone();
    for row in &mut game.possessions {
        row.offense_team_id = id.clone();
    }
    for row in &mut game.entries {
        row.look = HOSTILE.into();
    }
    for row in &mut game.sequences {
        row.set_key = HOSTILE.into();
        row.team_id = id.clone();
    }
    let mut team = staged_team(vec![game]);
    team.choice.team = HOSTILE.into();
    team.notes.push(Note::Unreadable {
        file: HOSTILE.into(),
        error: HOSTILE.into(),
    });
    team
}

#[test]
fn text_from_data_is_text_on_the_page_and_in_drawings() {
    let report = make_report(&hostile(), &Words::english()).unwrap();
    // The page's own three: what opens a folded section, the data of the playback, and its script.
    assert_eq!(report.html.matches("<script").count(), 3);
    assert_eq!(report.html.matches("</script").count(), 3);
    assert_eq!(report.html.matches("</style").count(), 1);
    assert_eq!(report.html.matches("<!--").count(), 0);
    assert!(report.html.contains("&lt;script&gt;hostile()"));
    assert!(!report.drawings.is_empty());
    for drawing in &report.drawings {
        assert!(
            !drawing.svg.contains("<script") && !drawing.svg.contains("<b"),
            "{}",
            drawing.svg
        );
    }
}

#[test]
fn the_same_games_make_the_same_page() {
    let team = staged_team(vec![staged_game("G1", 5), staged_game("G2", 2)]);
    assert_eq!(
        make_report(&team, &Words::english()).unwrap(),
        make_report(&team, &Words::english()).unwrap()
    );
}

fn odd() -> impl Strategy<Value = f64> {
    prop_oneof![
        Just(f64::NAN),
        Just(f64::INFINITY),
        Just(f64::NEG_INFINITY),
        Just(-1e9),
        Just(1e12),
        -50.0..200.0_f64,
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Rows that other programs may have written.
    #[test]
    fn no_number_breaks_a_page_or_a_clip_list(
        times in proptest::collection::vec(odd(), 12),
        hz in prop_oneof![Just(0.001_f32), Just(10.0), Just(1e9)],
        cut in 0..100_usize,
        ids in 0..8_u32,
    ) {
        let mut game: GameRows = staged_game("G1", 3);
        game.screens[1].t_set_s = Some(times[0]);
        game.screens[1].t_use_s = times[1];
        game.screens[1].t_end_s = times[2];
        game.screens[3].t_use_s = times[3];
        game.screens[3].x_m = times[4] as f32;
        game.screens[3].period = 0;
        game.touches[0].t_start_s = times[5];
        game.touches[0].t_end_s = times[6];
        game.cuts[0].t_start_s = times[7];
        game.possessions[0].t_start_s = times[8];
        game.possessions[0].t_end_s = times[9];
        game.possessions[1].game_clock_start_s = Some(times[10] as f32);
        game.tracks[0].t_start_s = times[11];
        game.game.video_offset_s = vec![Some(times[8])];
        for row in &mut game.tracks {
            row.hz = hz;
            row.x_cm.truncate(cut);
            row.y_cm.truncate(cut);
        }
        game.entries[2].screen_id = ids;
        game.coverages[2].screen_id = ids;
        let team = staged_team(vec![game]);
        make_report(&team, &Words::english()).unwrap();
        clip_lists(&team, &Wanted::default(), &[ClipFormat::Csv, ClipFormat::Vtt, ClipFormat::Otio], &Words::english()).unwrap();
    }
}

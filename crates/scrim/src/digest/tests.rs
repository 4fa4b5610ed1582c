//! What a digest says of a game made by hand.

use scrim_floor::{Court, Side, Zone};
use scrim_play::rows::{game_row, player_rows};
use scrim_tables::Row;
use scrim_tables::rows::{CoverageRow, OptionRow};
use scrim_tables::tags::{Coverage, HandlerAction, HelperAction, OnBallPath, PassTarget, ScreenerAction};
use scrim_tracks::{BallTrack, GameInfo, Period};

use super::*;
use crate::GameTables;

/// A minute of nothing at one frame a second; the clock counts down from 5:00 and is not told from frame 30 on.
fn game() -> Game {
    let player = |id: &str, team, jersey: Option<&str>, name: Option<&str>| Player {
        id: id.into(),
        team,
        jersey: jersey.map(Into::into),
        name: name.map(Into::into),
        role: None,
    };
    let frames = 60;
    let clock = |frame: usize| {
        if frame < 30 {
            300.0 - frame as f32
        } else {
            f32::NAN
        }
    };
    let missing = || vec![f32::NAN; frames];
    let period = Period {
        number: 2,
        hz: 1.0,
        frames,
        game_clock_s: (0..frames).map(clock).collect(),
        shot_clock_s: missing(),
        tracks: Vec::new(),
        ball: BallTrack {
            x_m: missing(),
            y_m: missing(),
            z_m: missing(),
            vx_mps: missing(),
            vy_mps: missing(),
            has_height: false,
        },
        lineups: Vec::new(),
        live: vec![true; frames],
        faulty: vec![false; frames],
    };
    Game {
        info: GameInfo {
            game_id: "G1".into(),
            season: None,
            date: None,
            team_ids: ["HAR".into(), "TOW".into()],
            home_is_known: true,
            court: Court::fiba(),
            video_offset_s: Vec::new(),
        },
        players: vec![
            player("h4", TeamSlot::First, Some("4"), Some("Harrowby")),
            player("h12", TeamSlot::First, Some("12"), None),
            player("t7", TeamSlot::Second, None, Some("Towerby 7")),
            player("t9", TeamSlot::Second, None, None),
        ],
        periods: vec![period],
        events: None,
    }
}

fn screen(id: u32, screener: &str, user: &str, outcome: Outcome, confidence: f32) -> ScreenRow {
    ScreenRow {
        game_id: "G1".into(),
        period: 2,
        possession_id: 0,
        screen_id: id,
        on_ball: true,
        screen_kind: ScreenKind::BallScreen,
        outcome,
        screener_id: screener.into(),
        user_id: user.into(),
        t_use_s: f64::from(id),
        t_end_s: f64::from(id) + 1.0,
        x_m: 6.0,
        y_m: -4.0,
        zone: Zone::LeftWing,
        side: Side::Left,
        strong_side: true,
        confidence,
        screener_speed_mps: 0.5,
        user_gap_m: 0.8,
        ..ScreenRow::blank()
    }
}

fn told(screens: Vec<ScreenRow>) -> String {
    told_with(screens, Vec::new(), Vec::new())
}

fn told_with(screens: Vec<ScreenRow>, coverages: Vec<CoverageRow>, options: Vec<OptionRow>) -> String {
    let game = game();
    digest(&TaggedGame {
        reads: Vec::new(),
        tables: GameTables {
            games: vec![game_row(&game)],
            players: player_rows(&game),
            tracks: Vec::new(),
            possessions: Vec::new(),
            touches: Vec::new(),
            matchups: Vec::new(),
            screens,
            coverages,
            options,
            cuts: Vec::new(),
            off_ball_motion: Vec::new(),
            spacing: Vec::new(),
            floor_control: Vec::new(),
            dilemmas: Vec::new(),
            pull_samples: Vec::new(),
            entries: Vec::new(),
            sequences: Vec::new(),
            quality: Vec::new(),
        },
        game,
    })
}

#[test]
fn a_line_tells_clock_place_people_and_likelihood() {
    let text = told(vec![screen(10, "h12", "h4", Outcome::Used, 0.85)]);
    // 300 s less 10 s.
    let line = "  period 2  4:50 left  HAR  left wing          #12 (h12) screens, #4 Harrowby comes off it (very likely)";
    assert!(text.lines().any(|l| l == line), "{text}");
    assert!(text.contains("Game G1: TOW at HAR\n"), "{text}");
}

fn coverage(screen_id: u32) -> CoverageRow {
    CoverageRow {
        game_id: "G1".into(),
        period: 2,
        possession_id: 0,
        screen_id,
        coverage: Coverage::Drop,
        on_ball_path: OnBallPath::Over,
        helper_id: Some("t7".into()),
        helper_action: HelperAction::Tag,
        confidence: 0.9,
        depth_m: Some(2.5),
        ..CoverageRow::blank()
    }
}

fn option(screen_id: u32) -> OptionRow {
    OptionRow {
        game_id: "G1".into(),
        period: 2,
        possession_id: 0,
        screen_id,
        screener_action: ScreenerAction::Roll,
        handler_action: HandlerAction::Pass,
        pass_target: Some(PassTarget::Screener),
        receiver_id: Some("h12".into()),
        t_pass_s: Some(11.0),
        shooter_id: Some("h12".into()),
        shot_x_m: Some(1.0),
        shot_y_m: Some(0.0),
        shot_value: Some(2),
        space_m: Some(1.24),
        points: Some(0),
        ..OptionRow::blank()
    }
}

#[test]
fn a_line_tells_coverage_path_help_option_and_result() {
    let screens = vec![screen(10, "h12", "h4", Outcome::Used, 0.85)];
    let text = told_with(screens, vec![coverage(10)], vec![option(10)]);
    let end = "(very likely): drop, over; Towerby 7 tags; roll, pass to the screener; #12 (h12) misses a 2 with 1.2 m of space";
    assert!(text.lines().any(|line| line.ends_with(end)), "{text}");
}

#[test]
fn an_unclear_coverage_says_why_and_what_is_not_known_is_left_out() {
    let screens = vec![screen(10, "h12", "h4", Outcome::Used, 0.85)];
    let unclear = CoverageRow {
        coverage: Coverage::Unclear,
        on_ball_path: OnBallPath::Unclear,
        helper_action: HelperAction::None,
        unclear_reason: Some(scrim_tables::tags::UnclearReason::EndedTooSoon),
        ..coverage(10)
    };
    let reset = OptionRow {
        screener_action: ScreenerAction::Unclear,
        handler_action: HandlerAction::Reset,
        shooter_id: None,
        ..option(10)
    };
    let text = told_with(screens, vec![unclear], vec![reset]);
    let end = "(very likely): coverage unclear (the play ended too soon); reset";
    assert!(text.lines().any(|line| line.ends_with(end)), "{text}");
}

#[test]
fn without_a_clock_the_time_since_the_start_is_told_and_names_fall_back_to_ids() {
    let text = told(vec![screen(45, "t9", "t7", Outcome::Rejected, 0.7)]);
    let line =
        "  period 2  0:45 in    TOW  left wing          t9 screens, Towerby 7 goes away from it (likely)";
    assert!(text.lines().any(|l| l == line), "{text}");
}

#[test]
fn the_handful_has_each_outcome_before_the_rest_and_stands_in_time_order() {
    let mut screens: Vec<_> = (0..12)
        .map(|id| screen(id, "h12", "h4", Outcome::Used, 0.9))
        .collect();
    screens.push(screen(12, "t9", "t7", Outcome::Slipped, 0.55));
    let text = told(screens);
    let lines: Vec<_> = text.lines().filter(|line| line.starts_with("  period")).collect();
    assert_eq!(lines.len(), TOLD);
    // The seven earliest of the equally sure ones, and the slip though it is less sure.
    assert!(
        lines[0].contains("5:00 left") && lines[6].contains("4:54 left"),
        "{text}"
    );
    assert!(
        lines[7].contains("slips to the rim (more likely than not)"),
        "{text}"
    );
    assert!(text.contains("To look at on film (8 of 13)"), "{text}");
}

#[test]
fn a_screen_off_the_ball_is_told_by_its_kind_and_one_without_a_name_plainly() {
    let line = |kind: ScreenKind| {
        let mut row = screen(1, "h12", "h4", Outcome::Used, 0.9);
        (row.on_ball, row.screen_kind) = (false, kind);
        let nobody = People {
            by_id: BTreeMap::new(),
        };
        what(&nobody, &row)
    };
    assert_eq!(line(ScreenKind::Flare), "h12 sets a flare screen for h4: used");
    assert_eq!(line(ScreenKind::OverTop), "h12 screens for h4 over the top: used");
    assert_eq!(line(ScreenKind::Exit), "h12 sets an exit screen for h4: used");
    assert_eq!(
        line(ScreenKind::Other),
        "h12 screens for h4 away from the ball: used"
    );
}

#[test]
fn counts_are_by_the_users_team_and_outcome_with_handoffs_apart() {
    let mut handoff = screen(3, "h12", "h4", Outcome::Used, 0.9);
    handoff.screen_kind = ScreenKind::Handoff;
    let text = told(vec![
        screen(1, "h12", "h4", Outcome::Used, 0.9),
        screen(2, "h12", "h4", Outcome::Flipped, 0.9),
        handoff,
    ]);
    let cells = |team: &str| -> Vec<String> {
        let line = text
            .lines()
            .find(|line| line.trim_start().starts_with(team))
            .unwrap();
        line.split_whitespace().map(str::to_owned).collect()
    };
    // used, rejected, slipped, ghosted, flipped, unused, handoffs, all
    assert_eq!(cells("HAR"), ["HAR", "1", "0", "0", "0", "1", "0", "1", "3"]);
    assert_eq!(cells("TOW"), ["TOW", "0", "0", "0", "0", "0", "0", "0", "0"]);
    assert!(
        text.contains("HAR: mostly left wing 3; most frequent pair #12 (h12) for #4 Harrowby (3)"),
        "{text}"
    );
}

#[test]
fn a_game_without_ball_screens_says_so_and_what_to_do() {
    let text = told(Vec::new());
    assert!(
        text.contains("None found") && text.contains("scrim inspect"),
        "{text}"
    );
}

#[test]
fn seconds_are_told_as_a_clock_shows_them() {
    // 7 · 60 + 5 = 425; a clock shows whole seconds that are left.
    assert_eq!(minutes(425.9), "7:05");
    assert_eq!(minutes(-0.2), "0:00");
}

#[test]
fn the_most_frequent_comes_first_and_ties_go_by_value() {
    assert_eq!(most_often([3, 1, 2, 2, 3].into_iter()), [(2, 2), (3, 2), (1, 1)]);
}

#[test]
fn likelihood_grows_with_confidence() {
    let words: Vec<_> = [0.4, 0.5, 0.65, 0.8, 0.95].map(likelihood).into();
    let expected = [
        "doubtful",
        "more likely than not",
        "likely",
        "very likely",
        "almost certain",
    ];
    assert_eq!(words, expected);
    assert_eq!(likelihood(f32::NAN), "doubtful");
}

//! What is said of a game made by hand.

use scrim_floor::{Court, Side, Zone};
use scrim_tables::Row;
use scrim_tables::rows::{CoverageRow, GameRow, OptionRow, PlayerRow, PossessionRow, ScreenRow};
use scrim_tables::tags::{
    Coverage, EndKind, HandlerAction, HelperAction, OnBallPath, PassTarget, Phase, ScreenKind, ScreenerAction,
};

use super::*;

/// A possession of each team, `HAR` first. The clock shows 5:00 at the start of the first and is not known in the second.
fn possession(id: u32) -> PossessionRow {
    let [offense, defense] = if id == 0 { ["HAR", "TOW"] } else { ["TOW", "HAR"] };
    PossessionRow {
        game_id: "G1".into(),
        period: 2,
        possession_id: id,
        t_start_s: 0.0,
        t_end_s: 60.0,
        game_clock_start_s: (id == 0).then_some(300.0),
        game_clock_end_s: (id == 0).then_some(240.0),
        offense_team_id: offense.into(),
        defense_team_id: defense.into(),
        attacks_positive_x: true,
        phase: Phase::HalfCourt,
        t_half_court_s: Some(0.0),
        end_kind: EndKind::Unknown,
        points: None,
        points_inferred: false,
        alignment: None,
        token_chain: String::new(),
        ball_screen_count: 0,
        clean: true,
        t_alignment_s: None,
        alignment_margin_m: None,
    }
}

fn player(id: &str, jersey: Option<&str>, name: Option<&str>) -> PlayerRow {
    PlayerRow {
        game_id: "G1".into(),
        player_id: id.into(),
        team_id: if id.starts_with('h') { "HAR" } else { "TOW" }.into(),
        jersey: jersey.map(Into::into),
        name: name.map(Into::into),
        role: None,
    }
}

fn screen(id: u32, screener: &str, user: &str, outcome: Outcome, confidence: f32) -> ScreenRow {
    ScreenRow {
        game_id: "G1".into(),
        period: 2,
        possession_id: u32::from(user.starts_with('t')),
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

fn described(screens: Vec<ScreenRow>) -> String {
    described_with(screens, Vec::new(), Vec::new())
}

fn described_with(screens: Vec<ScreenRow>, coverages: Vec<CoverageRow>, options: Vec<OptionRow>) -> String {
    let game = GameRow {
        home_is_known: true,
        ..GameRow::on(&Court::fiba(), "G1".into(), ["HAR".into(), "TOW".into()])
    };
    describe_game(&GameTables {
        games: vec![game],
        players: vec![
            player("h4", Some("4"), Some("Harrowby")),
            player("h12", Some("12"), None),
            player("t7", None, Some("Towerby 7")),
            player("t9", None, None),
        ],
        tracks: Vec::new(),
        possessions: vec![possession(0), possession(1)],
        touches: Vec::new(),
        matchups: Vec::new(),
        screens,
        coverages,
        options,
        cuts: Vec::new(),
        off_ball_motion: Vec::new(),
        spacing: Vec::new(),
        floor_control: Vec::new(),
        instants: Vec::new(),
        dilemmas: Vec::new(),
        pull_samples: Vec::new(),
        entries: Vec::new(),
        sequences: Vec::new(),
        quality: Vec::new(),
    })
}

#[test]
fn a_line_has_clock_place_players_and_likelihood() {
    let text = described(vec![screen(10, "h12", "h4", Outcome::Used, 0.85)]);
    // 300 s less 10 s.
    let line =
        "  P2 4:50    HAR  left wing          #12 (h12) screens, #4 Harrowby comes off it (very likely)";
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
fn a_line_has_coverage_path_help_option_and_result() {
    let screens = vec![screen(10, "h12", "h4", Outcome::Used, 0.85)];
    let text = described_with(screens, vec![coverage(10)], vec![option(10)]);
    let end = "(very likely): drop, over; Towerby 7 tags the roller; handler passes to the screener, screener rolls; \
               #12 (h12) misses a 2 with 1.2 m of space";
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
        pass_target: None,
        receiver_id: None,
        shooter_id: None,
        ..option(10)
    };
    let text = described_with(screens, vec![unclear], vec![reset]);
    let end = "(very likely): coverage unclear (the play ended too soon); handler resets";
    assert!(text.lines().any(|line| line.ends_with(end)), "{text}");
}

#[test]
fn without_a_clock_the_time_since_the_start_stands_and_names_fall_back_to_ids() {
    let text = described(vec![screen(45, "t9", "t7", Outcome::Rejected, 0.7)]);
    let line = "  P2 0:45 in  TOW  left wing          t9 screens, Towerby 7 rejects it (likely)";
    assert!(text.lines().any(|l| l == line), "{text}");
}

#[test]
fn the_examples_have_each_outcome_before_the_rest_in_time_order() {
    let mut screens: Vec<_> = (0..12)
        .map(|id| screen(id, "h12", "h4", Outcome::Used, 0.9))
        .collect();
    screens.push(screen(12, "t9", "t7", Outcome::Slipped, 0.55));
    let text = described(screens);
    let lines: Vec<_> = text.lines().filter(|line| line.starts_with("  P2 ")).collect();
    assert_eq!(lines.len(), DESCRIBED);
    // The seven earliest of the equally sure ones, and the slip though it is less sure.
    assert!(
        lines[0].contains("P2 5:00") && lines[6].contains("P2 4:54"),
        "{text}"
    );
    assert!(
        lines[7].contains("slips to the rim (more likely than not)"),
        "{text}"
    );
    assert!(text.contains("To look at on film (8 of 13)"), "{text}");
}

#[test]
fn counts_are_by_the_users_team_and_outcome_with_handoffs_apart() {
    let mut handoff = screen(3, "h12", "h4", Outcome::Used, 0.9);
    handoff.screen_kind = ScreenKind::Handoff;
    let text = described(vec![
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
    // used, rejected, slipped, ghosted, flipped, not used, ball screens, handoffs
    assert_eq!(cells("HAR"), ["HAR", "1", "0", "0", "0", "1", "0", "2", "1"]);
    assert_eq!(cells("TOW"), ["TOW", "0", "0", "0", "0", "0", "0", "0", "0"]);
    assert!(
        text.contains("HAR: mostly left wing 2; most frequent pair #12 (h12) for #4 Harrowby (2)"),
        "{text}"
    );
}

#[test]
fn a_game_without_ball_screens_says_so_and_what_to_do() {
    let text = described(Vec::new());
    assert!(
        text.contains("None found") && text.contains("scrim inspect"),
        "{text}"
    );
}

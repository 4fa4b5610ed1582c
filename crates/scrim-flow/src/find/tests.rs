use super::*;
use crate::staging::{StagedScreen, Staging, cut, play, possession, read, screens};
use proptest::prelude::*;
use scrim_actions::ScreenRef;
use scrim_floor::Definitions;
use scrim_tables::tags::{
    Alignment, Coverage, CutKind, Entry, EntryRole, HandlerAction, Outcome, ScreenKind, ScreenMeeting,
    ScreenerAction,
};
use scrim_tracks::TeamSlot;

/// Horns: the ball at the top, two at the elbows, two in the corners.
const HORNS: [(f32, f32); 5] = [(8.2, 0.0), (4.2, -2.4), (4.2, 2.4), (0.5, -7.0), (0.5, 7.0)];
const SECONDS: f64 = 14.0;

fn screen(
    kind: ScreenKind,
    screener: u16,
    user: u16,
    set_s: f64,
    use_s: f64,
    spot: (f32, f32),
) -> StagedScreen {
    StagedScreen {
        possession: 0,
        kind,
        screener,
        user,
        set_s: Some(set_s),
        use_s,
        spot,
        outcome: Outcome::Used,
    }
}

/// Player 1 screens the ball at 8 s, used at 9 s.
fn on_ball() -> StagedScreen {
    screen(ScreenKind::BallScreen, 1, 0, 8.0, 9.0, (7.5, 2.0))
}

fn flow_with(
    stage: &Staging,
    screens: &Screens,
    cuts: &[Cut],
    coverage: Coverage,
    params: &FlowParams,
) -> Flow {
    flow_by(&Definitions::DEFAULT, stage, screens, cuts, coverage, params)
}

fn flow_by(
    definitions: &Definitions,
    stage: &Staging,
    screens: &Screens,
    cuts: &[Cut],
    coverage: Coverage,
    params: &FlowParams,
) -> Flow {
    let play = play(vec![possession(
        TeamSlot::First,
        Phase::HalfCourt,
        stage.scene.frames,
    )]);
    let reads: Vec<_> = screens
        .on_ball()
        .iter()
        .map(|_| read(coverage, ScreenerAction::Roll, HandlerAction::Drive))
        .collect();
    let scenes = std::slice::from_ref(&stage.scene);
    let input = FlowInput {
        scenes,
        play: &play,
        court: &Court::fiba(),
        screens,
        reads: &reads,
        cuts,
    };
    find_flow(input, params, definitions)
}

fn flow(on_ball: &[StagedScreen], off_ball: &[StagedScreen], cuts: &[Cut]) -> Flow {
    let stage = Staging::new(SECONDS, HORNS).hold(0, 0.0..SECONDS);
    let screens = screens(on_ball, off_ball);
    flow_with(&stage, &screens, cuts, Coverage::Drop, &FlowParams::default())
}

mod names;

fn entry(flow: &Flow, screen: usize) -> (Entry, EntryRole, Option<f32>) {
    let entry = &flow.screens[screen].entry;
    (entry.entry, entry.role, entry.flow_gap_s)
}

#[test]
fn a_ball_screen_comes_out_of_the_last_action_of_its_two_players() {
    let down = screen(ScreenKind::Down, 1, 3, 4.0, 5.0, (2.0, -3.0));
    // Later, but neither the screener's nor the handler's.
    let other = screen(ScreenKind::Cross, 2, 4, 6.0, 6.5, (1.0, 1.0));
    let flow = flow(&[on_ball()], &[down, other], &[]);
    // Set at 8 s, the down screen used at 5 s.
    assert_eq!(entry(&flow, 0), (Entry::Down, EntryRole::Screener, Some(3.0)));
    assert_eq!(flow.screens[0].look, "horns down:left cross:middle");
    assert_eq!(flow.screens[0].set_key, "horns down:right cross:middle");
    assert_eq!(flow.chains[0], "down:left cross:middle ball_screen:right");
}

#[test]
fn the_role_is_the_screeners_part() {
    let used = screen(ScreenKind::Zipper, 2, 1, 5.0, 6.0, (3.0, 2.5));
    assert_eq!(entry(&flow(&[on_ball()], &[used], &[]), 0).1, EntryRole::User);
    // The handler's screen for another: the screener has no part in it.
    let handlers = screen(ScreenKind::Flare, 0, 4, 5.0, 6.0, (7.0, 4.0));
    assert_eq!(
        entry(&flow(&[on_ball()], &[handlers], &[]), 0),
        (Entry::Flare, EntryRole::None, Some(2.0))
    );
    let flash = cut(1, CutKind::Flash, 5.0..7.0, (4.5, -1.0), None);
    assert_eq!(
        entry(&flow(&[on_ball()], &[], &[flash]), 0),
        (Entry::Flash, EntryRole::User, Some(1.0))
    );
}

#[test]
fn an_action_longer_ago_than_five_seconds_or_after_the_set_is_no_entry() {
    let at = |use_s: f64| screen(ScreenKind::Down, 1, 3, use_s - 0.5, use_s, (2.0, -3.0));
    assert_eq!(entry(&flow(&[on_ball()], &[at(3.0)], &[]), 0).2, Some(5.0));
    for outside in [2.96, 8.04] {
        let flow = flow(&[on_ball()], &[at(outside)], &[]);
        assert_eq!(entry(&flow, 0), (Entry::None, EntryRole::None, None));
    }
}

#[test]
fn without_a_set_the_use_stands_in_for_it() {
    let never_set = StagedScreen {
        set_s: None,
        ..on_ball()
    };
    let down = screen(ScreenKind::Down, 1, 3, 8.0, 8.6, (2.0, -3.0));
    let gap_s = entry(&flow(&[never_set], &[down], &[]), 0).2.unwrap();
    assert!((gap_s - 0.4).abs() < 1e-6, "{gap_s}");
}

#[test]
fn a_cut_off_a_screen_counts_as_that_screen_and_not_twice() {
    let rub = screen(ScreenKind::Rub, 1, 3, 4.0, 5.0, (4.2, -2.4));
    for off in [Some(ScreenRef::OffBall(0)), None] {
        let off_it = cut(3, CutKind::RubCut, 4.4..6.4, (1.0, -0.5), off);
        let flow = flow(&[on_ball()], &[rub], &[off_it]);
        assert_eq!(flow.chains[0], "rub:left ball_screen:right");
        assert_eq!(entry(&flow, 0), (Entry::Rub, EntryRole::Screener, Some(3.0)));
    }
}

#[test]
fn a_run_that_goes_on_after_a_screen_is_that_screen_and_one_after_a_stop_is_not() {
    let cross = screen(ScreenKind::Cross, 1, 3, 3.0, 4.0, (1.5, 0.0));
    let past = cut(
        3,
        CutKind::Basket,
        3.4..4.6,
        (0.6, 0.4),
        Some(ScreenRef::OffBall(0)),
    );
    for (begins_s, chain) in [
        (4.8, "cross:middle ball_screen:right"),
        (5.4, "cross:middle flash:right ball_screen:right"),
    ] {
        let then = cut(3, CutKind::Flash, begins_s..begins_s + 1.0, (2.0, 3.0), None);
        let flow = flow(&[on_ball()], &[cross], &[past.clone(), then]);
        assert_eq!(flow.chains[0], chain);
    }
}

#[test]
fn the_way_to_an_off_ball_screen_is_no_action_and_the_way_to_a_ball_screen_is_one() {
    let cross = screen(ScreenKind::Cross, 1, 3, 4.0, 5.0, (1.5, 0.0));
    let to_it = cut(1, CutKind::Basket, 2.0..3.2, (1.5, 0.0), None);
    let up = cut(1, CutKind::Flash, 6.2..7.6, (5.0, 2.0), None);
    let flow = flow(&[on_ball()], &[cross], &[to_it, up]);
    assert_eq!(flow.chains[0], "cross:middle flash:right ball_screen:right");
    assert_eq!(entry(&flow, 0).0, Entry::Flash);
}

#[test]
fn an_off_ball_screen_that_came_to_nothing_is_no_action_unless_wanted() {
    let stage = Staging::new(SECONDS, HORNS).hold(0, 0.0..SECONDS);
    let down = StagedScreen {
        outcome: Outcome::Unused,
        ..screen(ScreenKind::Down, 1, 3, 4.0, 5.0, (2.0, -3.0))
    };
    let screens = screens(&[on_ball()], &[down]);
    let mut params = FlowParams::default();
    let chain =
        |params: &FlowParams| flow_with(&stage, &screens, &[], Coverage::Drop, params).chains[0].clone();
    assert_eq!(chain(&params), "ball_screen:right");
    params.left_out_outcomes.clear();
    assert_eq!(chain(&params), "down:left ball_screen:right");
}

#[test]
fn a_ball_screen_is_no_entry_but_a_handoff_is() {
    let handoff = screen(ScreenKind::Handoff, 1, 0, 4.8, 5.0, (7.0, -4.0));
    let first = screen(ScreenKind::BallScreen, 1, 0, 5.6, 6.0, (7.5, -2.0));
    let flow = flow(&[handoff, first, on_ball()], &[], &[]);
    assert_eq!(entry(&flow, 0).0, Entry::None);
    assert_eq!(entry(&flow, 1).0, Entry::Handoff);
    assert_eq!(entry(&flow, 2), (Entry::Handoff, EntryRole::Screener, Some(3.0)));
    assert_eq!(flow.screens[2].look, "horns handoff:left ball_screen:left");
}

#[test]
fn a_spacing_cut_is_neither_an_entry_nor_a_token_unless_wanted() {
    let stage = Staging::new(SECONDS, HORNS).hold(0, 0.0..SECONDS);
    let screens = screens(&[on_ball()], &[]);
    let read = |kind, params: &FlowParams| {
        let cuts = [cut(1, kind, 5.0..6.0, (5.0, -6.0), None)];
        let flow = flow_with(&stage, &screens, &cuts, Coverage::Drop, params);
        (entry(&flow, 0).0, flow.chains[0].clone())
    };
    let mut params = FlowParams::default();
    let bare = "ball_screen:right".to_owned();
    for kind in [CutKind::Lift, CutKind::Drift, CutKind::Fill] {
        assert_eq!(read(kind, &params), (Entry::None, bare.clone()));
    }
    params.left_out_cuts.clear();
    let filled = "fill:left ball_screen:right".to_owned();
    assert_eq!(read(CutKind::Fill, &params), (Entry::Fill, filled));
}

#[test]
fn an_off_ball_screen_that_is_not_sure_enough_is_no_action() {
    let stage = Staging::new(SECONDS, HORNS).hold(0, 0.0..SECONDS);
    let down = screen(ScreenKind::Down, 1, 3, 4.0, 5.0, (2.0, -3.0));
    let read = |confidence| {
        let mut off_ball = crate::staging::off_ball_screen(&down);
        off_ball.confidence = confidence;
        let screens = Screens::new(vec![crate::staging::ball_screen(&on_ball())], vec![off_ball]);
        let flow = flow_with(&stage, &screens, &[], Coverage::Drop, &FlowParams::default());
        (entry(&flow, 0).0, flow.chains[0].clone())
    };
    assert_eq!(read(0.29), (Entry::None, "ball_screen:right".into()));
    assert_eq!(read(0.31), (Entry::Down, "down:left ball_screen:right".into()));
}

#[test]
fn a_handoff_comes_out_of_what_happened_while_its_giver_stood_with_the_ball() {
    // Player 1 stands with the ball from 5 s on and screens for 3 at 6 s; player 3 comes back for the handoff at 7 s.
    let handoff = screen(ScreenKind::Handoff, 1, 3, 5.0, 7.0, (6.0, 2.0));
    let back = screen(ScreenKind::Back, 1, 3, 5.0, 6.0, (6.0, 2.0));
    let read = |handoff: StagedScreen| entry(&flow(&[handoff], &[back], &[]), 0);
    assert_eq!(read(handoff), (Entry::Back, EntryRole::Screener, Some(0.0)));
    // A ball screen set at 5 s does not come out of what follows.
    let ball_screen = StagedScreen {
        kind: ScreenKind::BallScreen,
        ..handoff
    };
    assert_eq!(read(ball_screen), (Entry::None, EntryRole::None, None));
}

#[test]
fn the_cost_is_measured_at_the_set() {
    // The screener stands at (7.5, 2.0) from 7.6 s on, the ball at (8.2, 0.0): the defender is expected at
    // (0.62 × 7.5 + 0.11 × 8.2, 0.62 × 2.0) = (5.552, 1.24). They come there only at 9 s, from (3.5, −1.5).
    let stage = Staging::new(SECONDS, HORNS)
        .hold(0, 0.0..SECONDS)
        .walk(1, 6.6..7.6, (7.5, 2.0))
        .walk(6, 0.0..0.04, (3.5, -1.5))
        .walk(6, 8.0..9.0, (5.552, 1.24));
    let rub = screen(ScreenKind::Rub, 1, 3, 4.0, 5.0, (4.2, -2.4));
    let measured = |coverage| {
        let screens = screens(&[on_ball()], &[rub]);
        flow_with(&stage, &screens, &[], coverage, &FlowParams::default()).screens[0].cost
    };
    let cost = measured(Coverage::Drop);
    // √(2.052² + 2.74²) = 3.4232.
    assert!(
        (cost.screener_defender_gap_m.unwrap() - 3.4232).abs() < 1e-3,
        "{cost:?}"
    );
    // The handler's defender stands where expected all along.
    assert!(cost.handler_defender_gap_m.unwrap() < 1e-4, "{cost:?}");
    // Deep enough from the start. The lane is the x axis here: they are within 1.5 m of it all the way.
    assert_eq!(cost.screener_defender_late_s, Some(0.0));
    // At the height of the screen: at most 1.5 m deeper than √(7.5² + 2²) = 7.762 m and within 3.0 m of the screener. After
    // a share s of the way they are at (3.5 + 2.052 s, −1.5 + 2.74 s); even at its end 7.762 − 5.689 = 2.07 m deep: never.
    assert_eq!(measured(Coverage::Level).screener_defender_late_s, None);
    assert_eq!(measured(Coverage::Unclear).screener_defender_late_s, None);
    assert!(!cost.bumped && !cost.went_under_entry);
}

#[test]
fn the_screeners_defender_is_late_until_they_are_where_the_coverage_wants_them() {
    // They run from (4.0, −2.0) to (7.0, 1.0), between 8 and 9 s; the screener stands at (7.5, 2.0).
    let stage = Staging::new(SECONDS, HORNS)
        .hold(0, 0.0..SECONDS)
        .walk(1, 6.6..7.6, (7.5, 2.0))
        .walk(6, 0.0..0.04, (4.0, -2.0))
        .walk(6, 8.0..9.0, (7.0, 1.0));
    let screens = screens(&[on_ball()], &[]);
    let late = |coverage| {
        let flow = flow_with(&stage, &screens, &[], coverage, &FlowParams::default());
        flow.screens[0].cost.screener_defender_late_s
    };
    // At (4 + 3 s, −2 + 3 s) they are 1.5 m deeper than the screener (7.762 m out) where 18 s² + 12 s + 20 = 6.262²: s = 0.752;
    // within 3.0 m of the screener they are from s = 0.548. Frames are 0.04 s apart.
    let level = late(Coverage::Level).unwrap();
    assert!((level - 0.76).abs() < 1e-4, "{level}");
    // Within 1.8 m of the handler at (8.2, 0): (3 s − 4.2)² + (3 s − 2)² = 1.8²: 18 s² − 37.2 s + 18.4 = 0, s = 0.820.
    let switch = late(Coverage::Switch).unwrap();
    assert!((switch - 0.84).abs() < 1e-4, "{switch}");
    // They never go beyond the screener.
    assert_eq!(late(Coverage::Hedge), None);
    // Were level up to 2.0 m deeper, they were there where 18 s² + 12 s + 20 = 5.762²: s = 0.585.
    let wider = Definitions {
        drop_depth_m: 2.0,
        ..Definitions::DEFAULT
    };
    let flow = flow_by(
        &wider,
        &stage,
        &screens,
        &[],
        Coverage::Level,
        &FlowParams::default(),
    );
    let level = flow.screens[0].cost.screener_defender_late_s.unwrap();
    assert!((level - 0.6).abs() < 1e-4, "{level}");
}

#[test]
fn an_entry_lies_no_longer_before_the_ball_screen_than_the_definitions_say() {
    let stage = Staging::new(SECONDS, HORNS).hold(0, 0.0..SECONDS);
    // Used at 5.0 s; the ball screen is set at 8.0 s.
    let down = screen(ScreenKind::Down, 1, 3, 4.0, 5.0, (2.0, -3.0));
    let screens = screens(&[on_ball()], &[down]);
    let entry_within = |entry_gap_s: f32| {
        let definitions = Definitions {
            entry_gap_s,
            ..Definitions::DEFAULT
        };
        let params = FlowParams::default();
        let flow = flow_by(&definitions, &stage, &screens, &[], Coverage::Drop, &params);
        entry(&flow, 0).0
    };
    assert_eq!(entry_within(3.1), Entry::Down);
    assert_eq!(entry_within(2.9), Entry::None);
}

#[test]
fn a_defender_within_a_metre_of_the_entrys_user_in_the_last_two_seconds_bumped_them() {
    // Player 3 uses the screen at 6.5 s and stands at (2, −1) from 7 s on; player 1's defender meets them there until `until_s`.
    let bumped = |until_s: f64| {
        let stage = Staging::new(SECONDS, HORNS)
            .hold(0, 0.0..SECONDS)
            .walk(3, 5.0..5.5, (2.0, -1.0))
            .walk(6, 5.0..5.04, (2.5, -1.5))
            .walk(6, until_s..until_s + 0.04, (5.0, -1.0));
        let rub = screen(ScreenKind::Rub, 1, 3, 5.0, 5.4, (4.2, -2.4));
        let screens = screens(&[on_ball()], &[rub]);
        let flow = flow_with(&stage, &screens, &[], Coverage::Drop, &FlowParams::default());
        flow.screens[0].cost.bumped
    };
    // Set at 8 s: the last two seconds begin at 6 s.
    assert!(bumped(6.4));
    assert!(!bumped(5.8));
}

#[test]
fn how_the_users_defender_met_the_entrys_screen_shows_whether_they_went_under() {
    let zipper = screen(ScreenKind::Zipper, 2, 1, 5.0, 6.0, (3.0, 2.5));
    for (path, under) in [(ScreenMeeting::Under, true), (ScreenMeeting::Trailed, false)] {
        let mut off_ball = crate::staging::off_ball_screen(&zipper);
        off_ball.user_defender_path = Some(path);
        let screens = Screens::new(vec![crate::staging::ball_screen(&on_ball())], vec![off_ball]);
        let stage = Staging::new(SECONDS, HORNS).hold(0, 0.0..SECONDS);
        let flow = flow_with(&stage, &screens, &[], Coverage::Drop, &FlowParams::default());
        assert_eq!(flow.screens[0].cost.went_under_entry, under);
    }
}

#[test]
fn a_possession_in_transition_has_no_chain_and_a_game_without_play_no_flow() {
    let stage = Staging::new(SECONDS, HORNS);
    let play = play(vec![possession(
        TeamSlot::First,
        Phase::Transition,
        stage.scene.frames,
    )]);
    let screens = screens(&[on_ball()], &[]);
    let reads = [read(Coverage::Drop, ScreenerAction::Roll, HandlerAction::Drive)];
    let court = Court::fiba();
    let params = FlowParams::default();
    let input = FlowInput {
        scenes: std::slice::from_ref(&stage.scene),
        play: &play,
        court: &court,
        screens: &screens,
        reads: &reads,
        cuts: &[],
    };
    let flow = find_flow(input, &params, &Definitions::DEFAULT);
    assert_eq!((&*flow.chains[0], flow.alignments[0]), ("", None));
    assert_eq!(flow.screens[0].look, "other");
    assert!(flow.runs.is_empty());
    let empty = FlowInput {
        scenes: &[],
        play: &crate::staging::play(vec![]),
        screens: &Screens::default(),
        reads: &[],
        ..input
    };
    let none = find_flow(empty, &params, &Definitions::DEFAULT);
    assert_eq!(none, Flow::default());
}

/// Everything that happens in a staged possession, and its mirror image.
#[derive(Debug, Clone)]
struct Happening {
    off_ball: Vec<StagedScreen>,
    cuts: Vec<Cut>,
    spot: (f32, f32),
}

impl Happening {
    fn mirrored(&self) -> Self {
        let flip = |(x, y): (f32, f32)| (x, -y);
        let mut other = self.clone();
        other.spot = flip(other.spot);
        for screen in &mut other.off_ball {
            screen.spot = flip(screen.spot);
        }
        for cut in &mut other.cuts {
            cut.to.y_m = -cut.to.y_m;
            cut.from.y_m = -cut.from.y_m;
        }
        other
    }

    fn flow(&self, stage: &Staging) -> Flow {
        let on_ball = StagedScreen {
            spot: self.spot,
            ..on_ball()
        };
        let screens = screens(&[on_ball], &self.off_ball);
        flow_with(
            stage,
            &screens,
            &self.cuts,
            Coverage::Drop,
            &FlowParams::default(),
        )
    }
}

fn happening() -> impl Strategy<Value = Happening> {
    let spot = || (0.0f32..9.0, -7.0f32..7.0);
    let kinds = vec![
        ScreenKind::Down,
        ScreenKind::Back,
        ScreenKind::Rub,
        ScreenKind::Cross,
        ScreenKind::Flex,
        ScreenKind::OverTop,
        ScreenKind::Exit,
        ScreenKind::Other,
    ];
    let off_ball = (
        proptest::sample::select(kinds),
        1u16..5,
        0u16..5,
        2.0f64..8.0,
        spot(),
    )
        .prop_map(|(kind, screener, user, use_s, spot)| {
            screen(kind, screener, user, use_s - 0.4, use_s, spot)
        });
    let cuts = (
        proptest::sample::select(CutKind::ALL),
        0u16..5,
        1.0f64..6.0,
        spot(),
    )
        .prop_map(|(kind, player, start_s, to)| cut(player, kind, start_s..start_s + 1.5, to, None));
    let some = (
        proptest::collection::vec(off_ball, 0..4),
        proptest::collection::vec(cuts, 0..4),
        spot(),
    );
    some.prop_map(|(off_ball, cuts, spot)| Happening { off_ball, cuts, spot })
}

proptest! {
    #[test]
    fn a_possession_and_its_mirror_image_have_one_set_key_entry_and_cost(
        happening in happening(), five in proptest::array::uniform5((0.0f32..11.0, -7.0f32..7.0)),
    ) {
        let stage = Staging::new(SECONDS, five).hold(0, 0.0..SECONDS).walk(6, 7.0..9.0, (5.0, 1.0));
        let (here, there) = (happening.flow(&stage), happening.mirrored().flow(&stage.clone().mirrored()));
        prop_assert_eq!(
            here.alignments[0].map(|aligned| aligned.alignment),
            there.alignments[0].map(|aligned| aligned.alignment)
        );
        for (one, other) in here.screens.iter().zip(&there.screens) {
            prop_assert_eq!(&one.set_key, &other.set_key);
            prop_assert_eq!(&one.entry, &other.entry);
            prop_assert_eq!(one.cost.bumped, other.cost.bumped);
            prop_assert_eq!(one.cost.went_under_entry, other.cost.went_under_entry);
            prop_assert_eq!(one.cost.screener_defender_late_s, other.cost.screener_defender_late_s);
        }
        let turned = |chain: &str| {
            chain.replace(":left", ":x").replace(":right", ":left").replace(":x", ":right")
        };
        prop_assert_eq!(&here.chains[0], &turned(&there.chains[0]));
    }

    #[test]
    fn the_look_of_a_ball_screen_is_the_alignment_and_the_chain_before_it(happening in happening()) {
        let stage = Staging::new(SECONDS, HORNS).hold(0, 0.0..SECONDS);
        let flow = happening.flow(&stage);
        let alignment = flow.alignments[0].map_or(Alignment::Other, |aligned| aligned.alignment);
        let whole = format!("{alignment} {}", flow.chains[0]);
        prop_assert!(whole.starts_with(&format!("{} ball_screen:", flow.screens[0].look)), "{}", whole);
    }
}

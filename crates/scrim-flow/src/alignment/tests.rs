use super::*;
use crate::staging::Staging;
use proptest::prelude::*;
use scrim_tables::tags::Entry;

/// FIBA: free-throw line 4.225 m before the hoop, lane half-width 2.45 m, arc 6.75 m, corner line at 6.6 m.
const TOP: (f32, f32) = (8.2, 0.0);
const ELBOWS: [(f32, f32); 2] = [(4.2, -2.4), (4.2, 2.4)];
const BLOCKS: [(f32, f32); 2] = [(1.0, -2.6), (1.0, 2.6)];
const CORNERS: [(f32, f32); 2] = [(0.5, -7.0), (0.5, 7.0)];
const WINGS: [(f32, f32); 2] = [(4.6, -6.4), (4.6, 6.4)];
const SLOTS: [(f32, f32); 2] = [(7.0, -3.6), (7.0, 3.6)];

fn points(spots: [(f32, f32); 5]) -> Spots {
    Spots::from(spots.map(|(x_m, y_m)| Point::new(x_m, y_m)))
}

fn shape(spots: [(f32, f32); 5]) -> Alignment {
    classify_shape(&points(spots), Attacker::ALL[0], &Court::fiba(), SLACK_M).alignment
}

#[test]
fn shapes_that_coaches_draw_have_their_names() {
    let five = |a: [(f32, f32); 2], b: [(f32, f32); 2]| [TOP, a[0], a[1], b[0], b[1]];
    assert_eq!(shape(five(ELBOWS, CORNERS)), Alignment::Horns);
    assert_eq!(shape(five(ELBOWS, BLOCKS)), Alignment::Box);
    assert_eq!(shape(five(ELBOWS, WINGS)), Alignment::FourHigh);
    assert_eq!(shape(five(WINGS, CORNERS)), Alignment::FiveOut);
    assert_eq!(shape(five(WINGS, BLOCKS)), Alignment::ThreeOutTwoIn);
    assert_eq!(
        shape([TOP, WINGS[0], WINGS[1], CORNERS[0], BLOCKS[1]]),
        Alignment::FourOutOneIn
    );
    // One player inside, at an elbow or at a block: four out and one in, however high the four stand (so do people label real
    // possessions).
    for inside in [ELBOWS[1], BLOCKS[0]] {
        assert_eq!(
            shape([SLOTS[0], SLOTS[1], WINGS[0], WINGS[1], inside]),
            Alignment::FourOutOneIn
        );
    }
    // Two inside, one of them high, the other at a block: not four high.
    assert_eq!(
        shape([SLOTS[0], SLOTS[1], WINGS[1], ELBOWS[1], BLOCKS[0]]),
        Alignment::ThreeOutTwoIn
    );
    assert_eq!(
        shape([SLOTS[0], SLOTS[1], WINGS[0], WINGS[1], CORNERS[0]]),
        Alignment::FiveOut
    );
    // Three along the right lane line, 1.5 m apart.
    let stacked = [TOP, (4.2, 2.7), (2.7, 2.7), (1.2, 2.7), CORNERS[0]];
    assert_eq!(shape(stacked), Alignment::Stack);
    // Three inside, in no line.
    assert_eq!(
        shape([TOP, ELBOWS[0], BLOCKS[0], BLOCKS[1], CORNERS[1]]),
        Alignment::Other
    );
}

#[test]
fn horns_with_both_players_at_one_elbow_is_no_horns() {
    let spots = [TOP, (4.2, 2.4), (4.4, 1.4), CORNERS[0], CORNERS[1]];
    assert_eq!(shape(spots), Alignment::ThreeOutTwoIn);
}

#[test]
fn the_margin_is_the_way_to_the_nearest_other_shape() {
    // Everyone is behind the arc or the corner line but the player in the left corner, 4.9 m from the middle:
    // 4.9 − 6.6 + 2.0 = 0.3 m till they are inside. With rules as good as hard the margin is that way.
    let spots = points([TOP, (5.8, -5.8), (5.8, 5.8), (0.5, -4.9), (0.5, 7.45)]);
    let hard = 0.05;
    let shape = classify_shape(&spots, Attacker::ALL[0], &Court::fiba(), hard);
    assert_eq!(shape.alignment, Alignment::FiveOut);
    assert!((shape.margin_m - 0.3).abs() < 1e-3, "{}", shape.margin_m);
}

#[test]
fn rules_as_good_as_hard_stay_numbers() {
    let spots = points([TOP, ELBOWS[0], ELBOWS[1], CORNERS[0], CORNERS[1]]);
    for slack_m in [0.02, 0.01, 0.0, -1.0] {
        let shape = classify_shape(&spots, Attacker::ALL[0], &Court::fiba(), slack_m);
        assert_eq!(shape.alignment, Alignment::Horns, "{slack_m}");
        assert!(shape.margin_m.is_finite(), "{slack_m}: {}", shape.margin_m);
    }
}

#[test]
fn real_horns_stand_above_the_elbows_and_their_corners_are_not_filled_to_the_line() {
    // High post: between the free-throw line (4.2 m) and the arc, a step to either side of the middle.
    let spots = |left: (f32, f32), right: (f32, f32)| [TOP, left, right, (2.2, -6.2), (1.5, 6.6)];
    assert_eq!(shape(spots((6.2, -1.6), (5.6, 1.4))), Alignment::Horns);
    // Both on one side, behind each other: no horns.
    assert_eq!(shape(spots((4.8, 2.4), (2.6, 2.6))), Alignment::ThreeOutTwoIn);
    // The ball below the two: no horns either.
    let low_ball = [(4.0, 0.5), (6.2, -1.6), (6.0, 1.8), (2.2, -6.2), (1.5, 6.6)];
    assert_ne!(shape(low_ball), Alignment::Horns);
}

#[test]
fn in_the_middle_a_step_inside_the_arc_is_inside_and_in_the_corner_it_is_not() {
    // The fifth player 1.0 m inside the three-point line: in front of the hoop (6.75 − 1.0) or in the corner (6.6 − 1.0).
    let four = |fifth: (f32, f32)| [SLOTS[0], SLOTS[1], (4.6, 6.4), CORNERS[1], fifth];
    assert_eq!(shape(four((5.75, 0.0))), Alignment::FourOutOneIn);
    assert_eq!(shape(four((0.5, -5.6))), Alignment::FiveOut);
    // 2.6 m inside the corner line is the short corner.
    assert_eq!(shape(four((0.5, -4.0))), Alignment::FourOutOneIn);
}

#[test]
fn who_has_the_ball_is_not_inside_a_step_within_the_arc() {
    let others = [WINGS[0], WINGS[1], CORNERS[0], CORNERS[1]];
    let with_ball_at = |spot| shape([spot, others[0], others[1], others[2], others[3]]);
    assert_eq!(with_ball_at((5.6, 0.0)), Alignment::FiveOut);
    assert_eq!(with_ball_at((3.0, 0.0)), Alignment::FourOutOneIn);
}

#[test]
fn players_who_never_stand_have_the_shape_that_they_have_most_of_the_time() {
    // All drift at up to 2 m/s; the fourth comes up from the left block to the top for a ball screen used at 4.0 s, inside for
    // all but the last moments; the corners lift by a metre and a half.
    let stage = Staging::new(8.0, [TOP, SLOTS[1], (0.8, 6.9), BLOCKS[0], (0.8, -6.9)])
        .walk(0, 0.0..4.0, (8.6, 2.2))
        .walk(1, 0.0..4.0, (6.4, 4.8))
        .walk(2, 0.0..4.0, (2.2, 6.7))
        .walk(4, 0.0..4.0, (2.3, -6.7))
        .walk(3, 0.0..3.6, (7.4, 1.0))
        .hold(0, 0.0..8.0);
    let mut screen = stage.cut(3, Entry::BallScreen, 3.6..4.0);
    screen.screener = Some(screen.user);
    let found = stage.alignment(Some(0), &[screen]).unwrap();
    assert_eq!(found.alignment, Alignment::FourOutOneIn);
    // Read before the screener is on the way: 3.6 − 1.25 = 2.35 s.
    assert!(found.at <= 59, "{}", found.at);
}

#[test]
fn in_early_offence_the_shape_is_that_of_those_who_run_into_the_first_screen() {
    // Two trailers come to the high post at 1.8 s, the screen is set at 2.0 s: a stretch that ended before it would see nobody
    // there yet.
    let stage = Staging::new(
        8.0,
        [(9.5, 0.0), (11.5, -2.0), (11.5, 2.0), CORNERS[0], CORNERS[1]],
    )
    .walk(1, 0.0..1.2, (6.0, -1.6))
    .walk(2, 0.0..1.2, (6.0, 1.6))
    .hold(0, 0.0..8.0);
    let mut screen = stage.cut(1, Entry::BallScreen, 2.0..2.4);
    screen.screener = Some(screen.user);
    assert_eq!(
        stage.alignment(Some(0), &[screen]).unwrap().alignment,
        Alignment::Horns
    );
}

#[test]
fn the_shape_is_read_when_the_last_player_has_come() {
    // Horns, but the left corner's player comes to it only at 3 s, from half court.
    let stage = Staging::new(8.0, [TOP, ELBOWS[0], ELBOWS[1], (11.0, -7.0), CORNERS[1]])
        .walk(3, 0.0..3.0, CORNERS[0])
        .hold(0, 0.0..8.0);
    let found = stage.alignment(Some(0), &[]).unwrap();
    assert_eq!(found.alignment, Alignment::Horns);
    assert!(found.at >= 75 && found.at <= 90, "{}", found.at);
}

#[test]
fn a_screener_who_stands_in_the_shape_has_not_begun_the_action() {
    // A box; the left elbow's player comes there at 3 s, and stands there when a team-mate comes up off them at 5 s.
    let stage = Staging::new(8.0, [TOP, (11.0, -2.4), ELBOWS[1], BLOCKS[0], BLOCKS[1]])
        .walk(1, 0.0..3.0, ELBOWS[0])
        .walk(3, 4.2..5.8, (8.0, -1.5))
        .hold(0, 0.0..8.0);
    let mut zipper = stage.cut(3, Entry::Zipper, 2.9..5.0);
    zipper.screener = Some(stage.scene.attackers[Attacker::ALL[1]].player);
    let found = stage.alignment(Some(0), &[zipper.clone()]).unwrap();
    assert_eq!(found.alignment, Alignment::Box);
    // Read up to 2 s before the use: the last one has but a step to go.
    assert!(found.at > 50 && found.at < 75, "{}", found.at);
    // The user of an off-ball screen that is set early sets off only when they run.
    zipper.begin = 20;
    assert_eq!(
        stage.alignment(Some(0), &[zipper]).unwrap().alignment,
        Alignment::Box
    );
}

#[test]
fn men_a_step_above_the_elbows_are_four_high_though_nobody_is_inside() {
    // 6.0 m from the hoop, 0.15 m outside; but each within 1.2 m of their elbow.
    let spots = [TOP, WINGS[0], WINGS[1], (5.25, -2.9), (5.25, 2.9)];
    assert_eq!(shape(spots), Alignment::FourHigh);
    // One of them in the slot: the other, 0.75 m within the arc in the middle, is the one inside.
    let spots = [TOP, WINGS[0], WINGS[1], (5.25, -2.9), SLOTS[1]];
    assert_eq!(shape(spots), Alignment::FourOutOneIn);
}

#[test]
fn a_player_who_trails_the_others_past_half_court_is_waited_for() {
    // The ball and four are in from the start; the fifth comes past half court (12.425 m) after 1.4 s, to the right corner.
    let stage = Staging::new(8.0, [TOP, ELBOWS[0], ELBOWS[1], CORNERS[0], (17.0, 7.0)])
        .walk(4, 0.0..5.0, CORNERS[1])
        .hold(0, 0.0..8.0);
    // A ball screen is over already.
    let mut early = stage.cut(1, Entry::BallScreen, 0.2..1.0);
    early.screener = Some(early.user);
    let found = stage.alignment(Some(0), &[early]).unwrap();
    assert_eq!(found.alignment, Alignment::Horns);
}

#[test]
fn a_ball_that_is_thrown_in_is_waited_for() {
    // The handler stands out of bounds (beyond 7.5 m) for 2 s, the others in a box of their own; then it is horns.
    let stage = Staging::new(8.0, [(8.0, 8.2), ELBOWS[0], ELBOWS[1], BLOCKS[0], BLOCKS[1]])
        .walk(0, 2.0..3.0, TOP)
        .walk(3, 1.0..3.0, CORNERS[0])
        .walk(4, 1.0..3.0, CORNERS[1])
        .hold(0, 0.0..8.0);
    assert_eq!(stage.alignment(Some(0), &[]).unwrap().alignment, Alignment::Horns);
}

#[test]
fn the_shape_is_read_before_the_first_action() {
    // Five out for the first 1.6 s; then a player cuts to the right block in a second and stands there.
    let stage = Staging::new(8.0, [TOP, WINGS[0], WINGS[1], CORNERS[0], CORNERS[1]])
        .walk(2, 1.6..2.6, BLOCKS[1])
        .hold(0, 0.0..8.0);
    let cut = stage.cut(2, Entry::Basket, 1.6..2.6);
    let read = |actions: &[Action]| stage.alignment(Some(0), actions).unwrap();
    let found = read(&[cut]);
    assert_eq!(found.alignment, Alignment::FiveOut);
    assert!(found.at < 40, "{}", found.at);
}

#[test]
fn a_cut_while_all_have_hardly_come_is_the_way_to_a_place() {
    // From the right wing through the lane to the left corner in the first 1.2 s; then five out.
    let stage = Staging::new(8.0, [TOP, WINGS[0], CORNERS[1], SLOTS[1], SLOTS[0]])
        .walk(4, 0.0..1.2, CORNERS[0])
        .hold(0, 0.0..8.0);
    let cut = stage.cut(4, Entry::Baseline, 0.2..1.2);
    assert_eq!(
        stage.alignment(Some(0), &[cut]).unwrap().alignment,
        Alignment::FiveOut
    );
}

#[test]
fn without_five_players_past_half_court_there_is_no_alignment() {
    let five_out = [TOP, WINGS[0], WINGS[1], CORNERS[0], CORNERS[1]];
    let stage = Staging::new(8.0, five_out);
    assert_eq!(stage.alignment(None, &[]), None);
    assert!(stage.alignment(Some(0), &[]).is_some());
    assert_eq!(stage.clone().lose(4, 0.0..8.0).alignment(Some(0), &[]), None);
    let late = Staging::new(8.0, [TOP, WINGS[0], WINGS[1], CORNERS[0], (14.0, 0.0)]);
    assert_eq!(late.alignment(Some(0), &[]), None);
    let mut four = stage;
    four.scene.attackers = four.scene.attackers.iter().take(4).cloned().collect();
    assert_eq!(four.alignment(Some(0), &[]), None);
}

fn spots() -> impl Strategy<Value = [(f32, f32); 5]> {
    proptest::array::uniform5((-1.0f32..12.0, -7.5f32..7.5))
}

proptest! {
    #[test]
    fn a_mirrored_five_have_the_same_shape(spots in spots(), ball in 0usize..5) {
        let ball = Attacker::ALL[ball];
        let mirrored = spots.map(|(x, y)| (x, -y));
        let read = |spots| classify_shape(&points(spots), ball, &Court::nba(), SLACK_M);
        let (here, there) = (read(spots), read(mirrored));
        prop_assert_eq!(here.alignment, there.alignment);
        prop_assert!((here.margin_m - there.margin_m).abs() < 1e-4);
    }

    #[test]
    fn whoever_stands_where_the_shape_is_the_same(spots in spots(), turn in 1usize..5) {
        let read = |spots, ball| classify_shape(&points(spots), ball, &Court::fiba(), SLACK_M);
        let mut turned = spots;
        turned.rotate_right(turn);
        prop_assert_eq!(read(spots, Attacker::ALL[0]).alignment, read(turned, Attacker::ALL[turn]).alignment);
    }

    #[test]
    fn a_player_who_moves_less_than_the_margin_does_not_change_the_shape(
        spots in spots(), player in 0usize..5, share in 0.0f32..0.49, way in 0.0f32..std::f32::consts::TAU,
    ) {
        let (mut five, player) = (points(spots), Attacker::ALL[player]);
        let here = classify_shape(&five, Attacker::ALL[0], &Court::fiba(), SLACK_M);
        // At the break between arc and corner line "outside" jumps by a few centimetres; and a player can be on the border of
        // two rules at once: half the margin is safe.
        prop_assume!(here.margin_m > 0.2);
        let step = here.margin_m * share;
        five[player] = Point::new(five[player].x_m + step * way.cos(), five[player].y_m + step * way.sin());
        prop_assert_eq!(classify_shape(&five, Attacker::ALL[0], &Court::fiba(), SLACK_M).alignment, here.alignment);
    }
}

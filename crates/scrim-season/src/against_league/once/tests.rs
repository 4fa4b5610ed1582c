//! Rows made by hand over eighty chains of one team, twenty of them flips.

use scrim_floor::Side;
use scrim_tables::Row;
use scrim_tables::tags::{Coverage, Entry, HandlerAction, Outcome, Question, ScreenerAction};

use super::*;
use crate::facts::GameFacts;
use crate::staging::{Staged, What};

/// Twenty flips, each a chain of two ball screens, and sixty other ball screens of `a` against `b`, all met by a drop: of the flips fifteen are
/// on the left, of the others forty.
fn game() -> GameFacts {
    let mut game = Staged::new("g", None);
    for number in 0..80 {
        let look = if number < 20 {
            "horns ball_screen:left ball_screen:left"
        } else {
            "horns ball_screen:left"
        };
        game = game.possession(
            look,
            Some(0),
            What {
                entry: Entry::None,
                ..What::default()
            },
        );
    }
    let mut game = game.done();
    for play in &mut game.plays {
        let is_left = play.possession < 15 || (20..60).contains(&play.possession);
        play.side = if is_left { Side::Left } else { Side::Right };
    }
    for first in (0..40).step_by(2) {
        let id = game.plays[first].entry.screen_id;
        game.plays[first].outcome = Outcome::Flipped;
        game.plays[first].option = Some((ScreenerAction::Rescreen, HandlerAction::Reset));
        game.plays[first + 1].action_id = id;
        game.plays[first + 1].entry.previous_ball_screen_id = Some(id);
    }
    game
}

/// A row that stands out, its number and the league's.
fn row(question: Question, answer: &str, [value, league]: [f32; 2], weight: f32) -> AgainstLeagueRow {
    AgainstLeagueRow {
        team_id: "a".into(),
        side: TeamSide::Offense,
        question,
        answer: Some(answer.into()),
        hits: Some(20),
        value,
        league,
        effect: if value > league { 0.5 } else { -0.5 },
        weight,
        ..Row::blank()
    }
}

/// 20 of 80 actions; 20 of 100 ball screens; 15 · 2 + 40 of 100.
fn flips(weight: f32) -> AgainstLeagueRow {
    AgainstLeagueRow {
        handler_id: Some("h".into()),
        screener_id: Some("s".into()),
        ..row(Question::PairOutcome, "flipped", [0.25, 0.02], weight)
    }
}

fn out_of_another(weight: f32) -> AgainstLeagueRow {
    row(Question::Entry, "ball_screen", [0.2, 0.05], weight)
}

fn again(weight: f32) -> AgainstLeagueRow {
    AgainstLeagueRow {
        coverage: Some(Coverage::Drop),
        ..row(Question::ScreenerAction, "rescreen", [0.2, 0.04], weight)
    }
}

fn left(weight: f32) -> AgainstLeagueRow {
    row(Question::Side, "left", [0.7, 0.4], weight)
}

/// Each row's rank, and the rank of what it follows from.
fn ranked<const N: usize>(mut rows: [AgainstLeagueRow; N]) -> [(Option<u32>, Option<u32>); N] {
    let game = game();
    let screens: Vec<PlayInGame<'_>> = game.plays_in_game(0).collect();
    rank(&mut rows, &screens, 1.2);
    rows.map(|row| (row.rank, row.follows_rank))
}

const FIRST: (Option<u32>, Option<u32>) = (Some(1), None);
const SECOND: (Option<u32>, Option<u32>) = (Some(2), None);
const FOLLOWS_FIRST: (Option<u32>, Option<u32>) = (None, Some(1));

#[test]
fn one_habit_that_three_questions_see_is_one_finding() {
    // All twenty second sides came out of another ball screen, all twenty first ones are screened again: without the flips none is left.
    let ranks = ranked([out_of_another(1.0), flips(3.0), again(2.0)]);
    assert_eq!(ranks, [FOLLOWS_FIRST, FIRST, FOLLOWS_FIRST]);
    // The weightier stays, whichever it is: without the twenty that came out of another no flip is left.
    assert_eq!(ranked([out_of_another(3.0), flips(1.0)]), [FIRST, FOLLOWS_FIRST]);
}

#[test]
fn a_screen_that_is_set_again_and_what_it_comes_out_of_are_one_chain() {
    // None of them is read as a flip: the first screens are screened again, the second ones come out of another.
    let mut game = game();
    for play in &mut game.plays {
        play.outcome = Outcome::Used;
        play.action_id = play.entry.screen_id;
    }
    let screens: Vec<PlayInGame<'_>> = game.plays_in_game(0).collect();
    let mut rows = [out_of_another(2.0), again(1.0)];
    rank(&mut rows, &screens, 1.2);
    assert_eq!(
        rows.map(|row| (row.rank, row.follows_rank)),
        [FIRST, FOLLOWS_FIRST]
    );
}

#[test]
fn what_most_ball_screens_share_explains_nothing() {
    // Fifteen of twenty flips are on the left. Without the flips 40 of 60 are: of the difference of 0.30 there is 0.27 left. Without the left
    // 5 of 25 actions are flips, 0.18 of 0.23.
    assert_eq!(ranked([flips(2.0), left(1.0)]), [FIRST, SECOND]);
    assert_eq!(ranked([flips(1.0), left(2.0)]), [SECOND, FIRST]);
}

#[test]
fn a_row_about_the_ball_screens_of_a_finding_alone_is_another_thing() {
    // All ball screens are met by a drop: how often they screen again in it is not explained by how often it is a drop.
    let drop = row(Question::Coverage, "drop", [1.0, 0.5], 2.0);
    let mut rows = [drop, again(1.0)];
    for row in &mut rows {
        row.team_id = "b".into();
        row.side = TeamSide::Defense;
    }
    assert_eq!(ranked(rows), [FIRST, SECOND]);
}

#[test]
fn of_two_sides_of_one_coin_the_one_with_more_is_the_finding() {
    let used = AgainstLeagueRow {
        handler_id: Some("h".into()),
        screener_id: Some("s".into()),
        ..row(Question::PairOutcome, "used", [0.75, 0.95], 5.0)
    };
    // The flips follow from a weightier row, and what is less for them follows with them.
    let ranks = ranked([out_of_another(3.0), flips(1.0), used.clone()]);
    assert_eq!(ranks, [FIRST, FOLLOWS_FIRST, FOLLOWS_FIRST]);
    // Alone it is a finding.
    assert_eq!(ranked([used]), [FIRST]);
}

#[test]
fn rows_of_different_sides_are_never_one() {
    let of_opponents = AgainstLeagueRow {
        side: TeamSide::Defense,
        ..again(1.0)
    };
    // `a` never defends here: nothing shows the second.
    assert_eq!(ranked([flips(2.0), of_opponents]), [FIRST, SECOND]);
}

#[test]
fn a_row_that_may_be_chance_or_is_small_has_no_place() {
    let chance = AgainstLeagueRow {
        q_value: 0.021,
        ..flips(3.0)
    };
    let small = AgainstLeagueRow {
        effect: 0.19,
        ..left(2.0)
    };
    assert_eq!(
        ranked([chance, small, again(1.0)]),
        [(None, None), (None, None), FIRST]
    );
}

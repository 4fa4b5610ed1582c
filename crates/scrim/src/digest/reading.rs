//! How a ball screen was defended and what came of it, in words.

use scrim_tables::rows::{CoverageRow, OptionRow};
use scrim_tables::tags::{
    Coverage, HandlerAction, HelperAction, OnBallPath, PassTarget, ScreenerAction, UnclearReason,
};

use super::People;

/// Coverage and path, help, option and result, on one line.
pub(super) fn reading(people: &People<'_>, coverage: &CoverageRow, option: &OptionRow) -> String {
    let mut parts = vec![defence(coverage)];
    parts.extend(help(people, coverage));
    parts.push(offence(people, option));
    parts.extend(result(people, option));
    parts.join("; ")
}

fn defence(row: &CoverageRow) -> String {
    let path = match row.on_ball_path {
        OnBallPath::Over => Some("over"),
        OnBallPath::Under => Some("under"),
        // These two say no more than the coverage does.
        OnBallPath::Denied | OnBallPath::Switched | OnBallPath::Unclear => None,
    };
    let coverage = match row.coverage {
        Coverage::Drop => "drop".into(),
        Coverage::Level => "level".into(),
        Coverage::Hedge => "hedge".into(),
        Coverage::Blitz => "blitz".into(),
        Coverage::Switch => "switch".into(),
        Coverage::Ice => "ice".into(),
        Coverage::Unclear => match row.unclear_reason.map(why_unclear) {
            Some(why) => format!("coverage unclear ({why})"),
            None => "coverage unclear".into(),
        },
    };
    match path {
        Some(path) => format!("{coverage}, {path}"),
        None => coverage,
    }
}

fn why_unclear(reason: UnclearReason) -> &'static str {
    match reason {
        UnclearReason::NoScreenerDefender => "nobody guards the screener",
        UnclearReason::NoUserDefender => "nobody guards the handler",
        UnclearReason::NotSeen => "a player is not seen",
        UnclearReason::EndedTooSoon => "the play ended too soon",
        UnclearReason::TooClose => "between two words",
    }
}

fn help(people: &People<'_>, row: &CoverageRow) -> Option<String> {
    let does = match row.helper_action {
        HelperAction::Tag => "tags",
        HelperAction::Sag => "sags",
        HelperAction::Stunt => "stunts",
        HelperAction::None => return None,
    };
    let helper = row.helper_id.as_ref().map(|id| people.called(id));
    Some(format!("{} {does}", helper.as_deref().unwrap_or("a helper")))
}

fn offence(people: &People<'_>, row: &OptionRow) -> String {
    let screener = match row.screener_action {
        ScreenerAction::Roll => Some("roll"),
        ScreenerAction::ShortRoll => Some("short roll"),
        ScreenerAction::Pop => Some("pop"),
        ScreenerAction::Slip => Some("slip"),
        ScreenerAction::Ghost => Some("ghost"),
        ScreenerAction::Rescreen => Some("re-screen"),
        ScreenerAction::Stay => Some("screener stays"),
        ScreenerAction::Unclear => None,
    };
    let handler = match row.handler_action {
        HandlerAction::Drive => "drive".into(),
        HandlerAction::PullUp => "pull-up".into(),
        HandlerAction::StepBack => "step-back".into(),
        HandlerAction::Split => "split".into(),
        HandlerAction::Reject => "reject".into(),
        HandlerAction::Pass => pass(people, row),
        HandlerAction::Reset => "reset".into(),
        HandlerAction::Unclear => "option unclear".into(),
    };
    match screener {
        Some(screener) => format!("{screener}, {handler}"),
        None => handler,
    }
}

fn pass(people: &People<'_>, row: &OptionRow) -> String {
    let receiver = row.receiver_id.as_ref().map(|id| people.called(id));
    let to = match (row.pass_target, receiver) {
        (Some(PassTarget::Screener), _) => " to the screener".into(),
        (Some(PassTarget::WeakSide), Some(name)) => format!(" to {name}, weak side"),
        (Some(PassTarget::StrongSide), Some(name)) => format!(" to {name}, strong side"),
        (None, Some(name)) => format!(" to {name}"),
        (_, None) => String::new(),
    };
    format!("pass{to}")
}

/// The shot, if one came of it.
fn result(people: &People<'_>, row: &OptionRow) -> Option<String> {
    let shooter = people.called(row.shooter_id.as_ref()?);
    let shot = match (row.points, row.shot_value) {
        (Some(0), Some(value)) => format!("misses a {value}"),
        (Some(points), _) => format!("scores {points}"),
        (None, Some(value)) => format!("shoots a {value}"),
        (None, None) => "shoots".into(),
    };
    let space = row
        .space_m
        .map(|space_m| format!(" with {space_m:.1} m of space"));
    Some(format!("{shooter} {shot}{}", space.unwrap_or_default()))
}

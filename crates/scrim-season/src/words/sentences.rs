//! A screen, its defence and what came of it, in sentences.

use scrim_tables::rows::{CoverageRow, OptionRow, ScreenRow};
use scrim_tables::tags::{Coverage, HandlerAction, Outcome, PassTarget, ScreenKind};

use super::grammar::a;
use super::players::Names;
use super::tags;

/// Who did what: `#12 screens, #4 comes off it`.
pub fn screen_sentence(names: &Names, row: &ScreenRow) -> String {
    let screener = names.called(&row.screener_id);
    let user = names.called(&row.user_id);
    if row.early_denial {
        return format!("{user} is sent the other way before {screener} can screen");
    }
    match row.screen_kind {
        ScreenKind::Handoff => format!("{screener} hands the ball to {user}"),
        ScreenKind::BallScreen => match row.outcome {
            Outcome::Used => format!("{screener} screens, {user} comes off it"),
            Outcome::Rejected => format!("{screener} screens, {user} rejects it"),
            Outcome::Slipped => format!("{screener} comes to screen for {user} and slips to the rim"),
            Outcome::Ghosted => format!("{screener} ghosts the screen for {user}"),
            Outcome::Flipped => format!("{screener} screens for {user}, then flips it to the other side"),
            Outcome::Unused => format!("{screener} screens for {user}, who does not use it"),
        },
        ScreenKind::Down
        | ScreenKind::Back
        | ScreenKind::Rub
        | ScreenKind::Cross
        | ScreenKind::Flex
        | ScreenKind::Flare
        | ScreenKind::Zipper
        | ScreenKind::OverTop
        | ScreenKind::Exit
        | ScreenKind::Other => {
            let kind = a(tags::screen(row.screen_kind));
            let outcome = tags::outcome(row.outcome);
            format!("{screener} sets {kind} for {user}, {outcome}")
        }
    }
}

/// How it was defended: `drop, over; #7 tags the roller`.
pub fn defense(names: &Names, row: &CoverageRow) -> String {
    let mut text = tags::coverage(row.coverage).to_owned();
    if let (Coverage::Unclear, Some(reason)) = (row.coverage, row.unclear_reason) {
        text.push_str(&format!(" ({})", tags::unclear_reason(reason)));
    }
    if let Some(path) = tags::path(row.on_ball_path) {
        text.push_str(&format!(", {path}"));
    }
    if let Some(does) = helper(names, row) {
        text.push_str(&format!("; {does}"));
    }
    text
}

fn helper(names: &Names, row: &CoverageRow) -> Option<String> {
    let does = tags::helper(row.helper_action)?;
    let helper = row.helper_id.as_ref().map(|id| names.called(id));
    Some(format!("{} {does}", helper.as_deref().unwrap_or("a helper")))
}

/// What the offence made of it: `handler passes to the screener, screener rolls`; `None` when neither is clear.
pub fn offense(names: &Names, row: &OptionRow) -> Option<String> {
    let handler = tags::handler(row.handler_action)
        .map(|does| with_target(does, row.handler_action, target(names, row).as_deref()));
    let screener = tags::screener(row.screener_action).map(str::to_owned);
    let parts: Vec<String> = handler.into_iter().chain(screener).collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}

/// What the handler did, with where a pass went: `handler passes to the weak side`, `handler drives, passes to the screener`.
pub fn with_target(does: &str, action: HandlerAction, target: Option<&str>) -> String {
    match (action, target) {
        (_, None) => does.to_owned(),
        (HandlerAction::Pass, Some(target)) => format!("{does} {target}"),
        (_, Some(target)) => format!("{does}, passes {target}"),
    }
}

/// Where the pass went, by name where that says more; `None` when there was none.
fn target(names: &Names, row: &OptionRow) -> Option<String> {
    let receiver = row.receiver_id.as_ref().map(|id| names.called(id));
    match (row.pass_target, receiver) {
        (Some(PassTarget::WeakSide), Some(name)) => Some(format!("to {name} on the weak side")),
        (Some(PassTarget::StrongSide), Some(name)) => Some(format!("to {name} on the strong side")),
        (Some(target), _) => Some(tags::target(target).into()),
        (None, Some(name)) if row.t_pass_s.is_some() => Some(format!("to {name}")),
        (None, _) => None,
    }
}

/// The shot that came of it, if one did: `#12 misses a 2 with 1.2 m of space`.
pub fn shot(names: &Names, row: &OptionRow) -> Option<String> {
    let shooter = names.called(row.shooter_id.as_ref()?);
    let shot = match (row.points, row.shot_value) {
        (Some(0), Some(value)) => format!("misses a {value}"),
        (Some(0), None) => "misses".into(),
        (Some(points), _) => format!("scores {points}"),
        (None, Some(value)) => format!("shoots a {value}"),
        (None, None) => "shoots".into(),
    };
    let space = row
        .space_m
        .map(|space_m| format!(" with {space_m:.1} m of space"));
    Some(format!("{shooter} {shot}{}", space.unwrap_or_default()))
}

#[cfg(test)]
mod tests {
    use scrim_tables::Row;

    use super::*;

    fn off_ball(screen_kind: ScreenKind) -> ScreenRow {
        ScreenRow {
            screen_kind,
            outcome: Outcome::Used,
            screener_id: "s".into(),
            user_id: "u".into(),
            ..ScreenRow::blank()
        }
    }

    #[test]
    fn a_pass_after_another_action_is_said_after_it() {
        assert_eq!(
            with_target("handler drives", HandlerAction::Drive, Some("to the screener")),
            "handler drives, passes to the screener"
        );
        assert_eq!(
            with_target("handler passes", HandlerAction::Pass, Some("to the screener")),
            "handler passes to the screener"
        );
        assert_eq!(
            with_target("handler drives", HandlerAction::Drive, None),
            "handler drives"
        );
    }

    #[test]
    fn a_screen_off_the_ball_is_called_by_its_kind() {
        let said = |kind| screen_sentence(&Names::default(), &off_ball(kind));
        assert_eq!(said(ScreenKind::Flare), "s sets a flare screen for u, used");
        assert_eq!(said(ScreenKind::Exit), "s sets an exit screen for u, used");
        assert_eq!(
            said(ScreenKind::Other),
            "s sets an unnamed off-ball screen for u, used"
        );
    }
}

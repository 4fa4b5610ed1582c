//! A screen, its defence and what came of it, in sentences.

use scrim_tables::rows::{CoverageRow, OptionRow, ScreenRow};
use scrim_tables::tags::{Coverage, HandlerAction, HelperAction, Outcome, PassTarget, ScreenKind};

use super::players::Names;
use super::said::Arg;
use super::translation::Words;

impl Words {
    /// Who did what: `#12 screens, #4 comes off it`.
    pub fn screen_sentence(&self, names: &Names, row: &ScreenRow) -> String {
        let pair = [
            ("screener", names.called(&row.screener_id).into()),
            ("user", names.called(&row.user_id).into()),
        ];
        if row.early_denial {
            return self.say("screen-denied", &pair);
        }
        match row.screen_kind {
            ScreenKind::Handoff => self.say("screen-handoff", &pair),
            ScreenKind::BallScreen => self.say(
                match row.outcome {
                    Outcome::Used => "screen-used",
                    Outcome::Rejected => "screen-rejected",
                    Outcome::Slipped => "screen-slipped",
                    Outcome::Ghosted => "screen-ghosted",
                    Outcome::Flipped => "screen-flipped",
                    Outcome::Unused => "screen-unused",
                },
                &pair,
            ),
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
                let [screener, user] = pair;
                let kind = self.a(row.screen_kind.into()).into();
                let outcome = self.outcome(row.outcome).into();
                self.say(
                    "screen-off-ball",
                    &[screener, user, ("kind", kind), ("outcome", outcome)],
                )
            }
        }
    }

    /// How it was defended: `drop, over; #7 tags the roller`.
    pub fn defense(&self, names: &Names, row: &CoverageRow) -> String {
        let mut text = self.coverage(row.coverage).to_owned();
        if let (Coverage::Unclear, Some(reason)) = (row.coverage, row.unclear_reason) {
            text.push_str(&format!(" ({})", self.unclear_reason(reason)));
        }
        if let Some(path) = self.path(row.on_ball_path) {
            text.push_str(&format!(", {path}"));
        }
        if let Some(does) = self.helper_does(names, row) {
            text.push_str(&format!("; {does}"));
        }
        text
    }

    fn helper_does(&self, names: &Names, row: &CoverageRow) -> Option<String> {
        let helper: Arg = match &row.helper_id {
            Some(id) => names.called(id).into(),
            None => self.text("helper-unknown").into(),
        };
        let key = format!("helper-{}.by", row.helper_action);
        (row.helper_action != HelperAction::None).then(|| self.say(&key, &[("helper", helper)]))
    }

    /// What the offence made of it: `handler passes to the screener, screener rolls`; `None` when neither is clear.
    pub fn offense(&self, names: &Names, row: &OptionRow) -> Option<String> {
        let target = self.target_named(names, row);
        let handler = self.handler_to(row.handler_action, target.as_deref());
        match (handler, self.screener(row.screener_action)) {
            (Some(handler), Some(screener)) => Some(self.say(
                "option",
                &[("handler", handler.into()), ("screener", screener.into())],
            )),
            (handler, screener) => handler.or(screener.map(str::to_owned)),
        }
    }

    /// What the handler did, with where a pass went: `handler passes to the weak side`, `handler drives, passes to the screener`; `None` when it
    /// is not clear.
    pub fn handler_to(&self, action: HandlerAction, target: Option<&str>) -> Option<String> {
        let does = self.handler(action)?;
        let Some(target) = target else {
            return Some(does.to_owned());
        };
        let key = match action {
            HandlerAction::Pass => "handler-passes-to",
            _ => "handler-then-passes",
        };
        Some(self.say(key, &[("does", does.into()), ("target", target.into())]))
    }

    /// Where the pass went, by name where that says more; `None` when there was none.
    fn target_named(&self, names: &Names, row: &OptionRow) -> Option<String> {
        let receiver = row.receiver_id.as_ref().map(|id| names.called(id));
        let named = |key: &str, name: String| Some(self.say(key, &[("player", name.into())]));
        match (row.pass_target, receiver) {
            (Some(PassTarget::WeakSide), Some(name)) => named("target-weak_side.named", name),
            (Some(PassTarget::StrongSide), Some(name)) => named("target-strong_side.named", name),
            (Some(target), _) => Some(self.target(target).into()),
            (None, Some(name)) if row.t_pass_s.is_some() => named("target-player", name),
            (None, _) => None,
        }
    }

    /// The shot that came of it, if one did: `#12 misses a 2 with 1.2 m of space`.
    pub fn shot(&self, names: &Names, row: &OptionRow) -> Option<String> {
        let shooter = ("shooter", names.called(row.shooter_id.as_ref()?).into());
        let shot = match (row.points, row.shot_value) {
            (Some(0), Some(value)) => self.say("shot-misses-value", &[shooter, ("value", value.into())]),
            (Some(0), None) => self.say("shot-misses", &[shooter]),
            (Some(points), _) => self.say("shot-scores", &[shooter, ("points", points.into())]),
            (None, Some(value)) => self.say("shot-shoots-value", &[shooter, ("value", value.into())]),
            (None, None) => self.say("shot-shoots", &[shooter]),
        };
        Some(match row.space_m {
            Some(space_m) => {
                let space = self.decimal(space_m.into(), 1).into();
                self.say("shot-space", &[("shot", shot.into()), ("space", space)])
            }
            None => shot,
        })
    }
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
        let words = Words::english();
        let said = |action, target| words.handler_to(action, target).unwrap();
        assert_eq!(
            said(HandlerAction::Drive, Some("to the screener")),
            "handler drives, passes to the screener"
        );
        assert_eq!(
            said(HandlerAction::Pass, Some("to the screener")),
            "handler passes to the screener"
        );
        assert_eq!(said(HandlerAction::Drive, None), "handler drives");
        assert_eq!(
            words.handler_to(HandlerAction::Unclear, Some("to the screener")),
            None
        );
    }

    #[test]
    fn a_screen_off_the_ball_is_called_by_its_kind() {
        let words = Words::english();
        let said = |kind| words.screen_sentence(&Names::default(), &off_ball(kind));
        assert_eq!(said(ScreenKind::Flare), "s sets a flare screen for u, used");
        assert_eq!(said(ScreenKind::Exit), "s sets an exit screen for u, used");
        assert_eq!(
            said(ScreenKind::Other),
            "s sets an unnamed off-ball screen for u, used"
        );
    }
}

//! A ball screen by chance: who, where, what is done about it and what comes of it, fitting together.

use scrim_tables::tags::{Coverage, HandlerAction, HelperAction, OnBallPath, Outcome, ScreenerAction};

use super::BallScreen;
use crate::shot::Next;
use crate::style::Style;
use crate::vec2::v2;
use crate::world::{Halt, World};

/// Share of ball screens that are set where the handler is already. Chosen so that ball screens come about as soon as real ones.
const STAYS: f64 = 0.8;

/// No ball screen is called farther from the hoop than this along the court, metres.
const HIGHEST_M: f64 = 9.6;

impl World<'_> {
    /// Draws a ball screen that fits together and runs it.
    pub fn draw_ball_screen(&mut self, preferred: Option<usize>) -> Result<Next, Halt> {
        let handler = self.handler;
        let base = self.offense * 5;
        let candidates: Vec<(usize, f64)> = [(4, 0.55), (3, 0.27), (2, 0.1), (1, 0.08), (0, 0.06)]
            .iter()
            .map(|&(s, w)| (base + s, w))
            .filter(|&(s, _)| s != handler)
            // Who is near comes rather; in order post players come from wherever they stand.
            .map(|(s, w)| {
                (
                    s,
                    w / (1.0 + self.style.pick((self.gap(s, handler) / 2.5).powi(2), 0.0)),
                )
            })
            .collect();
        let drawn = self.dice.weighted(&candidates);
        let screener = preferred.filter(|&s| s != handler).unwrap_or(drawn);
        let side_y = self.side_y_m();
        let mirror = self.dice.sign();
        let place = self.dice.weighted(&[
            (v2(8.6, 0.4), 0.3),
            (v2(8.0, 3.2), 0.28),
            (v2(6.2, 5.2), 0.22),
            (v2(4.2, side_y - 0.9), 0.1),
            (v2(5.8, 2.9), 0.1),
            (v2(10.8, 2.0), 0.05),
        ]);
        let place = v2(
            place.x + self.dice.between(-0.5, 0.7),
            place.y * mirror + self.dice.between(-0.5, 0.5),
        );
        // Out of the flow of another action nobody walks to a new place first; nor do many others.
        let here = self.pos(handler);
        let is_out = here.length() > 5.5;
        let stays = preferred.is_some() || (self.style == Style::Lively && self.dice.chance(STAYS));
        let place = if stays && is_out {
            // On the way up the handler comes on meanwhile.
            let ahead = self.ahead(handler);
            v2(ahead.x.min(HIGHEST_M), ahead.y)
        } else {
            place
        };
        // In the attack frame the way to the hoop from the right side turns by +90° toward the middle or the
        // sideline; both happen, the middle more often.
        let middle = if place.y > 0.0 { -1.0 } else { 1.0 };
        let side = if self.dice.chance(0.68) { -middle } else { middle };
        let coverage = self.dice.weighted(&[
            (Coverage::Drop, self.style.pick(0.4, 0.34)),
            (Coverage::Level, self.style.pick(0.11, 0.14)),
            (Coverage::Hedge, self.style.pick(0.14, 0.13)),
            (Coverage::Blitz, 0.1),
            (Coverage::Switch, self.style.pick(0.21, 0.2)),
            (Coverage::Ice, self.style.pick(0.07, 0.09)),
        ]);
        let outcome = match coverage {
            Coverage::Ice => Outcome::Rejected,
            Coverage::Drop
            | Coverage::Level
            | Coverage::Hedge
            | Coverage::Blitz
            | Coverage::Switch
            | Coverage::Unclear => self.dice.weighted(&[
                (Outcome::Used, self.style.pick(0.74, 0.64)),
                (Outcome::Rejected, self.style.pick(0.06, 0.07)),
                (Outcome::Slipped, self.style.pick(0.07, 0.09)),
                (Outcome::Ghosted, self.style.pick(0.05, 0.06)),
                (Outcome::Flipped, 0.05),
                (Outcome::Unused, self.style.pick(0.04, 0.09)),
            ]),
        };
        let path = match coverage {
            Coverage::Switch => self
                .dice
                .weighted(&[(OnBallPath::Switched, 0.8), (OnBallPath::Over, 0.2)]),
            Coverage::Ice => OnBallPath::Denied,
            Coverage::Hedge | Coverage::Blitz => OnBallPath::Over,
            Coverage::Drop | Coverage::Level | Coverage::Unclear => self
                .dice
                .weighted(&[(OnBallPath::Over, 0.68), (OnBallPath::Under, 0.32)]),
        };
        let screener_action = self.dice.weighted(&[
            (ScreenerAction::Roll, 0.42),
            (ScreenerAction::ShortRoll, 0.18),
            (ScreenerAction::Pop, 0.28),
            (ScreenerAction::Stay, 0.12),
        ]);
        let handler_action = match coverage {
            Coverage::Blitz => self
                .dice
                .weighted(&[(HandlerAction::Pass, 0.8), (HandlerAction::Split, 0.2)]),
            Coverage::Hedge => self.dice.weighted(&[
                (HandlerAction::Pass, 0.55),
                (HandlerAction::Reset, 0.38),
                (HandlerAction::Split, 0.12),
            ]),
            Coverage::Ice => HandlerAction::Reject,
            Coverage::Switch => self.dice.weighted(&[
                (HandlerAction::Drive, 0.2),
                (HandlerAction::PullUp, 0.1),
                (HandlerAction::StepBack, 0.1),
                (HandlerAction::Pass, 0.4),
                (HandlerAction::Reset, 0.2),
            ]),
            Coverage::Drop | Coverage::Level | Coverage::Unclear => self.dice.weighted(&[
                (HandlerAction::Drive, 0.17),
                (HandlerAction::PullUp, 0.16),
                (HandlerAction::StepBack, 0.05),
                (HandlerAction::Pass, 0.5),
                (HandlerAction::Reset, 0.12),
            ]),
        };
        let helper_action = self.dice.weighted(&[
            (HelperAction::Tag, 0.35),
            (HelperAction::Sag, 0.15),
            (HelperAction::Stunt, 0.2),
            (HelperAction::None, 0.3),
        ]);
        self.ball_screen(BallScreen {
            screener,
            place,
            side,
            outcome,
            coverage,
            path,
            screener_action,
            handler_action,
            helper_action,
            previous: None,
        })
    }
}

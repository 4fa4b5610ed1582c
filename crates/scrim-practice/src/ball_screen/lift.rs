//! A lift that may hold the low man: while the roller goes, a shooter comes up out of the corner on the weak side, and the
//! defender who should help goes with them. Only in games that ask for it ([`PracticeParams::lifts_hold`]).
//!
//! Each such ball screen is played twice from the same instant, once with the lift and once without; one of the two goes on,
//! by chance, and of the other only the room is kept. So the truth holds both, and its effect on each ball screen.
//!
//! [`PracticeParams::lifts_hold`]: crate::PracticeParams::lifts_hold

use scrim_tables::tags::{Coverage, CutKind, HelperAction, ScreenerAction};

use super::BallScreen;
use crate::duty::Duty;
use crate::plan::{LiftPlan, Room};
use crate::shot::Next;
use crate::vec2::{Vec2, v2};
use crate::world::{Halt, Leg, World};

/// How likely a lift is: where the screener's defender steps out to the ball the roller has more room, lift or not, and shooters
/// lift more often; so the two kinds of ball screens differ before anybody lifts. Chosen so that a plain comparison misleads.
const WHEN_OUT: f64 = 0.75;
/// See [`WHEN_OUT`]: where that defender stays back, or switches.
const WHEN_BACK: f64 = 0.35;
/// Share of held low men who come over late; the others do not come at all.
const LATE: f64 = 0.3;
/// Nearer the hoop than this, and farther from the middle than that, a player stands in the corner, metres.
const CORNER_X_M: f64 = 2.8;
/// See [`CORNER_X_M`].
const CORNER_Y_M: f64 = 4.8;
/// A ball this near the middle is on no side, metres.
const MIDDLE_M: f64 = 0.5;
/// The room is kept for so long, seconds.
const KEPT_S: f64 = 4.0;
/// So long a shooter keeps the corner, unless they lift, seconds.
const WAITS_S: f64 = 6.0;

/// A ball screen at which a shooter could lift: everything that is left to chance, but for whether they do.
#[derive(Debug, Clone, Copy)]
struct Chance {
    shooter: usize,
    low_man: usize,
    p_lift: f64,
    /// Whether the lift would hold the low man, and when they come all the same.
    holds: bool,
    late_s: Option<f64>,
    /// When a low man comes who is not held, and for how long.
    start_s: f64,
    tags_s: f64,
    spot: Vec2,
    pace_mps: f64,
}

impl World<'_> {
    /// In a game with lifts one of the others takes the corner away from the ball, and the weak side has nothing else to do.
    pub(super) fn fill_weak_corner(&mut self, screen: &BallScreen) {
        if self.params.lifts_hold.is_none() {
            return;
        }
        let place = screen.place;
        let away = if place.y.abs() > 1.0 {
            -place.y.signum()
        } else {
            // Straight on top: away from where the handler is to go.
            -((-place.unit()).quarter_turn() * screen.side).y.signum()
        };
        let corner = v2(0.7, away * (self.side_y_m() - 0.6));
        let handler = self.handler;
        let shooter = self
            .attackers()
            .filter(|&s| s != handler && s != screen.screener && s % 5 != 4)
            .min_by(|&a, &b| {
                self.pos(a)
                    .distance(corner)
                    .total_cmp(&self.pos(b).distance(corner))
            });
        if let Some(shooter) = shooter {
            self.path(shooter, &[Leg::to(corner, 5.0), Leg::Wait { left_s: WAITS_S }]);
        }
    }

    /// The user is past the screen: somebody helps, perhaps a shooter lifts, and the handler makes something of it.
    pub(super) fn play_out(&mut self, index: usize, screen: &BallScreen, out: Vec2) -> Result<Next, Halt> {
        let Some(chance) = self.draw_chance_to_lift(screen) else {
            self.help(index, screen);
            return self.option(index, screen, out);
        };
        let lifts = self.dice.chance(chance.p_lift);
        if !self.is_replay {
            let other = self.room_if(index, screen, out, &chance, !lifts);
            self.log.lifts.push(LiftPlan {
                screen: index,
                shooter: chance.shooter,
                low_man: chance.low_man,
                called: screen.coverage,
                p_lift: chance.p_lift,
                lifts,
                would_hold: chance.holds,
                t_s: self.now_s(),
                other,
            });
        }
        self.lift_or_stay(index, screen, &chance, lifts);
        self.option(index, screen, out)
    }

    /// Whether somebody stands in the weak corner while the screener rolls, and what they would do.
    fn draw_chance_to_lift(&mut self, screen: &BallScreen) -> Option<Chance> {
        let holds_share = f64::from(self.params.lifts_hold?);
        if !matches!(
            screen.screener_action,
            ScreenerAction::Roll | ScreenerAction::ShortRoll
        ) {
            return None;
        }
        let (handler, ball_y) = (self.handler, self.ball.pos.y);
        let in_weak_corner = |&s: &usize| {
            let at = self.pos(s);
            let is_weak = ball_y.abs() < MIDDLE_M || at.y * ball_y < 0.0;
            let is_in_corner = at.x < CORNER_X_M && at.y.abs() > CORNER_Y_M;
            s != handler && s != screen.screener && is_weak && is_in_corner
        };
        // Who is deepest in it, where there are two.
        let deep = |s: usize| self.pos(s).y.abs() - self.pos(s).x;
        let shooter = self
            .attackers()
            .filter(in_weak_corner)
            .max_by(|&a, &b| deep(a).total_cmp(&deep(b)))?;
        let is_out = matches!(
            screen.coverage,
            Coverage::Hedge | Coverage::Blitz | Coverage::Level
        );
        let side = self.pos(shooter).y.signum();
        let holds = self.dice.chance(holds_share);
        let late_s = self.dice.between(1.0, 1.5);
        Some(Chance {
            shooter,
            low_man: self.defender_of(shooter),
            p_lift: if is_out { WHEN_OUT } else { WHEN_BACK },
            holds,
            late_s: self.dice.chance(LATE).then_some(late_s),
            start_s: self.dice.between(0.1, 0.4),
            tags_s: self.dice.between(1.2, 1.8),
            spot: v2(self.dice.between(4.6, 5.6), side * 6.2),
            pace_mps: self.dice.between(4.2, 5.4),
        })
    }

    /// The shooter lifts or keeps the corner, and the low man comes over unless the lift holds them.
    fn lift_or_stay(&mut self, index: usize, screen: &BallScreen, chance: &Chance, lifts: bool) {
        let (shooter, low_man) = (chance.shooter, chance.low_man);
        if lifts {
            self.note_cut(Some(CutKind::Lift), shooter, None);
            self.go(shooter, chance.spot, chance.pace_mps);
        } else {
            self.path(shooter, &[Leg::Wait { left_s: KEPT_S }]);
        }
        let comes_s = if lifts && chance.holds {
            chance.late_s
        } else {
            Some(chance.start_s)
        };
        let roller = screen.screener;
        if let Some(start_s) = comes_s {
            self.duty_later(start_s, low_man, Duty::Tag { roller });
            self.duty_later(start_s + chance.tags_s, low_man, Duty::Guard);
        }
        let plan = &mut self.log.screens[index];
        plan.helper = comes_s.map(|_| low_man);
        plan.helper_action = Some(if comes_s.is_some() {
            HelperAction::Tag
        } else {
            HelperAction::None
        });
    }

    /// The room from now on, frame by frame, if the shooter did `lifts`: played by a copy of everything, dice included. The
    /// possession itself knows nothing of it.
    fn room_if(
        &self,
        index: usize,
        screen: &BallScreen,
        out: Vec2,
        chance: &Chance,
        lifts: bool,
    ) -> Vec<Room> {
        let mut copy = self.clone();
        copy.is_replay = true;
        let first = copy.record.frames.len();
        copy.lift_or_stay(index, screen, chance, lifts);
        // However it ends, what counts is what was played until then.
        let _ = copy.option(index, screen, out);
        let end_s = copy.log.possessions[self.log.possessions.len() - 1].t_end_s;
        // A possession that goes on has no end yet: NaN.
        let is_in_it = |&frame: &usize| end_s.is_nan() || frame as f64 / copy.params.hz <= end_s;
        let kept = (KEPT_S * copy.params.hz).round() as usize;
        (first..copy.record.frames.len())
            .take(kept)
            .take_while(is_in_it)
            .map(|frame| Room::at(&copy.record.frames[frame], screen.screener, chance.low_man))
            .collect()
    }
}

//! Candidates of games with the label that each stands for.

use scrim_actions::{
    OffBallScreenParams, ScreenInputs, ScreenParams, ball_screen_candidates, find_ball_screens,
    flip_candidates, off_ball_candidates,
};
use scrim_play::{PlayParams, Scene, find_play};
use scrim_tables::Id;
use scrim_tables::tags::{Outcome, ScreenKind};
use scrim_tracks::{Game, PlayerIx};

use crate::{Label, Labels};

/// A candidate and a label of the same two are one within this, s (as the score has it).
const SAME_S: f64 = 1.0;
/// Near a zone of doubt that shares a player a candidate is not judged, within this, s.
const DOUBT_S: f64 = 1.5;

/// The copy that stands for practice games.
pub const PRACTICE: usize = usize::MAX;

/// Candidates on the ball and off it, and changes of sides on the ball.
#[derive(Debug, Default)]
pub struct Rows {
    /// On the ball.
    pub on_ball: Vec<Row>,
    /// Off it.
    pub off_ball: Vec<Row>,
    /// What may be the first side of a flip, `t_use_s` the closest approach on the second; the label is that of a flip.
    pub flips: Vec<Row>,
}

/// One candidate.
#[derive(Debug, Clone)]
pub struct Row {
    /// The game.
    pub game_id: Id,
    /// Which copy of the labelled scenes, or [`PRACTICE`].
    pub copy: usize,
    /// The possession's id in the game.
    pub possession: usize,
    /// The period, from 1.
    pub period: u8,
    /// Closest approach, s from the period's first frame.
    pub t_s: f64,
    /// When the two part, s.
    pub t_part_s: f64,
    /// What the detector would write as the use, s.
    pub t_use_s: f64,
    /// Who may use a screen.
    pub user: Id,
    /// Who may set it.
    pub screener: Id,
    /// What was measured, in the order of the model's names.
    pub evidence: Vec<f32>,
    /// What a correction of the model's answer looks at.
    pub inputs: ScreenInputs,
    /// Whether the touches show that the ball has gone from hand to hand.
    pub is_by_hand: bool,
    /// How much it counts in a fit.
    pub weight: f64,
    /// The number of the label that it stands for.
    pub label: Option<usize>,
    /// That label's use, s.
    pub t_label_s: Option<f64>,
    /// That label's outcome.
    pub outcome: Option<Outcome>,
    /// Whether that label is a handoff.
    pub is_handoff: bool,
    /// Near a zone of doubt: not judged.
    pub in_doubt: bool,
}

impl Row {
    /// Whether what the detector would write of it is right: the score wants the use within a second.
    pub fn is_hit(&self) -> bool {
        self.t_label_s
            .is_some_and(|t_s| (self.t_use_s - t_s).abs() <= SAME_S)
    }

    /// Whether it is of a practice game.
    pub fn is_practice(&self) -> bool {
        self.copy == PRACTICE
    }
}

/// How candidates are found.
#[derive(Debug, Clone, Default)]
pub struct Finding {
    /// Who has the ball, whose possession it is.
    pub play: PlayParams,
    /// On the ball.
    pub screens: ScreenParams,
    /// Off it.
    pub off_ball: OffBallScreenParams,
}

/// Adds the candidates of a game. `copy` and `weight` are put into each.
pub fn add_game(game: &Game, how: &Finding, labels: &Labels, copy: usize, weight: f64, rows: &mut Rows) {
    let play = find_play(game, &how.play);
    let scenes = Scene::all(game, &play);
    let row = |possession: usize,
               [user, screener]: [PlayerIx; 2],
               [at, parting, used]: [usize; 3],
               evidence: &[f32],
               inputs: ScreenInputs| {
        let period = &game.periods[play.possessions[possession].period];
        Row {
            game_id: game.info.game_id.clone(),
            copy,
            possession,
            period: period.number,
            t_s: at as f64 / period.hz,
            t_part_s: parting as f64 / period.hz,
            t_use_s: used as f64 / period.hz,
            user: game.player(user).id.clone(),
            screener: game.player(screener).id.clone(),
            evidence: evidence.to_vec(),
            inputs,
            is_by_hand: false,
            weight,
            label: None,
            t_label_s: None,
            outcome: None,
            is_handoff: false,
            in_doubt: false,
        }
    };
    let first = rows.on_ball.len();
    rows.on_ball
        .extend(ball_screen_candidates(&scenes, &play).iter().map(|c| Row {
            is_by_hand: c.is_handoff,
            ..row(
                c.possession,
                [c.user, c.screener],
                [c.at, c.parting, c.used],
                &c.evidence.values(),
                c.inputs,
            )
        }));
    let first_off = rows.off_ball.len();
    let ball_screens = find_ball_screens(&scenes, &play, &how.screens);
    rows.off_ball.extend(
        off_ball_candidates(&scenes, &play, &ball_screens, &how.off_ball)
            .iter()
            .map(|c| {
                row(
                    c.possession,
                    [c.user, c.screener],
                    [c.used; 3],
                    &c.evidence,
                    c.inputs,
                )
            }),
    );
    let first_flip = rows.flips.len();
    rows.flips
        .extend(flip_candidates(&scenes, &play, &how.screens).iter().map(|c| {
            row(
                c.possession,
                [c.user, c.screener],
                [c.given_up, c.given_up, c.approach],
                &c.evidence,
                c.inputs,
            )
        }));
    for period in &game.periods {
        let own = labels.of_period(&game.info.game_id, period.number);
        judge(own, true, period.number, &mut rows.on_ball[first..]);
        judge(own, false, period.number, &mut rows.off_ball[first_off..]);
        judge_flips(own, period.number, &mut rows.flips[first_flip..]);
    }
    // What nobody looked at is neither a screen nor none.
    let unseen =
        |row: &&mut Row| row.label.is_none() && !labels.were_sought_at(&row.game_id, row.period, row.t_use_s);
    let ours = rows.on_ball[first..].iter_mut();
    for row in ours.chain(&mut rows.off_ball[first_off..]).filter(unseen) {
        row.in_doubt = true;
    }
    if labels.plain_off_ball() {
        // What is not labelled off the ball may be a screen all the same: it hardly counts.
        for row in rows.off_ball[first_off..]
            .iter_mut()
            .filter(|row| row.label.is_none())
        {
            row.weight *= UNLABELLED_WEIGHT;
        }
    }
}

/// How much an unlabelled candidate off the ball counts where only plain screens are labelled.
const UNLABELLED_WEIGHT: f64 = 0.15;

/// Gives each change of sides the flip of its two players that is labelled there, and marks what lies in a zone of doubt. Two finds
/// of the second side lead back to the same first one, so that more than one row may stand for a label.
fn judge_flips(labels: &[Label], period: u8, rows: &mut [Row]) {
    for row in rows.iter_mut().filter(|row| row.period == period) {
        let apart_s = |label: &Label| (label.t_use_s - row.t_s).abs();
        let is_flip = |label: &&Label| {
            label.outcome == Some(Outcome::Flipped)
                && (&label.user, &label.screener) == (&row.user, &row.screener)
                && apart_s(label) <= SAME_S
                && apart_s(label) < (label.t_use_s - row.t_use_s).abs()
        };
        let is_doubt = |label: &Label| {
            let shares = [&label.user, &label.screener]
                .iter()
                .any(|&player| *player == row.user || *player == row.screener);
            label.on_ball && label.kind.is_none() && shares && apart_s(label) <= DOUBT_S
        };
        if let Some(label) = labels.iter().find(is_flip) {
            row.label = Some(label.number);
            row.t_label_s = Some(label.t_use_s);
            row.outcome = label.outcome;
        } else {
            row.in_doubt = labels.iter().any(is_doubt);
        }
    }
}

/// Gives each label the nearest candidate of its two players, and marks what lies in a zone of doubt.
fn judge(labels: &[Label], on_ball: bool, period: u8, rows: &mut [Row]) {
    for label in labels.iter().filter(|label| label.on_ball == on_ball) {
        let parts = matches!(
            label.outcome,
            Some(Outcome::Rejected | Outcome::Slipped | Outcome::Flipped | Outcome::Unused)
        );
        // What was not used is labelled at the parting.
        let apart_s = |row: &Row| {
            let at_use_s = (row.t_s - label.t_use_s).abs();
            if parts {
                at_use_s.min((row.t_part_s - label.t_use_s).abs())
            } else {
                at_use_s
            }
        };
        let here = |row: &&mut Row| row.period == period;
        if label.kind.is_none() {
            for row in rows.iter_mut().filter(here) {
                let shares = [&row.user, &row.screener]
                    .iter()
                    .any(|&player| *player == label.user || *player == label.screener);
                row.in_doubt |= shares && apart_s(row) <= DOUBT_S;
            }
            continue;
        }
        let nearest = rows
            .iter_mut()
            .filter(here)
            .filter(|row| row.label.is_none())
            .filter(|row| (&row.user, &row.screener) == (&label.user, &label.screener))
            .filter(|row| apart_s(row) <= SAME_S)
            .min_by(|a, b| apart_s(a).total_cmp(&apart_s(b)));
        if let Some(row) = nearest {
            row.label = Some(label.number);
            row.t_label_s = Some(label.t_use_s);
            row.outcome = label.outcome;
            row.is_handoff = label.kind == Some(ScreenKind::Handoff);
        }
    }
    for row in rows.iter_mut().filter(|row| row.label.is_some()) {
        row.in_doubt = false;
    }
}

//! Everything off the ball: cuts, motion, space, the helper's dilemma.

use scrim_floor::Zone;

use crate::column::Id;
use crate::rows::declare::tables;
use crate::tags::{Activity, CutKind, PulledBy};

tables! {
    /// One cut.
    CutRow = "cuts" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The possession.
        possession_id: u32,
        /// Number of the cut in its game, from 0.
        cut_id: u32,
        /// Who cuts.
        player_id: Id,
        /// What kind.
        cut_kind: CutKind,
        /// First instant.
        t_start_s: f64,
        /// Last instant.
        t_end_s: f64,
        /// Where it began.
        zone_from: Zone,
        /// Where it ended.
        zone_to: Zone,
        /// Whether it ended on the ball's side.
        strong_side: bool,
        /// The screen it came off, if any.
        screen_id: Option<u32>,
        /// The largest speed in it.
        peak_speed_mps: f32,
        /// The way run.
        path_m: f32,
        /// How sure the tag is, 0 to 1.
        confidence: f32,
    }
    /// What one off-ball attacker did while a ball screen was on.
    OffBallMotionRow = "off_ball_motion" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The possession.
        possession_id: u32,
        /// The ball screen.
        screen_id: u32,
        /// The attacker.
        player_id: Id,
        /// Whether he was on the ball's side at the use.
        strong_side: bool,
        /// What he did.
        activity: Activity,
        /// The way run in the window.
        path_m: f32,
        /// From where he was first to where he was last.
        net_m: f32,
        /// Mean speed.
        mean_speed_mps: f32,
        /// Largest speed.
        peak_speed_mps: f32,
        /// Share of the window above 1.0 m/s.
        moving_share: f32,
        /// Who guards him.
        defender_id: Option<Id>,
        /// How far his defender was from canonical position, most; null when nobody is known to guard him.
        defender_pull_m: Option<f32>,
        /// The largest distance to the nearest defender; null when no defender is seen.
        max_space_m: Option<f32>,
        /// When that was.
        t_max_space_s: Option<f64>,
        /// Time in the slowest of four speed zones.
        standing_walking_s: f32,
        /// Time in the second.
        jogging_s: f32,
        /// Time in the third.
        running_s: f32,
        /// Time in the fastest.
        high_speed_running_s: f32,
    }
    /// The offence's spacing during one ball screen, and the floor it controls.
    SpacingRow = "spacing" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The possession.
        possession_id: u32,
        /// The ball screen.
        screen_id: u32,
        /// Area of the convex hull of the five at the use; null when one of them is not seen, or they are not five.
        hull_m2: Option<f32>,
        /// The same, mean over the window (the instants at which all five are seen).
        hull_mean_m2: Option<f32>,
        /// Mean over the attackers of the distance to the nearest team-mate, at the use; null when fewer than two are seen.
        nearest_mate_mean_m: Option<f32>,
        /// The least of these distances.
        nearest_mate_min_m: Option<f32>,
        /// Attackers in the lane at the use.
        paint_attackers: u8,
        /// Defenders in the lane at the use.
        paint_defenders: u8,
        /// The part of the half court to which an attacker is the nearest player, at the use.
        attack_nearest_m2: f32,
        /// The part of the half court that an attacker can reach first, at the use.
        attack_first_m2: f32,
    }
    /// The floor that one attacker controls at the use of one ball screen.
    FloorControlRow = "floor_control" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The possession.
        possession_id: u32,
        /// The ball screen.
        screen_id: u32,
        /// The attacker.
        player_id: Id,
        /// The distance to his nearest team-mate; null when no other is seen.
        nearest_mate_m: Option<f32>,
        /// The part of the half court to which he is the nearest of all players (his Voronoi cell).
        nearest_m2: f32,
        /// The part of the half court that he can reach before any other player.
        first_m2: f32,
    }
    /// The helper's dilemma of one ball screen: who was pulled, by whose action, and whom he left open.
    DilemmaRow = "dilemmas" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The possession.
        possession_id: u32,
        /// The ball screen.
        screen_id: u32,
        /// The defender of an off-ball attacker who was farthest off his canonical position; null when none is known.
        helper_id: Option<Id>,
        /// How far that was, most.
        pull_m: Option<f32>,
        /// When.
        t_pull_s: Option<f64>,
        /// Whose action pulled him.
        pulled_by: PulledBy,
        /// The attacker whose action it was.
        pulled_by_id: Option<Id>,
        /// The attacker whom he guards.
        left_open_id: Option<Id>,
        /// That attacker's largest distance to the nearest defender, from the pull on.
        max_space_m: Option<f32>,
        /// When that was.
        t_max_space_s: Option<f64>,
        /// Whether the ball came to him soon after the pull; null when nobody was left open.
        ball_got_there: Option<bool>,
        /// When it did.
        t_ball_s: Option<f64>,
    }    /// One off-ball attacker in one possession: where defenders were, against canonical position, while he moved and while he
    /// stood. What the season's `gravity` is made from.
    ///
    /// Each defender is held against himself: means are over pairs of him (and of the man he guards) with the attacker that have
    /// time of both kinds in this possession, each weighed by m s / (m + s) of its m seconds of moving and s of standing.
    GravitySampleRow = "gravity_samples" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The possession.
        possession_id: u32,
        /// The attacker's team.
        team_id: Id,
        /// The attacker.
        player_id: Id,
        /// The five attackers, ids in ascending order with `/` between (`/` and `%` in an id are `%2F` and `%25`); null when
        /// they are not five.
        lineup: Option<String>,
        /// Time that he moved, of the time that counts.
        moving_s: f32,
        /// Time that he stood.
        standing_s: f32,
        /// Weight of the own defender's columns: the sum of m s / (m + s).
        own_weight_s: f32,
        /// His own defender's distance from canonical position while he moved; null without weight.
        own_moving_m: Option<f32>,
        /// The same while he stood.
        own_standing_m: Option<f32>,
        /// By how much his own defender follows late: the lag, up to `max_lag_s`, with the least residual while he moved.
        own_lag_s: Option<f32>,
        /// His own defender's distance from canonical position as it was that much earlier, while he moved.
        own_late_moving_m: Option<f32>,
        /// The same while he stood.
        own_late_standing_m: Option<f32>,
        /// Weight of the other defenders' columns.
        others_weight_s: f32,
        /// Distance from canonical position of the other off-ball defenders whose own men stood, while he moved.
        others_moving_m: Option<f32>,
        /// The same while he stood.
        others_standing_m: Option<f32>,
        /// How far these were off canonical position toward him (away: negative), while he moved.
        others_toward_moving_m: Option<f32>,
        /// The same while he stood.
        others_toward_standing_m: Option<f32>,
    }
}

//! Everything off the ball: cuts, motion, space, the helper's dilemma.

use scrim_floor::Zone;

use crate::column::Id;
use crate::rows::declare::tables;
use crate::tags::{Activity, Begun, CutKind, Duty, PulledBy};

tables! {
    /// A run of an attacker without the ball in half-court play that has a name: who, from where to where, the screen it came off,
    /// peak speed, way, a confidence. A way back out to the corner after a cut, a screener's way to the screen and a roll have no row.
    CutRow = "cuts" of Game, labels {
        needed: [game_id, period, player_id, t_start_s, t_end_s],
        main_word: cut_kind
    } {
        /// The game.
        game_id: Id as place,
        /// The period, from 1.
        period: u8 as place,
        /// The possession.
        possession_id: u32,
        /// Number of the cut in its game, from 0.
        cut_id: u32,
        /// Who cuts.
        player_id: Id as place,
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
        /// The screen it came off. Null: none.
        screen_id: Option<u32>,
        /// The largest speed in it.
        peak_speed_mps: f32,
        /// The way run.
        path_m: f32,
        /// How sure the tag is.
        confidence: f32 as unlabelled,
    }
    /// What an attacker without the ball did during a ball screen: activity, way, speeds, time in four speed zones, how far they pulled
    /// their defender off canonical position, their largest space. The zones follow Sosa et al. (Applied Sciences 11(10):4390, 2021),
    /// their limits of 6, 12 and 18 km/h from memory.
    OffBallMotionRow = "off_ball_motion" of Game, labels { needed: [game_id, screen_id, player_id] } {
        /// The game.
        game_id: Id as place,
        /// The period, from 1.
        period: u8 as place,
        /// The possession.
        possession_id: u32,
        /// The ball screen.
        screen_id: u32,
        /// The attacker.
        player_id: Id as place,
        /// Whether they were on the ball's side at the use.
        strong_side: bool,
        /// What they did.
        activity: Activity,
        /// The way run in the window.
        path_m: f32,
        /// From where they were first to where they were last.
        net_m: f32,
        /// Mean speed.
        mean_speed_mps: f32,
        /// Largest speed.
        peak_speed_mps: f32,
        /// Part of the window above 1.0 m/s.
        moving_share: f32,
        /// Who guards them. Null: nobody is known to.
        defender_id: Option<Id>,
        /// How far their defender was from canonical position, most. Null: nobody is known to guard them.
        defender_pull_m: Option<f32>,
        /// The largest distance to the nearest defender. Null: no defender is seen.
        max_space_m: Option<f32>,
        /// When that was. Null: no defender is seen.
        t_max_space_s: Option<f64>,
        /// When the screen, the use of a screen, or the cut that it is called for began. Null: none of these.
        t_activity_start_s: Option<f64> as unlabelled,
        /// When it ended. Null: as `t_activity_start_s`.
        t_activity_end_s: Option<f64> as unlabelled,
        /// Whether it began before the ball screen's use, at it, or after. Null: as `t_activity_start_s`.
        activity_begun: Option<Begun> as unlabelled,
        /// Time in the slowest of four speed zones.
        standing_walking_s: f32 as unlabelled,
        /// Time in the second.
        jogging_s: f32 as unlabelled,
        /// Time in the third.
        running_s: f32 as unlabelled,
        /// Time in the fastest.
        high_speed_running_s: f32 as unlabelled,
    }
    /// The offence's spacing at a ball screen: hull of the five, distances to the nearest team-mate, who is in the lane, the part of the
    /// half court that attackers are nearest to, or first at.
    SpacingRow = "spacing" of Game {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The possession.
        possession_id: u32,
        /// The ball screen.
        screen_id: u32,
        /// Area of the convex hull of the five at the use. Null: one of them is not seen, or they are not five.
        hull_m2: Option<f32>,
        /// The same, mean over the instants of the window at which all five are seen. Null: there is none.
        hull_mean_m2: Option<f32>,
        /// Mean over the attackers of the distance to the nearest team-mate, at the use. Null: fewer than two are seen.
        nearest_mate_mean_m: Option<f32>,
        /// The least of these distances. Null: fewer than two are seen.
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
    /// The floor that one attacker controls at the use of a ball screen: nearest of all ten players (their Voronoi cell), and first to
    /// reach (sprint model of Fujimura and Sugihara, 2005, values from memory).
    FloorControlRow = "floor_control" of Game {
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
        /// The distance to their nearest team-mate. Null: no other is seen.
        nearest_mate_m: Option<f32>,
        /// The part of the half court to which they are the nearest of all players.
        nearest_m2: f32,
        /// The part of the half court that they can reach before any other player.
        first_m2: f32,
    }
    /// One player at one instant of a ball screen, five instants a second from 2 s before the set to 4 s after the use, all ten players:
    /// room, passes, duties. Only with `[instants] of = "ball_screens"`; some 310 rows a ball screen, 0.9 MB a game.
    InstantRow = "instants" of Game {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The possession.
        possession_id: u32,
        /// The ball screen.
        screen_id: u32,
        /// The instant.
        t_s: f64,
        /// The same from the use on; negative before it.
        from_use_s: f32,
        /// The player.
        player_id: Id,
        /// Whether their team has the ball.
        on_offense: bool,
        /// Where they are, x. Null: they are not seen.
        x_m: Option<f32>,
        /// The same, y. Null: they are not seen.
        y_m: Option<f32>,
        /// Their speed. Null: they are not seen.
        speed_mps: Option<f32>,
        /// To the floor under the hoop. Null: they are not seen.
        to_rim_m: Option<f32>,
        /// To the screener. Null: they are the screener, or one of the two is not seen.
        to_roller_m: Option<f32>,
        /// An attacker's distance to the nearest defender. Null: a defender, or not seen.
        space_m: Option<f32>,
        /// The part of the half court that an attacker can reach before any other player (see `floor_control`). Null: a defender, or not
        /// seen.
        first_m2: Option<f32>,
        /// By how much the defender who comes nearest to it would miss a pass of the ball's holder to an attacker, least over its flight;
        /// negative when one can touch it. Null: a defender, the holder, nobody holds the ball, one is not seen, or the two are within reach
        /// of each other.
        pass_gap_m: Option<f32>,
        /// Whether that pass would get through. Null: as `pass_gap_m`.
        pass_open: Option<bool>,
        /// Whom a defender guards. Null: an attacker, or nobody is known.
        guards_id: Option<Id>,
        /// A defender's distance from canonical position. Null: an attacker, or not known.
        off_canonical_m: Option<f32>,
        /// A defender's duty, by the floor when the screen is set. Null: an attacker, or not known.
        duty: Option<Duty>,
    }
    /// The helper's dilemma at a ball screen: the off-ball defender who was farthest off their canonical position, by whose action
    /// (`none` when it is under 1.5 m or nobody's), whom they left open, that player's largest space, whether the ball got there
    /// within 3 s.
    DilemmaRow = "dilemmas" of Game {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The possession.
        possession_id: u32,
        /// The ball screen.
        screen_id: u32,
        /// The defender of an off-ball attacker who was farthest off their canonical position. Null: none is known.
        helper_id: Option<Id>,
        /// How far that was, most. Null: there is no helper.
        pull_m: Option<f32>,
        /// When that was. Null: there is no helper.
        t_pull_s: Option<f64>,
        /// Whose action pulled them.
        pulled_by: PulledBy,
        /// The attacker whose action it was. Null: nobody's.
        pulled_by_id: Option<Id>,
        /// The attacker whom they guard. Null: there is no helper.
        left_open_id: Option<Id>,
        /// That attacker's largest distance to the nearest defender, from the pull on. Null: there is no helper, or no defender is seen.
        max_space_m: Option<f32>,
        /// When that was. Null: as `max_space_m`.
        t_max_space_s: Option<f64>,
        /// Whether the ball came to that attacker soon after the pull. Null: nobody was left open.
        ball_got_there: Option<bool>,
        /// When it did. Null: it did not.
        t_ball_s: Option<f64>,
    }
    /// One attacker without the ball in a half-court possession: where defenders were, against canonical position, while that player
    /// moved and while they stood. What the season's `pull` is made from.
    ///
    /// Each defender is held against themselves: means are over pairs of a defender (and the player they guard) with the attacker that
    /// have time of both kinds in this possession, each weighed by m s / (m + s) of its m seconds of moving and s of standing.
    PullSampleRow = "pull_samples" of Game {
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
        /// The five attackers, ids in ascending order with `/` between (`/` and `%` in an id are `%2F` and `%25`). Null: they are not
        /// five.
        lineup: Option<String>,
        /// Time that the attacker moved, of the time that counts.
        moving_s: f32,
        /// Time that they stood.
        standing_s: f32,
        /// Weight of the own defender's columns: the sum of m s / (m + s).
        own_weight_s: f32,
        /// Their own defender's distance from canonical position while they moved. Null: there is no weight.
        own_moving_m: Option<f32>,
        /// The same while they stood. Null: there is no weight.
        own_standing_m: Option<f32>,
        /// By how much their own defender follows late: the lag, up to 0.8 s, with the least residual while they moved. Null:
        /// there is no weight.
        own_lag_s: Option<f32>,
        /// Their own defender's distance from canonical position as it was that much earlier, while they moved. Null: there is no weight.
        own_late_moving_m: Option<f32>,
        /// The same while they stood. Null: there is no weight.
        own_late_standing_m: Option<f32>,
        /// Weight of the other defenders' columns.
        others_weight_s: f32,
        /// Distance from canonical position of the other off-ball defenders whose own players stood, while the attacker moved. Null:
        /// there is no weight.
        others_moving_m: Option<f32>,
        /// The same while the attacker stood. Null: there is no weight.
        others_standing_m: Option<f32>,
        /// How far these were off canonical position toward the attacker (away: negative), while the attacker moved. Null: there is no
        /// weight.
        others_toward_moving_m: Option<f32>,
        /// The same while the attacker stood. Null: there is no weight.
        others_toward_standing_m: Option<f32>,
    }
}

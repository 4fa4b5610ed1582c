//! The names of the evidence of one candidate; the models take it by them.

use super::super::declare::evidence;

evidence! {
    /// The evidence of one candidate. Distances m, speeds m/s, angles degrees, times s; NaN where it was not seen.
    PairEvidence;
    /// User to screener at their closest approach.
    gap_m,
    /// User's defender to screener, least around it.
    defender_gap_m,
    /// The same at the closest approach.
    defender_gap_use_m,
    /// User's defender to user at the closest approach.
    guard_m,
    /// How much farther the defender falls behind in the next second.
    guard_opens_m,
    /// Mean distance of defender and user in the second before.
    guard_before_m,
    /// Mean distance of defender and user in the second after.
    guard_after_m,
    /// Largest distance of defender and user around the closest approach.
    guard_most_m,
    /// Screener's defender to screener.
    screen_guard_gap_m,
    /// Screener's defender to user.
    screen_guard_to_user_m,
    /// The same, least in the next second.
    screen_guard_to_user_least_m,
    /// How much nearer the hoop the screener's defender is than the screener.
    screen_guard_depth_m,
    /// The screener from the defender's straight way to where the user will be in half a second, least.
    way_gap_m,
    /// Where on that way the screener is then: 0 at the defender, 1 at the user's place to be.
    way_share,
    /// How long the screener is in that way.
    way_taken_s,
    /// How much longer the defender's path around the screen is than the straight one.
    detour_m,
    /// How far the defender turns.
    defender_turn_deg,
    /// Defender's lowest speed around the closest approach.
    defender_low_mps,
    /// Defender's speed at it.
    defender_mps,
    /// How much less the defender moved with the user than before.
    defender_lag_m,
    /// How long the defender is within a metre of the screener.
    near_defender_s,
    /// How much the two defenders exchange their players: by how much the crossed distances shrink and the straight ones grow.
    swap_m,
    /// Screener's lowest speed around the closest approach.
    screener_low_mps,
    /// Screener's mean speed at it.
    screener_mps,
    /// Screener's mean speed just after.
    screener_after_mps,
    /// How long the screener is slower than 1 m/s around it.
    slow_s,
    /// How long the screener has stood there without a break by then, at most 4 s.
    stood_s,
    /// How far the screener came in three seconds.
    screener_came_long_m,
    /// How much nearer the user the screener came by their own steps in three seconds.
    screener_to_user_long_m,
    /// How much nearer the user's defender likewise.
    screener_to_defender_long_m,
    /// How much nearer the hoop the screener came in three seconds.
    screener_came_down_long_m,
    /// How long the user is slower than 1 m/s in the time before.
    user_slow_s,
    /// User's speed at it.
    user_mps,
    /// User's highest speed in the next second.
    user_high_mps,
    /// User's mean speed in the second before.
    user_before_mps,
    /// Speed of the two against each other.
    passing_mps,
    /// How fast the user comes at the screener.
    closing_mps,
    /// The user from the hoop.
    user_from_hoop_m,
    /// The screener from the hoop.
    screener_from_hoop_m,
    /// The user from the middle of the floor.
    from_middle_m,
    /// How much nearer the hoop the screener came in the time before.
    screener_came_down_m,
    /// How much nearer the hoop the screener goes after.
    screener_rolls_m,
    /// How much nearer the hoop the user goes in the second after.
    user_drives_m,
    /// How much nearer the hoop the user came in the second before.
    user_came_down_m,
    /// How far the screener came.
    screener_came_m,
    /// How far the screener goes after.
    screener_left_m,
    /// How much nearer the user the screener came by their own steps.
    screener_to_user_m,
    /// How much nearer the user's defender the screener came by their own steps.
    screener_to_defender_m,
    /// How much nearer the screener the user came by their own steps.
    user_to_screener_m,
    /// User to screener a while before.
    gap_before_m,
    /// User to screener a while after.
    gap_after_m,
    /// User to screener, least in the three seconds before, the last moments left out.
    gap_least_before_m,
    /// User to screener, least in the three seconds after, the first moments left out.
    gap_least_after_m,
    /// How long the two are within two metres of each other in the time around.
    near_s,
    /// The nearest other team-mate to the user around the closest approach.
    rival_gap_m,
    /// The nearest other team-mate to the user's defender around it.
    rival_defender_gap_m,
    /// How much farther from the user's defender the nearest other team-mate stays than the screener.
    rival_lead_m,
    /// How far the user's direction from the screener turns as they go past.
    sweep_deg,
    /// How far the user's way turns.
    user_turn_deg,
    /// Since the screener had the ball; 9 when that is longer ago than 4 s.
    since_own_touch_s,
    /// How long the user has had the ball.
    touch_age_s,
    /// Share of the second before in which the user has the ball.
    held_before,
    /// Share of the second after in which the user has the ball.
    held_after,
    /// Share of the time after in which the screener has the ball.
    given_back,
    /// Ball to user.
    ball_gap_m,
    /// Third-nearest player to the user.
    third_gap_m,
    /// How many of the ten are within 2.5 m of the user.
    crowd,
    /// Time of the possession that has gone.
    played_s,
    /// User from the half-court line, into the front court.
    past_half_court_m,
    /// From the closest approach until the two part.
    parts_after_s,
    /// How fast the user goes from the screener just after they part.
    user_leaves_mps,
    /// How fast the screener goes from the user just after they part.
    screener_leaves_mps,
    /// The user's defender to the screener when they part.
    parting_defender_gap_m,
    /// User's defender to screener, least in the time after: a screener who is not waited for may come to them later.
    defender_gap_later_m,
    /// From the closest approach until the screener sets off for the hoop (negative: before it).
    sets_off_after_s,
    /// User to screener when the screener sets off.
    sets_off_gap_m,
    /// How fast the user is then.
    sets_off_user_mps,
    /// Share of the time around in which the other team-mates are slower than 1 m/s: how much this team moves.
    others_slow,
}

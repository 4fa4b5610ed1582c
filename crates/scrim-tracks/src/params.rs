//! What a user may set of the cleaning.

scrim_floor::parameters! {
    /// How a game is cleaned.
    pub struct TrackParams {
        /// Frames a second of the uniform grid that every stage works on.
        grid_hz: f64 = 25.0, in 1.0..=120.0;
        /// Longest time between two samples of a player that is filled. The curve that fills it goes on from the velocities on both
        /// sides, and is off by 0.07 m after 1 s, 0.24 m after 2 s, 0.49 m after 3 s. Over a second the frames count as faulty
        /// all the same.
        max_player_gap_s: f64 = 3.0, in 0.0..=10.0, source "measured on real motion";
        /// Length of the smoothing window of players at a white noise of 0.035 m and 25 samples a second. With this one the
        /// error of the velocity is least (0.17 m/s), and flat around it.
        player_window_s: f64 = 0.46, in 0.0..=5.0, source "measured on simulated motion";
        fixed {
            /// The same for the ball: a pass is caught or bounces within that time.
            max_ball_gap_s: f64 = 0.3;
            /// Longest time for which a ball that is in somebody's hands before and after is taken to be carried: so long a dribble, or a
            /// dribble and a handoff, is likelier than two passes that were not seen.
            max_carried_ball_s: f64 = 3.0;
        }
    }
}

//! The definitions: where one word ends and the next begins.
//!
//! Each number is a threshold of the vocabulary. Those that a researcher may vary are fields of [`Definitions`], the section
//! `[definitions]` of a pipeline; those that no pipeline sets are fixed there, and those that name the floor and the ball are its
//! constants. Reads, lateness, cuts, motion, season, report and the labels of practice games take it from here and from nowhere else: how deep a drop is, is decided by [`Definitions::drop_depth_m`].

crate::parameters! {
    constant;
    /// The thresholds of the vocabulary.
    pub struct Definitions {
        /// `drop`: the screener's defender is at least this much nearer the hoop than the screener at the use; `level` is less deep.
        drop_depth_m: f32 = 1.5, in 0.1..=6.0, source "vocabulary";
        /// `hedge`: the screener's defender comes at least this far beyond the screen, on the handler's side.
        hedge_beyond_m: f32 = 0.6, in 0.0..=5.0, source "vocabulary";
        /// A hedge's defender starts back within this time after the use; who stays longer blitzes.
        hedge_back_s: f32 = 1.3, in 0.1..=5.0, source "vocabulary";
        /// A defender is close to the handler (`blitz`, `switch`, a split) within this distance.
        close_m: f32 = 1.8, in 0.3..=5.0, source "vocabulary";
        /// `blitz`: both defenders are close to the handler for this long.
        blitz_s: f32 = 0.8, in 0.1..=3.0, source "vocabulary";
        /// `switch`: the two defenders have changed matchups for this long.
        switch_s: f32 = 1.5, in 0.1..=5.0, source "vocabulary";
        /// `ice`: the screener's defender waits at least this far below the screen.
        ice_depth_m: f32 = 0.8, in 0.0..=6.0;
        /// `tag`: a helper comes within this distance of the roller.
        tag_m: f32 = 1.5, in 0.1..=5.0, source "vocabulary";
        /// `sag`: a helper is this far off canonical position; at a ball screen, who is less far off is pulled by nobody.
        sag_m: f32 = 1.5, in 0.1..=6.0, source "vocabulary";
        /// At the rim: a roll, a slip and a cut to the rim lead to within this distance of the hoop.
        at_rim_m: f32 = 3.0, in 0.5..=6.0, source "vocabulary";
        /// `pull_up`: a shot off the dribble within this time after the use.
        pull_up_s: f32 = 2.5, in 0.1..=10.0, source "vocabulary";
        /// A shot is open with at least this distance to the nearest defender.
        open_shot_m: f32 = 1.83, in 0.0..=10.0, source "6 ft; common practice, no source";
        /// Screens that follow each other within this time are one action: a stagger.
        stagger_s: f32 = 1.5, in 0.0..=5.0, source "vocabulary";
        /// A ball screen came out of an action that lies at most this long before it.
        entry_gap_s: f32 = 5.0, in 0.0..=20.0, source "vocabulary";
        fixed {
            /// `stunt`: a step toward the handler takes at most this long, and as long back. (Source: vocabulary.)
            stunt_s: f32 = 1.0;
            /// The user of a screen off the ball passes the screener within this distance. (Source: vocabulary.)
            use_gap_m: f32 = 1.6;
            /// A player who is slower than this stands. (Source: vocabulary.)
            standing_mps: f32 = 1.0;
            /// The screener's defender bumps the user of the entry within this distance ... (Source: vocabulary.)
            bump_m: f32 = 1.0;
            /// ... at some instant of this long before the set. (Source: vocabulary.)
            bump_before_s: f32 = 2.0;
            /// Motion off the ball is looked at from this long before a ball screen is set ... (Source: vocabulary.)
            motion_before_s: f32 = 1.0;
            /// ... to this long after it ends. (Source: vocabulary.)
            motion_after_s: f32 = 1.5;
            /// `stationary`: a player is never farther than this from their mean place in that time. (Source: vocabulary.)
            stationary_m: f32 = 1.2;
        }
    }
}

/// Where zones and sides end, and what control and half-court play are: the same in every pipeline. Source: vocabulary.
impl Definitions {
    /// `rim`: the zone within this distance of the hoop, m.
    pub const RIM_ZONE_M: f32 = 1.5;
    /// The ball keeps its last side within this distance of the line through both hoops, m; a place there is in the middle.
    pub const SIDE_BAND_M: f32 = 1.2;
    /// Control: the ball is within this distance of a player in the plane, m ...
    pub const CONTROL_M: f32 = 1.2;
    /// ... under this height, where it is known, m ...
    pub const CONTROL_HEIGHT_M: f32 = 2.6;
    /// ... for at least this long, s.
    pub const CONTROL_S: f64 = 0.2;
    /// Handoff: giver and receiver are within this distance at the exchange, m ...
    pub const HANDOFF_GAP_M: f32 = 1.6;
    /// ... and the receiver moves this fast relative to the giver, m/s.
    pub const HANDOFF_SPEED_MPS: f32 = 2.0;
    /// `half_court`: the ball and at least so many attackers have been past half court.
    pub const HALF_COURT_ATTACKERS: usize = 4;
    /// `cross`: the way across the lane is within this depth of the hoop, m.
    pub const CROSS_DEPTH_M: f32 = 3.2;
    /// `short_roll`: not to the rim, but to within this distance of the hoop, m: a free-throw line's end is 4.9 m from the hoop
    /// on a FIBA court.
    pub const SHORT_ROLL_M: f32 = 5.0;
}

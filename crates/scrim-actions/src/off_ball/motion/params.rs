//! What a user may set of off-ball motion.

scrim_floor::parameters! {
    /// How off-ball motion is measured. When it is looked at and who is stationary is in `[definitions]`.
    pub struct MotionParams {
        /// Speed over which a player moves.
        moving_mps: f32 = 1.0, in 0.0..=15.0, source "contract, `moving_share`";
        /// The speed zones.
        zones: SpeedZones;
    }
}

scrim_floor::parameters! {
    /// The lower edges of three of four speed zones: standing and walking, jogging, running, high-speed running. The zones are those of
    /// C. Sosa et al., "Specific Absolute Velocity Thresholds during Male Basketball Games Using Local Positional System; Differences
    /// between Age Categories", Applied Sciences 11(10):4390 (2021); the values, 6, 12 and 18 km/h, are from memory.
    pub struct SpeedZones {
        /// From here on a player jogs.
        jogging_mps: f32 = 1.67, in 0.0..=15.0, source "6 km/h, Sosa et al. 2021, from memory";
        /// From here on a player runs.
        running_mps: f32 = 3.33, in 0.0..=15.0, source "12 km/h, Sosa et al. 2021, from memory";
        /// From here on it is high-speed running.
        high_speed_mps: f32 = 5.0, in 0.0..=15.0, source "18 km/h, Sosa et al. 2021, from memory";
    }
}

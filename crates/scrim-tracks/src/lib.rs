//! One game in memory: tracks on a uniform time grid; cleaning, smoothing, kinematics.

//! What a user may set of space.

scrim_floor::parameters! {
    /// How spacing and the control of the floor are measured.
    pub struct SpaceParams {
        /// Side of the squares of the half court, for each of which it is found who is there first: an area is then good to about a square metre.
        square_m: f32 = 0.5, in 0.1..=5.0;
        /// How players sprint.
        sprint: SprintModel;
    }
}

scrim_floor::parameters! {
    /// How a player gets under way: a constant force against a drag that grows with speed, so that from velocity v0 the places where
    /// a player can be after t are a disc of radius V (t − (1 − e^−αt)/α) about x0 + v0 (1 − e^−αt)/α.
    ///
    /// A. Fujimura, K. Sugihara, "Geometric Analysis and Quantitative Evaluation of Sport Teamwork", Systems and Computers in Japan
    /// 36(6), 2005, 49–58. The two values are that paper's, from memory; they were measured on footballers.
    pub struct SprintModel {
        /// Top speed V.
        top_speed_mps: f32 = 7.8, in 1.0..=15.0, source "Fujimura & Sugihara 2005, from memory";
        /// Drag α: the inverse of the time in which a player comes to 63 % of the top speed.
        drag_per_s: f32 = 1.3, in 0.01..=100.0, source "Fujimura & Sugihara 2005, from memory";
    }
}

impl SprintModel {
    /// Where a player can be after a time: the way that a unit of velocity carries them, s, and the radius that they add, m.
    pub(crate) fn disc(&self, t_s: f32) -> (f32, f32) {
        let drag_per_s = self.drag_per_s.max(f32::MIN_POSITIVE);
        // (1 − e^−αt)/α; its limit without drag is t.
        let carried_s = -(-drag_per_s * t_s).exp_m1() / drag_per_s;
        (carried_s, self.top_speed_mps * (t_s - carried_s))
    }
}

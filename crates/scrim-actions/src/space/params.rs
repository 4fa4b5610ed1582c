//! The parameters of space.

use serde::{Deserialize, Serialize};

/// How space is measured.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct SpaceParams {
    /// Side of the squares of the half court that are asked who is there first, m. Default 0.5: an area is then good to
    /// about a square metre.
    pub square_m: f32,
    /// Who cannot be somewhere in this time is not counted there, s. Default 4.0: the whole half court.
    pub longest_s: f32,
    /// How players sprint.
    pub sprint: SprintModel,
}

impl Default for SpaceParams {
    fn default() -> Self {
        Self {
            square_m: 0.5,
            longest_s: 4.0,
            sprint: SprintModel::default(),
        }
    }
}

/// How a player gets under way: a constant force against a drag that grows with speed, so that from velocity v0 the
/// places he can be at after t are a disc of radius V (t − (1 − e^−αt)/α) about x0 + v0 (1 − e^−αt)/α.
///
/// A. Fujimura, K. Sugihara, "Geometric Analysis and Quantitative Evaluation of Sport Teamwork", Systems and Computers
/// in Japan 36(6), 2005, 49–58. The two values are that paper's, from memory; they were measured on footballers.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct SprintModel {
    /// Top speed V, m/s. Default 7.8 (from memory).
    pub top_speed_mps: f32,
    /// Drag α, 1/s: the inverse of the time in which he comes to 63 % of it. Default 1.3 (from memory).
    pub drag_per_s: f32,
}

impl Default for SprintModel {
    fn default() -> Self {
        Self {
            top_speed_mps: 7.8,
            drag_per_s: 1.3,
        }
    }
}

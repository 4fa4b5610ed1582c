//! The floor: courts, frames of reference, zones and sides, and the definitions that all stages share. Geometry only.
//!
//! In: numbers. Out: points that know their frame, courts as values, a zone and a side for every spot.
//! Knows no other crate of the house, no player and no clock. Also how a parameter is declared ([`parameters!`]): this is the
//! lowest crate, and every stage has some.
//!
//! ```
//! use scrim_floor::{AttackDirection, Court, Point, Zone};
//!
//! let court = Court::fiba();
//! // Under the hoop that is attacked toward +x: the origin of the attack frame.
//! let spot = court.to_attack(Point::new(12.425, 0.0), AttackDirection::PositiveX);
//! assert!(spot.x_m.abs() < 1e-5 && spot.y_m.abs() < 1e-5);
//! assert_eq!(court.zone_of(spot), Zone::Rim);
//! ```

mod attack;
mod court;
mod definitions;
mod hull;
pub mod parameter;
mod point;
mod segment;
mod shot_value;
mod side;
mod voronoi;
mod zone;

pub use attack::AttackDirection;
pub use court::{Court, CourtError};
pub use definitions::Definitions;
pub use hull::{convex_hull, hull_area_m2, polygon_area_m2};
pub use parameter::{Parameter, ParameterError, Parameters};
pub use point::{AttackFrame, CourtFrame, Frame, Point, Vector};
pub use segment::{Segment, distance_to_segment_m};
pub use shot_value::ShotValue;
pub use side::{Half, Side, SideTracker};
pub use voronoi::voronoi_areas_m2;
pub use zone::{CORNER_DEPTH_M, Zone};

//! Whole-program and cross-crate tests, a module a topic.
//!
//! The modules behind the feature `reference` ask Python (SciPy, Shapely, hmmlearn, PyArrow, Polars, pandas, DuckDB, Spark, scikit-learn), a notebook's kernel, a browser, a server that speaks
//! S3 and an open data set what the right answer is. `tests/run` makes the environment that they need and switches them on.

mod accuracy;
mod chain;
mod court_measures;
mod free_flight;
mod hard_coverages;
mod kinematics;
mod likeness;
mod matchup_weights;
mod pull;
mod savitzky_golay;
mod sequence;
mod words;

#[cfg(feature = "reference")]
mod assignment;
#[cfg(feature = "reference")]
mod bootstrap;
#[cfg(feature = "reference")]
mod hidden_chain;
#[cfg(feature = "reference")]
mod hulls;
#[cfg(feature = "reference")]
mod kappa;
#[cfg(feature = "reference")]
mod notebooks;
#[cfg(feature = "reference")]
mod object_storage;
#[cfg(feature = "reference")]
mod open_shot_data;
#[cfg(feature = "reference")]
mod practice_motion;
#[cfg(feature = "reference")]
mod program;
#[cfg(feature = "reference")]
mod python;
#[cfg(feature = "reference")]
mod python_package;
#[cfg(feature = "reference")]
mod real_scenes;
#[cfg(feature = "reference")]
mod report;
#[cfg(feature = "reference")]
mod review;
#[cfg(feature = "reference")]
mod season_statistics;
#[cfg(feature = "reference")]
mod spark;
#[cfg(feature = "reference")]
mod table_contract;
#[cfg(feature = "reference")]
mod voronoi;

//! Boosted trees: a model as data, the probabilities that it gives, and the fit.
//!
//! In: rows of evidence (numbers with names, NaN for "not seen"). Out: the probability of each word. A [`TreeModel`] is a
//! TOML file: nothing of it is code, and a stage reads it by the names of its own evidence. Knows no other crate of the
//! project.
//!
//! Method: J. H. Friedman, "Greedy function approximation: a gradient boosting machine", Annals of Statistics 29(5), 2001,
//! with second-order leaves and splits as in T. Chen & C. Guestrin, "XGBoost: a scalable tree boosting system", KDD 2016,
//! section 2.2, and the direction of missing values learned at each split (section 3.4 there).

mod bins;
mod exits;
mod fit;
mod grow;
mod model;
mod params;
mod tree;
mod tree_lines;

pub use fit::{Sample, fit, fit_from};
pub use model::{BoundModel, ModelError, Provenance, TreeModel};
pub use params::FitParams;

#[cfg(test)]
mod tests;

//! What the corrections of models have in common: evidence in steps, and weights that are declared once.

use std::ops::RangeInclusive;

use scrim_floor::ParameterError;
use scrim_floor::parameter::check_bounds;

/// A model is never held to be surer than this of what is not so: it must be open to correction.
pub(crate) const LEAST_PROBABILITY: f32 = 0.002;
/// Evidence is cut off at so many steps.
const MOST_STEPS: f32 = 2.0;
/// No weight is larger, either way: it would drown all others.
pub(crate) const LARGEST_WEIGHT: f32 = 100.0;

/// A value in steps from `middle`, cut off on both sides; 0 where it was not seen.
pub(crate) fn steps(value: f32, middle: f32, step: f32) -> f32 {
    let steps = (value - middle) / step;
    if steps.is_finite() {
        steps.clamp(-MOST_STEPS, MOST_STEPS)
    } else {
        0.0
    }
}

/// Checks the weights of one sum by their names.
pub(crate) fn check_weights(
    section: &str,
    weights: impl Iterator<Item = (&'static str, f32)>,
    trees: (f32, RangeInclusive<f32>),
) -> Result<(), ParameterError> {
    for (name, weight) in weights {
        check_bounds(section, name, weight, -LARGEST_WEIGHT..=LARGEST_WEIGHT)?;
    }
    check_bounds(section, "trees", trees.0, trees.1)
}

/// Declares the weights of a sum once: the struct, how many there are, the names of the evidence, and the way from and to the list of
/// them. `inputs`: what holds the evidence.
macro_rules! weights {
    (
        inputs $inputs:ident;
        $(#[doc = $many:literal])+
        const $count:ident;
        $(#[doc = $about:literal])+
        struct $name:ident {
            $($(#[doc = $doc:literal])+ $key:ident),+ $(,)?
        }
    ) => {
        $(#[doc = $many])+
        pub const $count: usize = [$(stringify!($key)),+].len();

        impl $inputs {
            /// What each piece of evidence is called in a pipeline.
            pub const NAMES: [&'static str; $count] = [$(stringify!($key)),+];
        }

        $(#[doc = $about])+
        #[derive(Debug, Clone, Copy, PartialEq, ::serde::Serialize, ::serde::Deserialize)]
        #[serde(deny_unknown_fields)]
        pub struct $name {
            /// Added every time.
            pub bias: f32,
            /// Weight of the model's own answer; 1 takes it as it is.
            pub trees: f32,
            $($(#[doc = $doc])+ pub $key: f32),+
        }

        impl $name {
            /// The model as it is: no correction.
            pub const PLAIN: Self = Self::of(0.0, 1.0, [0.0; $count]);

            /// From a bias, the weight of the model, and the weights of the evidence in the order of its names.
            pub const fn of(bias: f32, trees: f32, evidence: [f32; $count]) -> Self {
                let [$($key),+] = evidence;
                Self { bias, trees, $($key),+ }
            }

            /// The weights of the evidence in the order of its names.
            pub const fn evidence(&self) -> [f32; $count] {
                [$(self.$key),+]
            }

            /// The sum; `own`: the model's own answer.
            fn score(&self, own: f32, evidence: &[f32; $count]) -> f32 {
                let weights = self.evidence();
                let sum: f32 = weights.iter().zip(evidence).map(|(w, e)| w * e).sum();
                self.bias + self.trees * own + sum
            }

            /// Whether the weights are such as weights may be; `trees`: what that of the model may be.
            fn check_weights(
                &self,
                section: &str,
                trees: ::std::ops::RangeInclusive<f32>,
            ) -> Result<(), ::scrim_floor::ParameterError> {
                let named = $inputs::NAMES.into_iter().zip(self.evidence());
                let weights = ::std::iter::once(("bias", self.bias)).chain(named);
                $crate::correction::check_weights(section, weights, (self.trees, trees))
            }
        }
    };
}

pub(crate) use weights;

//! Parts of a would-be screen and their weights, declared once: what fits, and what each part is worth.

/// Declares the fits of a would-be screen (each 0 to 1) and the weights of the same parts in a logistic model, in the same
/// order.
macro_rules! weighed_parts {
    (
        $(#[$fits_doc:meta])* $fits:ident;
        $(#[$weights_attribute:meta])* $weights:ident;
        $($(#[doc = $doc:literal])+ $part:ident),+ $(,)?
    ) => {
        $(#[$fits_doc])*
        #[derive(Debug, Clone, Copy, PartialEq)]
        pub struct $fits { $($(#[doc = $doc])+ pub $part: f32),+ }

        impl $fits {
            /// The parts' names, in the order of `parts`; those of the weights.
            pub const NAMES: [&'static str; [$(stringify!($part)),+].len()] = [$(stringify!($part)),+];

            /// The parts in the order of `NAMES`.
            pub fn parts(&self) -> [f32; Self::NAMES.len()] {
                [$(self.$part),+]
            }

            /// The probability that it is a screen, `more` added to the log-odds: a logistic model (D. R. Cox, "The
            /// regression analysis of binary sequences", Journal of the Royal Statistical Society B 20(2), 1958).
            fn probability(&self, weights: &$weights, more: f32) -> f32 {
                let weight = [$(weights.$part),+];
                let sum: f32 = self.parts().iter().zip(weight).map(|(fit, weight)| fit * weight).sum();
                1.0 / (1.0 + (-(weights.bias + more + sum)).exp())
            }
        }

        $(#[$weights_attribute])*
        pub struct $weights {
            /// Log-odds when no part fits.
            pub bias: f32,
            $($(#[doc = $doc])+ pub $part: f32),+
        }
    };
}
pub(crate) use weighed_parts;

//! Evidence, declared once: a struct, the names, the values in the same order.

/// Declares a list of evidence: all of it numbers, NaN where something was not seen.
macro_rules! evidence {
    ($(#[$struct_doc:meta])* $evidence:ident; $($(#[doc = $doc:literal])+ $name:ident),+ $(,)?) => {
        $(#[$struct_doc])*
        #[derive(Debug, Clone, Copy, PartialEq)]
        pub struct $evidence { $($(#[doc = $doc])+ pub $name: f32),+ }

        impl $evidence {
            /// The names, in the order of `values`.
            pub const NAMES: [&'static str; [$(stringify!($name)),+].len()] = [$(stringify!($name)),+];

            /// The values in the order of `NAMES`.
            pub fn values(&self) -> [f32; Self::NAMES.len()] {
                [$(self.$name),+]
            }
        }
    };
}
pub(crate) use evidence;

/// Two lists, one after the other: the evidence of a model that looks at two kinds, or its names. `N` is the length of both.
pub(crate) fn joined<T: Copy + Default, const N: usize>(one: &[T], two: &[T]) -> [T; N] {
    let mut both = [T::default(); N];
    both[..one.len()].copy_from_slice(one);
    both[one.len()..].copy_from_slice(two);
    both
}

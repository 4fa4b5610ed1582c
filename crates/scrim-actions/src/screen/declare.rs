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

//! How a row is declared: struct, Arrow schema and contract in one place.

macro_rules! tables {
    ($($(#[$doc:meta])* $row:ident = $table:literal { $($(#[$field_doc:meta])* $field:ident: $kind:ty),+ $(,)? })+) => {
        $(
            $(#[$doc])*
            #[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
            pub struct $row { $($(#[$field_doc])* pub $field: $kind),+ }

            impl $crate::column::Row for $row {
                const TABLE: &'static str = $table;

                fn fields() -> Vec<arrow::datatypes::FieldRef> {
                    vec![$(std::sync::Arc::new(arrow::datatypes::Field::new(
                        stringify!($field),
                        <$kind as $crate::column::Column>::data_type(),
                        <$kind as $crate::column::Column>::NULLABLE,
                    ))),+]
                }

                fn tag_columns() -> Vec<&'static str> {
                    let columns = [$((stringify!($field), <$kind as $crate::column::Column>::IS_TAG)),+];
                    columns.into_iter().filter(|(_, is_tag)| *is_tag).map(|(name, _)| name).collect()
                }
            }
        )+

        /// Names of the tables that are declared here.
        pub(super) const NAMES: &[&str] = &[$($table),+];
    };
}

pub(super) use tables;

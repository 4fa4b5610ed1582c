//! How a table is declared: struct, schema, docs and labels in one place.
//!
//! A field's doc comment is its meaning, and after `Null:` what null means; `as place` and `as unlabelled` are its
//! [`Role`](crate::Role) where there are labels for the table. The unit is the name's end, or `#[unit = "..."]`.

macro_rules! tables {
    ($(
        $(#[doc = $doc:literal])+
        $row:ident = $table:literal of $scope:ident $(, labels { needed: [$($needed:ident),+] $(, main_word: $main:ident)? $(, spot $spot:ident: ($x:ident, $y:ident))? })? {
            $(
                $(#[doc = $field_doc:literal])+
                $(#[unit = $unit:literal])?
                $field:ident: $kind:ty $(as $role:ident)?
            ),+ $(,)?
        }
    )+) => {
        $(
            $(#[doc = $doc])+
            #[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
            pub struct $row { $($(#[doc = $field_doc])+ pub $field: $kind),+ }

            impl $crate::Row for $row {
                const TABLE: &'static str = $table;

                const INFO: &'static $crate::Table = &$crate::Table {
                    name: $table,
                    scope: $crate::Scope::$scope,
                    doc: &[$($doc),+],
                    columns: &[$($crate::ColumnInfo {
                        name: stringify!($field),
                        kind: <$kind as $crate::Column>::KIND,
                        nullable: <$kind as $crate::Column>::NULLABLE,
                        own_unit: tables!(@unit $($unit)?),
                        doc: &[$($field_doc),+],
                        role: tables!(@role $($role)?),
                    }),+],
                    labels: tables!(@labels $({ [$(stringify!($needed)),+] [$(stringify!($main))?] [$((stringify!($spot), stringify!($x), stringify!($y)))?] })?),
                };

                fn blank() -> Self {
                    Self { $($field: <$kind as $crate::Column>::blank()),+ }
                }
            }
        )+

        /// The tables that are declared here.
        pub(super) const TABLES: &[&$crate::Table] = &[$(<$row as $crate::Row>::INFO),+];
    };
    (@unit) => { None };
    (@unit $unit:literal) => { Some($unit) };
    (@role) => { $crate::Role::Judged };
    (@role place) => { $crate::Role::Place };
    (@role unlabelled) => { $crate::Role::Unlabelled };
    (@labels) => { None };
    (@labels { [$($needed:expr),+] [$($main:expr)?] [$($spot:expr)?] }) => {
        Some($crate::Labels {
            needed: &[$($needed),+],
            main_word: tables!(@some $($main)?),
            spots: &[$($spot)?],
        })
    };
    (@some) => { None };
    (@some $value:expr) => { Some($value) };
}

pub(super) use tables;

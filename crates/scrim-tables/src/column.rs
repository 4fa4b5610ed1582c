//! How a Rust field becomes a column.

use std::sync::Arc;

use arrow::datatypes::{DataType, Field, FieldRef};
use scrim_floor::{Side, Zone};

/// A game's, team's or player's id, as the source spells it. Cheap to clone.
pub type Id = Arc<str>;

/// Several ids as one key, `/` between; `/` and `%` in an id are `%2F` and `%25`, so that they can be told apart again.
pub fn ids_key(ids: &[&str]) -> String {
    let whole = |id: &&str| id.replace('%', "%25").replace('/', "%2F");
    ids.iter().map(whole).collect::<Vec<_>>().join("/")
}

/// A Rust type that is a column's value.
pub trait Column {
    /// The Arrow type of the column.
    fn data_type() -> DataType;
    /// Whether the column may hold nulls ("not known", never zero).
    const NULLABLE: bool = false;
    /// Whether the column holds words of the vocabulary (dictionary-encoded in Parquet).
    const IS_TAG: bool = false;
}

macro_rules! plain_columns {
    ($($rust:ty => $arrow:ident),* $(,)?) => {
        $(impl Column for $rust {
            fn data_type() -> DataType {
                DataType::$arrow
            }
        })*
    };
}

plain_columns! {
    bool => Boolean,
    u8 => UInt8,
    u16 => UInt16,
    u32 => UInt32,
    u64 => UInt64,
    i16 => Int16,
    f32 => Float32,
    f64 => Float64,
    Id => Utf8,
    String => Utf8,
}

impl<T: Column> Column for Option<T> {
    fn data_type() -> DataType {
        T::data_type()
    }
    const NULLABLE: bool = true;
    const IS_TAG: bool = T::IS_TAG;
}

/// A list: its elements may be null where `T` may, the list itself never is (an empty one says "none").
impl<T: Column> Column for Vec<T> {
    fn data_type() -> DataType {
        DataType::List(Arc::new(Field::new(LIST_ELEMENT, T::data_type(), T::NULLABLE)))
    }
}

/// What Parquet calls a list's elements (Apache Parquet format, "Logical types", section "Lists").
pub(crate) const LIST_ELEMENT: &str = "element";

macro_rules! tag_columns {
    ($($tag:ty),*) => {
        $(impl Column for $tag {
            fn data_type() -> DataType {
                DataType::Utf8
            }
            const IS_TAG: bool = true;
        })*
    };
}
pub(crate) use tag_columns;

tag_columns!(Zone, Side);

/// A row of one of the contract's tables.
pub trait Row: serde::Serialize + serde::de::DeserializeOwned {
    /// The table's name: its folder, and what messages call it.
    const TABLE: &'static str;
    /// The columns, in the contract's order.
    fn fields() -> Vec<FieldRef>;
    /// Names of the columns that hold words of the vocabulary.
    fn tag_columns() -> Vec<&'static str>;
}

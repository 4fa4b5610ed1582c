//! How a Rust field becomes a column.

use std::sync::Arc;

use arrow::datatypes::{DataType, Field};
use scrim_floor::{Side, Zone};

/// A game's, team's or player's id, as the source spells it. Cheap to clone.
pub type Id = Arc<str>;

/// Several ids as one key, `/` between; `/` and `%` in an id are `%2F` and `%25`, so that they stay apart.
pub fn ids_key(ids: &[&str]) -> String {
    let whole = |id: &&str| id.replace('%', "%25").replace('/', "%2F");
    ids.iter().map(whole).collect::<Vec<_>>().join("/")
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Yes or no.
    Bool,
    /// A whole number from 0 to 255.
    UInt8,
    /// A whole number from 0 to 65,535.
    UInt16,
    /// A whole number, or the number of a row of another table.
    UInt32,
    /// A whole number.
    UInt64,
    /// A whole number, may be negative.
    Int16,
    /// A number.
    Float32,
    /// A number, with twice the digits.
    Float64,
    /// An id or a name: text that comes again.
    Id,
    /// Free text.
    Text,
    /// One of these words of the vocabulary.
    Tag(&'static [&'static str]),
    /// A list of values; the second says whether they may be null. The list itself never is: an empty one says "none".
    List(&'static Kind, bool),
}

impl Kind {
    /// The Arrow type.
    pub fn data_type(self) -> DataType {
        match self {
            Self::Bool => DataType::Boolean,
            Self::UInt8 => DataType::UInt8,
            Self::UInt16 => DataType::UInt16,
            Self::UInt32 => DataType::UInt32,
            Self::UInt64 => DataType::UInt64,
            Self::Int16 => DataType::Int16,
            Self::Float32 => DataType::Float32,
            Self::Float64 => DataType::Float64,
            Self::Id | Self::Text | Self::Tag(_) => DataType::Utf8,
            Self::List(element, nullable) => {
                DataType::List(Arc::new(Field::new(LIST_ELEMENT, element.data_type(), nullable)))
            }
        }
    }

    /// The type as the docs name it.
    pub fn name(self) -> String {
        match self {
            Self::Bool => "bool".into(),
            Self::UInt8 => "uint8".into(),
            Self::UInt16 => "uint16".into(),
            Self::UInt32 => "uint32".into(),
            Self::UInt64 => "uint64".into(),
            Self::Int16 => "int16".into(),
            Self::Float32 => "float32".into(),
            Self::Float64 => "float64".into(),
            Self::Id | Self::Text => "string".into(),
            Self::Tag(_) => "tag".into(),
            Self::List(element, nullable) => {
                format!("list of {}{}", element.name(), if nullable { "?" } else { "" })
            }
        }
    }
}

/// What Parquet calls a list's elements (Apache Parquet format, "Logical types", section "Lists").
pub(crate) const LIST_ELEMENT: &str = "element";

/// A Rust type that is a column's value.
pub trait Column {
    /// What the column holds.
    const KIND: Kind;
    /// Whether the column may hold nulls ("not known", never zero).
    const NULLABLE: bool = false;
    /// The Arrow type of the column.
    fn data_type() -> DataType {
        Self::KIND.data_type()
    }
    /// A value that says nothing: null, zero, no text, a tag's first word. See [`Row::blank`](crate::Row::blank).
    fn blank() -> Self;
}

macro_rules! plain_columns {
    ($($rust:ty => $kind:ident),* $(,)?) => {
        $(impl Column for $rust {
            const KIND: Kind = Kind::$kind;
            fn blank() -> Self {
                Default::default()
            }
        })*
    };
}

plain_columns! {
    bool => Bool,
    u8 => UInt8,
    u16 => UInt16,
    u32 => UInt32,
    u64 => UInt64,
    i16 => Int16,
    f32 => Float32,
    f64 => Float64,
    Id => Id,
    String => Text,
}

impl<T: Column> Column for Option<T> {
    const KIND: Kind = T::KIND;
    const NULLABLE: bool = true;
    fn blank() -> Self {
        None
    }
}

impl<T: Column> Column for Vec<T> {
    const KIND: Kind = Kind::List(&T::KIND, T::NULLABLE);
    fn blank() -> Self {
        Self::new()
    }
}

/// The words of the floor's own tags: `scrim-floor` knows no tables.
macro_rules! floor_tags {
    ($($tag:ident = $all:expr),*) => {
        $(impl Column for $tag {
            const KIND: Kind = Kind::Tag({
                const WORDS: [&str; $all.len()] = {
                    let mut words = [""; $all.len()];
                    let mut k = 0;
                    while k < words.len() {
                        words[k] = $all[k].as_str();
                        k += 1;
                    }
                    words
                };
                &WORDS
            });
            fn blank() -> Self {
                $all[0]
            }
        })*
    };
}

floor_tags!(Zone = Zone::ALL, Side = [Side::Left, Side::Right, Side::Middle]);

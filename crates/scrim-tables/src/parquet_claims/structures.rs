//! What each field of a Parquet footer and of a page's header holds.
//!
//! Source: Apache Parquet format 2.12, `parquet.thrift`. Fields that the Parquet library does not know are not here: it steps over them, as
//! the walk does.

use Holds::{Byte, Bytes, Double, Flag, Int, List, Long, Of};

/// A structure of the format: its name, and its fields' numbers with what they hold.
pub(super) struct Structure {
    pub name: &'static str,
    pub fields: &'static [(i16, Holds)],
}

pub(super) enum Holds {
    /// A field's type is its value.
    Flag,
    Byte,
    /// A number of 32 bits.
    Int,
    /// A number of 64 bits.
    Long,
    Double,
    /// Text or bytes.
    Bytes,
    List(&'static Holds),
    Of(&'static Structure),
}

impl Structure {
    pub fn field(&self, number: i16) -> Option<&'static Holds> {
        let mut fields = self.fields.iter();
        fields.find(|(id, _)| *id == number).map(|(_, holds)| holds)
    }
}

impl Holds {
    /// Whether a value of Thrift's type `kind` is read as this. All numbers are written alike, and some writers call each of them 64 bits.
    pub fn is_written_as(&self, kind: u8) -> bool {
        match self {
            Flag => matches!(kind, 1 | 2),
            Byte => kind == 3,
            Int | Long => matches!(kind, 4..=6),
            Double => kind == 7,
            Bytes => kind == 8,
            List(_) => kind == 9,
            Of(_) => kind == 12,
        }
    }
}

/// Field 2 is the schema, groups before their elements.
pub(super) static FOOTER: Structure = Structure {
    name: "FileMetaData",
    fields: &[
        (1, Int),
        (2, List(&Of(&SCHEMA_ELEMENT))),
        (3, Long),
        (4, List(&Of(&ROW_GROUP))),
        (5, List(&Of(&KEY_VALUE))),
        (6, Bytes),
        (7, List(&Of(&COLUMN_ORDER))),
    ],
};

/// Field 4 is the name; field 5 the number of a group's own elements.
pub(super) static SCHEMA_ELEMENT: Structure = Structure {
    name: "SchemaElement",
    fields: &[
        (1, Int),
        (2, Int),
        (3, Int),
        (4, Bytes),
        (5, Int),
        (6, Int),
        (7, Int),
        (8, Int),
        (9, Int),
        (10, Of(&LOGICAL_TYPE)),
    ],
};

static LOGICAL_TYPE: Structure = Structure {
    name: "LogicalType",
    fields: &[
        (1, Of(&EMPTY)),
        (2, Of(&EMPTY)),
        (3, Of(&EMPTY)),
        (4, Of(&EMPTY)),
        (5, Of(&DECIMAL)),
        (6, Of(&EMPTY)),
        (7, Of(&TIME)),
        (8, Of(&TIME)),
        (10, Of(&INTEGER)),
        (11, Of(&EMPTY)),
        (12, Of(&EMPTY)),
        (13, Of(&EMPTY)),
        (14, Of(&EMPTY)),
        (15, Of(&EMPTY)),
        (16, Of(&VARIANT)),
        (17, Of(&GEOMETRY)),
        (18, Of(&GEOGRAPHY)),
        (19, Of(&EMPTY)),
    ],
};

/// A word of a union that says all by its number.
static EMPTY: Structure = Structure {
    name: "a word without fields",
    fields: &[],
};

static DECIMAL: Structure = Structure {
    name: "DecimalType",
    fields: &[(1, Int), (2, Int)],
};

static TIME: Structure = Structure {
    name: "TimeType",
    fields: &[(1, Flag), (2, Of(&TIME_UNIT))],
};

static TIME_UNIT: Structure = Structure {
    name: "TimeUnit",
    fields: &[(1, Of(&EMPTY)), (2, Of(&EMPTY)), (3, Of(&EMPTY))],
};

static INTEGER: Structure = Structure {
    name: "IntType",
    fields: &[(1, Byte), (2, Flag)],
};

static VARIANT: Structure = Structure {
    name: "VariantType",
    fields: &[(1, Byte)],
};

static GEOMETRY: Structure = Structure {
    name: "GeometryType",
    fields: &[(1, Bytes)],
};

static GEOGRAPHY: Structure = Structure {
    name: "GeographyType",
    fields: &[(1, Bytes), (2, Int)],
};

static COLUMN_ORDER: Structure = Structure {
    name: "ColumnOrder",
    fields: &[(1, Of(&EMPTY)), (2, Of(&EMPTY)), (3, Of(&EMPTY))],
};

static KEY_VALUE: Structure = Structure {
    name: "KeyValue",
    fields: &[(1, Bytes), (2, Bytes)],
};

pub(super) static ROW_GROUP: Structure = Structure {
    name: "RowGroup",
    fields: &[
        (1, List(&Of(&COLUMN_CHUNK))),
        (2, Long),
        (3, Long),
        (4, List(&Of(&SORTING_COLUMN))),
        (5, Long),
        (6, Long),
        (7, Int),
    ],
};

static SORTING_COLUMN: Structure = Structure {
    name: "SortingColumn",
    fields: &[(1, Int), (2, Flag), (3, Flag)],
};

/// Fields 8 and 9 are of encrypted files, which the library is built without.
pub(super) static COLUMN_CHUNK: Structure = Structure {
    name: "ColumnChunk",
    fields: &[
        (1, Bytes),
        (2, Long),
        (3, Of(&COLUMN)),
        (4, Long),
        (5, Int),
        (6, Long),
        (7, Int),
    ],
};

static COLUMN: Structure = Structure {
    name: "ColumnMetaData",
    fields: &[
        (1, Int),
        (2, List(&Int)),
        (3, List(&Bytes)),
        (4, Int),
        (5, Long),
        (6, Long),
        (7, Long),
        (8, List(&Of(&KEY_VALUE))),
        (9, Long),
        (10, Long),
        (11, Long),
        (12, Of(&STATISTICS)),
        (13, List(&Of(&PAGE_ENCODING))),
        (14, Long),
        (15, Int),
        (16, Of(&SIZES)),
        (17, Of(&GEOSPATIAL)),
    ],
};

static STATISTICS: Structure = Structure {
    name: "Statistics",
    fields: &[
        (1, Bytes),
        (2, Bytes),
        (3, Long),
        (4, Long),
        (5, Bytes),
        (6, Bytes),
        (7, Flag),
        (8, Flag),
        (9, Long),
    ],
};

static PAGE_ENCODING: Structure = Structure {
    name: "PageEncodingStats",
    fields: &[(1, Int), (2, Int), (3, Int)],
};

static SIZES: Structure = Structure {
    name: "SizeStatistics",
    fields: &[(1, Long), (2, List(&Long)), (3, List(&Long))],
};

static GEOSPATIAL: Structure = Structure {
    name: "GeospatialStatistics",
    fields: &[(1, Of(&BOUNDING_BOX)), (2, List(&Int))],
};

static BOUNDING_BOX: Structure = Structure {
    name: "BoundingBox",
    fields: &[
        (1, Double),
        (2, Double),
        (3, Double),
        (4, Double),
        (5, Double),
        (6, Double),
        (7, Double),
        (8, Double),
    ],
};

/// Fields 1 to 3 are the page's kind, and its bytes unpacked and packed; 5, 7 and 8 are headers of which a page has one.
pub(super) static PAGE_HEADER: Structure = Structure {
    name: "PageHeader",
    fields: &[
        (1, Int),
        (2, Int),
        (3, Int),
        (4, Int),
        (5, Of(&DATA_PAGE)),
        (6, Of(&EMPTY)),
        (7, Of(&DICTIONARY_PAGE)),
        (8, Of(&DATA_PAGE_2)),
    ],
};

/// Field 1 of the three is the number of values; the encoding is field 2, and field 4 in the last.
pub(super) static DATA_PAGE: Structure = Structure {
    name: "DataPageHeader",
    fields: &[(1, Int), (2, Int), (3, Int), (4, Int), (5, Of(&STATISTICS))],
};

pub(super) static DICTIONARY_PAGE: Structure = Structure {
    name: "DictionaryPageHeader",
    fields: &[(1, Int), (2, Int), (3, Flag)],
};

/// Fields 5 and 6 are the lengths of its levels, bytes.
pub(super) static DATA_PAGE_2: Structure = Structure {
    name: "DataPageHeaderV2",
    fields: &[
        (1, Int),
        (2, Int),
        (3, Int),
        (4, Int),
        (5, Int),
        (6, Int),
        (7, Flag),
        (8, Of(&STATISTICS)),
    ],
};

//! Where a document is no JSON, and why: `serde_json` reads it again, once something is known to be wrong.

use std::fmt;
use std::io::Read;
use std::path::Path;

use serde::de::{DeserializeSeed, Deserializer, MapAccess, SeqAccess, Visitor};

use crate::IngestError;
use crate::input::Input;
use crate::mapping::Format;

/// What is wrong with the document at `path`, and where.
#[cold]
pub(super) fn fault(path: &Path) -> IngestError {
    let input = match Input::open(path, Some(Format::Json)) {
        Ok(input) => input,
        Err(error) => return error,
    };
    let progress = input.progress.clone();
    let mut deserializer = serde_json::Deserializer::from_reader(input.unlimited());
    let looked = Anything
        .deserialize(&mut deserializer)
        .and_then(|()| deserializer.end());
    match looked {
        Err(error) if error.is_io() => progress.error(error.line() as u64, error.into()),
        Err(error) => IngestError::Json {
            path: path.into(),
            line: error.line() as u64,
            column: error.column() as u64,
            source: error,
        },
        // The file has changed meanwhile.
        Ok(()) => IngestError::Stumbled {
            path: path.into(),
            format: Format::Json.as_str(),
        },
    }
}

/// The line (from 1) of that byte of the unpacked text.
#[cold]
pub(super) fn line_of(path: &Path, byte: u64) -> u64 {
    let Ok(input) = Input::open(path, Some(Format::Json)) else {
        return 1;
    };
    let mut reader = input.unlimited().take(byte);
    let mut line = 1;
    let mut bytes = [0; 8192];
    while let Ok(read @ 1..) = reader.read(&mut bytes) {
        line += bytes[..read].iter().filter(|byte| **byte == b'\n').count() as u64;
    }
    line
}

/// Looks at every value and keeps none.
struct Anything;

impl<'de> DeserializeSeed<'de> for Anything {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Anything {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("JSON")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
        while map.next_key::<String>()?.is_some() {
            map.next_value_seed(Self)?;
        }
        Ok(())
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<(), A::Error> {
        while seq.next_element_seed(Self)?.is_some() {}
        Ok(())
    }

    fn visit_bool<E>(self, _: bool) -> Result<(), E> {
        Ok(())
    }

    fn visit_i64<E>(self, _: i64) -> Result<(), E> {
        Ok(())
    }

    fn visit_u64<E>(self, _: u64) -> Result<(), E> {
        Ok(())
    }

    fn visit_f64<E>(self, _: f64) -> Result<(), E> {
        Ok(())
    }

    fn visit_str<E>(self, _: &str) -> Result<(), E> {
        Ok(())
    }

    fn visit_unit<E>(self) -> Result<(), E> {
        Ok(())
    }
}

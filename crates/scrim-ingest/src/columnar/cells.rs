//! Arrow arrays as cells.

use arrow::array::{Array, ArrayRef, AsArray};
use arrow::buffer::NullBuffer;
use arrow::compute::cast;
use arrow::datatypes::{DataType, Float32Type, Float64Type, Int32Type, Int64Type, TimeUnit};
use arrow::error::ArrowError;

use crate::chunk::{Cells, ReadAs};
use crate::clock_text::{parse_clock_s, parse_iso_s};
use crate::names::{NO_NAME, NameIx, Names};

/// What was expected, when a column of that type cannot be read so; `None` when it can.
pub(super) fn refuses(found: &DataType, read_as: ReadAs) -> Option<&'static str> {
    let inner = match found {
        DataType::Dictionary(_, values) => values,
        other => other,
    };
    let is_time = matches!(inner, DataType::Timestamp(_, _) | DataType::Duration(_));
    let fits = match read_as {
        _ if *inner == DataType::Null => true,
        ReadAs::Id => is_text(inner) || inner.is_numeric(),
        ReadAs::Number => is_text(inner) || inner.is_numeric() || is_time,
        ReadAs::Clock | ReadAs::Iso => is_text(inner),
    };
    match read_as {
        _ if fits => None,
        ReadAs::Id => Some("ids as text or whole numbers"),
        ReadAs::Number => Some("numbers"),
        ReadAs::Clock => Some("text such as 11:58.4"),
        ReadAs::Iso => {
            Some("text such as 2031-06-18T19:30:00Z; an Arrow time stamp is read with unit = \"s\"")
        }
    }
}

/// Whether values are text, plain or as a dictionary.
fn is_text(found: &DataType) -> bool {
    match found {
        DataType::Dictionary(_, values) => is_text(values),
        DataType::Utf8 | DataType::LargeUtf8 | DataType::Utf8View => true,
        _ => false,
    }
}

/// Appends the array's values to empty `cells`.
pub(super) fn read(
    array: &ArrayRef,
    kind: ReadAs,
    cells: &mut Cells,
    names: &mut Names,
) -> Result<(), ArrowError> {
    match kind {
        ReadAs::Id => read_ids(array, cells, names),
        ReadAs::Number => read_numbers(array, cells),
        ReadAs::Clock => read_texts(array, cells, parse_clock_s),
        ReadAs::Iso => read_texts(array, cells, parse_iso_s),
    }
}

fn read_ids(array: &ArrayRef, cells: &mut Cells, names: &mut Names) -> Result<(), ArrowError> {
    let values_are_text = |values: &DataType| !values.is_floating();
    if let DataType::Dictionary(_, values) = array.data_type()
        && values_are_text(values)
    {
        let wanted = DataType::Dictionary(Box::new(DataType::Int32), Box::new(DataType::Utf8));
        let array = if *array.data_type() == wanted {
            array.clone()
        } else {
            cast(array, &wanted)?
        };
        let dictionary = array.as_dictionary::<Int32Type>();
        let values = dictionary.values().as_string::<i32>();
        let numbers: Vec<NameIx> = values
            .iter()
            .map(|value| value.map_or(NO_NAME, |value| names.number(value)))
            .collect();
        let keys = dictionary.keys();
        // The key of a null may be any number: it is looked up with care and then written over.
        let id_of = |&key: &i32| usize::try_from(key).ok().and_then(|key| numbers.get(key));
        cells.ids.extend(
            keys.values()
                .iter()
                .map(|key| id_of(key).copied().unwrap_or(NO_NAME)),
        );
        for_each_null(keys.nulls(), |row| cells.ids[row] = NO_NAME);
        return Ok(());
    }
    let is_floating = match array.data_type() {
        DataType::Dictionary(_, values) => values.is_floating(),
        other => other.is_floating(),
    };
    if is_floating {
        // Ids that were made floats on their way (a table program that knows no null integers does that).
        let array = cast(array, &DataType::Float64)?;
        for (row, value) in array.as_primitive::<Float64Type>().iter().enumerate() {
            cells.ids.push(match value {
                Some(id) if id.fract() == 0.0 && id.abs() < 9e15 => names.number(&(id as i64).to_string()),
                Some(id) if !id.is_nan() => {
                    cells.unreadable.push(row as u32);
                    NO_NAME
                }
                _ => NO_NAME,
            });
        }
        return Ok(());
    }
    let array = cast(array, &DataType::Utf8)?;
    let texts = array.as_string::<i32>();
    cells.ids.extend(
        texts
            .iter()
            .map(|text| text.map_or(NO_NAME, |text| names.number(text))),
    );
    Ok(())
}

fn read_numbers(array: &ArrayRef, cells: &mut Cells) -> Result<(), ArrowError> {
    let values = &mut cells.numbers;
    match array.data_type() {
        DataType::Float32 => {
            let array = array.as_primitive::<Float32Type>();
            values.extend(array.values().iter().map(|&v| f64::from(v)));
            for_each_null(array.nulls(), |row| values[row] = f64::NAN);
        }
        DataType::Float64 => {
            let array = array.as_primitive::<Float64Type>();
            values.extend_from_slice(array.values());
            for_each_null(array.nulls(), |row| values[row] = f64::NAN);
        }
        DataType::Timestamp(unit, _) | DataType::Duration(unit) => {
            let a_second = match unit {
                TimeUnit::Second => 1.0,
                TimeUnit::Millisecond => 1e3,
                TimeUnit::Microsecond => 1e6,
                TimeUnit::Nanosecond => 1e9,
            };
            let counts = cast(array, &DataType::Int64)?;
            let counts = counts.as_primitive::<Int64Type>();
            values.extend(counts.iter().map(|v| v.map_or(f64::NAN, |v| v as f64 / a_second)));
        }
        _ if is_text(array.data_type()) => return read_texts(array, cells, |text| text.trim().parse().ok()),
        _ => {
            let numbers = cast(array, &DataType::Float64)?;
            let numbers = numbers.as_primitive::<Float64Type>();
            for (row, value) in numbers.iter().enumerate() {
                // A column of type Null has no validity bits: all its cells are empty.
                if value.is_none() && *array.data_type() != DataType::Null && array.is_valid(row) {
                    cells.unreadable.push(row as u32);
                }
                cells.numbers.push(value.unwrap_or(f64::NAN));
            }
        }
    }
    Ok(())
}

/// Calls `each` with the place of every null.
fn for_each_null(nulls: Option<&NullBuffer>, mut each: impl FnMut(usize)) {
    let Some(nulls) = nulls.filter(|nulls| nulls.null_count() > 0) else {
        return;
    };
    for (row, is_valid) in nulls.iter().enumerate() {
        if !is_valid {
            each(row);
        }
    }
}

fn read_texts(array: &ArrayRef, cells: &mut Cells, parse: fn(&str) -> Option<f64>) -> Result<(), ArrowError> {
    let array = cast(array, &DataType::Utf8)?;
    for (row, text) in array.as_string::<i32>().iter().enumerate() {
        let text = text.filter(|text| !text.trim().is_empty());
        let value = text.and_then(parse);
        if text.is_some() && value.is_none() {
            cells.unreadable.push(row as u32);
        }
        cells.numbers.push(value.unwrap_or(f64::NAN));
    }
    Ok(())
}

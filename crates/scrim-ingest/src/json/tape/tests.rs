//! Tapes hold what a JSON reader finds.

use super::*;
use proptest::prelude::*;
use serde_json::{Map, Value};

fn value_of(document: Document<'_>, at: NodeIx) -> Value {
    match document.kind(at) {
        Kind::Null => Value::Null,
        Kind::Bool => Value::Bool(document.written(at) == "true"),
        Kind::Number => Value::Number(serde_json::from_str(document.written(at)).unwrap()),
        Kind::Text | Kind::Escaped => Value::String(document.text(at).into_owned()),
        Kind::Array => document
            .elements(at)
            .map(|element| value_of(document, element))
            .collect(),
        Kind::Object => {
            let members = document.members_by_key(at).into_iter();
            let members = members.map(|(key, value)| (key.into_owned(), value_of(document, value)));
            Value::Object(members.collect::<Map<_, _>>())
        }
    }
}

/// The whole of `bytes` as a value, as the tape has it.
fn by_tape(bytes: &[u8]) -> Option<Value> {
    let mut tape = Tape::default();
    let end = tape.read(bytes, 0, true, 0).ok()?;
    if after_blank(bytes, end) != bytes.len() {
        return None;
    }
    Some(value_of(tape.document(bytes)?, Document::ROOT))
}

#[test]
fn depth_and_size_of_numbers_are_bounded_as_serde_json_bounds_them() {
    for depth in 120..135 {
        let nested = format!("{}{}", "[".repeat(depth), "]".repeat(depth));
        let expected = serde_json::from_str::<Value>(&nested).ok();
        assert_eq!(by_tape(nested.as_bytes()), expected, "{depth}");
    }
    for number in [
        "1e308",
        "1e309",
        "-1e400",
        "1e-400",
        &"9".repeat(308),
        &"9".repeat(310),
        "01",
        "-",
        "1.",
        "1e",
    ] {
        let expected = serde_json::from_str::<Value>(number).ok();
        assert_eq!(by_tape(number.as_bytes()), expected, "{number}");
    }
}

fn any_json() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        any::<f64>().prop_map(Value::from),
        "[a-c\"\\\\/\u{1}é😀]{0,5}".prop_map(Value::from),
    ];
    leaf.prop_recursive(5, 40, 5, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..5).prop_map(Value::from),
            prop::collection::btree_map("[a-c\"é]{0,2}", inner, 0..5)
                .prop_map(|map| Value::Object(map.into_iter().collect())),
        ]
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, ..ProptestConfig::default() })]

    #[test]
    fn a_value_is_what_serde_json_makes_of_it_and_every_beginning_of_it_is_short(
        value in any_json(), is_pretty: bool, cut: prop::sample::Index,
    ) {
        let text = if is_pretty { serde_json::to_string_pretty(&value) } else { serde_json::to_string(&value) };
        let text = text.unwrap();
        prop_assert_eq!(by_tape(text.as_bytes()), serde_json::from_str(&text).ok());
        let cut = cut.index(text.len());
        prop_assert_eq!(Tape::default().read(&text.as_bytes()[..cut], 0, false, 0), Err(Stop::Short));
    }

    #[test]
    fn bytes_are_json_exactly_when_serde_json_says_so(
        value in any_json(), changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..4),
        near in "[\\[\\]{}:,\"0-9eE.+\\-a\\\\untrlsf \\t]{0,12}",
    ) {
        let mut bytes = value.to_string().into_bytes();
        for (at, byte) in changes {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        for bytes in [&bytes[..], near.as_bytes()] {
            prop_assert_eq!(by_tape(bytes), serde_json::from_slice::<Value>(bytes).ok());
        }
    }
}

//! What stands at a place of a document, in words, for messages.

use super::tape::{Document, Kind, NOWHERE, NodeIx};

/// What a value is, in words.
pub(super) fn kind_at(document: Document<'_>, at: NodeIx) -> &'static str {
    if at == NOWHERE {
        return "nothing";
    }
    match document.kind(at) {
        Kind::Null => "null",
        Kind::Bool => "true or false",
        Kind::Number => "a number",
        Kind::Text | Kind::Escaped => "a text",
        Kind::Array => "an array",
        Kind::Object => "an object",
    }
}

/// The keys of an object, or what else a value is, for messages.
pub(super) fn keys_in(document: Document<'_>, at: NodeIx) -> String {
    match document.kind(at) {
        Kind::Object => {
            let members = document.members_by_key(at).into_iter().take(20);
            format!("the keys {:?}", members.map(|(key, _)| key).collect::<Vec<_>>())
        }
        _ => kind_at(document, at).into(),
    }
}

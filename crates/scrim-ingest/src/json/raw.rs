//! The text of instants and of cells that could not be read, for refused rows.

use std::ops::Range;

use serde_json::Value;

use super::cell::compact;
use crate::chunk::RawRows;

#[derive(Default)]
pub(super) struct RawInstants {
    /// JSON of instants, or lines that are none, one after the other.
    text: String,
    instants: Vec<(Range<usize>, IsJson)>,
    /// The instant of each row.
    instant_of: Vec<u32>,
    /// The text of cells that could not be read.
    unreadable: Vec<(u32, u32, String)>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum IsJson {
    Yes,
    No,
}

impl RawInstants {
    /// Forgets all of it.
    pub(super) fn clear(&mut self) {
        self.text.clear();
        self.instants.clear();
        self.instant_of.clear();
        self.unreadable.clear();
    }

    /// The next row is one of the instant that is kept next.
    pub(super) fn add_row(&mut self) {
        self.instant_of.push(self.instants.len() as u32);
    }

    /// The text of a cell that could not be read.
    pub(super) fn add_unreadable(&mut self, row: u32, wanted: usize, text: String) {
        self.unreadable.push((row, wanted as u32, text));
    }

    /// Keeps the text of the instant whose rows were added.
    pub(super) fn keep(&mut self, text: &str, is_json: IsJson) {
        let start = self.text.len();
        self.text.push_str(text);
        self.instants.push((start..self.text.len(), is_json));
    }
}

impl RawRows for RawInstants {
    fn cell(&self, row: usize, wanted: usize) -> String {
        let found = self
            .unreadable
            .iter()
            .find(|u| (u.0 as usize, u.1 as usize) == (row, wanted));
        found.map_or(String::new(), |u| u.2.clone())
    }

    fn row(&self, row: usize) -> String {
        let (text, is_json) = &self.instants[self.instant_of[row] as usize];
        let text = &self.text[text.clone()];
        match is_json {
            IsJson::Yes => row_of(text),
            IsJson::No => text.to_owned(),
        }
    }
}

/// An instant's text: compact JSON, or the text that it is.
fn row_of(json: &str) -> String {
    match serde_json::from_str(json) {
        Ok(Value::String(text)) => text,
        _ => compact(json),
    }
}

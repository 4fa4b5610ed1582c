//! Walks a JSON document of any size: only one instant is held at a time.

use std::fmt;

use serde::de::{DeserializeSeed, Deserializer, Error as _, IgnoredAny, MapAccess, SeqAccess, Visitor};
use serde_json::Value;

use super::PathKey;
use crate::IngestError;
use crate::chunk::Flow;
use crate::input::{Input, Progress};

/// A step from the document toward its instants.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Step {
    /// Into the member of that key (or place).
    Key(String),
    /// Into each element.
    Each,
}

/// What stands outside of the instants, as far as `wanted` (pointer tokens, level by level) asks for it: the
/// document's own shape, with the innermost arrays empty.
pub(super) fn read_skeleton(
    input: Input,
    steps: &[Step],
    wanted: &[Vec<Vec<String>>],
) -> Result<Value, IngestError> {
    let progress = input.progress.clone();
    let mut deserializer = serde_json::Deserializer::from_reader(input.unlimited());
    let of_document: Vec<&[String]> = wanted
        .first()
        .map_or(Vec::new(), |w| w.iter().map(Vec::as_slice).collect());
    let levels = wanted.get(1..).unwrap_or_default();
    let seed = Skeleton {
        steps,
        here: of_document,
        levels,
    };
    let skeleton = seed
        .deserialize(&mut deserializer)
        .map_err(|error| json_error(&progress, error))?;
    deserializer.end().map_err(|error| json_error(&progress, error))?;
    Ok(skeleton)
}

/// Gives each instant, with the places and keys on the way to it, to `each`.
pub(super) fn read_instants(
    input: Input,
    steps: &[Step],
    each: &mut dyn FnMut(&[PathKey], Value) -> Flow,
) -> Result<Flow, IngestError> {
    let progress = input.progress.clone();
    let mut deserializer = serde_json::Deserializer::from_reader(input.unlimited());
    let mut walk = Walk {
        each,
        keys: Vec::new(),
        stopped: false,
        nearest: None,
        arrived: false,
    };
    let ended = Instants {
        steps,
        walk: &mut walk,
    }
    .deserialize(&mut deserializer)
    .and_then(|()| deserializer.end());
    if walk.stopped {
        return Ok(Flow::Break(()));
    }
    let Walk { arrived, nearest, .. } = walk;
    ended.map_err(|error| json_error(&progress, error))?;
    if !arrived {
        let pointer: String = steps
            .iter()
            .map(|step| match step {
                Step::Key(key) => format!("/{}", key.replace('~', "~0").replace('/', "~1")),
                Step::Each => "/*".into(),
            })
            .collect();
        let found = nearest.map_or(String::from("nothing"), |n| n.1);
        return Err(IngestError::PointerLeadsNowhere {
            path: progress.path,
            pointer,
            found,
        });
    }
    Ok(Flow::Continue(()))
}

fn json_error(progress: &Progress, error: serde_json::Error) -> IngestError {
    let (line, column) = (error.line() as u64, error.column() as u64);
    if error.is_io() {
        return progress.error(line, error.into());
    }
    IngestError::Json {
        path: progress.path.clone(),
        line,
        column,
        source: error,
    }
}

struct Skeleton<'s> {
    steps: &'s [Step],
    /// What is wanted from here, by its remaining tokens.
    here: Vec<&'s [String]>,
    /// What is wanted of the levels below.
    levels: &'s [Vec<Vec<String>>],
}

impl Skeleton<'_> {
    fn at_key(&self, key: &str) -> Self {
        let here = self
            .here
            .iter()
            .filter_map(|w| w.split_first())
            .filter(|(first, _)| *first == key);
        Skeleton {
            steps: &self.steps[1..],
            here: here.map(|(_, rest)| rest).collect(),
            levels: self.levels,
        }
    }

    fn at_element(&self) -> Self {
        let (here, levels) = self
            .levels
            .split_first()
            .map_or((Vec::new(), self.levels), |(here, rest)| {
                (here.iter().map(Vec::as_slice).collect(), rest)
            });
        Skeleton {
            steps: &self.steps[1..],
            here,
            levels,
        }
    }

    /// Whether a member that is not on the way is wanted.
    fn wants(&self, key: &str) -> bool {
        self.here
            .iter()
            .any(|w| w.first().is_some_and(|first| first == key))
    }

    fn is_innermost(&self) -> bool {
        self.steps == [Step::Each]
    }
}

impl<'de> DeserializeSeed<'de> for Skeleton<'_> {
    type Value = Value;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Value, D::Error> {
        if self.steps.is_empty() {
            return deserializer
                .deserialize_ignored_any(IgnoredAny)
                .map(|_| Value::Null);
        }
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Skeleton<'_> {
    type Value = Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("JSON")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Value, A::Error> {
        let mut members = serde_json::Map::new();
        while let Some(key) = map.next_key::<String>()? {
            let member = match &self.steps[0] {
                Step::Key(step) if *step == key => map.next_value_seed(self.at_key(&key))?,
                Step::Each if self.is_innermost() => {
                    map.next_value::<IgnoredAny>()?;
                    continue;
                }
                Step::Each => map.next_value_seed(self.at_element())?,
                Step::Key(_) if self.wants(&key) => map.next_value()?,
                Step::Key(_) => {
                    map.next_value::<IgnoredAny>()?;
                    continue;
                }
            };
            members.insert(key, member);
        }
        Ok(Value::Object(members))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Value, A::Error> {
        let mut elements = Vec::new();
        loop {
            let element = match &self.steps[0] {
                Step::Each if self.is_innermost() => match seq.next_element::<IgnoredAny>()? {
                    Some(_) => continue,
                    None => None,
                },
                Step::Each => seq.next_element_seed(self.at_element())?,
                Step::Key(step) => {
                    let key = elements.len().to_string();
                    if *step == key {
                        seq.next_element_seed(self.at_key(&key))?
                    } else if self.wants(&key) {
                        seq.next_element()?
                    } else {
                        seq.next_element::<IgnoredAny>()?.map(|_| Value::Null)
                    }
                }
            };
            match element {
                Some(element) => elements.push(element),
                None => return Ok(Value::Array(elements)),
            }
        }
    }

    fn visit_bool<E>(self, _: bool) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_i64<E>(self, _: i64) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_u64<E>(self, _: u64) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_f64<E>(self, _: f64) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_str<E>(self, _: &str) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_unit<E>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }
}

struct Walk<'w> {
    each: &'w mut dyn FnMut(&[PathKey], Value) -> Flow,
    keys: Vec<PathKey>,
    stopped: bool,
    /// Where the way ended that came nearest to an instant: how many steps were left, and what was there.
    nearest: Option<(usize, String)>,
    /// Whether an innermost array (it may be empty) has been found.
    arrived: bool,
}

impl Walk<'_> {
    fn note(&mut self, left: usize, found: impl FnOnce() -> String) {
        if self.nearest.as_ref().is_none_or(|nearest| left < nearest.0) {
            self.nearest = Some((left, found()));
        }
    }
}

struct Instants<'s, 'w, 'e> {
    steps: &'s [Step],
    walk: &'w mut Walk<'e>,
}

impl<'s, 'e> Instants<'s, '_, 'e> {
    fn next(&mut self) -> Instants<'s, '_, 'e> {
        Instants {
            steps: &self.steps[1..],
            walk: self.walk,
        }
    }

    fn ended(&mut self, found: &'static str) {
        self.walk.note(self.steps.len(), || found.into());
    }
}

impl<'de> DeserializeSeed<'de> for Instants<'_, '_, '_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        if !self.steps.is_empty() {
            return deserializer.deserialize_any(self);
        }
        let instant = serde::Deserialize::deserialize(deserializer)?;
        self.walk.arrived = true;
        if (self.walk.each)(&self.walk.keys, instant).is_break() {
            self.walk.stopped = true;
            return Err(D::Error::custom("stopped"));
        }
        Ok(())
    }
}

impl<'de> Visitor<'de> for Instants<'_, '_, '_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("JSON")
    }

    fn visit_map<A: MapAccess<'de>>(mut self, mut map: A) -> Result<(), A::Error> {
        let mut found = Vec::new();
        while let Some(key) = map.next_key::<String>()? {
            match &self.steps[0] {
                Step::Key(step) if *step == key => map.next_value_seed(self.next())?,
                Step::Key(_) => {
                    map.next_value::<IgnoredAny>()?;
                }
                Step::Each => {
                    self.walk.keys.push(PathKey::Key(key.clone()));
                    map.next_value_seed(self.next())?;
                    self.walk.keys.pop();
                }
            }
            if found.len() < 20 {
                found.push(key);
            }
        }
        self.walk.arrived |= self.steps == [Step::Each];
        self.walk.note(self.steps.len(), || format!("the keys {found:?}"));
        Ok(())
    }

    fn visit_seq<A: SeqAccess<'de>>(mut self, mut seq: A) -> Result<(), A::Error> {
        let mut index = 0;
        loop {
            let more = match &self.steps[0] {
                Step::Key(step) if *step == index.to_string() => {
                    seq.next_element_seed(self.next())?.is_some()
                }
                Step::Key(_) => seq.next_element::<IgnoredAny>()?.is_some(),
                Step::Each => {
                    self.walk.keys.push(PathKey::Index(index));
                    let more = seq.next_element_seed(self.next())?.is_some();
                    self.walk.keys.pop();
                    more
                }
            };
            if !more {
                break;
            }
            index += 1;
        }
        self.walk.arrived |= self.steps == [Step::Each];
        self.walk
            .note(self.steps.len(), || format!("an array of {index}"));
        Ok(())
    }

    fn visit_bool<E>(mut self, _: bool) -> Result<(), E> {
        self.ended("true or false");
        Ok(())
    }

    fn visit_i64<E>(mut self, _: i64) -> Result<(), E> {
        self.ended("a number");
        Ok(())
    }

    fn visit_u64<E>(mut self, _: u64) -> Result<(), E> {
        self.ended("a number");
        Ok(())
    }

    fn visit_f64<E>(mut self, _: f64) -> Result<(), E> {
        self.ended("a number");
        Ok(())
    }

    fn visit_str<E>(mut self, _: &str) -> Result<(), E> {
        self.ended("a text");
        Ok(())
    }

    fn visit_unit<E>(mut self) -> Result<(), E> {
        self.ended("null");
        Ok(())
    }
}

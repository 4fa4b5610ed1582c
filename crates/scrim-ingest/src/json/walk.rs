//! Walks a JSON document of any size: only one instant is held at a time.

use std::path::Path;

use serde_json::Value;

use super::fault::{fault, line_of};
use super::feed::{Ended, Feed, MAX_VALUE_BYTES};
use super::key::Key;
use super::outer::{Outer, Pending, below, value_at};
use super::tape::{Document, Tape};
use crate::IngestError;
use crate::chunk::Flow;
use crate::input::Input;
use crate::mapping::Format;

/// A step from the document toward its instants.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Step {
    /// Into the member of that key (or place).
    Key(String),
    /// Into each element.
    Each,
}

/// Takes what a walk comes to.
pub(super) trait Visit {
    /// The values that are wanted of the document and of the elements around the instants that follow.
    fn outer(&mut self, level: usize, values: &[Option<Value>]);
    /// An instant, with the places and keys on the way to it.
    fn instant(&mut self, keys: &[Key<'static>], instant: Document<'_>) -> Flow;
}

/// Walks the document at `path` along `steps`. `outer`: of each level above the instants, the pointers that are wanted.
pub(super) fn walk(
    path: &Path,
    steps: &[Step],
    outer: &[Vec<String>],
    visit: &mut dyn Visit,
) -> Result<Flow, IngestError> {
    let input = Input::open(path, Some(Format::Json))?;
    let progress = input.progress.clone();
    let outer = Outer::new(outer);
    let wanted = outer.wanted().to_vec();
    let mut walk = Walk::new(path, steps, input, outer, Some(visit));
    match walk.whole(&wanted) {
        Ok(()) => {}
        Err(Halt::Stopped) => return Ok(Flow::Break(())),
        Err(Halt::Ended(Ended::Bad)) => return Err(fault(path)),
        Err(Halt::Ended(Ended::Io(error))) => return Err(progress.error(0, error)),
        Err(Halt::Ended(Ended::TooLong(byte))) => {
            return Err(IngestError::RecordTooLong {
                path: path.into(),
                line: line_of(path, byte),
                most: MAX_VALUE_BYTES,
            });
        }
        Err(Halt::Failed(error)) => return Err(*error),
    }
    let Walk { arrived, nearest, .. } = walk;
    if !arrived {
        let pointer: String = steps
            .iter()
            .map(|step| match step {
                Step::Key(key) => format!("/{}", key.replace('~', "~0").replace('/', "~1")),
                Step::Each => "/*".into(),
            })
            .collect();
        return Err(IngestError::PointerLeadsNowhere {
            path: path.into(),
            pointer,
            found: nearest.map_or(String::from("nothing"), |n| n.1),
        });
    }
    Ok(Flow::Continue(()))
}

/// Why a walk does not go on.
enum Halt {
    /// Nobody wants more.
    Stopped,
    /// The document.
    Ended(Ended),
    /// The pass over what stands outside of the instants.
    Failed(Box<IngestError>),
}

impl From<Ended> for Halt {
    fn from(ended: Ended) -> Self {
        Self::Ended(ended)
    }
}

struct Walk<'w> {
    path: &'w Path,
    steps: &'w [Step],
    feed: Feed,
    tape: Tape,
    outer: Outer,
    /// `None` in a pass that looks only for what stands outside of the instants.
    visit: Option<&'w mut dyn Visit>,
    keys: Vec<Key<'static>>,
    /// Where the way ended that came nearest to an instant: how many steps were left, and what was there.
    nearest: Option<(usize, String)>,
    /// Whether an innermost array (it may be empty) has been found.
    arrived: bool,
}

/// Tokens of the pointers that are wanted, level by level.
type Wanted = [Vec<Vec<String>>];

impl<'w> Walk<'w> {
    fn new(
        path: &'w Path,
        steps: &'w [Step],
        input: Input,
        outer: Outer,
        visit: Option<&'w mut dyn Visit>,
    ) -> Self {
        Self {
            path,
            steps,
            feed: Feed::new(input.unlimited()),
            tape: Tape::default(),
            outer,
            visit,
            keys: Vec::new(),
            nearest: None,
            arrived: false,
        }
    }

    fn whole(&mut self, wanted: &Wanted) -> Result<(), Halt> {
        self.outer.begin(0);
        self.value(self.steps, 0, &Outer::pending(wanted, 0), wanted)?;
        if self.feed.is_at_end()? {
            Ok(())
        } else {
            Err(Ended::Bad.into())
        }
    }

    fn value(
        &mut self,
        steps: &[Step],
        level: usize,
        pending: &Pending<'_>,
        wanted: &Wanted,
    ) -> Result<(), Halt> {
        if steps.is_empty() {
            return self.instant();
        }
        let first = self.feed.peek()?;
        match first {
            b'{' | b'[' => {
                // A pointer that ends at what is walked through: it is there, and nothing that a cell can hold.
                for (pointer, _) in pending.iter().filter(|(_, tokens)| tokens.is_empty()) {
                    self.outer.put(level, *pointer, Value::Array(Vec::new()));
                }
                self.feed.enter()?;
                if steps == [Step::Each] {
                    self.visit_outer()?;
                }
                if first == b'{' {
                    self.object(steps, level, pending, wanted)
                } else {
                    self.array(steps, level, pending, wanted)
                }
            }
            other => {
                self.feed.skip()?;
                self.note(steps.len(), || {
                    String::from(match other {
                        b'"' => "a text",
                        b't' | b'f' => "true or false",
                        b'n' => "null",
                        _ => "a number",
                    })
                });
                Ok(())
            }
        }
    }

    fn object(
        &mut self,
        steps: &[Step],
        level: usize,
        pending: &Pending<'_>,
        wanted: &Wanted,
    ) -> Result<(), Halt> {
        let mut found = Vec::new();
        let mut is_first = true;
        while self.feed.has_next(is_first, b'}')? {
            is_first = false;
            let key = self.feed.key(&mut self.tape)?;
            let name = if found.len() < 20 { Some(key.clone()) } else { None };
            match &steps[0] {
                Step::Key(step) if *step == key => {
                    self.value(&steps[1..], level, &below(pending, &key), wanted)?;
                }
                Step::Key(_) => self.member(level, &below(pending, &key))?,
                Step::Each => self.element(Key::Name(key.into()), steps, level, wanted)?,
            }
            found.extend(name);
        }
        self.arrived |= steps == [Step::Each];
        self.note(steps.len(), || format!("the keys {found:?}"));
        Ok(())
    }

    fn array(
        &mut self,
        steps: &[Step],
        level: usize,
        pending: &Pending<'_>,
        wanted: &Wanted,
    ) -> Result<(), Halt> {
        let mut index = 0;
        while self.feed.has_next(index == 0, b']')? {
            match &steps[0] {
                Step::Each => self.element(Key::Place(index), steps, level, wanted)?,
                Step::Key(step) => {
                    let key = index.to_string();
                    let pending = below(pending, &key);
                    if *step == key {
                        self.value(&steps[1..], level, &pending, wanted)?;
                    } else {
                        self.member(level, &pending)?;
                    }
                }
            }
            index += 1;
        }
        self.arrived |= steps == [Step::Each];
        self.note(steps.len(), || format!("an array of {index}"));
        Ok(())
    }

    /// An element of a walk: a level of its own.
    fn element(
        &mut self,
        key: Key<'static>,
        steps: &[Step],
        level: usize,
        wanted: &Wanted,
    ) -> Result<(), Halt> {
        self.keys.push(key);
        self.outer.begin(level + 1);
        if steps.len() > 1 {
            self.value(&steps[1..], level + 1, &Outer::pending(wanted, level + 1), wanted)?;
        } else {
            self.instant()?;
        }
        self.keys.pop();
        Ok(())
    }

    /// A member that is not on the way, with the pointers that go through it.
    fn member(&mut self, level: usize, pending: &Pending<'_>) -> Result<(), Halt> {
        if pending.is_empty() {
            return Ok(self.feed.skip()?);
        }
        let value = self.feed.whole(&mut self.tape, |document| {
            serde_json::from_str::<Value>(document.json(Document::ROOT))
        })?;
        let value = value.map_err(|_| Ended::Bad)?;
        for (pointer, tokens) in pending {
            if let Some(value) = value_at(&value, tokens) {
                self.outer.put(level, *pointer, value);
            }
        }
        Ok(())
    }

    /// Gives what is wanted of what is around the instants that follow. What stands after them is looked for first,
    /// once, in a pass of its own over the whole document.
    fn visit_outer(&mut self) -> Result<(), Halt> {
        if self.visit.is_none() {
            return Ok(());
        }
        if !self.outer.is_complete() {
            let whole = find_outer(self.path, self.steps, self.outer.keeping())?;
            self.outer.complete(whole);
        }
        if let Some(visit) = &mut self.visit {
            for level in 0..self.outer.levels() {
                visit.outer(level, self.outer.here(level));
            }
        }
        Ok(())
    }

    #[inline]
    fn instant(&mut self) -> Result<(), Halt> {
        let Some(visit) = &mut self.visit else {
            return Ok(self.feed.skip()?);
        };
        let keys = &self.keys;
        let flow = self
            .feed
            .whole(&mut self.tape, |instant| visit.instant(keys, instant))?;
        self.arrived = true;
        if flow.is_break() {
            Err(Halt::Stopped)
        } else {
            Ok(())
        }
    }

    fn note(&mut self, left: usize, found: impl FnOnce() -> String) {
        if self.nearest.as_ref().is_none_or(|nearest| left < nearest.0) {
            self.nearest = Some((left, found()));
        }
    }
}

/// All that is wanted outside of the instants.
fn find_outer(path: &Path, steps: &[Step], outer: Outer) -> Result<Outer, Halt> {
    let input = Input::open(path, Some(Format::Json)).map_err(|error| Halt::Failed(Box::new(error)))?;
    let wanted = outer.wanted().to_vec();
    let mut walk = Walk::new(path, steps, input, outer, None);
    walk.whole(&wanted)?;
    Ok(walk.outer)
}

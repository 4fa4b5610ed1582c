//! The columns that a plan wants, looked up among those that the file has.

use std::path::Path;

use super::places::{ClockIs, PlaceColumns};
use crate::IngestError;
use crate::chunk::{ReadAs, Wanted};
use crate::mapping::{ClockMapping, ClockSense, ClockUnit, Mapping};
use crate::nearest::nearest_name;
use crate::template::{Composed, Piece, pieces_of};

/// What a file has.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Found<'f> {
    /// Columns of these names.
    Columns(&'f [String]),
    /// JSON objects with (at least) these keys.
    Keys(&'f [String]),
    /// JSON that is read by paths.
    Paths,
}

/// Plans under construction: the columns wanted so far.
pub(super) struct Planner<'p> {
    pub(super) path: &'p Path,
    pub(super) found: Found<'p>,
    pub(super) wanted: Vec<Wanted>,
    pub(super) composed: Vec<Composed>,
}

impl Planner<'_> {
    /// The place of `column` among the wanted ones.
    pub(super) fn want(&mut self, column: &str, read_as: ReadAs) -> usize {
        let wanted = Wanted {
            column: column.into(),
            read_as,
        };
        self.wanted.iter().position(|w| *w == wanted).unwrap_or_else(|| {
            self.wanted.push(wanted);
            self.wanted.len() - 1
        })
    }

    /// As [`Self::want`], for an id that is composed of several columns, each of them placed by `place`.
    pub(super) fn want_composed(
        &mut self,
        template: &str,
        pieces: Vec<Piece<String>>,
        mut place: impl FnMut(&mut Self, &str) -> Result<usize, IngestError>,
    ) -> Result<usize, IngestError> {
        let mut placed = Vec::new();
        for piece in pieces {
            placed.push(match piece {
                Piece::Text(text) => Piece::Text(text),
                Piece::Column(column) => Piece::Column(place(self, &column)?),
            });
        }
        let at = self.want(template, ReadAs::Id);
        if self.composed.iter().all(|composed| composed.at != at) {
            self.composed.push(Composed { at, pieces: placed });
        }
        Ok(at)
    }

    pub(super) fn has(&self, column: &str) -> bool {
        match self.found {
            Found::Columns(found) => found.iter().any(|f| f == column),
            Found::Keys(found) => column.starts_with('/') || found.iter().any(|f| f == column),
            // What a path leads to is known when it is followed; nowhere is "not given".
            Found::Paths => true,
        }
    }

    pub(super) fn missing(&self, field: &'static str, column: &str, key: &str) -> IngestError {
        let found = match self.found {
            Found::Columns(found) | Found::Keys(found) => found.to_vec(),
            Found::Paths => Vec::new(),
        };
        let fix = match nearest_name(column, &found) {
            Some(near) => {
                format!("`{near}` looks nearest: write {key} = \"{near}\" in the mapping if it is that")
            }
            None => format!("write the right one as {key} in the mapping"),
        };
        IngestError::MissingColumn {
            path: self.path.into(),
            field,
            column: column.into(),
            found,
            fix,
        }
    }

    /// A column that must be there.
    pub(super) fn needed(
        &mut self,
        given: Option<&String>,
        default: &str,
        read_as: ReadAs,
        field: &'static str,
        key: &str,
    ) -> Result<usize, IngestError> {
        let column = given.map_or(default, String::as_str);
        if read_as == ReadAs::Id
            && (matches!(self.found, Found::Paths) || !self.has(column))
            && let Some(pieces) = pieces_of(column)
        {
            return self.want_composed(column, pieces, |planner, column| {
                planner.needed(Some(&column.into()), "", ReadAs::Id, field, key)
            });
        }
        if matches!(self.found, Found::Paths) {
            let path = if given.is_some() {
                column.into()
            } else {
                format!("/{column}")
            };
            return Ok(self.want(&path, read_as));
        }
        if !self.has(column) {
            return Err(self.missing(field, column, key));
        }
        Ok(self.want(column, read_as))
    }

    /// A column that may be missing unless the mapping names it.
    pub(super) fn optional(
        &mut self,
        given: Option<&String>,
        default: &str,
        read_as: ReadAs,
        field: &'static str,
        key: &str,
    ) -> Result<Option<usize>, IngestError> {
        if given.is_none() && !self.has(default) {
            return Ok(None);
        }
        self.needed(given, default, read_as, field, key).map(Some)
    }

    pub(super) fn clock(
        &mut self,
        clock: &ClockMapping,
        default: &str,
        field: &'static str,
        key: &str,
    ) -> Result<Option<ClockIs>, IngestError> {
        let (read_as, unit_s) = match clock.unit {
            ClockUnit::S => (ReadAs::Number, 1.0),
            ClockUnit::Ms => (ReadAs::Number, 0.001),
            ClockUnit::Min => (ReadAs::Number, 60.0),
            ClockUnit::Clock => (ReadAs::Clock, 1.0),
        };
        let up_to = match (clock.counts, clock.length_s) {
            (ClockSense::Up, Some(length_s)) => Some((
                length_s,
                clock.overtime_length_s.unwrap_or(length_s),
                clock.regular_periods.unwrap_or(4),
            )),
            (ClockSense::Up, None) | (ClockSense::Down, _) => None,
        };
        let column = self.optional(clock.column.as_ref(), default, read_as, field, key)?;
        Ok(column.map(|column| ClockIs {
            column,
            unit_s,
            up_to,
        }))
    }

    pub(super) fn players_place(&mut self, mapping: &Mapping) -> Result<PlaceColumns, IngestError> {
        let place = &mapping.place;
        Ok(PlaceColumns {
            x: self.needed(
                place.x.as_ref(),
                "x_m",
                ReadAs::Number,
                "the first coordinate",
                "[place] x",
            )?,
            y: self.needed(
                place.y.as_ref(),
                "y_m",
                ReadAs::Number,
                "the second coordinate",
                "[place] y",
            )?,
            z: self.optional(place.z.as_ref(), "z_m", ReadAs::Number, "the height", "[place] z")?,
        })
    }

    pub(super) fn ball_place(&mut self, mapping: &Mapping) -> Result<Option<PlaceColumns>, IngestError> {
        let ball = &mapping.ball;
        let (Some(x), Some(y)) = (&ball.x, &ball.y) else {
            return Ok(None);
        };
        let mut column = |named: &String, key| self.needed(Some(named), "", ReadAs::Number, "the ball", key);
        Ok(Some(PlaceColumns {
            x: column(x, "[ball] x")?,
            y: column(y, "[ball] y")?,
            z: ball.z.as_ref().map(|z| column(z, "[ball] z")).transpose()?,
        }))
    }
}

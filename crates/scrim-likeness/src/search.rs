//! The nearest ones, exactly: first what every possession is at least apart, then the distances of those that may be among the nearest,
//! in that order, until no other can be.

use std::cmp::Ordering;
use std::collections::BTreeSet;

use crate::bound::{Boxed, at_least_m};
use crate::distance::both_apart_m;
use crate::shape::Metres;
use crate::{GameShapes, Index, LikenessError, Shape, ShapeRow};

/// Of more than this, so many are looked at first, evenly chosen: their nearest are a limit for all.
const SAMPLE: usize = 2000;
/// How many neighbours an error names.
const NAMED: usize = 4;

/// Which possession, and among which.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// The game; of two of that id the older.
    pub game_id: &'a str,
    /// The possession's period, to be checked; `None` when it was not said.
    pub period: Option<u8>,
    /// The possession.
    pub possession_id: u32,
    /// Only possessions of this team.
    pub team: Option<&'a str>,
    /// Only of the last games, this many: of the team's, when there is one.
    pub last: Option<u32>,
    /// How many are wanted.
    pub count: usize,
}

/// One possession.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Found<'i> {
    /// Its game.
    pub game: &'i GameShapes,
    /// What is known of it.
    pub row: &'i ShapeRow,
    /// How far it is from the one that was asked for, m.
    pub apart_m: f32,
}

impl Found<'_> {
    /// As it is asked for: `GAME:PERIOD:ID`.
    pub fn name(&self) -> String {
        name(self.game, self.row)
    }
}

fn name(game: &GameShapes, row: &ShapeRow) -> String {
    format!("{}:{}:{}", game.game_id, row.period, row.possession_id)
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Likes<'i> {
    /// The possession that was asked for.
    pub asked: Found<'i>,
    /// Those most like it, nearest first; of equals the older first.
    pub alike: Vec<Found<'i>>,
    /// Among how many they were found.
    pub searched: usize,
    /// For how many of these the distance itself was needed.
    pub compared: usize,
}

/// The possessions most like one, itself left out.
///
/// # Errors
/// [`LikenessError`]: no such game, possession or team, or a possession that has no shape.
pub fn find_like<'i>(index: &'i Index, asked: &Asked<'_>) -> Result<Likes<'i>, LikenessError> {
    let (at_game, at_row) = place_of(index, asked)?;
    let own = &index.games()[at_game];
    let mut chosen: Vec<(usize, &GameShapes)> = index.games().iter().enumerate().collect();
    if let Some(team) = asked.team {
        chosen.retain(|(_, game)| game.rows.iter().any(|row| plays(row, team)));
        if chosen.is_empty() {
            return Err(unknown_team(index, team));
        }
    }
    if let Some(last) = asked.last {
        let first = chosen.len().saturating_sub(last as usize);
        chosen.drain(..first);
    }
    let candidates: Vec<(&GameShapes, usize)> = chosen
        .into_iter()
        .flat_map(|(place, game)| (0..game.rows.len()).map(move |row| (place, game, row)))
        .filter(|(place, _, row)| (*place, *row) != (at_game, at_row))
        .filter(|(_, game, row)| {
            asked
                .team
                .is_none_or(|team| game.rows[*row].team_id.as_ref() == team)
        })
        .map(|(_, game, row)| (game, row))
        .collect();
    let shape_of = |place: usize| {
        let (game, row) = candidates[place];
        &game.shapes[row]
    };
    let (nearest, compared) = nearest(&own.shapes[at_row], candidates.len(), shape_of, asked.count);
    let found = |game: &'i GameShapes, row: usize, apart_m: f32| Found {
        game,
        row: &game.rows[row],
        apart_m,
    };
    Ok(Likes {
        asked: found(own, at_row, 0.0),
        alike: nearest
            .into_iter()
            .map(|(apart_m, place)| found(candidates[place].0, candidates[place].1, apart_m))
            .collect(),
        searched: candidates.len(),
        compared,
    })
}

/// The `count` nearest of so many shapes, with their distances, nearest first; and how many distances that took.
fn nearest<'i>(
    asked: &Shape,
    candidates: usize,
    shape_of: impl Fn(usize) -> &'i Shape,
    count: usize,
) -> (Vec<(f32, usize)>, usize) {
    let asked = Metres::of(asked);
    let images = [asked.clone(), asked.mirrored()];
    let boxed = images.clone().map(Boxed::of);
    let bounds_of = |step: usize, enough_m: f32| {
        let places = (0..candidates).step_by(step);
        let mut bounds: Vec<(f32, usize)> = places
            .map(|place| (at_least_m(&boxed, Metres::of(shape_of(place)), enough_m), place))
            .collect();
        bounds.sort_unstable_by(order);
        bounds
    };
    let count = count.min(candidates);
    let mut best = Best {
        wanted: count,
        found: Vec::with_capacity(count + 1),
        compared: 0,
    };
    let compare = |place: usize| both_apart_m(&images, &Metres::of(shape_of(place)));
    // The nearest of a few are at least as far as the nearest of all: what is farther needs no exact bound.
    let step = candidates / SAMPLE;
    let mut enough_m = f32::INFINITY;
    if step > 1 {
        best.follow(bounds_of(step, f32::INFINITY), compare);
        enough_m = best.worst_m();
        best.found.clear();
    }
    best.follow(bounds_of(1, enough_m), compare);
    (best.found, best.compared)
}

/// By distance; of equals the older one first.
fn order(a: &(f32, usize), b: &(f32, usize)) -> Ordering {
    a.0.total_cmp(&b.0).then(a.1.cmp(&b.1))
}

/// The nearest so far.
struct Best {
    wanted: usize,
    found: Vec<(f32, usize)>,
    compared: usize,
}

impl Best {
    /// The distance that one must not be over to be among them.
    fn worst_m(&self) -> f32 {
        match self.found.last() {
            Some(worst) if self.found.len() == self.wanted => worst.0,
            Some(_) | None => f32::INFINITY,
        }
    }

    /// Compares with those of the lowest bounds, until no other can be nearer.
    fn follow(&mut self, bounds: Vec<(f32, usize)>, compare: impl Fn(usize) -> f32) {
        for (bound_m, place) in bounds {
            // One that is exactly as far as the last of them may be older than it: it is looked at, too.
            if self.wanted == 0 || bound_m > self.worst_m() {
                break;
            }
            let one = (compare(place), place);
            self.compared += 1;
            let at = self.found.partition_point(|other| order(other, &one).is_lt());
            self.found.insert(at, one);
            self.found.truncate(self.wanted);
        }
    }
}

fn plays(row: &ShapeRow, team: &str) -> bool {
    row.team_id.as_ref() == team || row.opponent_id.as_ref() == team
}

fn unknown_team(index: &Index, team: &str) -> LikenessError {
    let rows = index.games().iter().flat_map(|game| &game.rows);
    let found: BTreeSet<String> = rows.map(|row| row.team_id.to_string()).collect();
    LikenessError::UnknownTeam {
        team: team.into(),
        found: found.into_iter().collect(),
    }
}

/// Where the possession is: its game, and its row there.
fn place_of(index: &Index, asked: &Asked<'_>) -> Result<(usize, usize), LikenessError> {
    let game_id = || asked.game_id.to_owned();
    let Some(at_game) = index
        .games()
        .iter()
        .position(|game| game.game_id == asked.game_id)
    else {
        return Err(LikenessError::UnknownGame {
            game_id: game_id(),
            nearest: nearest_games(index, asked.game_id),
        });
    };
    let game = &index.games()[at_game];
    if game.is_poor {
        return Err(LikenessError::PoorGame { game_id: game_id() });
    }
    let id = asked.possession_id;
    let at_row = game.rows.iter().position(|row| row.possession_id == id);
    let left_out = game.left_out.iter().find(|(left_out, _, _)| *left_out == id);
    let found = at_row
        .map(|row| game.rows[row].period)
        .or(left_out.map(|(_, period, _)| *period));
    if let (Some(found), Some(period)) = (found, asked.period)
        && found != period
    {
        return Err(LikenessError::OtherPeriod {
            game_id: game_id(),
            possession_id: id,
            period,
            found,
        });
    }
    match (at_row, left_out) {
        (Some(row), _) => Ok((at_game, row)),
        (None, Some((_, _, why))) => Err(LikenessError::NoShape {
            game_id: game_id(),
            possession_id: id,
            why: why.words(),
            nearest: nearest_rows(game, id),
        }),
        (None, None) => Err(LikenessError::UnknownPossession {
            game_id: game_id(),
            possession_id: id,
            nearest: nearest_rows(game, id),
        }),
    }
}

/// The games whose ids come right before and after one in order.
fn nearest_games(index: &Index, game_id: &str) -> Vec<String> {
    let mut ids: Vec<&str> = index.games().iter().map(|game| game.game_id.as_str()).collect();
    ids.sort_unstable();
    let after = ids.partition_point(|id| *id < game_id);
    let from = after.saturating_sub(NAMED / 2);
    ids.into_iter().skip(from).take(NAMED).map(Into::into).collect()
}

/// The possessions with a shape whose ids are nearest to one, by id.
fn nearest_rows(game: &GameShapes, id: u32) -> Vec<String> {
    let mut rows: Vec<&ShapeRow> = game.rows.iter().collect();
    rows.sort_by_key(|row| (row.possession_id.abs_diff(id), row.possession_id));
    rows.truncate(NAMED);
    rows.sort_by_key(|row| row.possession_id);
    rows.into_iter().map(|row| name(game, row)).collect()
}

#[cfg(test)]
mod tests;

//! Possessions that are like another one.
//!
//! In: the tables of a run, through the storage door. Out: of one possession, those whose ten players and ball went the most alike
//! from the set to the use of the ball screen, each with its distance in metres. Knows `scrim-tables` and `scrim-season` (clocks, and
//! the rows of a ball screen).
//!
//! - [`Shape`] (`shape`): a possession in numbers, of one length for all.
//! - `window`: from when to when a possession is looked at.
//! - `ways`: from rows of `tracks` to a shape: gaps filled, roles given out.
//! - [`apart_m`] (`distance`): how far two shapes are apart. `bound`: what they are at least, for less work.
//! - [`GameShapes`] (`game`), [`Index`] (`index`): the shapes of a game, of many.
//! - `index_file`: an index as bytes, and back.
//! - [`find_like`] (`search`): the nearest ones, exactly.
//!
//! Nothing here knows what drew a practice game, nor reads a look to compare two possessions.

mod bound;
mod distance;
mod error;
mod game;
mod index;
mod index_file;
mod search;
mod shape;
#[cfg(test)]
mod staging;
mod ways;
mod window;

pub use distance::apart_m;
pub use error::{IndexFault, LikenessError};
pub use game::{GameShapes, LeftOut, ShapeRow, game_digest, read_game};
pub use index::Index;
pub use search::{Asked, Found, Likes, find_like};
pub use shape::{INSTANTS, NUMBERS, Shape, WAYS};

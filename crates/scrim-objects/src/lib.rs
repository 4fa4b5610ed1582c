//! Object storage: tables that are kept there, and inputs that are brought here to be read.
//!
//! In: an address. Out: a [`Location`]; of an object store's, an [`ObjectFolder`] to write to and a [`Mirror`] to read from. Knows
//! `scrim-tables` (what a store and a lock are) and nothing else of the house.
//!
//! - `location`: a path, or a scheme, a bucket and a folder.
//! - `client`: how requests go to a store: the library's client with its retries, from threads that wait.
//! - `folder`: tables under a store. `lease`: one writer at a time, also across machines.
//! - `mirror`: the objects below an address as files of a temporary folder, fetched when they are needed.

mod client;
mod folder;
mod lease;
mod location;
mod mirror;

pub use folder::ObjectFolder;
pub use location::{Address, Location, LocationError, Scheme};
pub use mirror::{Mirror, ObjectStamp};

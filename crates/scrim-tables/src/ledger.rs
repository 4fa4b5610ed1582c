//! Which files belong together: a manifest for each game and each season, beside the tables.
//!
//! In: a part's encoded tables. Out: the same, in place, wholly old or wholly new.
//!
//! A part's files are staged first, where no reader looks. Its manifest, which names each file by its SHA-256, is put then, in one
//! step: from that instant the part is the new one. Last the files are moved to their places. A program that is killed before the
//! manifest leaves the old part; after it, [`recover`] moves what is left. A reader that goes through the manifest
//! ([`Snapshot`]) takes a file that has not been moved yet from where it is staged.
//!
//! - `places`: where all that is.
//! - `manifest`: what a manifest says.
//! - `stage`: from rows to files in place.
//! - `snapshot`: reading through manifests.
//! - `lock`: one writer at a time;
//! - `video`: what people marked of a game's video.

mod lock;
mod manifest;
mod places;
mod snapshot;
mod stage;
mod video;

pub(crate) use lock::LocalLock;
pub use lock::{Busy, Holder, LockError, OutputLock};
pub use manifest::{FileFacts, MadeFrom, Manifest, Part, json_text, read_json, sha256_of};
pub use places::{LEDGER, LOCK, STAGED};
pub use snapshot::Snapshot;
pub use stage::{PartStage, recover, remove_part};
pub use video::{MarkedVideo, VideoMark};

//! What a user may set of the season's stage.

use serde::{Deserialize, Serialize};

use crate::{PullSeasonParams, TaggingParams};

scrim_floor::parameters! {
    /// How a season is put together.
    pub struct SeasonParams {
        /// Looks that came up less often, for a team and side, have no row in `tendencies`: from four a 95 % interval is wider than
        /// half of all there is.
        min_look_n: u32 = 5, in 0..=1_000_000;
        /// How coverages are counted in `tendencies`: `tags`, each ball screen as its one tag, the unclear ones apart; `expected`, each as the
        /// probabilities of its words (`p_drop` and so on), also where none is likely enough for a tag.
        count: Counting = Counting::Tags, words "tags, expected";
        /// How the `pull` of motion is made, if at all.
        pull: PullSeasonParams;
        /// How often tags are right, from labelled games.
        tagging: TaggingParams;
    }
}

/// How tags are counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Counting {
    /// Each case as its one tag.
    Tags,
    /// Each case as the probabilities of its words.
    Expected,
}

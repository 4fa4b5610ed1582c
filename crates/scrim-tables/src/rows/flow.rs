//! How a team got into its ball screens, and the runs of a set.

use crate::column::Id;
use crate::rows::declare::tables;
use crate::tags::{Alignment, Coverage, Entry, EntryRole};

tables! {
    /// What one ball screen flowed out of.
    EntryRow = "entries" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The possession.
        possession_id: u32,
        /// The ball screen.
        screen_id: u32,
        /// Shape of the five when the set began.
        alignment: Option<Alignment>,
        /// Alignment and token chain before the ball screen.
        look: String,
        /// The look, mirror images merged.
        set_key: String,
        /// The action it came out of: a kind of screen, a kind of cut, `handoff` or `none`.
        entry: Entry,
        /// The screener's part in that action.
        entry_role: EntryRole,
        /// From the action's instant to the screener's set.
        flow_gap_s: Option<f32>,
        /// -log2 P(ball screen next), from this team's games before this one; null where nothing came before.
        surprise_bits: Option<f32>,
        /// There is an entry, and another action was likelier.
        disguised: bool,
        /// The screener's defender to his canonical position at the set; null when he is not known or not seen.
        screener_defender_gap_m: Option<f32>,
        /// The handler's defender likewise.
        handler_defender_gap_m: Option<f32>,
        /// How long until the screener's defender is where the coverage wants him, against his team's median.
        screener_defender_lag_s: Option<f32>,
        /// The screener's defender was within 1.0 m of the entry action's user, in the 2 s before.
        bumped: bool,
        /// The screener's defender passed the entry screen on the hoop side.
        went_under_entry: bool,
        /// From the set until the screener's defender is where the coverage wants him; null when there was no set, he is not
        /// known, the coverage is unclear, or he never came there.
        screener_defender_late_s: Option<f32>,
        /// The ball screen of the same handler or screener that this one follows within 5 s; null when there is none.
        previous_ball_screen_id: Option<u32>,
        /// From that one's use to this one's set (the use, when there was no set).
        chain_gap_s: Option<f32>,
    }
    /// One run of a set.
    SequenceRow = "sequences" {
        /// The game.
        game_id: Id,
        /// The period, from 1.
        period: u8,
        /// The possession.
        possession_id: u32,
        /// Who ran it.
        team_id: Id,
        /// The set.
        set_key: String,
        /// Number of the run in the game, from 0.
        run_index: u16,
        /// Its ball screen.
        screen_id: u32,
        /// The team's half-court trips since the last run.
        trips_since_last: Option<u16>,
        /// The very next half-court trip.
        back_to_back: bool,
        /// How it was covered.
        coverage: Coverage,
        /// What the offence made of it: screener's and handler's action.
        option: String,
        /// Points of the possession.
        points: Option<u8>,
        /// Whether the offence made something else of it than last time.
        offense_changed: Option<bool>,
        /// Whether it was covered otherwise than last time.
        defense_changed: Option<bool>,
    }
}

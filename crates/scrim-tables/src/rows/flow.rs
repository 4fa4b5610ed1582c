//! How a team got into its ball screens, and the runs of a set.

use crate::column::Id;
use crate::rows::declare::tables;
use crate::tags::{Alignment, Coverage, Entry, EntryRole};

tables! {
    /// What a ball screen or handoff flowed out of: the look before it (shape and chain so far), the same with mirror images merged,
    /// the action it came out of, where both defenders were when it was set, the ball screen that it follows. How disguised it was
    /// needs the games before: `disguises`.
    EntryRow = "entries" of Game, labels { needed: [game_id, screen_id] } {
        /// The game.
        game_id: Id as place,
        /// The period, from 1.
        period: u8 as place,
        /// The possession.
        possession_id: u32,
        /// The ball screen.
        screen_id: u32,
        /// Shape of the five when the set began. Null: no set began, or the five are not seen.
        alignment: Option<Alignment>,
        /// Alignment and token chain before the ball screen.
        look: String,
        /// The look, mirror images merged.
        set_key: String,
        /// The action it came out of: a kind of screen, a kind of cut, `handoff` or `none`.
        entry: Entry,
        /// The screener's part in that action.
        entry_role: EntryRole,
        /// From the action's instant to the screener's set. Null: there is no entry.
        flow_gap_s: Option<f32>,
        /// The screener's defender to their canonical position at the set. Null: the defender is not known or not seen.
        screener_defender_gap_m: Option<f32>,
        /// The handler's defender likewise. Null: the defender is not known or not seen.
        handler_defender_gap_m: Option<f32>,
        /// The screener's defender was within 1.0 m of the entry action's user, in the 2 s before.
        bumped: bool,
        /// The screener's defender passed the entry screen on the hoop side.
        went_under_entry: bool,
        /// From the set until the screener's defender is where the coverage wants them. Null: there was no set, the defender is not
        /// known, the coverage is unclear, or they never came there.
        screener_defender_late_s: Option<f32>,
        /// The ball screen of the same handler or screener that this one follows within 5 s. Null: there is none.
        previous_ball_screen_id: Option<u32> as unlabelled,
        /// From that one's use to this one's set (the use, when there was no set). Null: there is none.
        chain_gap_s: Option<f32> as unlabelled,
    }
    /// A run of a set (a look, mirror images merged): how it was covered, what came of it, what either side changed since the last
    /// run.
    SequenceRow = "sequences" of Game {
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
        /// The team's half-court possessions since the last run. Null: it is the first.
        trips_since_last: Option<u16>,
        /// The very next half-court possession.
        back_to_back: bool,
        /// How it was covered.
        coverage: Coverage,
        /// What the offence made of it: screener's and handler's action.
        option: String,
        /// Points of the possession. Null: not known.
        points: Option<u8>,
        /// Whether the offence made something else of it than last time. Null: it is the first, or one of the two is unclear.
        offense_changed: Option<bool>,
        /// Whether it was covered otherwise than last time. Null: it is the first, or one of the two is unclear.
        defense_changed: Option<bool>,
    }
}

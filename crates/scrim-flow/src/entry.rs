//! The action that a ball screen came out of.

use scrim_actions::BallScreen;
use scrim_floor::Definitions;
use scrim_tables::tags::{Entry, EntryRole, ScreenKind};

use crate::{Action, ActionSource, FlowParams};

/// What a ball screen or handoff came out of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FoundEntry {
    /// The action's place in the game's list; `None` when there was none.
    pub action: Option<usize>,
    /// What it was.
    pub entry: Entry,
    /// The screener's part in it.
    pub role: EntryRole,
    /// From the action's instant to the screener's set (the use, when there was no set), s; 0 when a handoff's giver stood with
    /// the ball before the action.
    pub flow_gap_s: Option<f32>,
}

impl FoundEntry {
    const NONE: Self = Self {
        action: None,
        entry: Entry::None,
        role: EntryRole::None,
        flow_gap_s: None,
    };
}

/// The entry of `screen`, which is the action `of`: the last off-ball screen, cut or handoff before the set in which
/// screener or user took part. Whoever hands the ball off stands with it for a while: there it is the last before the use.
/// `actions`: those of its possession, in their order; `first` is the place of the first in the game's list.
pub(crate) fn find_entry(
    screen: &BallScreen,
    of: ActionSource,
    actions: &[Action],
    first: usize,
    hz: f64,
    params: &FlowParams,
    definitions: &Definitions,
) -> FoundEntry {
    let set = screen.begins();
    let latest = match screen.kind {
        ScreenKind::Handoff => set.max(screen.used),
        _ => set,
    };
    let longest = f64::from(definitions.entry_gap_s) * hz;
    let counts =
        |action: &Action| action.word != Entry::BallScreen && !action.is_one_of(&params.left_out_cuts);
    let last = actions
        .iter()
        .enumerate()
        .filter(|(_, action)| {
            action.source != of
                && counts(action)
                && action.instant <= latest
                && set.saturating_sub(action.instant) as f64 <= longest
                && (action.has(screen.screener) || action.has(screen.user))
        })
        // The later of two at the same instant in the list's order.
        .max_by_key(|(place, action)| (action.instant, *place));
    let Some((place, action)) = last else {
        return FoundEntry::NONE;
    };
    let role = if action.screener == Some(screen.screener) {
        EntryRole::Screener
    } else if action.user == screen.screener {
        EntryRole::User
    } else {
        EntryRole::None
    };
    FoundEntry {
        action: Some(first + place),
        entry: action.word,
        role,
        flow_gap_s: Some((set.saturating_sub(action.instant) as f64 / hz) as f32),
    }
}

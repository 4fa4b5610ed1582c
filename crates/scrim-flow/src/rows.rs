//! The flow as rows of `entries` and `sequences`, and what it knows of each possession.

use scrim_actions::{BallScreenRead, ScreenRef, Screens};
use scrim_floor::Definitions;
use scrim_play::Play;
use scrim_play::rows::PossessionExtras;
use scrim_tables::rows::{EntryRow, SequenceRow};
use scrim_tracks::Game;

use crate::Flow;
use crate::chained::chained;

/// What the flow and the screens know of each possession, in order.
pub fn possession_extras(screens: &Screens, flow: &Flow) -> Vec<PossessionExtras> {
    let mut extras: Vec<PossessionExtras> = flow
        .alignments
        .iter()
        .zip(&flow.chains)
        .map(|(aligned, chain)| PossessionExtras {
            alignment: aligned.map(|aligned| aligned.alignment),
            aligned_at: aligned.map(|aligned| aligned.at),
            alignment_margin_m: aligned.map(|aligned| aligned.margin_m),
            token_chain: chain.clone(),
            ball_screen_count: 0,
        })
        .collect();
    for screen in screens.on_ball() {
        let count = &mut extras[screen.possession].ball_screen_count;
        *count = count.saturating_add(1);
    }
    extras
}

/// Rows of `entries`, one a ball screen or handoff, in time order.
pub fn entry_rows(
    game: &Game,
    play: &Play,
    screens: &Screens,
    flow: &Flow,
    definitions: &Definitions,
) -> Vec<EntryRow> {
    let rows = screens.on_ball().iter().zip(&flow.screens).enumerate();
    rows.map(|(place, (screen, of))| {
        let period = &game.periods[play.possessions[screen.possession].period];
        let chain = chained(screens.on_ball(), place, period.hz, definitions.entry_gap_s);
        EntryRow {
            game_id: game.info.game_id.clone(),
            period: period.number,
            possession_id: screen.possession as u32,
            screen_id: screens.id_of(ScreenRef::OnBall(place)),
            alignment: flow.alignments[screen.possession].map(|aligned| aligned.alignment),
            look: of.look.clone(),
            set_key: of.set_key.clone(),
            entry: of.entry.entry,
            entry_role: of.entry.role,
            flow_gap_s: of.entry.flow_gap_s,
            screener_defender_gap_m: of.cost.screener_defender_gap_m,
            handler_defender_gap_m: of.cost.handler_defender_gap_m,
            bumped: of.cost.bumped,
            went_under_entry: of.cost.went_under_entry,
            screener_defender_late_s: of.cost.screener_defender_late_s,
            previous_ball_screen_id: chain.map(|chain| screens.id_of(ScreenRef::OnBall(chain.previous))),
            chain_gap_s: chain.map(|chain| chain.gap_s),
        }
    })
    .collect()
}

/// Rows of `sequences`, in time order.
pub fn sequence_rows(
    game: &Game,
    play: &Play,
    screens: &Screens,
    reads: &[BallScreenRead],
    flow: &Flow,
) -> Vec<SequenceRow> {
    flow.runs
        .iter()
        .map(|run| {
            let (screen, read) = (&screens.on_ball()[run.screen], &reads[run.screen]);
            let possession = &play.possessions[screen.possession];
            SequenceRow {
                game_id: game.info.game_id.clone(),
                period: game.periods[possession.period].number,
                possession_id: screen.possession as u32,
                team_id: game.team_id(possession.offense).clone(),
                set_key: flow.screens[run.screen].set_key.clone(),
                run_index: run.run_index,
                screen_id: screens.id_of(ScreenRef::OnBall(run.screen)),
                trips_since_last: run.trips_since_last,
                back_to_back: run.is_back_to_back(),
                coverage: read.coverage.word,
                option: format!("{}+{}", read.screener_action.word, read.handler_action.word),
                points: possession.points,
                offense_changed: run.offense_changed,
                defense_changed: run.defense_changed,
            }
        })
        .collect()
}

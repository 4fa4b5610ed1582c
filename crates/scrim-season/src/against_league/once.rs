//! What stands out, each thing once.

use std::collections::BTreeSet;

use scrim_tables::rows::AgainstLeagueRow;
use scrim_tables::tags::TeamSide;

use crate::ball_screens::OnBallScreen;
use crate::play_in_game::PlayInGame;
use crate::questions::shows;

/// Of the rows that stand out at most this share may be chance, on average. Common practice, no source.
const FALSE_SHARE: f64 = 0.02;
/// A smaller effect does not stand out, however sure: Cohen's "small" (see [`scrim_statistics::share_effect`]).
const LEAST_EFFECT: f32 = 0.2;
/// Two rows that are shown by the same ball screens in so large a part say the same thing: the weightier one is kept. Common practice,
/// no source.
const SAME_PLAYS: f64 = 0.5;

/// Whether the row differs from the league by more than chance and by enough to matter.
pub fn stands_out(row: &AgainstLeagueRow) -> bool {
    row.q_value <= FALSE_SHARE && row.effect.abs() >= LEAST_EFFECT
}

/// Gives the rows of each team that stand out their places, the weightiest first, and none to a row that says what another says.
pub(super) fn rank(rows: &mut [AgainstLeagueRow], screens: &[PlayInGame<'_>], open_shot_m: f32) {
    for of_team in rows.chunk_by_mut(|a, b| a.team_id == b.team_id) {
        let mut standing: Vec<usize> = (0..of_team.len())
            .filter(|&place| stands_out(&of_team[place]))
            .collect();
        // A stable sort: of equals the earlier row.
        standing.sort_by(|&a, &b| of_team[b].weight.total_cmp(&of_team[a].weight));
        let mut kept: Vec<(usize, BTreeSet<usize>)> = Vec::new();
        for &place in &standing {
            let row = &of_team[place];
            // What they do more says more than what they do less for it.
            let is_said_by_more =
                row.effect < 0.0 && standing.iter().any(|&other| is_other_side(row, &of_team[other]));
            if is_said_by_more {
                continue;
            }
            let shown_by = shown_by(row, screens, open_shot_m);
            let is_said = kept.iter().any(|(known, plays)| {
                of_team[*known].side == row.side
                    && (is_other_side(&of_team[*known], row) || same_share(plays, &shown_by) >= SAME_PLAYS)
            });
            if !is_said {
                kept.push((place, shown_by));
            }
        }
        for (rank, (place, _)) in (1..).zip(kept) {
            of_team[place].rank = Some(rank);
        }
    }
}

/// Places of the ball screens that show the row.
fn shown_by(row: &AgainstLeagueRow, screens: &[PlayInGame<'_>], open_shot_m: f32) -> BTreeSet<usize> {
    let team = match row.side {
        TeamSide::Offense => 0,
        TeamSide::Defense => 1,
    };
    let is_shown =
        |screen: &PlayInGame<'_>| *screen.teams()[team] == row.team_id && shows(row, screen, open_shot_m);
    (0..screens.len())
        .filter(|&place| is_shown(&screens[place]))
        .collect()
}

/// Whether two rows are the two sides of one coin: more pops, fewer rolls.
fn is_other_side(one: &AgainstLeagueRow, other: &AgainstLeagueRow) -> bool {
    let asked = |row: &AgainstLeagueRow| {
        (
            row.side,
            row.question,
            row.entry,
            row.coverage,
            row.screener_action,
            row.handler_id.clone(),
            row.screener_id.clone(),
            row.defender_id.clone(),
        )
    };
    asked(one) == asked(other) && one.effect * other.effect < 0.0
}

/// Of the ball screens of either, the share that both have.
fn same_share(a: &BTreeSet<usize>, b: &BTreeSet<usize>) -> f64 {
    let either = a.union(b).count();
    a.intersection(b).count() as f64 / either.max(1) as f64
}

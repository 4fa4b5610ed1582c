//! What stands out, each thing once.

use std::collections::BTreeSet;

use scrim_tables::rows::AgainstLeagueRow;
use scrim_tables::tags::TeamSide;

use crate::ball_screens::OnBallScreen;
use crate::play_in_game::PlayInGame;
use crate::questions::{Subject, shows};

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
        let team = of_team[0].team_id.clone();
        // By side: of a long season a team's ball screens are few among all.
        let own = [TeamSide::Offense, TeamSide::Defense].map(|side| {
            let is_own = |place: &usize| *screens[*place].team(side) == team;
            (0..screens.len()).filter(is_own).collect::<Vec<usize>>()
        });
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
            let own = own[row.side as usize].iter().copied();
            let shown_by: BTreeSet<usize> = own
                .filter(|&place| shows(row, &screens[place], open_shot_m))
                .collect();
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

/// Whether two rows are the two sides of one coin: more pops, fewer rolls.
fn is_other_side(one: &AgainstLeagueRow, other: &AgainstLeagueRow) -> bool {
    let asked = |row: &AgainstLeagueRow| (row.side, row.question);
    asked(one) == asked(other)
        && Subject::of_row(one) == Subject::of_row(other)
        && one.effect * other.effect < 0.0
}

/// Of the ball screens of either, the share that both have.
fn same_share(a: &BTreeSet<usize>, b: &BTreeSet<usize>) -> f64 {
    let either = a.union(b).count();
    a.intersection(b).count() as f64 / either.max(1) as f64
}

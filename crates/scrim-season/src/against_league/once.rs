//! What stands out, each habit once.

use std::collections::{BTreeMap, BTreeSet};

use scrim_tables::rows::AgainstLeagueRow;
use scrim_tables::tags::TeamSide;

use crate::ball_screens::OnBallScreen;
use crate::play_in_game::PlayInGame;
use crate::questions::{Subject, answered, shows};

/// Of the rows that stand out at most this share may be chance, on average. Common practice, no source.
const FALSE_SHARE: f64 = 0.02;
/// A smaller effect does not stand out, however sure: Cohen's "small" (see [`scrim_statistics::share_effect`]).
const LEAST_EFFECT: f32 = 0.2;
/// Two rows may be one habit when of the chains that show the one that fewer show more than this share show the other, too. Common
/// practice, no source.
const SAME_CHAINS: f64 = 0.5;
/// They are one when without the chains that show the weightier row less than this share of the other's difference from the league is
/// left: what most ball screens have (a side of the floor) is shared by many, and explains nothing. Common practice, no source.
const LEFT_ALONE: f64 = 0.5;

/// Whether the row differs from the league by more than chance and by enough to matter.
pub fn stands_out(row: &AgainstLeagueRow) -> bool {
    row.q_value <= FALSE_SHARE && row.effect.abs() >= LEAST_EFFECT
}

/// Ball screens that follow one another, of the same handler or screener: a number of their game, and the first one's id. A flip, the screen
/// that it turned into and a screen set again are one.
type Chain = (usize, u32);

/// The chain of each ball screen, in their order, which is that of time.
fn chains(screens: &[PlayInGame<'_>]) -> Vec<Chain> {
    let mut begins: BTreeMap<Chain, Chain> = BTreeMap::new();
    let chains = screens.iter().map(|screen| {
        let own = screen.play.entry.screen_id;
        let before = screen.play.entry.previous_ball_screen_id;
        let before = before.or((screen.play.action_id != own).then_some(screen.play.action_id));
        let chain = before.map_or((screen.game_place, own), |before| {
            let before = (screen.game_place, before);
            begins.get(&before).copied().unwrap_or(before)
        });
        begins.insert((screen.game_place, own), chain);
        chain
    });
    chains.collect()
}

/// A ball screen of the team, and its chain.
type InChain<'s, 'a> = (&'s PlayInGame<'a>, Chain);

/// A row that stands out, with the team's chains that it is about.
struct Standing {
    place: usize,
    /// Each ball screen that was asked: its chain, and 1 for the answer, 0 for another, or the value.
    asked: Vec<(Chain, f64)>,
    /// The chains that show what it says.
    shown_by: BTreeSet<Chain>,
}

impl Standing {
    fn of(place: usize, row: &AgainstLeagueRow, own: &[InChain<'_, '_>], open_shot_m: f32) -> Self {
        let asked = own
            .iter()
            .filter_map(|(screen, chain)| Some((*chain, answered(row, *screen, open_shot_m)?)));
        let shown_by = own.iter().filter(|(screen, _)| shows(row, *screen, open_shot_m));
        Self {
            place,
            asked: asked.collect(),
            shown_by: shown_by.map(|(_, chain)| *chain).collect(),
        }
    }

    /// Whether this row says nothing of its own beside a weightier one.
    fn follows_from(&self, row: &AgainstLeagueRow, finding: &Self) -> bool {
        let both = self.shown_by.intersection(&finding.shown_by).count() as f64;
        let fewer = self.shown_by.len().min(finding.shown_by.len()) as f64;
        both > SAME_CHAINS * fewer && self.left_without(row, finding) < LEFT_ALONE
    }

    /// Which share of the row's difference from the league is left without the finding's actions; all of it where they are all that
    /// was asked, for then the row separates what the finding holds together.
    fn left_without(&self, row: &AgainstLeagueRow, finding: &Self) -> f64 {
        let others = self
            .asked
            .iter()
            .filter(|(chain, _)| !finding.shown_by.contains(chain));
        let (n, sum) = others.fold((0.0, 0.0), |(n, sum), (_, value)| (n + 1.0, sum + value));
        let league = f64::from(row.league);
        if n == 0.0 {
            return 1.0;
        }
        (sum / n - league) / (f64::from(row.value) - league)
    }
}

/// Gives the rows of each team that stand out their places, the weightiest first; a row that says what a weightier one says, or shows the
/// same habit, gets the weightier one's place as what it follows from.
pub(super) fn rank(rows: &mut [AgainstLeagueRow], screens: &[PlayInGame<'_>], open_shot_m: f32) {
    let chains = chains(screens);
    for of_team in rows.chunk_by_mut(|a, b| a.team_id == b.team_id) {
        let team = of_team[0].team_id.clone();
        // By side: of a long season a team's ball screens are few among all.
        let own = [TeamSide::Offense, TeamSide::Defense].map(|side| {
            let all = screens.iter().zip(chains.iter().copied());
            let own = all.filter(|(screen, _)| *screen.team(side) == team);
            own.collect::<Vec<_>>()
        });
        let mut standing: Vec<usize> = (0..of_team.len())
            .filter(|&place| stands_out(&of_team[place]))
            .collect();
        // A stable sort: of equals the earlier row.
        standing.sort_by(|&a, &b| of_team[b].weight.total_cmp(&of_team[a].weight));
        // What they do more says more than what they do less for it, and comes first.
        let (less, more): (Vec<usize>, Vec<usize>) = standing.iter().copied().partition(|&place| {
            let row = &of_team[place];
            row.effect < 0.0 && standing.iter().any(|&other| is_other_side(row, &of_team[other]))
        });
        let mut findings: Vec<Standing> = Vec::new();
        for place in more {
            let row = &of_team[place];
            let one = Standing::of(place, row, &own[row.side as usize], open_shot_m);
            let followed = findings.iter().position(|finding| {
                let known = &of_team[finding.place];
                known.side == row.side && (is_other_side(known, row) || one.follows_from(row, finding))
            });
            match followed {
                Some(finding) => of_team[place].follows_rank = Some(finding as u32 + 1),
                None => {
                    findings.push(one);
                    of_team[place].rank = Some(findings.len() as u32);
                }
            }
        }
        for place in less {
            let row = &of_team[place];
            let more = standing
                .iter()
                .map(|&other| &of_team[other])
                .find(|other| is_other_side(row, other));
            of_team[place].follows_rank = more.and_then(|more| more.rank.or(more.follows_rank));
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

#[cfg(test)]
mod tests;

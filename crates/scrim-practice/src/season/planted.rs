//! Small habits beside the looks and coverages, and a league in which all teams are alike but for a few of them: what a reader of
//! the tables is to find, and all there is to find.

use super::habits::{Season, draw_team};
use super::terms::{Screener, Token};
use crate::dice::{Dice, Purpose};
use crate::league::{SQUAD, TEAMS, team_id};
use scrim_tables::tags::ScreenKind;

/// What a team's players do in one situation. Zero, the default: never.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Quirks {
    /// As the defence: probability that the opponent's screener slips when this team hedges.
    pub p_hedge_slipped: f64,
    /// As the defence: so long the first center stays where they are when their player comes to set a ball screen out of a rub, seconds.
    pub late_after_rub_s: f64,
    /// As the offence: probability that a ball screen is flipped.
    pub p_flips: f64,
    /// The same of one that the first center sets for the first guard.
    pub p_pair_flips: f64,
}

/// Of the 231 real ball screens that were labelled with an outcome (`tests/reference/real/`) 7 were flipped.
const P_FLIPS: f64 = 0.03;

/// What every team of a league of teams that are alike does.
const ALIKE: Quirks = Quirks {
    p_hedge_slipped: 0.12,
    late_after_rub_s: 0.0,
    p_flips: P_FLIPS,
    p_pair_flips: P_FLIPS,
};

/// What the teams do that have one planted.
const HEDGE_SLIPPED: f64 = 0.6;
const LATE_AFTER_RUB_S: f64 = 2.4;
const PAIR_FLIPS: f64 = 0.5;

/// Numbers in the squad of the first guard and the first center.
pub(crate) const FIRST_GUARD: u8 = 0;
pub(crate) const FIRST_CENTER: u8 = 4;

/// A habit that one team alone has.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Planted {
    pub team: usize,
    pub side: &'static str,
    pub habit: &'static str,
    /// Numbers in the squad of the players whose habit it is.
    pub players: &'static [u8],
    pub value: f64,
    /// The other teams' value.
    pub league: f64,
}

impl Planted {
    /// The players' ids, joined by a blank.
    pub fn player_ids(&self) -> String {
        let id = |number: &u8| crate::league::player_id(team_id(self.team), *number);
        self.players.iter().map(id).collect::<Vec<_>>().join(" ")
    }
}

/// How often teams that are alike take the look that has a rub.
const P_RUB: f64 = 0.35;

/// One team's habits for all. One of its looks has a rub, and the center sets all ball screens: else nobody would do one thing often
/// enough to be found.
fn alike(dice: &mut Dice) -> Season {
    let has_rub = |tokens: &[Token]| tokens == [Token::Screen(ScreenKind::Rub)];
    let mut habits = draw_team(dice);
    while !habits.looks.iter().any(|look| has_rub(look.tokens)) {
        habits = draw_team(dice);
    }
    let others: f64 = habits
        .looks
        .iter()
        .filter(|look| !has_rub(look.tokens))
        .map(|look| look.p_look)
        .sum();
    for look in &mut habits.looks {
        look.screener = Screener::Post;
        look.p_look = if has_rub(look.tokens) {
            P_RUB
        } else {
            look.p_look * (1.0 - P_RUB) / others
        };
    }
    habits.quirks = ALIKE;
    Season {
        teams: vec![habits; TEAMS],
        planted: Vec::new(),
    }
}

impl Season {
    /// The league of `seed` whose teams all have the same habits.
    pub fn alike(seed: u64) -> Self {
        alike(&mut Dice::new(seed, 0, Purpose::Habits))
    }

    /// The same league with three habits planted, in one team each: opponents slip its hedge, its first center is late after a
    /// rub, its first guard and center flip their ball screens.
    pub fn planted(seed: u64) -> Self {
        let mut dice = Dice::new(seed, 0, Purpose::Habits);
        let mut season = alike(&mut dice);
        let mut teams: Vec<usize> = (0..TEAMS).collect();
        let mut team = || teams.remove(dice.index(teams.len()));
        let (hedges, late, flips) = (team(), team(), team());
        season.teams[hedges].quirks.p_hedge_slipped = HEDGE_SLIPPED;
        season.teams[late].quirks.late_after_rub_s = LATE_AFTER_RUB_S;
        season.teams[flips].quirks.p_pair_flips = PAIR_FLIPS;
        season.planted = vec![
            Planted {
                team: hedges,
                side: "defense",
                habit: "hedge_slipped",
                players: &[],
                value: HEDGE_SLIPPED,
                league: ALIKE.p_hedge_slipped,
            },
            Planted {
                team: late,
                side: "defense",
                habit: "late_after_rub_s",
                players: &[FIRST_CENTER],
                value: LATE_AFTER_RUB_S,
                league: ALIKE.late_after_rub_s,
            },
            Planted {
                team: flips,
                side: "offense",
                habit: "pair_flips",
                players: &[FIRST_GUARD, FIRST_CENTER],
                value: PAIR_FLIPS,
                league: ALIKE.p_pair_flips,
            },
        ];
        season
    }
}

/// Whether the player at this place among both squads has that number in theirs.
pub(crate) const fn has_number(player: u8, number: u8) -> bool {
    player % SQUAD as u8 == number
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn planted_teams_differ_from_the_others_by_their_one_habit() {
        let (alike, planted) = (Season::alike(5), Season::planted(5));
        assert!(alike.teams.iter().all(|team| *team == alike.teams[0]));
        assert!(alike.planted.is_empty());
        assert_eq!(planted, Season::planted(5));
        let different: Vec<usize> = (0..TEAMS)
            .filter(|&team| planted.teams[team] != alike.teams[team])
            .collect();
        let mut said: Vec<usize> = planted.planted.iter().map(|habit| habit.team).collect();
        said.sort_unstable();
        assert_eq!(different, said);
        assert_eq!(said.len(), 3);
        for team in &planted.teams {
            assert_eq!(team.looks, alike.teams[0].looks);
            assert_eq!(team.p_coverage, alike.teams[0].p_coverage);
        }
    }
}

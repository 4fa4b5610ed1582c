//! The habits of the eight teams, drawn from the seed.

use scrim_tables::tags::{Alignment, CutKind, ScreenKind};

use super::planted::{Planted, Quirks};
use super::terms::{COVERAGES, LOOKS, Look, NextAction, OPTIONS, RunResult, Screener, Token};
use crate::dice::{Dice, Purpose};
use crate::league::TEAMS;

/// Looks that teams choose from: places and tokens that fit together.
const BOOK: [(Alignment, &[Token]); 12] = [
    (Alignment::Horns, &[Token::Screen(ScreenKind::Rub)]),
    (Alignment::ThreeOutTwoIn, &[Token::Screen(ScreenKind::Cross)]),
    (Alignment::FourOutOneIn, &[Token::Screen(ScreenKind::Flex)]),
    (Alignment::Box, &[Token::Screen(ScreenKind::Zipper)]),
    (Alignment::FiveOut, &[]),
    (Alignment::FourHigh, &[Token::Screen(ScreenKind::Flare)]),
    (Alignment::Stack, &[Token::Screen(ScreenKind::Down)]),
    (Alignment::FourOutOneIn, &[Token::Cut(CutKind::Flash)]),
    (Alignment::Horns, &[]),
    (Alignment::Horns, &[Token::Screen(ScreenKind::Back)]),
    (
        Alignment::ThreeOutTwoIn,
        &[Token::Screen(ScreenKind::Cross), Token::Screen(ScreenKind::Down)],
    ),
    (Alignment::Box, &[Token::Screen(ScreenKind::Cross)]),
];

/// What a team does.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct TeamHabits {
    pub looks: Vec<Look>,
    /// Probability of each coverage, when nothing is remembered.
    pub p_coverage: [f64; COVERAGES.len()],
    /// As the offence: probability to change the option after each coverage and result.
    pub p_change_option: [[f64; 2]; COVERAGES.len()],
    /// As the defence: probability to change the coverage after each coverage and result.
    pub p_change_coverage: [[f64; 2]; COVERAGES.len()],
    /// What its players do in one situation.
    pub quirks: Quirks,
}

/// A season: the league's habits.
#[derive(Debug, Clone, PartialEq)]
pub struct Season {
    pub(crate) teams: Vec<TeamHabits>,
    /// What one team alone does, where the others are alike.
    pub(crate) planted: Vec<Planted>,
}

/// Shares that sum to one, none of them tiny.
fn shares<const N: usize>(dice: &mut Dice, least: f64) -> [f64; N] {
    let weights: [f64; N] = std::array::from_fn(|_| least + dice.between(0.0, 1.0));
    let total: f64 = weights.iter().sum();
    weights.map(|w| w / total)
}

fn draw_look(dice: &mut Dice, place: usize, p_look: f64) -> Look {
    let (alignment, tokens) = BOOK[place];
    let screener = match tokens.last() {
        None => Screener::Post,
        Some(Token::Cut(_)) => Screener::TokenUser,
        // A player who has gone to the rim off a screen may still come up; so may the one who set it.
        Some(Token::Screen(_)) => {
            dice.weighted(&[(Screener::TokenScreener, 0.6), (Screener::TokenUser, 0.4)])
        }
    };
    let p_ball_screen = dice.between(0.3, 0.85);
    let rest = shares::<3>(dice, 0.3);
    Look {
        alignment,
        tokens,
        p_look,
        p_next: [
            p_ball_screen,
            rest[0] * (1.0 - p_ball_screen),
            rest[1] * (1.0 - p_ball_screen),
            rest[2] * (1.0 - p_ball_screen),
        ],
        screener,
        p_option: shares::<{ OPTIONS.len() }>(dice, 0.15),
    }
}

pub(super) fn draw_team(dice: &mut Dice) -> TeamHabits {
    let mut places: Vec<usize> = (0..BOOK.len()).collect();
    let p_looks = shares::<LOOKS>(dice, 0.5);
    let looks = p_looks
        .into_iter()
        .map(|p_look| {
            let place = places.remove(dice.index(places.len()));
            draw_look(dice, place, p_look)
        })
        .collect();
    // Who was beaten changes sooner.
    let mut changes = |low: f64, high: f64| {
        std::array::from_fn(|_| {
            let (after_good, after_bad) = (dice.between(0.05, 0.3), dice.between(low, high));
            [after_bad, after_good]
        })
    };
    // For the defence it is bad to be beaten, for the offence to be stopped.
    let p_change_coverage = changes(0.4, 0.85);
    let p_change_option: [[f64; 2]; COVERAGES.len()] =
        changes(0.35, 0.8).map(|[bad, good]: [f64; 2]| [good, bad]);
    TeamHabits {
        looks,
        p_coverage: shares::<{ COVERAGES.len() }>(dice, 0.2),
        p_change_option,
        p_change_coverage,
        quirks: Quirks::default(),
    }
}

impl Season {
    /// The league of `seed`, each team with habits of its own: the same seed gives the same habits, whatever the games have besides.
    pub fn of_seed(seed: u64) -> Self {
        let mut dice = Dice::new(seed, 0, Purpose::Habits);
        Self {
            teams: (0..TEAMS).map(|_| draw_team(&mut dice)).collect(),
            planted: Vec::new(),
        }
    }

    /// The looks of team number `team` (0 to 7, as in the truth tables).
    ///
    /// # Panics
    /// When there is no such team.
    pub fn looks(&self, team: usize) -> &[Look] {
        &self.teams[team].looks
    }
}

impl TeamHabits {
    /// Number of the coverage in the tables of habits.
    pub fn coverage_place(coverage: scrim_tables::tags::Coverage) -> usize {
        COVERAGES
            .iter()
            .position(|c| *c == coverage)
            .expect("only coverages of the table are called")
    }

    /// Number of the result likewise.
    pub const fn result_place(result: RunResult) -> usize {
        match result {
            RunResult::Beat => 0,
            RunResult::Beaten => 1,
        }
    }
}

impl Look {
    /// Probability that `next` follows.
    pub fn p_next(&self, next: NextAction) -> f64 {
        let place = NextAction::ALL.iter().position(|n| *n == next);
        self.p_next[place.expect("all are in the list")]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn habits_are_probabilities_and_the_seed_makes_them() {
        let season = Season::of_seed(5);
        assert_eq!(season, Season::of_seed(5));
        assert_ne!(season, Season::of_seed(6));
        assert_eq!(season.teams.len(), TEAMS);
        for team in &season.teams {
            assert_relative_eq!(
                team.looks.iter().map(|l| l.p_look).sum::<f64>(),
                1.0,
                epsilon = 1e-12
            );
            assert_relative_eq!(team.p_coverage.iter().sum::<f64>(), 1.0, epsilon = 1e-12);
            for look in &team.looks {
                assert_relative_eq!(look.p_next.iter().sum::<f64>(), 1.0, epsilon = 1e-12);
                assert_relative_eq!(look.p_option.iter().sum::<f64>(), 1.0, epsilon = 1e-12);
            }
            // No look twice.
            for (i, a) in team.looks.iter().enumerate() {
                for b in &team.looks[i + 1..] {
                    assert_ne!((a.alignment, a.tokens), (b.alignment, b.tokens));
                }
            }
        }
    }
}

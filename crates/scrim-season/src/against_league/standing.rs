//! The rows of what was compared, and what each weighs for a reader.

use std::collections::BTreeMap;

use scrim_statistics::{Estimate, Sample, false_discovery_shares, mean_difference, shrink_differences};
use scrim_tables::rows::AgainstLeagueRow;
use scrim_tables::tags::{Question, TeamSide};

use super::group::Compared;

use crate::questions::is_result;
use crate::teams::Teams;

/// What rows are held against besides their league.
pub(super) struct Season<'a> {
    pub teams: &'a Teams,
    /// Each team's possessions with the ball and against it.
    pub possessions: Vec<[u32; 2]>,
    /// Points of possessions with a ball screen.
    pub points: ScreenPoints,
}

/// Points of possessions with a ball screen, each possession once.
pub(super) struct ScreenPoints {
    pub all: Sample,
    /// Each team's with the ball and against it.
    pub teams: Vec<[Sample; 2]>,
}

impl Season<'_> {
    /// The rows, by team, side, question, subject and answer.
    pub fn rows(&self, mut compared: Vec<Compared<'_>>) -> Vec<AgainstLeagueRow> {
        compared.sort_by(|a, b| {
            (a.team, a.side, a.question, &a.subject, &a.answer)
                .cmp(&(b.team, b.side, b.question, &b.subject, &b.answer))
        });
        let chances: Vec<f64> = compared.iter().map(|one| one.p_value).collect();
        let shares = false_discovery_shares(&chances);
        let points = self.points_differences(&compared);
        compared
            .iter()
            .zip(shares)
            .zip(points)
            .map(|((one, q_value), points_difference)| self.row(one, q_value, points_difference))
            .collect()
    }

    /// Each one's points less those of all ball screens, drawn toward the mean of its question's.
    fn points_differences(&self, compared: &[Compared<'_>]) -> Vec<Option<f64>> {
        let mut differences = vec![None; compared.len()];
        let Some((mean, variance)) = self.points.all.mean().zip(self.points.all.variance()) else {
            return differences;
        };
        let mut by_question: BTreeMap<(Question, TeamSide), Vec<(usize, Estimate)>> = BTreeMap::new();
        for (place, one) in compared.iter().enumerate() {
            if let Some(own) = one.points.mean() {
                let estimate = Estimate {
                    value: own - mean,
                    standard_error: (variance / f64::from(one.points.n)).sqrt(),
                };
                let estimates = by_question.entry((one.question, one.side)).or_default();
                estimates.push((place, estimate));
            }
        }
        for of_question in by_question.values() {
            let estimates: Vec<Estimate> = of_question.iter().map(|(_, estimate)| *estimate).collect();
            for ((place, _), shrunk) in of_question.iter().zip(shrink_differences(&estimates)) {
                differences[*place] = Some(shrunk.value);
            }
        }
        differences
    }

    fn row(&self, one: &Compared<'_>, q_value: f64, points_difference: Option<f64>) -> AgainstLeagueRow {
        let possessions = f64::from(self.possessions[one.team.0][one.side as usize].max(1));
        let per_100 = 100.0 * one.often / possessions;
        // How a ball screen ended is worth points by what it is, whoever the team.
        let points_count = if is_result(one.question) {
            0.0
        } else {
            points_difference.unwrap_or(0.0).abs()
        };
        let weight = one.effect.abs() * per_100.sqrt() * (1.0 + points_count);
        // With and without an answer is said of the ball screens that are asked; what is measured on all of these, beside the team's others.
        let others = match one.hits {
            Some(_) => one.asked_points,
            None => self.points.teams[one.team.0][one.side as usize],
        };
        let without = others.without(one.points);
        let variance = self.points.all.variance();
        let gain = variance.and_then(|variance| mean_difference(&one.points, &without, variance));
        let subject = &one.subject;
        AgainstLeagueRow {
            team_id: self.teams.id(one.team).clone(),
            side: one.side,
            question: one.question,
            entry: subject.entry,
            coverage: subject.coverage,
            screener_action: subject.screener_action,
            handler_id: subject.pair.map(|(handler, _)| handler.clone()),
            screener_id: subject.pair.map(|(_, screener)| screener.clone()),
            defender_id: subject.defender.cloned(),
            answer: one.answer.as_deref().map(Into::into),
            games: one.games,
            n: one.n,
            hits: one.hits,
            value: one.value.value as f32,
            value_low: one.value.low as f32,
            value_high: one.value.high as f32,
            league: one.league as f32,
            league_n: one.league_n,
            all_teams: Some(one.all_teams as f32),
            difference: one.difference.value as f32,
            difference_low: one.difference.low as f32,
            difference_high: one.difference.high as f32,
            effect: one.effect as f32,
            p_value: one.p_value,
            q_value,
            per_100_possessions: per_100 as f32,
            points_per_play: one.points.mean().map(|mean| mean as f32),
            points_without: without.mean().map(|mean| mean as f32),
            points_gain_low: gain.map(|gain| gain.low as f32),
            points_gain_high: gain.map(|gain| gain.high as f32),
            points_difference: points_difference.map(|difference| difference as f32),
            weight: weight as f32,
            rank: None,
            follows_rank: None,
        }
    }
}

//! Candidates and labels of one family, ready to be counted: which of the rows that a detector would write are right.

use std::collections::BTreeMap;

use scrim_score::ScoreParams;
use scrim_tables::Id;
use scrim_tables::tags::Outcome;

use crate::detected::written;
use crate::{Label, Labels, Row};

/// Which screens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Family {
    /// Ball screens and handoffs.
    OnBall,
    /// Off-ball screens that somebody used. What nobody used is found by other means than candidates.
    OffBall,
}

impl Family {
    /// What it is called.
    pub fn name(self) -> &'static str {
        match self {
            Self::OnBall => "Ball screens and handoffs",
            Self::OffBall => "Off-ball screens that are used",
        }
    }
}

/// Game, period, screener, user.
type Two<'a> = (&'a Id, u8, &'a Id, &'a Id);

/// Candidates of one family beside its labels.
pub(crate) struct Judged<'a> {
    pub rows: &'a [Row],
    /// Rows that stand for a label that counts.
    pub is_screen: Vec<bool>,
    /// Rows that are no screens for sure either: nothing is learned from them.
    pub in_doubt: Vec<bool>,
    /// Written, these are neither right nor wrong.
    excused: Vec<bool>,
    /// Labels that count.
    pub labels: usize,
    /// The labels in reach of each row, and how far in time, s.
    near: Vec<Vec<(usize, f64)>>,
    /// The possession of each row and of each label, as one number over all games.
    pub row_group: Vec<usize>,
    label_group: Vec<usize>,
    /// How many possessions there are.
    pub groups: usize,
}

/// What became of the labels and the rows of one possession (or of all).
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Counts {
    pub labels: usize,
    pub hits: usize,
    pub false_alarms: usize,
    /// Written rows that are neither.
    pub in_doubt: usize,
}

impl Counts {
    pub fn add(&mut self, other: &Self) {
        self.labels += other.labels;
        self.hits += other.hits;
        self.false_alarms += other.false_alarms;
        self.in_doubt += other.in_doubt;
    }

    /// 2·hits / (hits + false alarms + labels).
    pub fn f1(&self) -> f64 {
        share(2 * self.hits, self.hits + self.false_alarms + self.labels)
    }

    /// The standard error of the difference in F1 to another limit's counts: only the rows that one writes and the other does not
    /// make it, each by chance (one hit more moves F1 by (2 − F1) / (hits + false alarms + labels), one false alarm by −F1 / the
    /// same).
    pub fn f1_error_against(&self, other: &Self) -> f64 {
        let f1 = self.f1();
        let hits = self.hits.abs_diff(other.hits) as f64;
        let false_alarms = self.false_alarms.abs_diff(other.false_alarms) as f64;
        let rows = (self.hits + self.false_alarms + self.labels).max(1) as f64;
        (hits * (2.0 - f1).powi(2) + false_alarms * f1.powi(2)).sqrt() / rows
    }

    pub fn precision(&self) -> f64 {
        share(self.hits, self.hits + self.false_alarms)
    }

    pub fn recall(&self) -> f64 {
        share(self.hits, self.labels)
    }
}

fn share(part: usize, whole: usize) -> f64 {
    if whole > 0 {
        part as f64 / whole as f64
    } else {
        0.0
    }
}

impl<'a> Judged<'a> {
    /// `rows`: of one family, by game. A label counts if it has a kind and is no early denial and, off the ball, if somebody used
    /// the screen.
    pub fn new(rows: &'a [Row], labels: &Labels, family: Family) -> Self {
        let params = ScoreParams::default();
        let mut doubts: BTreeMap<(&Id, u8), Vec<&Label>> = BTreeMap::new();
        let mut by_two: BTreeMap<Two<'_>, Vec<(usize, f64)>> = BTreeMap::new();
        let mut counted = BTreeMap::new();
        let mut at: Vec<(&Id, u8, f64)> = Vec::new();
        for (game_id, period, label) in labels.iter() {
            let is_used = label.outcome.is_none_or(|outcome| outcome == Outcome::Used);
            if label.kind.is_none() {
                doubts.entry((game_id, period)).or_default().push(label);
            }
            let counts = label.kind.is_some()
                && !label.early_denial
                && label.on_ball == (family == Family::OnBall)
                && (label.on_ball || is_used);
            if counts {
                let two = (game_id, period, &label.screener, &label.user);
                by_two.entry(two).or_default().push((at.len(), label.t_use_s));
                counted.insert(label.number, at.len());
                at.push((game_id, period, label.t_use_s));
            }
        }
        let is_screen: Vec<bool> = rows
            .iter()
            .map(|row| row.label.is_some_and(|number| counted.contains_key(&number)))
            .collect();
        // As the score has it: near a doubt that shares a player in the same part. A label that does not count excuses its row,
        // and so does it that nobody looked there.
        let excused: Vec<bool> = rows
            .iter()
            .zip(&is_screen)
            .map(|(row, is_screen)| {
                let near = doubts.get(&(&row.game_id, row.period)).into_iter().flatten();
                let mut near = near.filter(|doubt| {
                    let shares_one = doubt.screener == row.screener || doubt.user == row.user;
                    shares_one && (doubt.t_use_s - row.t_use_s).abs() <= params.doubt_reach_s
                });
                let is_seen = labels.were_sought_at(&row.game_id, row.period, row.t_use_s);
                !is_screen && (row.label.is_some() || !is_seen || near.next().is_some())
            })
            .collect();
        let open = rows.iter().zip(&is_screen).zip(&excused);
        let in_doubt = open
            .map(|((row, is_screen), excused)| *excused || (row.in_doubt && !is_screen))
            .collect();
        let near = rows
            .iter()
            .map(|row| {
                let of_two = by_two.get(&(&row.game_id, row.period, &row.screener, &row.user));
                let apart = |&(label, t_s): &(usize, f64)| (label, (t_s - row.t_use_s).abs());
                let near = of_two.into_iter().flatten().map(apart);
                near.filter(|(_, apart_s)| *apart_s <= params.screen_tolerance_s)
                    .collect()
            })
            .collect();
        let mut groups: BTreeMap<(&Id, usize), usize> = BTreeMap::new();
        let row_group: Vec<usize> = rows
            .iter()
            .map(|row| {
                let next = groups.len();
                *groups.entry((&row.game_id, row.possession)).or_insert(next)
            })
            .collect();
        let mut groups = groups.len();
        let mut by_period: BTreeMap<(&Id, u8), Vec<usize>> = BTreeMap::new();
        for (place, row) in rows.iter().enumerate() {
            by_period
                .entry((&row.game_id, row.period))
                .or_default()
                .push(place);
        }
        // A label belongs to the possession of the candidate that is nearest in time; without any it stands alone.
        let label_group = at
            .iter()
            .map(|&(game_id, period, t_s)| {
                let apart_s = |place: &usize| (rows[*place].t_use_s - t_s).abs();
                let here = by_period.get(&(game_id, period)).into_iter().flatten().copied();
                match here.min_by(|a, b| apart_s(a).total_cmp(&apart_s(b))) {
                    Some(place) => row_group[place],
                    None => {
                        groups += 1;
                        groups - 1
                    }
                }
            })
            .collect();
        Self {
            rows,
            is_screen,
            in_doubt,
            excused,
            labels: at.len(),
            near,
            row_group,
            label_group,
            groups,
        }
    }

    /// Labels that a candidate stands for.
    pub fn matched(&self) -> usize {
        self.is_screen.iter().filter(|is_screen| **is_screen).count()
    }

    /// What becomes of the labels and of the rows `sure_enough`, a possession each.
    pub fn by_possession(&self, sure: &[f32], sure_enough: impl Iterator<Item = usize>) -> Vec<Counts> {
        let rows = written(self.rows, sure, sure_enough);
        let mut pairs: Vec<(f64, usize, usize)> = rows
            .iter()
            .flat_map(|&row| {
                self.near[row]
                    .iter()
                    .map(move |&(label, apart_s)| (apart_s, label, row))
            })
            .collect();
        pairs.sort_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
        let mut counts = vec![Counts::default(); self.groups];
        for &group in &self.label_group {
            counts[group].labels += 1;
        }
        let mut is_found = vec![false; self.labels];
        let mut stands_for_one = vec![false; self.rows.len()];
        for (_, label, row) in pairs {
            if !is_found[label] && !stands_for_one[row] {
                (is_found[label], stands_for_one[row]) = (true, true);
                counts[self.label_group[label]].hits += 1;
            }
        }
        for row in rows.into_iter().filter(|&row| !stands_for_one[row]) {
            let group = &mut counts[self.row_group[row]];
            if self.excused[row] {
                group.in_doubt += 1;
            } else {
                group.false_alarms += 1;
            }
        }
        counts
    }
}

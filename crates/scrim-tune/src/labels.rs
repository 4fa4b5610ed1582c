//! Labels in one form, wherever they come from.

use std::collections::{BTreeMap, BTreeSet};

use scrim_score::{LabelledScreen, ScreenLabels, Windows};
use scrim_tables::Id;
use scrim_tables::tags::{Outcome, ScreenKind};

/// One labelled screen, or a zone of doubt (no kind).
#[derive(Debug, Clone)]
pub struct Label {
    /// Its number among all.
    pub number: usize,
    /// On the ball, or off it.
    pub on_ball: bool,
    /// Who screens.
    pub screener: Id,
    /// For whom.
    pub user: Id,
    /// Closest approach of the user, or the instant of parting, s from the period's first frame.
    pub t_use_s: f64,
    /// The kind; `None` is a zone of doubt.
    pub kind: Option<ScreenKind>,
    /// What became of it.
    pub outcome: Option<Outcome>,
    /// Iced before the screen was there: found or not, it counts neither way.
    pub early_denial: bool,
}

/// The labels, by game and period.
#[derive(Debug, Default)]
pub struct Labels {
    by_period: BTreeMap<(Id, u8), Vec<Label>>,
    /// The games that were labelled; `None`: all.
    games: Option<BTreeSet<Id>>,
    /// Of games of which only some stretches were looked at, these.
    windows: Windows,
    count: usize,
}

impl Labels {
    /// Those of a folder.
    pub fn of_folder(read: ScreenLabels) -> Self {
        let mut labels = Self {
            games: Some(read.games.into_iter().collect()),
            windows: read.windows,
            ..Self::default()
        };
        for row in read.screens {
            labels.add(row);
        }
        labels
    }

    /// Those of games that are labelled whole, off the ball too.
    pub fn of_whole_games(rows: impl IntoIterator<Item = LabelledScreen>) -> Self {
        let mut labels = Self::default();
        for row in rows {
            labels.add(row);
        }
        labels
    }

    fn add(&mut self, row: LabelledScreen) {
        let number = self.count;
        self.count += 1;
        let place = (row.game_id, row.period);
        self.by_period.entry(place).or_default().push(Label {
            number,
            on_ball: row.on_ball,
            screener: row.screener,
            user: row.user,
            t_use_s: row.t_use_s,
            kind: row.kind,
            outcome: row.outcome,
            early_denial: row.early_denial,
        });
    }

    /// Whether the game was labelled.
    pub fn has(&self, game_id: &Id) -> bool {
        self.games.as_ref().is_none_or(|games| games.contains(game_id))
    }

    /// Whether somebody looked at an instant, s from the period's first frame: what is not labelled there is none.
    pub fn were_sought_at(&self, game_id: &Id, period: u8, t_s: f64) -> bool {
        self.windows.hold(game_id, period, t_s)
    }

    /// Those of a period.
    pub fn of_period(&self, game_id: &Id, period: u8) -> &[Label] {
        self.by_period
            .get(&(game_id.clone(), period))
            .map_or(&[], Vec::as_slice)
    }

    /// All of them, by game and period.
    pub fn iter(&self) -> impl Iterator<Item = (&Id, u8, &Label)> {
        self.by_period
            .iter()
            .flat_map(|((game_id, period), labels)| labels.iter().map(move |label| (game_id, *period, label)))
    }

    /// Whether only plain screens are labelled off the ball: so it is where games are named as labelled.
    pub fn plain_off_ball(&self) -> bool {
        self.games.is_some()
    }

    /// How many games were labelled.
    pub fn games(&self) -> usize {
        self.games.as_ref().map_or(0, BTreeSet::len)
    }

    /// How many screens off the ball there are.
    pub fn plain_off_ball_screens(&self) -> usize {
        self.by_period
            .values()
            .flatten()
            .filter(|label| !label.on_ball && label.kind.is_some())
            .count()
    }

    /// How many ball screens and handoffs there are.
    pub fn ball_screens(&self) -> usize {
        self.by_period
            .values()
            .flatten()
            .filter(|label| label.on_ball && label.kind.is_some())
            .count()
    }
}

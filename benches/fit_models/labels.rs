//! Labels in one form, wherever they come from.

use std::collections::{BTreeMap, BTreeSet};
use std::error::Error;
use std::path::Path;

use scrim_practice::ScreenLabel;
use scrim_score::screen_labels;
use scrim_tables::Id;
use scrim_tables::tags::{Outcome, ScreenKind};

/// One labelled screen, or a zone of doubt (no kind).
#[derive(Debug, Clone)]
pub struct Label {
    /// Its number among all.
    pub number: usize,
    /// On the ball, or off it.
    pub on_ball: bool,
    pub screener: Id,
    pub user: Id,
    pub t_use_s: f64,
    pub kind: Option<ScreenKind>,
    pub outcome: Option<Outcome>,
}

/// The labels, by game and period.
#[derive(Debug, Default)]
pub struct Labels {
    by_period: BTreeMap<(Id, u8), Vec<Label>>,
    /// The games that were labelled; `None`: all.
    games: Option<BTreeSet<Id>>,
    count: usize,
}

impl Labels {
    /// Those of a folder.
    pub fn of_folder(folder: &Path) -> Result<Self, Box<dyn Error>> {
        let read = screen_labels(folder)?;
        let mut labels = Self {
            games: Some(read.games.into_iter().collect()),
            ..Self::default()
        };
        for row in read.screens {
            labels.add(
                row.on_ball,
                row.game_id,
                row.period,
                row.screener,
                row.user,
                row.t_use_s,
                row.kind,
                row.outcome,
            );
        }
        Ok(labels)
    }

    /// Those of a practice game.
    pub fn of_practice(rows: &[ScreenLabel]) -> Self {
        let mut labels = Self::default();
        for row in rows {
            labels.add(
                row.on_ball,
                row.game_id.clone(),
                row.period,
                row.screener_id.clone(),
                row.user_id.clone(),
                row.t_use_s,
                row.screen_kind,
                row.outcome,
            );
        }
        labels
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "the columns of a label row, two callers"
    )]
    fn add(
        &mut self,
        on_ball: bool,
        game_id: Id,
        period: u8,
        screener: Id,
        user: Id,
        t_use_s: f64,
        kind: Option<ScreenKind>,
        outcome: Option<Outcome>,
    ) {
        let number = self.count;
        self.count += 1;
        self.by_period.entry((game_id, period)).or_default().push(Label {
            number,
            on_ball,
            screener,
            user,
            t_use_s,
            kind,
            outcome,
        });
    }

    /// Whether the game was labelled.
    pub fn has(&self, game_id: &Id) -> bool {
        self.games.as_ref().is_none_or(|games| games.contains(game_id))
    }

    /// Those of a period.
    pub fn of_period(&self, game_id: &Id, period: u8) -> &[Label] {
        self.by_period
            .get(&(game_id.clone(), period))
            .map_or(&[], Vec::as_slice)
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

//! What a section of the page may look at, and what it is.

use maud::Markup;
use scrim_season::words::{self, Names};

use crate::TeamGames;
use crate::plays::Plays;

/// All that a section may look at.
pub(super) struct View<'a> {
    pub(super) team: &'a TeamGames,
    pub(super) plays: Plays<'a>,
    pub(super) names: Names,
}

impl View<'_> {
    pub(super) fn team_id(&self) -> &str {
        &self.team.choice.team
    }

    /// Which games the page's own counts are of, as against those of the season's tables.
    pub(super) fn these_games(&self) -> String {
        format!(
            "the {} of this report",
            words::count(self.team.games.len(), "game", "games")
        )
    }

    pub(super) fn lacks(&self, table: &str) -> bool {
        self.team
            .absent
            .get(table)
            .is_some_and(|games| *games == self.team.games.len())
    }
}

/// One part of the page.
pub(super) struct Section {
    /// Its anchor.
    pub(super) id: &'static str,
    /// Its heading.
    pub(super) heading: String,
    /// Whether it is folded: a reader opens it, and paper leaves it out until then.
    pub(super) folded: bool,
    /// What stands under it.
    pub(super) body: Markup,
}

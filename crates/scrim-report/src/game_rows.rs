//! One game's rows.

use scrim_floor::Court;
use scrim_season::words::Words;
use scrim_tables::Id;
use scrim_tables::rows::{
    CoverageRow, CutRow, DilemmaRow, DisguiseRow, EntryRow, GameQualityRow, GameRow, MatchupRow, OptionRow,
    PlayerRow, PossessionRow, ScreenRow, SequenceRow, TouchRow, TrackRow,
};

/// One game's rows.
#[derive(Debug, Clone)]
pub struct GameRows {
    /// Who, when, where; put together from what else is known when the table is absent.
    pub game: GameRow,
    /// The season; `None` when the game has none.
    pub season: Option<Id>,
    /// `players`
    pub players: Vec<PlayerRow>,
    /// `possessions`, by id.
    pub possessions: Vec<PossessionRow>,
    /// `screens`, by id.
    pub screens: Vec<ScreenRow>,
    /// `matchups`.
    pub matchups: Vec<MatchupRow>,
    /// `touches`, by id.
    pub touches: Vec<TouchRow>,
    /// `coverages`
    pub coverages: Vec<CoverageRow>,
    /// `options`
    pub options: Vec<OptionRow>,
    /// `cuts`
    pub cuts: Vec<CutRow>,
    /// `entries`
    pub entries: Vec<EntryRow>,
    /// The game's rows of its season's `disguises`.
    pub disguises: Vec<DisguiseRow>,
    /// `dilemmas`, by screen.
    pub dilemmas: Vec<DilemmaRow>,
    /// `sequences`
    pub sequences: Vec<SequenceRow>,
    /// `tracks`
    pub tracks: Vec<TrackRow>,
    /// `game_quality`
    pub quality: Vec<GameQualityRow>,
}

impl GameRows {
    /// The court, from its measures; the default court where the measures are no court's.
    pub fn court(&self) -> Court {
        let court = self.game.court();
        court.checked().unwrap_or_else(|_| Court::fiba())
    }

    /// The game as people call it, from `team`'s side: `LKM 8 Jan`; its id where the day is not known.
    pub fn called(&self, team: &str, words: &Words) -> String {
        match &self.game.date {
            Some(date) => words.say(
                "game-called",
                &[
                    ("opponent", self.opponent_of(team).as_ref().into()),
                    ("day", words.day(date).into()),
                ],
            ),
            None => self.game.game_id.to_string(),
        }
    }

    /// The other team of the game.
    pub fn opponent_of(&self, team: &str) -> &Id {
        if self.game.home_team_id.as_ref() == team {
            &self.game.away_team_id
        } else {
            &self.game.home_team_id
        }
    }

    /// The possession's rows of `tracks`.
    pub(crate) fn tracks_of(&self, possession_id: u32) -> &[TrackRow] {
        // Written by possession: a run of rows each. A table in another order gives what stands together first.
        let before = self
            .tracks
            .partition_point(|row| row.possession_id < possession_id);
        let rows = &self.tracks[before..];
        let count = rows
            .iter()
            .take_while(|row| row.possession_id == possession_id)
            .count();
        &rows[..count]
    }
}

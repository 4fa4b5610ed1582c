//! The ball screens and handoffs that tables have, each with how unsure the program is of it.

use scrim_season::{ScreenRows, ScreenTables, is_poor};
use scrim_tables::rows::{CoverageRow, EntryRow, OptionRow, PossessionRow, ScreenRow};
use scrim_tables::tags::Outcome;
use scrim_tables::{Partition, ReadStore, Row, read_rows};

use crate::ReviewError;
use crate::clip::{Beside, Clip};
use crate::question::{Question, Words};

/// A clip's answer speaks of so much before and after the use, s: what is shown longer is there to understand it. Less than what parts two
/// ball screens of a team, and more than what parts a label from the row that stands for it; common practice, no source.
pub const JUDGED_S: f64 = 1.5;

/// A tag that the program has probabilities for.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// Which.
    pub question: Question,
    /// The program's word.
    pub word: String,
    /// Entropy of its probabilities, bits.
    pub bits: f64,
    /// How many rows hang on it: its own, and, if the question is whether there is a screen at all, those that would go with it.
    pub rows: usize,
}

/// A ball screen or handoff.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// Its game.
    pub partition: Partition,
    /// What it is.
    pub clip: Clip,
    /// What the program is unsure of.
    pub doubts: Vec<Doubt>,
}

/// Which games are looked at.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Games {
    /// These; none chooses all but those whose data are poor.
    pub ids: Vec<String>,
    /// Of this season; none is any.
    pub season: Option<String>,
}

/// All ball screens and handoffs of some games, by game and id. What is left out comes second, in words.
///
/// # Errors
/// [`ReviewError`]: no such game, or a table that cannot be read.
pub fn candidates(
    store: &dyn ReadStore,
    games: &Games,
) -> Result<(Vec<Candidate>, Vec<String>), ReviewError> {
    let all = Partition::find(store, PossessionRow::TABLE)?;
    if all.is_empty() {
        return Err(ReviewError::NoTables);
    }
    let is_chosen = |partition: &&Partition| {
        (games.ids.is_empty() || games.ids.iter().any(|id| id == partition.game_id()))
            && games
                .season
                .as_deref()
                .is_none_or(|season| partition.season() == Some(season))
    };
    let chosen: Vec<&Partition> = all.iter().filter(is_chosen).collect();
    let unknown = games
        .ids
        .iter()
        .any(|id| !chosen.iter().any(|one| one.game_id() == id));
    if chosen.is_empty() || unknown {
        return Err(ReviewError::NoGames {
            found: all
                .iter()
                .map(|partition| partition.game_id().to_owned())
                .collect(),
            seasons: all.iter().filter_map(Partition::season).map(Into::into).collect(),
        });
    }
    let (mut found, mut notes) = (Vec::new(), Vec::new());
    for partition in chosen {
        if games.ids.is_empty() && is_poor(store, partition)? {
            notes.push(format!(
                "game {} is left out: its data are poor (game_quality says why); --game {} takes it in",
                partition.game_id(),
                partition.game_id()
            ));
            continue;
        }
        found.extend(of_game(store, partition)?);
    }
    Ok((found, notes))
}

fn of_game(store: &dyn ReadStore, partition: &Partition) -> Result<Vec<Candidate>, ReviewError> {
    let tables = ScreenTables {
        possessions: &rows::<PossessionRow>(store, partition)?,
        screens: &rows::<ScreenRow>(store, partition)?,
        coverages: &rows::<CoverageRow>(store, partition)?,
        options: &rows::<OptionRow>(store, partition)?,
        entries: &rows::<EntryRow>(store, partition)?,
        disguises: &[],
    };
    let on_ball = tables.on_ball(0);
    let mut found: Vec<Candidate> = on_ball
        .iter()
        .map(|rows| Candidate {
            partition: partition.clone(),
            clip: clip_of(partition, rows, &on_ball),
            doubts: doubts_of(rows),
        })
        .collect();
    found.sort_by_key(|one| one.clip.screen_id);
    Ok(found)
}

fn rows<R: Row>(store: &dyn ReadStore, partition: &Partition) -> Result<Vec<R>, ReviewError> {
    let name = partition.path(R::TABLE);
    match store.get(&name)? {
        Some(bytes) => read_rows(bytes).map_err(|source| ReviewError::Table { name, source }),
        None => Ok(Vec::new()),
    }
}

fn clip_of(partition: &Partition, rows: &ScreenRows<'_>, on_ball: &[ScreenRows<'_>]) -> Clip {
    let screen = rows.screen;
    let mut shown = Words::new();
    shown.insert(Question::ScreenKind, screen.screen_kind.as_str().into());
    shown.insert(Question::ScreenerId, screen.screener_id.to_string());
    shown.insert(Question::UserId, screen.user_id.to_string());
    shown.insert(Question::Outcome, screen.outcome.as_str().into());
    if let Some(row) = rows.coverage {
        shown.insert(Question::Coverage, row.coverage.as_str().into());
        shown.insert(Question::OnBallPath, row.on_ball_path.as_str().into());
    }
    if let Some(row) = rows.option {
        shown.insert(Question::ScreenerAction, row.screener_action.as_str().into());
        shown.insert(Question::HandlerAction, row.handler_action.as_str().into());
    }
    if let Some(row) = rows.entry {
        shown.insert(Question::Entry, row.entry.as_str().into());
    }
    let near = |other: &&ScreenRows<'_>| {
        other.screen.screen_id != screen.screen_id
            && other.screen.period == screen.period
            && (other.screen.t_use_s - screen.t_use_s).abs() <= 2.0 * JUDGED_S
    };
    Clip {
        season: partition.season().map(Into::into),
        game_id: partition.game_id().into(),
        period: screen.period,
        screen_id: screen.screen_id,
        t_use_s: screen.t_use_s,
        early_denial: screen.early_denial,
        shown,
        beside: on_ball
            .iter()
            .filter(near)
            .map(|other| Beside {
                screen_id: other.screen.screen_id,
                screener_id: other.screen.screener_id.to_string(),
                user_id: other.screen.user_id.to_string(),
                t_use_s: other.screen.t_use_s,
                given_up: Some(other.screen.outcome == Outcome::Flipped),
            })
            .collect(),
    }
}

fn doubts_of(rows: &ScreenRows<'_>) -> Vec<Doubt> {
    let screen = rows.screen;
    let sure = screen.confidence;
    let hanging = [
        rows.coverage.is_some(),
        rows.option.is_some(),
        rows.entry.is_some(),
    ];
    let mut doubts = vec![Doubt {
        question: Question::ScreenKind,
        word: screen.screen_kind.as_str().into(),
        bits: entropy_of(&[Some(sure), Some(1.0 - sure)]),
        rows: 1 + hanging.into_iter().filter(|is_there| *is_there).count(),
    }];
    doubts.push(Doubt {
        question: Question::Outcome,
        word: screen.outcome.as_str().into(),
        bits: entropy_of(&[
            screen.p_used,
            screen.p_rejected,
            screen.p_slipped,
            screen.p_ghosted,
            screen.p_unused,
        ]),
        rows: 1,
    });
    doubts.extend(rows.coverage.map(|row| Doubt {
        question: Question::Coverage,
        word: row.coverage.as_str().into(),
        bits: entropy_of(&[
            row.p_ice,
            row.p_switch,
            row.p_drop,
            row.p_blitz,
            row.p_hedge,
            row.p_level,
        ]),
        rows: 1,
    }));
    doubts
}

/// Shannon's entropy of probabilities, bits; 0 where one is not known, for then a label fixes nothing that is fitted.
fn entropy_of(probabilities: &[Option<f32>]) -> f64 {
    let known: Option<Vec<f64>> = probabilities.iter().map(|p| p.map(f64::from)).collect();
    let parts = known.unwrap_or_default();
    // The largest first, so that the order of the words does not show in the last bit.
    let mut parts: Vec<f64> = parts.into_iter().filter(|p| *p > 0.0 && *p < 1.0).collect();
    parts.sort_by(|a, b| b.total_cmp(a));
    parts.into_iter().map(|p| -p * p.log2()).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn entropy_is_highest_between_equals_and_none_where_nothing_is_known() {
        // Four equals: 2 bits. A coin: 1 bit.
        assert!((entropy_of(&[Some(0.25); 4]) - 2.0).abs() < 1e-9);
        assert!((entropy_of(&[Some(0.5), Some(0.5)]) - 1.0).abs() < 1e-9);
        assert_eq!(entropy_of(&[Some(1.0), Some(0.0)]), 0.0);
        assert_eq!(entropy_of(&[None, Some(0.5)]), 0.0);
    }
}

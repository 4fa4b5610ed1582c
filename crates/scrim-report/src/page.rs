//! The page: one HTML text that stands alone.
//!
//! - `alike`: another page: a possession, and those most like it;
//! - `frame`: head, headline, contents, foot;
//! - `findings`: what sets the team apart from its league: the first page;
//! - `brief`: the few sentences that matter;
//! - `entries`: looks, and how they lead into ball screens;
//! - `coverages`: coverages they face, what each gives up and how they answer it; and how they defend;
//! - `guarding`: their defenders at the handler and the screener, and who helps;
//! - `disguise`: ball screens disguised as something else;
//! - `sequences`: sets they repeat;
//! - `sheet`: another page: three rules for the players;
//! - `season`: what the season's tables add: what comes next from a look, whether disguise pays, answers;
//! - `matchup`: their attack against the reader's coverages, and their coverages against the reader's attack;
//! - `pairs`: who screens for whom, and where;
//! - `figures`: drawings with their captions, and what is kept for playback;
//! - `how_to_read`: games, what is missing, how to read the numbers;
//! - `splits`: their ball screens by side, corner, screeners, time;
//! - `script`: what plays the tracks, with its labels;
//! - `table`: tables that read well on paper, on a phone and aloud;
//! - `view`: what a section may look at, and what it is;
//! - `worked`: what worked against the team.

mod alike;
mod brief;
mod coverages;
mod disguise;
mod entries;
mod figures;
mod findings;
mod frame;
mod guarding;
mod how_to_read;
mod matchup;
mod pairs;
mod script;
mod season;
mod sequences;
mod sheet;
mod splits;
mod table;
mod view;
mod worked;

use scrim_season::words::Words;

use crate::{Drawing, ReportError, TeamGames};
use figures::Figures;
use view::{View, with_view};

pub use alike::{Alike, AlikePage, make_alike_page};
pub use script::stage_script;

/// What is made for a coach.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Report {
    /// One HTML text that stands alone.
    pub html: String,
    /// The page's drawings, each frame as an SVG file of its own, in the page's order.
    pub drawings: Vec<Drawing>,
}

/// The report about a team's games.
///
/// # Errors
/// [`ReportError::Json`]: no input causes that.
pub fn make_report(team: &TeamGames, words: &Words) -> Result<Report, ReportError> {
    with_view(team, words, |view| report(&view))
}

/// The sheet for the players: one page, three rules and a picture of each.
///
/// # Errors
/// [`ReportError::Json`]: no input causes that.
pub fn make_players_sheet(team: &TeamGames, words: &Words) -> Result<Report, ReportError> {
    with_view(team, words, |view| sheet::sheet(&view))
}

fn report(view: &View<'_>) -> Result<Report, ReportError> {
    let mut figures = Figures::new();
    let first = frame::First {
        findings: findings::section(view),
        brief: brief::brief(view),
    };
    let mut sections = vec![entries::section(view, &mut figures)];
    sections.extend(matchup::sections(view));
    sections.extend([
        coverages::faced(view),
        coverages::answers(view),
        pairs::section(view),
        coverages::played(view),
        disguise::section(view, &mut figures),
        sequences::section(view),
        splits::section(view),
        guarding::section(view),
        how_to_read::section(view),
    ]);
    // What paper has stands first, what is folded behind it.
    sections.sort_by_key(|section| section.folded);
    Ok(Report {
        html: frame::page(view, &first, &sections, &figures)?,
        drawings: figures.into_drawings(),
    })
}

#[cfg(test)]
mod tests;

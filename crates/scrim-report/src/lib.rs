//! What a coach gets: one page about a team's ball screens, drawings of typical possessions, and clip lists.
//!
//! In: the tables of a run, through the storage door. Out: the text of one HTML page that stands alone, of drawings
//! (SVG), and of clip lists (CSV, WebVTT, OpenTimelineIO). Knows `scrim-floor`, `scrim-tables` and, of `scrim-season`, its counts,
//! clocks, words and statistics; no stage, no game.
//!
//! - [`Choice`], `read`, `game_rows`: which games, and their rows; a table that an older run did not write is reported as missing.
//! - [`Note`]: what a report goes without.
//! - `plays`: each ball screen with its game and clock.
//! - `evidence`: shares and points with their counts and intervals.
//! - `findings`: what sets the team apart, with the ball screens that show it.
//! - `page`: the page, a module a section; `style.css` and `play.js` stand in it.
//! - `drawing`: tracks to diagrams in the trade's notation.
//! - `possession`: one possession drawn.
//! - `playback`: the tracks that the page can move (`stage.js` draws them, `page/play.js` has the page's controls).
//! - `screen_clip`: single ball screens with the tracks around their use, for a page that plays them by itself.
//! - `clips`: clip lists, of all ball screens or of those with some tags.
//!
//! Everything that comes from the data is escaped where it is written: HTML and SVG by the templates of `maud`, the rest
//! by each format's own writer. Words come from `scrim_season::words::Words`, the labels of the scripts too.

mod choice;
mod clips;
mod drawing;
mod error;
#[cfg(test)]
mod every_word;
mod evidence;
mod findings;
mod game_rows;
mod note;
mod page;
mod playback;
mod plays;
mod possession;
mod read;
mod screen_clip;
#[cfg(test)]
mod staging;

pub use choice::Choice;
pub use clips::{
    ClipFile, ClipFormat, ClipLists, ClipSide, MarkedGame, MarkedOffset, PeriodOffset, SyncMark, SyncPeriod,
    Wanted, clip_lists, file_stem, without_marks,
};
pub use drawing::Drawing;
pub use error::ReportError;
pub use game_rows::GameRows;
pub use note::Note;
pub use page::{Alike, AlikePage, Report, make_alike_page, make_players_sheet, make_report, stage_script};
pub use possession::draw_possession;
pub use read::{SeasonRows, TeamGames, read_games, teams_of_last_day};
pub use screen_clip::{ClipCourts, ClipPlayer, ScreenClip, screen_clips};

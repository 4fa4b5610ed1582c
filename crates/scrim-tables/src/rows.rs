//! Each table's row, declared once. Lengths metres, times seconds, speeds m/s, angles degrees; `t_*_s` counts from
//! the first frame of its period on the real clock; coordinates are in the attack frame. An `Option` is "not known",
//! never zero. The columns' names and types are fixed by the data contract.

mod declare;
mod flow;
mod game;
mod off_ball;
mod play;
mod quality;
mod screens;
mod season;

pub use flow::{EntryRow, SequenceRow};
pub use game::{GameRow, PlayerRow, TrackRow};
pub use off_ball::{CutRow, DilemmaRow, FloorControlRow, GravitySampleRow, OffBallMotionRow, SpacingRow};
pub use play::{MatchupRow, PossessionRow, TouchRow};
pub use quality::{GameQualityRow, QuarantineRow};
pub use screens::{CoverageRow, OptionRow, ScreenRow};
pub use season::{CounterRow, DisguisePayRow, GravityRow, TendencyRow};

/// The tables' names, a list a module.
const NAMES: [&[&str]; 7] = [
    game::NAMES,
    play::NAMES,
    screens::NAMES,
    off_ball::NAMES,
    flow::NAMES,
    season::NAMES,
    quality::NAMES,
];

const COUNT: usize = {
    let (mut list, mut count) = (0, 0);
    while list < NAMES.len() {
        count += NAMES[list].len();
        list += 1;
    }
    count
};

/// Names of the season tables: a part a season, not a part a game.
pub const SEASON_TABLE_NAMES: &[&str] = season::NAMES;

/// Names of all tables that are declared here.
pub const TABLE_NAMES: [&str; COUNT] = {
    let mut all = [""; COUNT];
    let (mut list, mut at) = (0, 0);
    while list < NAMES.len() {
        let mut k = 0;
        while k < NAMES[list].len() {
            all[at] = NAMES[list][k];
            at += 1;
            k += 1;
        }
        list += 1;
    }
    all
};

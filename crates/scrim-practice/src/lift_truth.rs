//! The truth of games with lifts: CSV tables beside the games, and a page that says what they mean. None is called like a table of
//! the contract, so that nobody takes it for labels.

use std::path::Path;

use scrim_tables::Id;
use scrim_tables::tags::Coverage;

use crate::write::{WriteError, make_folder, write_csv, write_text};

/// A ball screen at which a shooter could lift out of the weak corner while the screener rolled.
#[derive(Debug, Clone, PartialEq)]
pub struct LiftRow {
    /// The game.
    pub game_id: Id,
    /// The period, from 1.
    pub period: u8,
    /// The label's possession.
    pub possession_id: u32,
    /// The label's screen; `None` when it is in doubt.
    pub screen_id: Option<u32>,
    /// The use, measured as the labels have it.
    pub t_use_s: f64,
    /// Who rolls.
    pub screener_id: Id,
    /// Who stands in the weak corner.
    pub shooter_id: Id,
    /// Who guards the shooter.
    pub low_man_id: Id,
    /// What the defence called.
    pub coverage_called: Coverage,
    /// How likely the lift was.
    pub p_lift: f64,
    /// Whether the shooter lifted.
    pub lifted: bool,
    /// Whether that held the low man.
    pub held: bool,
    /// When the shooter left the corner, or did not.
    pub t_lift_s: f64,
    /// The screener's room around the use, with the lift and without it.
    pub instants: Vec<LiftInstant>,
}

/// The screener's room at one instant, on noise-free tracks: as it was, and as it would have been. `None` when the possession was over, or
/// had not begun.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LiftInstant {
    /// From the use on, seconds.
    pub from_use_s: f64,
    /// Screener to the nearest defender, with the lift.
    pub lift_space_m: Option<f64>,
    /// The same without it.
    pub stay_space_m: Option<f64>,
    /// Screener to the low man, with the lift.
    pub lift_low_man_gap_m: Option<f64>,
    /// The same without it.
    pub stay_low_man_gap_m: Option<f64>,
}

/// What the tables mean; written beside them.
const README: &str = "\
# Truth of games with lifts

At every ball screen of these games a shooter takes the corner away from the ball. When the screener rolls (or rolls short) and the
shooter is there, they lift out of it with probability `p_lift`, at the instant at which the user is past the screen. A low man who is not held comes over to
the roller 0.1 to 0.4 s later. A held one stays with the shooter, and comes 1.0 to 1.5 s later or, in seven of ten cases, not at all.

Each of these ball screens was played twice from the instant of the lift, by the same players with the same dice: once with the lift and once without.
One of the two went on and is the game. So the effect of a lift is known for each ball screen, and not only on average.

- `lifts.csv`, a row for each ball screen at which a lift could come: game_id, period, possession_id and screen_id (of the game's labels; screen_id is empty when the
  screen is in doubt), t_use_s (the use), screener_id, shooter_id, low_man_id (who guards the shooter), coverage_called (by the defence),
  p_lift, lifted, held, t_lift_s (the instant of the lift).
- `lift_instants.csv`, five instants a second from 1 s before the use to 3 s after it: game_id, period, t_use_s and screener_id (as in `lifts.csv`), from_use_s,
  lift_space_m and stay_space_m (the screener to the nearest defender, in metres, on noise-free tracks: with the lift, and without it),
  lift_low_man_gap_m and stay_low_man_gap_m (the screener to the low man). Empty when the possession was over.
";

/// Writes what is known of the lifts into `dir` (made if needed), in the order given.
///
/// # Errors
/// [`WriteError`] names the file that could not be written.
pub fn write_lift_truth(lifts: &[LiftRow], dir: &Path) -> Result<(), WriteError> {
    make_folder(dir)?;
    write_text(&dir.join("lifts.md"), README)?;
    let header = [
        "game_id",
        "period",
        "possession_id",
        "screen_id",
        "t_use_s",
        "screener_id",
        "shooter_id",
        "low_man_id",
        "coverage_called",
        "p_lift",
        "lifted",
        "held",
        "t_lift_s",
    ];
    let rows = lifts.iter().map(|lift| {
        vec![
            lift.game_id.to_string(),
            lift.period.to_string(),
            lift.possession_id.to_string(),
            lift.screen_id.map_or_else(String::new, |id| id.to_string()),
            seconds(lift.t_use_s),
            lift.screener_id.to_string(),
            lift.shooter_id.to_string(),
            lift.low_man_id.to_string(),
            lift.coverage_called.as_str().into(),
            lift.p_lift.to_string(),
            lift.lifted.to_string(),
            lift.held.to_string(),
            seconds(lift.t_lift_s),
        ]
    });
    write_csv(&dir.join("lifts.csv"), &header, rows)?;
    let header = [
        "game_id",
        "period",
        "t_use_s",
        "screener_id",
        "from_use_s",
        "lift_space_m",
        "stay_space_m",
        "lift_low_man_gap_m",
        "stay_low_man_gap_m",
    ];
    let rows = lifts.iter().flat_map(|lift| {
        lift.instants.iter().map(|instant| {
            vec![
                lift.game_id.to_string(),
                lift.period.to_string(),
                seconds(lift.t_use_s),
                lift.screener_id.to_string(),
                format!("{:.1}", instant.from_use_s),
                metres(instant.lift_space_m),
                metres(instant.stay_space_m),
                metres(instant.lift_low_man_gap_m),
                metres(instant.stay_low_man_gap_m),
            ]
        })
    });
    write_csv(&dir.join("lift_instants.csv"), &header, rows)
}

fn seconds(value: f64) -> String {
    format!("{value:.2}")
}

fn metres(value: Option<f64>) -> String {
    value.map_or_else(String::new, |value| format!("{value:.3}"))
}

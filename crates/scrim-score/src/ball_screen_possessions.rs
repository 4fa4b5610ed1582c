//! Whether the ball screens of half-court possessions were seen at all: what rates of flow stand on.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::table::Table;

/// Labelled half-court possessions, by whether they have a ball screen. One in which the labels are in doubt (an on-ball row
/// without its kind, and no ball screen beside it) is not counted.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
pub struct BallScreenPossessions {
    /// With a ball screen.
    pub labelled: u32,
    /// Those in which the tables have one too.
    pub found: u32,
    /// Without one.
    pub others: u32,
    /// Those in which the tables have none either.
    pub passed: u32,
}

/// Instants of on-ball rows of a game and period, s, and whether each is a ball screen (`None`: in doubt).
type Instants<'a> = BTreeMap<(&'a str, u64), Vec<(f64, Option<bool>)>>;

fn on_ball(screens: &Table) -> Instants<'_> {
    let (flag, kind, at) = (
        screens.flags("on_ball"),
        screens.text("screen_kind"),
        screens.numbers("t_use_s"),
    );
    let mut instants = Instants::new();
    for row in 0..screens.rows {
        if let (Some(place), Some(t_s), Some(true)) = (screens.game_period(row), at.at(row), flag.at(row)) {
            let is_ball_screen = kind.at(row).map(|word| word == "ball_screen");
            instants.entry(place).or_default().push((t_s, is_ball_screen));
        }
    }
    instants
}

/// Counts by time alone: a ball screen is a possession's when its use lies in the labelled possession's time.
pub(crate) fn ball_screen_possessions(
    possessions: &Table,
    labelled: &Table,
    found: &Table,
) -> BallScreenPossessions {
    let (truth, seen) = (on_ball(labelled), on_ball(found));
    let (phase, start, end) = (
        possessions.text("phase"),
        possessions.numbers("t_start_s"),
        possessions.numbers("t_end_s"),
    );
    let mut counts = BallScreenPossessions::default();
    for row in 0..possessions.rows {
        let span = start.at(row).zip(end.at(row));
        let (Some(place), Some((from_s, to_s)), Some("half_court")) =
            (possessions.game_period(row), span, phase.at(row))
        else {
            continue;
        };
        let within = |instants: &Instants<'_>, wanted: Option<bool>| {
            let mut all = instants.get(&place).into_iter().flatten();
            all.any(|(t_s, is_ball_screen)| (from_s..=to_s).contains(t_s) && *is_ball_screen == wanted)
        };
        let is_seen = within(&seen, Some(true));
        if within(&truth, Some(true)) {
            counts.labelled += 1;
            counts.found += u32::from(is_seen);
        } else if !within(&truth, None) {
            counts.others += 1;
            counts.passed += u32::from(!is_seen);
        }
    }
    counts
}

//! Where and when their ball screens differ: side, corner, one screener or two, early or late, after a stop.

use maud::{Markup, html};
use scrim_floor::{Court, Side, Zone};
use scrim_season::ball_screens::grouped;
use scrim_season::words::{self, sentence};
use scrim_tables::tags::{Coverage, Entity, Phase};

use super::table::{clips, points, row, share, table};
use super::view::{Section, View};
use crate::GameRows;
use crate::drawing::PlayTracks;
use crate::evidence::{Most, Share};
use crate::plays::{ScreenPlay, points_of};

/// Early: the screen is used at most this long after the possession began, s. Common practice, no source.
const EARLY_S: f64 = 8.0;
/// Late: from this long after the possession began, s: the last 8 s of a clock of 24 s.
const LATE_S: f64 = 16.0;
/// A stop: no possession for this long within a period, s. A time-out lasts a minute (FIBA Official Basketball Rules, article 18,
/// from memory); free throws and whistles are shorter.
const STOP_S: f64 = 45.0;

/// One way to part the ball screens in two or three.
struct Split {
    called: &'static str,
    of: fn(&ScreenPlay<'_>) -> Option<&'static str>,
}

const SPLITS: [Split; 5] = [
    Split {
        called: "Side",
        of: |play| {
            Some(match play.screen.side {
                Side::Left => "left side",
                Side::Middle => "middle",
                Side::Right => "right side",
            })
        },
    },
    Split {
        called: "Corner",
        of: corner,
    },
    Split {
        called: "Screeners",
        of: |play| {
            Some(if is_double(play) {
                "double screen"
            } else {
                "one screener"
            })
        },
    },
    Split {
        called: "Time",
        of: |play| {
            let since_s = play.screen.t_use_s - play.possession.t_start_s;
            Some(match play.possession.phase {
                Phase::Transition => "in transition or early",
                Phase::HalfCourt if since_s <= EARLY_S => "in transition or early",
                Phase::HalfCourt if since_s < LATE_S => "in the set",
                Phase::HalfCourt => "late, from 16 s on",
            })
        },
    },
    Split {
        called: "Before",
        of: |play| {
            Some(if is_after_stop(play) {
                "after a stop"
            } else {
                "in the flow of play"
            })
        },
    },
];

/// Their ball screens by side, corner, screeners, time.
pub(super) fn section(view: &View<'_>) -> Section {
    let plays: Vec<&ScreenPlay<'_>> = view.plays.offense.all().iter().collect();
    let body = html! {
        @if plays.is_empty() { p.none { "None of their ball screens was found." } }
        @else {
            @for split in &SPLITS { (split_table(view, split, &plays)) }
            p.note {
                "Corner: whether a team-mate other than handler and screener is in the corner on the screen’s side; screens in the middle have no such corner. "
                "Early: used at most 8 s into the possession. Late: from 16 s on, the last 8 s of a 24-second clock; that a rebound resets the clock is not known. "
                "A stop: at least 45 s without play before the possession; time-outs are among them."
            }
        }
    };
    Section {
        id: "splits",
        heading: "Where and when it differs".into(),
        folded: true,
        body,
    }
}

fn split_table(view: &View<'_>, split: &Split, plays: &[&ScreenPlay<'_>]) -> Markup {
    let groups = grouped(plays.iter().filter_map(|&play| Some(((split.of)(play)?, play))));
    let all: usize = groups.iter().map(|(_, plays)| plays.len()).sum();
    // One group alone says nothing.
    if groups.len() < 2 {
        return html! {};
    }
    let rows: Vec<Markup> = groups
        .iter()
        .map(|(called, plays)| {
            let coverages = grouped(plays.iter().filter_map(|play| {
                let coverage = play.coverage?.coverage;
                (coverage != Coverage::Unclear).then_some((coverage, ()))
            }));
            let read: usize = coverages.iter().map(|(_, times)| times.len()).sum();
            let under = html! {
                @if let Some((coverage, share)) = Most::of(&coverages, read).and_then(Most::clear) {
                    "Mostly against " (words::coverage(coverage)) " (" (share.hits) " of " (read) "). "
                }
                (clips(plays))
            };
            row(
                &sentence(called),
                &under,
                &[
                    share(Share::of(plays.len(), all)),
                    points(points_of(plays.iter().copied()), view.plays.variance),
                ],
            )
        })
        .collect();
    table(
        split.called,
        &["Ball screens", "How often", "Points per possession"],
        &rows,
    )
}

/// Whether somebody stands in the corner on the screen's side when it is used; `None` where that cannot be said.
fn corner(play: &ScreenPlay<'_>) -> Option<&'static str> {
    let corner = match play.screen.side {
        Side::Left => Zone::LeftCorner,
        Side::Right => Zone::RightCorner,
        Side::Middle => return None,
    };
    let tracks = PlayTracks::of(play.game, play.screen.possession_id)?;
    if !tracks.holds(play.screen.t_use_s) {
        return None;
    }
    let court: Court = play.game.court();
    let sample = tracks.sample_at(play.screen.t_use_s);
    let two = [Some(&play.screen.user_id), Some(&play.screen.screener_id)];
    let mut others = tracks
        .traces
        .iter()
        .filter(|trace| trace.entity == Entity::Offense && !two.contains(&trace.player.as_ref()));
    let is_filled = others.any(|trace| trace.at(sample).is_some_and(|spot| court.zone_of(spot) == corner));
    Some(if is_filled {
        "filled corner"
    } else {
        "empty corner"
    })
}

/// Whether another team-mate screens for the same handler just before or after.
fn is_double(play: &ScreenPlay<'_>) -> bool {
    play.game.screens.iter().any(|other| {
        let is_linked = play.screen.previous_screen_id == Some(other.screen_id)
            || other.previous_screen_id == Some(play.screen.screen_id);
        is_linked && other.on_ball && other.screener_id != play.screen.screener_id
    })
}

/// Whether the possession began after a stop of the same period.
fn is_after_stop(play: &ScreenPlay<'_>) -> bool {
    stop_before_s(play.game, play.screen.possession_id).is_some_and(|stop_s| stop_s >= STOP_S)
}

fn stop_before_s(game: &GameRows, possession_id: u32) -> Option<f64> {
    let at = game
        .possessions
        .binary_search_by_key(&possession_id, |row| row.possession_id)
        .ok()?;
    let (before, this) = (game.possessions.get(at.checked_sub(1)?)?, &game.possessions[at]);
    (before.period == this.period).then_some(this.t_start_s - before.t_end_s)
}

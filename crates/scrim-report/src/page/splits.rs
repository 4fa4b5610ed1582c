//! Where and when their ball screens differ: side, corner, one screener or two, early or late, after a stop.

use maud::{Markup, html};
use scrim_floor::{Court, Side, Zone};
use scrim_season::ball_screens::grouped;
use scrim_season::words::{Arg, sentence};
use scrim_tables::tags::{Coverage, Entity, Phase};

use super::table::{row, table};
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

/// A part with a smaller share has no row: nobody plans for it. Common practice, no source.
const LEAST_SHARE: f64 = 0.05;

/// One way to part the ball screens in two or three: messages of its name and of its parts.
struct Split {
    called: &'static str,
    of: fn(&ScreenPlay<'_>) -> Option<&'static str>,
}

const SPLITS: [Split; 5] = [
    Split {
        called: "splits-side",
        of: |play| {
            Some(match play.screen.side {
                Side::Left => "split-side-left",
                Side::Middle => "split-side-middle",
                Side::Right => "split-side-right",
            })
        },
    },
    Split {
        called: "splits-corner",
        of: corner,
    },
    Split {
        called: "splits-screeners",
        of: |play| {
            Some(if is_double(play) {
                "split-double"
            } else {
                "split-one"
            })
        },
    },
    Split {
        called: "splits-time",
        of: |play| {
            let since_s = play.screen.t_use_s - play.possession.t_start_s;
            Some(match play.possession.phase {
                Phase::Transition => "split-time-2-early",
                Phase::HalfCourt if since_s <= EARLY_S => "split-time-2-early",
                Phase::HalfCourt if since_s < LATE_S => "split-time-1-set",
                Phase::HalfCourt => "split-time-3-late",
            })
        },
    },
    Split {
        called: "splits-before",
        of: |play| {
            Some(if is_after_stop(play) {
                "split-after-stop"
            } else {
                "split-in-flow"
            })
        },
    },
];

/// Their ball screens by side, corner, screeners, time.
pub(super) fn section(view: &View<'_>) -> Section {
    let plays: Vec<&ScreenPlay<'_>> = view.plays.offense.all().iter().collect();
    let body = html! {
        @if plays.is_empty() { p.none { (view.text("no-ball-screen")) } }
        @else {
            @for split in &SPLITS { (split_table(view, split, &plays)) }
            p.note { (view.text("splits-note")) }
        }
    };
    Section {
        id: "splits",
        heading: view.text("splits-heading").into(),
        folded: true,
        body,
    }
}

fn split_table(view: &View<'_>, split: &Split, plays: &[&ScreenPlay<'_>]) -> Markup {
    let mut groups = grouped(plays.iter().filter_map(|&play| Some(((split.of)(play)?, play))));
    let all: usize = groups.iter().map(|(_, plays)| plays.len()).sum();
    groups.retain(|(_, plays)| plays.len() as f64 >= LEAST_SHARE * all as f64);
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
                    (view.html("splits-mostly", &[
                        ("often", Arg::Word(share.often())), ("coverage", view.words.coverage(coverage).into()), ("hits", share.hits.into()), ("n", read.into()),
                    ])) " "
                }
                (view.clips(plays))
            };
            row(
                &sentence(view.text(called)),
                &under,
                &[
                    view.share(Share::of(plays.len(), all)),
                    view.points(points_of(plays.iter().copied())),
                ],
            )
        })
        .collect();
    table(
        view.text(split.called),
        &["splits-column", "column-how-often", "column-points"].map(|key| view.text(key)),
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
        "split-corner-filled"
    } else {
        "split-corner-empty"
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

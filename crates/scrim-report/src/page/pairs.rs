//! Who screens for whom, and where.

use maud::{Markup, html};

use super::table::{clips, points, row, share, table};
use super::{Section, View};
use crate::evidence::{Share, grouped};
use crate::plays::points_of;
use crate::words;

/// How many pairs and places are told.
const TOLD: usize = 8;

/// The pairs and the places.
pub(super) fn section(view: &View<'_>) -> Section {
    let plays = &view.plays.offense;
    let pairs = grouped(
        plays
            .iter()
            .map(|play| ((&play.screen.screener_id, &play.screen.user_id), play)),
    );
    let pair_rows: Vec<Markup> = pairs
        .iter()
        .take(TOLD)
        .map(|((screener, user), runs)| {
            let name = format!("{} for {}", view.names.called(screener), view.names.called(user));
            let zones = grouped(runs.iter().map(|play| (play.screen.zone, ())));
            let where_most = zones
                .first()
                .map(|(zone, there)| format!("{} ({})", words::zone(*zone), there.len()));
            let under = html! {
                @if let Some(zone) = where_most { "Mostly " (zone) ". " }
                (clips(runs))
            };
            row(
                &name,
                &under,
                &[
                    share(Share::of(runs.len(), plays.len())),
                    points(points_of(runs.iter().copied()), view.plays.variance),
                ],
            )
        })
        .collect();
    let zones = grouped(plays.iter().map(|play| (play.screen.zone, play)));
    let zone_rows: Vec<Markup> = zones
        .iter()
        .take(TOLD)
        .map(|(zone, runs)| {
            row(
                &words::sentence(&words::zone(*zone)),
                &clips(runs),
                &[
                    share(Share::of(runs.len(), plays.len())),
                    points(points_of(runs.iter().copied()), view.plays.variance),
                ],
            )
        })
        .collect();
    let outcomes = grouped(plays.iter().map(|play| (play.screen.outcome, ())));
    let body = if plays.is_empty() {
        html! { p.none { "No ball screen of theirs was found." } }
    } else {
        html! {
            (table("Screener and handler", &["Pair", "Share of all", "Points a trip"], &pair_rows))
            @if pairs.len() > TOLD { p.note { (words::count(pairs.len() - TOLD, "pair", "pairs")) " more, each seen less often." } }
            (table("Where the screen is set, as the handler faces the basket", &["Place", "Share of all", "Points a trip"], &zone_rows))
            @if zones.len() > TOLD { p.note { (words::count(zones.len() - TOLD, "place", "places")) " more, each seen less often." } }
            p {
                "What became of them: "
                @for (k, (outcome, times)) in outcomes.iter().enumerate() {
                    @if k > 0 { "; " }
                    (words::outcome(*outcome)) " " (times.len())
                }
                "."
            }
        }
    };
    Section {
        id: "pairs",
        heading: "Pairs and places".into(),
        body,
    }
}

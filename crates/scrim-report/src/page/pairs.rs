//! Who screens for whom, and where.

use maud::{Markup, html};
use scrim_season::ball_screens::{OnBallScreen, grouped};
use scrim_season::words;

use super::table::{clips, points, row, share, table};
use super::view::{Section, View};
use crate::evidence::{Most, Share};
use crate::plays::points_of;

/// How many pairs and places are listed.
const LISTED: usize = 8;

/// The pairs and the places.
pub(super) fn section(view: &View<'_>) -> Section {
    let plays = &view.plays.offense;
    let pairs = plays.by_pair();
    let pair_rows: Vec<Markup> = pairs
        .iter()
        .take(LISTED)
        .map(|((handler, screener), runs)| {
            let name = format!(
                "{} for {}",
                view.names.called(screener),
                view.names.called(handler)
            );
            let zones = grouped(runs.iter().map(|play| (play.zone(), ())));
            let where_most = Most::of(&zones, runs.len()).and_then(Most::clear);
            let under = html! {
                @if let Some((zone, there)) = where_most { "Mostly " (words::zone(zone)) " (" (there.hits) "). " }
                (clips(runs))
            };
            row(
                &name,
                &under,
                &[
                    share(Share::of(runs.len(), plays.count())),
                    points(points_of(runs.iter().copied()), view.plays.variance),
                ],
            )
        })
        .collect();
    let zones = plays.by_zone();
    let zone_rows: Vec<Markup> = zones
        .iter()
        .take(LISTED)
        .map(|(zone, runs)| {
            row(
                &words::sentence(&words::zone(*zone)),
                &clips(runs),
                &[
                    share(Share::of(runs.len(), plays.count())),
                    points(points_of(runs.iter().copied()), view.plays.variance),
                ],
            )
        })
        .collect();
    let outcomes = grouped(plays.all().iter().map(|play| (play.screen.outcome, ())));
    let body = if plays.all().is_empty() {
        html! { p.none { "None of their ball screens was found." } }
    } else {
        html! {
            (table("Screener and handler", &["Pair", "Share of all", "Points per possession"], &pair_rows))
            @if pairs.len() > LISTED { p.note { (words::count(pairs.len() - LISTED, "pair", "pairs")) " more, each less frequent." } }
            (table("Where the screen is set; left and right as the handler faces the basket", &["Place", "Share of all", "Points per possession"], &zone_rows))
            @if zones.len() > LISTED { p.note { (words::count(zones.len() - LISTED, "place", "places")) " more, each less frequent." } }
            p {
                "Outcomes: "
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
        heading: "Who and where".into(),
        folded: true,
        body,
    }
}

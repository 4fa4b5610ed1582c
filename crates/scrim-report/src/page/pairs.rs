//! Who screens for whom, and where.

use maud::{Markup, html};
use scrim_season::ball_screens::{OnBallScreen, grouped};
use scrim_season::words::{Arg, sentence};

use super::table::{row, table};
use super::view::{Section, View, more};
use crate::evidence::{Most, Share};
use crate::plays::points_of;

/// How many pairs are listed, and how many places behind them.
const LISTED: usize = 5;
const PLACES: usize = 8;

/// The pairs and the places.
pub(super) fn section(view: &View<'_>) -> Section {
    let plays = &view.plays.offense;
    let pairs = plays.by_pair();
    let pair_rows: Vec<Markup> = pairs
        .iter()
        .take(LISTED)
        .map(|((handler, screener), runs)| {
            let pair = [
                ("screener", view.player(screener).into()),
                ("handler", view.player(handler).into()),
            ];
            let name = view.words.say("pair-for", &pair);
            let zones = grouped(runs.iter().map(|play| (play.zone(), ())));
            let where_most = Most::of(&zones, runs.len()).and_then(Most::clear);
            let under = html! {
                @if let Some((zone, there)) = where_most {
                    (view.html("pairs-mostly", &[
                        ("often", Arg::Word(there.often())), ("zone", view.words.zone(zone).into()), ("n", there.hits.into()),
                    ])) " "
                }
                (view.clips(runs))
            };
            row(
                &name,
                &under,
                &[
                    view.share(Share::of(runs.len(), plays.count())),
                    view.points(points_of(runs.iter().copied())),
                ],
            )
        })
        .collect();
    let zones = plays.by_zone();
    let zone_rows: Vec<Markup> = zones
        .iter()
        .take(PLACES)
        .map(|(zone, runs)| {
            row(
                &sentence(view.words.zone(*zone)),
                &view.clips(runs),
                &[
                    view.share(Share::of(runs.len(), plays.count())),
                    view.points(points_of(runs.iter().copied())),
                ],
            )
        })
        .collect();
    let outcomes = grouped(plays.all().iter().map(|play| (play.screen.outcome, ())));
    let outcomes: Vec<String> = outcomes
        .iter()
        .map(|(outcome, times)| view.tag_times(view.words.outcome(*outcome), times.len()))
        .collect();
    let heads = |first| [first, "column-share", "column-points"].map(|key| view.text(key));
    let body = if plays.all().is_empty() {
        html! { p.none { (view.text("no-ball-screen")) } }
    } else {
        html! {
            (table(view.text("pairs-caption"), &heads("pairs-column"), &pair_rows))
            @if pairs.len() > LISTED { p.note { (view.words.count("pairs-more", pairs.len() - LISTED)) } }
            (more(view.text("places-behind"), &html! {
                (table(view.text("places-caption"), &heads("column-place"), &zone_rows))
                @if zones.len() > PLACES { p.note { (view.words.count("places-more", zones.len() - PLACES)) } }
                p { (view.html("pairs-outcomes", &[("outcomes", outcomes.join("; ").into())])) }
            }))
        }
    };
    Section {
        id: "pairs",
        heading: view.text("pairs-heading").into(),
        folded: false,
        body,
    }
}

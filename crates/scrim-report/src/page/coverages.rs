//! What they met and what each gave up; and what they play themselves.

use maud::{Markup, html};

use super::brief::coverages_of;
use super::table::{clips, points, row, share, table};
use super::{Section, View};
use crate::evidence::{Share, grouped};
use crate::plays::{ScreenPlay, points_of};
use crate::words;

/// The defences that they met.
pub(super) fn met(view: &View<'_>) -> Section {
    let plays = &view.plays.offense;
    Section {
        id: "met",
        heading: "Coverages they met, and what each gave up".into(),
        body: html! {
            (absent(view))
            (coverage_table("By what the screener's man did", plays, view.plays.variance))
            (path_table(plays, view.plays.variance))
            (answers(plays))
        },
    }
}

/// The defences that they play.
pub(super) fn played(view: &View<'_>) -> Section {
    Section {
        id: "played",
        heading: "How they cover ball screens themselves".into(),
        body: html! {
            (absent(view))
            (coverage_table("By what their big does; points are the opponents'", &view.plays.defense, view.plays.variance))
        },
    }
}

fn absent(view: &View<'_>) -> Markup {
    html! { @if view.lacks("coverages") { p.absent { "These tables have no coverages: run the games again to get them." } } }
}

fn coverage_table(caption: &str, plays: &[ScreenPlay<'_>], variance: Option<f64>) -> Markup {
    let groups = coverages_of(plays);
    let read: usize = groups.iter().map(|(_, plays)| plays.len()).sum();
    if read == 0 {
        return html! { p.none { "No coverage could be read." } };
    }
    let unread = plays.len() - read;
    let rows: Vec<Markup> = groups
        .iter()
        .map(|(coverage, plays)| {
            let sum = points_of(plays.iter().copied());
            let under = html! { (words::coverage_meaning(*coverage)) ". " (clips(plays)) };
            row(
                &words::sentence(words::coverage(*coverage)),
                &under,
                &[
                    share(Share::of(plays.len(), read)),
                    points(sum, variance),
                    share(sum.scored_share()),
                ],
            )
        })
        .collect();
    html! {
        (table(caption, &["Coverage", "How often", "Points a trip", "Trips that scored"], &rows))
        @if unread > 0 {
            p.note { (words::count(unread, "ball screen is", "ball screens are")) " left out: the coverage could not be read." }
        }
    }
}

fn path_table(plays: &[ScreenPlay<'_>], variance: Option<f64>) -> Markup {
    let groups = grouped(plays.iter().filter_map(|play| {
        let path = words::path(play.coverage?.on_ball_path)?;
        Some((path, play))
    }));
    let all: usize = groups.iter().map(|(_, plays)| plays.len()).sum();
    let rows: Vec<Markup> = groups
        .iter()
        .map(|(path, plays)| {
            let sum = points_of(plays.iter().copied());
            row(
                &words::sentence(path),
                &clips(plays),
                &[
                    share(Share::of(plays.len(), all)),
                    points(sum, variance),
                    share(sum.scored_share()),
                ],
            )
        })
        .collect();
    html! {
        @if !rows.is_empty() {
            (table(
                "By how the handler's man went round the screen",
                &["His man goes", "How often", "Points a trip", "Trips that scored"],
                &rows,
            ))
        }
    }
}

/// What they answer each coverage with most.
fn answers(plays: &[ScreenPlay<'_>]) -> Markup {
    let lines: Vec<Markup> = coverages_of(plays)
        .iter()
        .filter_map(|(coverage, plays)| {
            let answers = grouped(plays.iter().filter_map(|play| {
                let option = play.option?;
                let screener = words::screener(option.screener_action)?;
                let handler = words::handler(option.handler_action)?;
                let target = option.pass_target.map(words::target);
                Some(((screener, handler, target), *play))
            }));
            let told: usize = answers.iter().map(|(_, plays)| plays.len()).sum();
            let ((screener, handler, target), runs) = answers.first()?;
            let share = Share::of(runs.len(), told)?;
            Some(html! {
                li {
                    strong { "Against " (words::coverage(*coverage)) ": " }
                    (handler) @if let Some(target) = target { " " (target) } ", " (screener) ", " (share.told()) "."
                    @if let Some(weak) = share.strength().told() { " " span.weak { (words::sentence(weak)) "." } }
                }
            })
        })
        .collect();
    html! { @if !lines.is_empty() { h3 { "Their most frequent answer" } ul { @for line in lines { (line) } } } }
}

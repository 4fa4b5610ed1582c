//! Coverages that they face and what each gives up; and how they defend ball screens themselves.

use maud::{Markup, html};
use scrim_season::ball_screens::{BallScreens, grouped};
use scrim_season::words;

use super::table::{clips, points, row, share, table};
use super::view::{Section, View};
use crate::evidence::{Most, Share};
use crate::plays::{ScreenPlay, points_of};

/// The coverages that they face.
pub(super) fn faced(view: &View<'_>) -> Section {
    let plays = &view.plays.offense;
    Section {
        id: "faced",
        heading: "Coverages they face, and what each gives up".into(),
        folded: view.team.choice.reader.is_some(),
        body: html! {
            (absent(view))
            (coverage_table(&format!("By what the screener's defender does: {}", view.these_games()), plays, view.plays.variance))
            (path_table(&format!("By how the handler's defender gets around the screen: {}", view.these_games()), plays, view.plays.variance))
            (answers(plays))
        },
    }
}

/// The coverages that they play.
pub(super) fn played(view: &View<'_>) -> Section {
    Section {
        id: "played",
        heading: "How they defend ball screens".into(),
        folded: true,
        body: html! {
            (absent(view))
            (coverage_table(
                &format!("By what the screener's defender does; points are the opponents': {}", view.these_games()),
                &view.plays.defense, view.plays.variance,
            ))
        },
    }
}

fn absent(view: &View<'_>) -> Markup {
    html! { @if view.lacks("coverages") { p.absent { "These tables have no coverages: run the games again to get them." } } }
}

fn coverage_table(caption: &str, plays: &BallScreens<ScreenPlay<'_>>, variance: Option<f64>) -> Markup {
    let groups = plays.by_coverage();
    let read = plays.read();
    if read == 0 {
        return html! { p.none { "No coverage could be read." } };
    }
    let unread = plays.count() - read;
    let rows: Vec<Markup> = groups
        .iter()
        .map(|(coverage, plays)| {
            let sum = points_of(plays.iter().copied());
            let under = html! { (words::sentence(words::coverage_meaning(*coverage))) ". " (clips(plays)) };
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
        (table(caption, &["Coverage", "How often", "Points per possession", "Scored"], &rows))
        @if unread > 0 {
            p.note { (words::count(unread, "ball screen is", "ball screens are")) " left out: the coverage could not be read." }
        }
    }
}

fn path_table(caption: &str, plays: &BallScreens<ScreenPlay<'_>>, variance: Option<f64>) -> Markup {
    let groups = grouped(plays.all().iter().filter_map(|play| {
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
                caption,
                &["Goes", "How often", "Points per possession", "Scored"],
                &rows,
            ))
        }
    }
}

/// What they answer each coverage with most, and with what as often.
fn answers(plays: &BallScreens<ScreenPlay<'_>>) -> Markup {
    let lines: Vec<Markup> = plays
        .by_coverage()
        .iter()
        .filter_map(|(coverage, plays)| {
            let answers = grouped(plays.iter().filter_map(|play| {
                let option = play.option?;
                let screener = words::screener(option.screener_action)?;
                let handler = words::with_target(
                    words::handler(option.handler_action)?,
                    option.handler_action,
                    option.pass_target.map(words::target),
                );
                Some(((handler, screener), *play))
            }));
            let known: usize = answers.iter().map(|(_, plays)| plays.len()).sum();
            let most = Most::of(&answers, known)?;
            let ((handler, screener), share) = &most.first;
            Some(html! {
                li {
                    strong { (words::sentence(words::coverage(*coverage))) ": " }
                    (handler) ", " (screener) ", " (share.text())
                    @if let Some(((handler, screener), other)) = most.second.as_ref().filter(|_| !most.is_clear) {
                        "; " (handler) ", " (screener) ", " (other.text()) ": not clearly different"
                    }
                    "."
                    @if let Some(caution) = share.sample_size().caution() { " " span.weak { (words::sentence(caution)) "." } }
                }
            })
        })
        .collect();
    html! { @if !lines.is_empty() { h3 { "What they do against each coverage" } ul { @for line in lines { (line) } } } }
}

//! Coverages that they face and what each gives up; and how they defend ball screens themselves.

use maud::{Markup, html};
use scrim_season::ball_screens::{BallScreens, grouped};
use scrim_season::words::{sentence, strong};

use super::table::{row, table};
use super::view::{Section, View};
use crate::evidence::{Most, Share};
use crate::plays::{ScreenPlay, beat_share, points_of};

/// The coverages that they face.
pub(super) fn faced(view: &View<'_>) -> Section {
    let plays = &view.plays.offense;
    let caption = |key| view.words.say(key, &[("games", view.these_games().into())]);
    Section {
        id: "faced",
        heading: view.text("faced-heading").into(),
        folded: view.team.choice.reader.is_some(),
        body: html! {
            (absent(view))
            (coverage_table(view, &caption("faced-caption"), plays))
            (path_table(view, &caption("faced-paths"), plays))
        },
    }
}

/// What they do against each coverage.
pub(super) fn answers(view: &View<'_>) -> Section {
    let lines = answer_lines(view, &view.plays.offense);
    Section {
        id: "answers",
        heading: view.text("faced-answers").into(),
        folded: false,
        body: html! {
            (absent(view))
            @if lines.is_empty() { p.none { (view.text("no-coverage-read")) } }
            @else { ul { @for line in lines { (line) } } }
        },
    }
}

/// The coverages that they play.
pub(super) fn played(view: &View<'_>) -> Section {
    let caption = view
        .words
        .say("played-caption", &[("games", view.these_games().into())]);
    Section {
        id: "played",
        heading: view.text("played-heading").into(),
        folded: false,
        body: html! {
            (absent(view))
            (coverage_table(view, &caption, &view.plays.defense))
        },
    }
}

fn absent(view: &View<'_>) -> Markup {
    html! { @if view.lacks("coverages") { p.absent { (view.text("lacks-coverages")) } } }
}

fn coverage_table(view: &View<'_>, caption: &str, plays: &BallScreens<ScreenPlay<'_>>) -> Markup {
    let groups = plays.by_coverage();
    let read = plays.read();
    if read == 0 {
        return html! { p.none { (view.text("no-coverage-read")) } };
    }
    let unread = plays.count() - read;
    let rows: Vec<Markup> = groups
        .iter()
        .map(|(coverage, plays)| {
            let sum = points_of(plays.iter().copied());
            let under = html! { (sentence(view.words.coverage_meaning(*coverage))) ". " (view.clips(plays)) };
            row(
                &sentence(view.words.coverage(*coverage)),
                &under,
                &[
                    view.share(Share::of(plays.len(), read)),
                    view.points(sum),
                    view.share(beat_share(plays.iter().copied())),
                ],
            )
        })
        .collect();
    html! {
        (table(caption, &["column-coverage", "column-how-often", "column-points", "column-beat"].map(|key| view.text(key)), &rows))
        @if unread > 0 { p.note { (view.words.count("faced-unread", unread)) } }
    }
}

fn path_table(view: &View<'_>, caption: &str, plays: &BallScreens<ScreenPlay<'_>>) -> Markup {
    let groups = grouped(plays.all().iter().filter_map(|play| {
        let path = view.words.path(play.coverage?.on_ball_path)?;
        Some((path, play))
    }));
    let all: usize = groups.iter().map(|(_, plays)| plays.len()).sum();
    let rows: Vec<Markup> = groups
        .iter()
        .map(|(path, plays)| {
            let sum = points_of(plays.iter().copied());
            row(
                &sentence(path),
                &view.clips(plays),
                &[
                    view.share(Share::of(plays.len(), all)),
                    view.points(sum),
                    view.share(beat_share(plays.iter().copied())),
                ],
            )
        })
        .collect();
    html! {
        @if !rows.is_empty() {
            (table(
                caption,
                &["faced-goes", "column-how-often", "column-points", "column-beat"].map(|key| view.text(key)),
                &rows,
            ))
        }
    }
}

/// What they answer each coverage with most, and with what as often.
fn answer_lines(view: &View<'_>, plays: &BallScreens<ScreenPlay<'_>>) -> Vec<Markup> {
    let words = view.words;
    plays
        .by_coverage()
        .iter()
        .filter_map(|(coverage, plays)| {
            let answers = grouped(plays.iter().filter_map(|play| {
                let option = play.option?;
                let screener = words.screener(option.screener_action)?;
                let target = option.pass_target.map(|target| words.target(target));
                Some((
                    (words.handler_to(option.handler_action, target)?, screener),
                    *play,
                ))
            }));
            let known: usize = answers.iter().map(|(_, plays)| plays.len()).sum();
            let most = Most::of(&answers, known)?;
            let said = |((handler, screener), share): &((String, &str), Share)| {
                let parts = [
                    ("handler", handler.into()),
                    ("screener", (*screener).into()),
                    ("share", share.text(words).into()),
                ];
                words.say("answer-share", &parts)
            };
            let to = sentence(words.coverage(*coverage));
            let to = strong(words.say("answer-to", &[("coverage", to.into())]));
            let mut args = vec![("coverage", to.into()), ("first", said(&most.first).into())];
            let second = most.second.as_ref().filter(|_| !most.is_clear);
            args.extend(second.map(|second| ("second", said(second).into())));
            let key = if args.len() > 2 {
                "answer-alike"
            } else {
                "answer-most"
            };
            let size = most.first.1.sample_size();
            Some(html! { li { (view.html(key, &args)) (view.caution(size)) } })
        })
        .collect()
}

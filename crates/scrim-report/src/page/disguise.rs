//! Ball screens that were disguised as something else.

use maud::{Markup, html};
use scrim_season::ball_screens::{OnBallScreen, grouped};
use scrim_season::words::sentence;
use scrim_tables::tags::Entry;

use super::figures::Figures;
use super::season;
use super::table::{row, table};
use super::view::{Section, View};
use crate::evidence::Share;
use crate::evidence::median_of;
use crate::plays::{ScreenPlay, beat_share, points_of};

/// How many entries are listed, and how many plays are drawn.
const LISTED: usize = 8;
const DRAWN: usize = 3;
/// An entry with fewer disguised ball screens has no row of its own: they are counted together. Common practice, no source.
const LEAST_IN_A_ROW: usize = 5;
/// Where a smaller share is disguised, a sentence says so and no more: nobody plans for it. Common practice, no source.
const FEW: f64 = 0.05;

/// Whether so few are disguised that a sentence is enough.
pub(super) fn are_few(disguised: Share) -> bool {
    disguised.interval.value < FEW
}

/// Disguised ball screens.
pub(super) fn section(view: &View<'_>, figures: &mut Figures) -> Section {
    Section {
        id: "disguised",
        heading: view.text("disguised-heading").into(),
        folded: true,
        body: body(view, figures),
    }
}

fn body(view: &View<'_>, figures: &mut Figures) -> Markup {
    if view.lacks("entries") {
        return html! { p.absent { (view.text("lacks-entries")) } };
    }
    let judged: Vec<&ScreenPlay<'_>> = view
        .plays
        .offense
        .all()
        .iter()
        .filter(|play| play.is_disguised().is_some())
        .collect();
    if judged.is_empty() {
        return html! { p.absent { (view.text("disguised-unjudged")) } };
    }
    let hidden: Vec<&ScreenPlay<'_>> = judged
        .iter()
        .copied()
        .filter(|play| play.is_disguised() == Some(true))
        .collect();
    if let Some(few) = Share::of(hidden.len(), judged.len()).filter(|share| are_few(*share)) {
        let share = few.text(view.words);
        return html! { p.none { (view.html("disguised-few", &[("share", share.into())])) } };
    }
    let groups = grouped(hidden.iter().map(|play| (play.came_out_of(), *play)));
    let (listed, folded): (Vec<_>, Vec<_>) = groups
        .iter()
        .partition(|(_, plays)| plays.len() >= LEAST_IN_A_ROW);
    let in_all: usize = folded.iter().map(|(_, plays)| plays.len()).sum();
    let rows: Vec<Markup> = listed
        .iter()
        .take(LISTED)
        .map(|(entry, plays)| {
            let name = sentence(view.words.entry(entry.unwrap_or(Entry::None)));
            let late = plays
                .iter()
                .filter_map(|play| play.entry?.screener_defender_gap_m)
                .collect();
            let under = html! {
                @if let Some(gap_m) = median_of(late) {
                    (view.html("disguised-gap", &[("metres", view.words.decimal(gap_m.into(), 1).into())])) " "
                }
                (view.clips(plays))
            };
            let sum = points_of(plays.iter().copied());
            row(
                &name,
                &under,
                &[
                    view.share(Share::of(plays.len(), hidden.len())),
                    view.points(sum),
                    view.share(beat_share(plays.iter().copied())),
                ],
            )
        })
        .collect();
    let worked = worked(&groups);
    html! {
        p { (view.text("disguised-meaning")) }
        @if !rows.is_empty() {
            (table(
                view.text("disguised-caption"),
                &["disguised-column", "disguised-share", "column-points", "column-beat"].map(|key| view.text(key)),
                &rows,
            ))
        }
        @if in_all > 0 {
            p.note {
                (view.html("disguised-rare", &[
                    ("n", folded.len().into()), ("least", LEAST_IN_A_ROW.into()), ("in-all", in_all.into()),
                ]))
            }
        }
        @if !worked.is_empty() {
            h3 { (view.text("disguised-scored")) }
            @for play in worked { (figures.figure(view, play, &called(view, play))) }
        }
        (season::disguise_pay(view))
    }
}

/// Ones that scored: one of each of the most frequent kinds of entry, and none of a possession that is already shown; of a kind the
/// greatest surprise, then the earlier.
fn worked<'p, 'a>(groups: &[(Option<Entry>, Vec<&'p ScreenPlay<'a>>)]) -> Vec<&'p ScreenPlay<'a>> {
    let bits = |play: &ScreenPlay<'_>| play.surprise_bits().unwrap_or(0.0);
    let mut worked: Vec<&ScreenPlay<'_>> = Vec::with_capacity(DRAWN);
    for (_, plays) in groups {
        let mut scored: Vec<&ScreenPlay<'_>> = plays
            .iter()
            .copied()
            .filter(|play| play.possession_points().is_some_and(|points| points > 0))
            .filter(|play| {
                let is_shown = |shown: &&ScreenPlay<'_>| shown.possession_key() == play.possession_key();
                !worked.iter().any(is_shown)
            })
            .collect();
        scored.sort_by(|a, b| bits(b).total_cmp(&bits(a)));
        worked.extend(scored.first());
        if worked.len() == DRAWN {
            break;
        }
    }
    worked
}

/// The look that it came from.
fn called(view: &View<'_>, play: &ScreenPlay<'_>) -> String {
    play.entry
        .map_or_else(String::new, |row| view.words.look_text(&row.look))
}

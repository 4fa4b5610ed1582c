//! Looks, and how they flow into ball screens.

use maud::{Markup, html};
use scrim_floor::Zone;
use scrim_season::ball_screens::{Before, OnBallScreen, grouped};
use scrim_season::words::{Words, sentence};
use scrim_tables::tags::Alignment;

use super::figures::Figures;
use super::table::{row, table};
use super::view::{Section, View, more};
use super::{how_to_read, season};
use crate::drawing::medoid;
use crate::evidence::{Most, Share};
use crate::plays::{ScreenPlay, points_of};

/// How many looks are listed.
const LISTED: usize = 6;
/// How many looks with something before the ball screen are drawn, and how many without.
const DRAWN_WITH_ACTION: usize = 3;
const DRAWN_WITHOUT: usize = 1;
/// So many drawings stand in the open; what is folded stays off paper, which has six sheets.
const SHOWN: usize = 2;
/// A look with nothing before that was seen less often is not drawn: no run of it is typical. Common practice, no source.
const FEWEST_TO_DRAW: usize = 2;

/// What ball screens are put together by: shape and what came before where they are known, else the place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Look {
    Known(Option<Alignment>, Before),
    Place(Zone),
}

impl Look {
    fn of(play: &ScreenPlay<'_>) -> Self {
        match play.before() {
            Some(before) => Self::Known(play.alignment(), before),
            None => Self::Place(play.screen.zone),
        }
    }

    /// Whether something came before the ball screen.
    fn has_action(self) -> bool {
        match self {
            Self::Known(_, before) => before != Before::Nothing,
            Self::Place(_) => false,
        }
    }

    fn text(self, words: &Words) -> String {
        match self {
            Self::Known(shape, before) => {
                let shape = match shape {
                    Some(shape) => words.alignment(shape),
                    None => words.text("alignment-unknown"),
                };
                let before = words.before(before);
                words.say(
                    "look-named",
                    &[("shape", sentence(shape).into()), ("before", before.into())],
                )
            }
            Self::Place(zone) => words.say("look-place", &[("zone", words.zone(zone).into())]),
        }
    }
}

/// How they get into it.
pub(super) fn section(view: &View<'_>, figures: &mut Figures) -> Section {
    Section {
        id: "looks",
        heading: view.text("looks-heading").into(),
        folded: false,
        body: body(view, figures),
    }
}

fn body(view: &View<'_>, figures: &mut Figures) -> Markup {
    let plays = view.plays.offense.all();
    if plays.is_empty() {
        return html! { p.none { (view.text("no-ball-screen")) } };
    }
    let is_known = plays.iter().any(|play| play.entry.is_some());
    let looks = grouped(plays.iter().map(|play| (Look::of(play), play)));
    let rows: Vec<Markup> = looks
        .iter()
        .take(LISTED)
        .map(|(look, runs)| {
            let under = html! { (flow(view, runs)) (view.clips(runs)) };
            row(
                &look.text(view.words),
                &under,
                &[
                    view.share(Share::of(runs.len(), plays.len())),
                    view.points(points_of(runs.iter().copied())),
                ],
            )
        })
        .collect();
    // What is hard to see live goes first.
    let with_action = looks.iter().filter(|(look, _)| look.has_action());
    let without = looks
        .iter()
        .filter(|(look, runs)| !look.has_action() && runs.len() >= FEWEST_TO_DRAW);
    let drawn: Vec<Markup> = with_action
        .take(DRAWN_WITH_ACTION)
        .chain(without.take(DRAWN_WITHOUT))
        .filter_map(|(look, runs)| {
            let typical = typical(runs)?;
            let title = [
                ("look", look.text(view.words).into()),
                ("runs", view.words.count("runs", runs.len()).into()),
            ];
            Some(figures.figure(view, typical, &view.words.say("look-runs", &title)))
        })
        .collect();
    html! {
        @if !is_known { p.absent { (view.text("looks-by-place")) } }
        @let heads = if is_known { "looks-column" } else { "column-place" };
        (table(view.text("looks-caption"), &[heads, "column-share", "column-points"].map(|key| view.text(key)), &rows))
        @if looks.len() > LISTED { p.note { (view.words.count("looks-more", looks.len() - LISTED)) } }
        @if is_known { p.note { (view.text("looks-before")) } }
        (season::next_from_looks(view))
        @if drawn.is_empty() {
            p.absent { (view.text("looks-no-drawings")) }
        } @else {
            h3 { (view.text("looks-typical")) }
            p.note { (view.text("looks-typical-note")) }
            @for figure in drawn.iter().take(SHOWN) { (figure) }
            @if drawn.len() > SHOWN { (more(view.text("looks-typical-behind"), &html! { @for figure in &drawn[SHOWN..] { (figure) } })) }
            (how_to_read::key(view.words))
        }
    }
}

/// The typical run of a look: of those that were covered and ended as most were, the one most like the others. Runs whose tracks are
/// not known stand back.
fn typical<'p, 'a>(runs: &[&'p ScreenPlay<'a>]) -> Option<&'p ScreenPlay<'a>> {
    let endings = grouped(runs.iter().map(|&play| {
        let action = play.option.map(|row| row.screener_action);
        ((play.coverage(), play.screen.outcome, action), play)
    }));
    endings
        .iter()
        .find_map(|(_, runs)| medoid(runs).map(|place| runs[place]))
}

/// How soon the ball screen follows, who is in it, and what it meets.
fn flow(view: &View<'_>, runs: &[&ScreenPlay<'_>]) -> Markup {
    let mut gaps_s: Vec<f32> = runs
        .iter()
        .filter_map(|play| play.entry?.flow_gap_s)
        .filter(|gap_s| gap_s.is_finite())
        .collect();
    gaps_s.sort_by(f32::total_cmp);
    let met = grouped(runs.iter().filter_map(|play| Some((play.coverage()?, ()))));
    let read = met.iter().map(|(_, times)| times.len()).sum();
    html! {
        @if let Some(gap_s) = gaps_s.get(gaps_s.len() / 2) {
            (view.html("look-gap", &[("seconds", view.words.decimal((*gap_s).into(), 1).into())])) " "
        }
        @if let Some((coverage, share)) = Most::of(&met, read).and_then(Most::clear) {
            (view.html("look-coverage", &[
                ("coverage", view.words.coverage(coverage).into()), ("hits", share.hits.into()), ("n", share.n.into()),
            ])) " "
        }
    }
}

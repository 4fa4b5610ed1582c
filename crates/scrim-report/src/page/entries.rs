//! Looks, and how they flow into ball screens.

use maud::{Markup, html};
use scrim_floor::Zone;
use scrim_season::ball_screens::{OnBallScreen, grouped};
use scrim_season::words;
use scrim_tables::tags::{Alignment, Entry};

use super::figures::Figures;
use super::table::{clips, points, row, share, table};
use super::view::{Section, View};
use super::{how_to_read, season};
use crate::drawing::medoid;
use crate::evidence::{Most, Share};
use crate::plays::{ScreenPlay, points_of};

/// How many looks are listed.
const LISTED: usize = 6;
/// How many looks with something before the ball screen are drawn, and how many without.
const DRAWN_WITH_ENTRY: usize = 3;
const DRAWN_WITHOUT: usize = 1;
/// A look without an entry that was seen less often is not drawn: no run of it is typical. Common practice, no source.
const FEWEST_TO_DRAW: usize = 2;

/// What ball screens are put together by: shape and entry where they are known, else the place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Look {
    Known(Option<Alignment>, Entry),
    Place(Zone),
}

impl Look {
    fn of(play: &ScreenPlay<'_>) -> Self {
        match play.came_out_of() {
            Some(entry) => Self::Known(play.alignment(), entry),
            None => Self::Place(play.screen.zone),
        }
    }

    /// Whether something came before the ball screen.
    fn has_entry(self) -> bool {
        match self {
            Self::Known(_, entry) => entry != Entry::None,
            Self::Place(_) => false,
        }
    }

    fn text(self) -> String {
        match self {
            Self::Known(shape, entry) => {
                let shape = shape.map_or("alignment not known", words::alignment);
                match entry {
                    Entry::None => format!("{}, {}", words::sentence(shape), words::entry(entry)),
                    _ => format!(
                        "{}, out of {}",
                        words::sentence(shape),
                        words::a(words::entry(entry))
                    ),
                }
            }
            Self::Place(zone) => format!("Ball screen at the {}", words::zone(zone)),
        }
    }
}

/// How they get into it.
pub(super) fn section(view: &View<'_>, figures: &mut Figures) -> Section {
    Section {
        id: "looks",
        heading: "How they get into ball screens".into(),
        folded: false,
        body: body(view, figures),
    }
}

fn body(view: &View<'_>, figures: &mut Figures) -> Markup {
    let plays = view.plays.offense.all();
    if plays.is_empty() {
        return html! { p.none { "None of their ball screens was found." } };
    }
    let is_known = plays.iter().any(|play| play.entry.is_some());
    let looks = grouped(plays.iter().map(|play| (Look::of(play), play)));
    let rows: Vec<Markup> = looks
        .iter()
        .take(LISTED)
        .map(|(look, runs)| {
            let under = html! { (flow(runs)) (clips(runs)) };
            row(
                &look.text(),
                &under,
                &[
                    share(Share::of(runs.len(), plays.len())),
                    points(points_of(runs.iter().copied()), view.plays.variance),
                ],
            )
        })
        .collect();
    // What is hard to see live goes first.
    let with_entry = looks.iter().filter(|(look, _)| look.has_entry());
    let without = looks
        .iter()
        .filter(|(look, runs)| !look.has_entry() && runs.len() >= FEWEST_TO_DRAW);
    let drawn: Vec<Markup> = with_entry
        .take(DRAWN_WITH_ENTRY)
        .chain(without.take(DRAWN_WITHOUT))
        .filter_map(|(look, runs)| {
            let typical = typical(runs)?;
            let seen = words::count(runs.len(), "run", "runs");
            Some(figures.figure(view, typical, &format!("{} ({seen})", look.text())))
        })
        .collect();
    html! {
        @if !is_known {
            p.absent {
                "These tables have no entries, so ball screens are grouped by place. Run the games again with a newer version to "
                "see what they come out of."
            }
        }
        @let heads = if is_known { "Alignment, and what it comes out of" } else { "Place" };
        (table("Looks, the most frequent first", &[heads, "Share of all", "Points per possession"], &rows))
        @if looks.len() > LISTED { p.note { (words::count(looks.len() - LISTED, "look", "looks")) " more, each less frequent." } }
        @if is_known {
            p.note {
                "“Straight into it”: neither the handler nor the screener came out of another action in the five seconds before. Their team-mates may have "
                "screened and cut all the same: the whole chain is in “Sets they repeat”."
            }
        }
        (season::next_from_looks(view))
        @if drawn.is_empty() {
            p.absent { "No drawings: they need a look with an entry, or one that was run at least twice, and its tracks. Tables of older versions hold no tracks." }
        } @else {
            h3 { "Typical runs" }
            p.note {
                "Each is one real possession: of those that were covered and ended as most of its look were, the one most like the others, or the only one."
            }
            @for figure in drawn { (figure) }
            (how_to_read::key())
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
fn flow(runs: &[&ScreenPlay<'_>]) -> Markup {
    let mut gaps_s: Vec<f32> = runs
        .iter()
        .filter_map(|play| play.entry?.flow_gap_s)
        .filter(|gap_s| gap_s.is_finite())
        .collect();
    gaps_s.sort_by(f32::total_cmp);
    let met = grouped(runs.iter().filter_map(|play| Some((play.coverage()?, ()))));
    let read = met.iter().map(|(_, times)| times.len()).sum();
    html! {
        @if let Some(gap_s) = gaps_s.get(gaps_s.len() / 2) { "The ball screen follows " (format!("{gap_s:.1}")) " s later (median). " }
        @if let Some((coverage, share)) = Most::of(&met, read).and_then(Most::clear) {
            "Most frequent coverage: " (words::coverage(coverage)) " (" (share.hits) " of " (share.n) "). "
        }
    }
}

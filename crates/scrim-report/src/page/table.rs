//! Tables: few columns, so that a phone shows them whole; the first cell of a row names it.

use maud::{Markup, PreEscaped, html};
use scrim_season::words::SampleSize;

use crate::evidence::{Points, Share};
use crate::plays::ScreenPlay;

/// How many clips a row names.
const CLIPS: usize = 3;

/// A table with its caption and column heads.
pub(super) fn table(caption: &str, heads: &[&str], rows: &[Markup]) -> Markup {
    html! {
        table {
            caption { (caption) }
            thead { tr { @for head in heads { th scope="col" { (head) } } } }
            tbody { @for row in rows { (row) } }
        }
    }
}

/// A row: its name (with a smaller line under it), and its cells.
pub(super) fn row(name: &str, under: &Markup, cells: &[Markup]) -> Markup {
    html! {
        tr {
            th scope="row" { (name) @if !under.0.is_empty() { div.under { (under) } } }
            @for cell in cells { td { (cell) } }
        }
    }
}

/// A share: percent, count, interval, and a line that shows the interval.
pub(super) fn share(share: Option<Share>) -> Markup {
    let Some(share) = share else {
        return html! { span.none { "no cases" } };
    };
    html! {
        span.main { (share.percent()) } " "
        span.count { (share.hits) " of " (share.n) "; " (share.range()) (caution(share.sample_size())) }
        (interval_line(share))
    }
}

/// Points per possession with the number of possessions and the interval.
pub(super) fn points(points: Points, variance: Option<f64>) -> Markup {
    match points.per_possession() {
        Some(per_possession) => html! {
            span.main { (format!("{per_possession:.2}")) } " "
            span.count {
                "n\u{a0}=\u{a0}" (points.possessions())
                @if let Some(range) = points.interval(variance) { (format!("; {:.2}–{:.2}", range.low, range.high)) }
                (caution(SampleSize::of(points.possessions())))
            }
        },
        None => html! { span.none { "no cases" } },
    }
}

/// The caution of a small sample.
fn caution(size: SampleSize) -> Markup {
    html! { @if let Some(caution) = size.caution() { "; " span.weak { (caution) } } }
}

/// The interval as a line and the share as a dot, on a scale from 0 to 100 %. The numbers beside it say the same.
fn interval_line(share: Share) -> Markup {
    let at = |value: f64| format!("{:.1}", 2.0 + value * 96.0);
    html! {
        svg.interval viewBox="0 0 100 8" aria-hidden="true" focusable="false" {
            (PreEscaped("<path d=\"M2 4H98\" class=\"scale\"/>"))
            line x1=(at(share.interval.low)) x2=(at(share.interval.high)) y1="4" y2="4" {}
            circle cx=(at(share.interval.value)) cy="4" r="3" {}
        }
    }
}

/// Where to look: a few plays by game, period and clock, those of the latest game first.
pub(super) fn clips(plays: &[&ScreenPlay<'_>]) -> Markup {
    let mut latest_first = plays.to_vec();
    latest_first.sort_by_key(|play| play.latest_first());
    html! {
        @for (k, play) in latest_first.iter().take(CLIPS).enumerate() {
            @if k == 0 { "See " } @else { ", " }
            (clip(play))
        }
        @if plays.len() > CLIPS { " and " (plays.len() - CLIPS) " more" }
    }
}

/// One clip by game, period and clock.
pub(super) fn clip(play: &ScreenPlay<'_>) -> Markup {
    html! { span.clip { @if play.games > 1 { (play.game_called()) ", " } (play.when()) } }
}

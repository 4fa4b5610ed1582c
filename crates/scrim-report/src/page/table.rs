//! Tables: few columns, so that a phone shows them whole; the first cell of a row names it.

use maud::{Markup, PreEscaped, html};
use scrim_season::words::{Said, SampleSize, Shown};

use super::view::{View, markup};
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

/// A text in which no line ends inside a range: not at its dash, where a browser would.
pub(super) fn unbroken(text: &str) -> Markup {
    html! {
        @for (place, word) in text.split(' ').enumerate() {
            @if place > 0 { " " }
            @if word.contains('–') { span.whole { (word) } } @else { (word) }
        }
    }
}

impl View<'_> {
    /// A share: percent, count, interval, and a line that shows the interval.
    pub(super) fn share(&self, share: Option<Share>) -> Markup {
        let Some(share) = share else {
            return html! { span.none { (self.text("no-cases")) } };
        };
        html! {
            span.main { (share.percent(self.words)) } " "
            span.count { (unbroken(&share.count(self.words))) (self.caution_beside(share.sample_size())) }
            (interval_line(share))
        }
    }

    /// Points per possession with the number of possessions and the interval.
    pub(super) fn points(&self, points: Points) -> Markup {
        match points.per_possession() {
            Some(per_possession) => html! {
                span.main { (self.words.decimal(per_possession, 2)) } " "
                span.count {
                    (unbroken(&points.sample(self.plays.variance, self.words)))
                    (self.caution_beside(SampleSize::of(points.possessions())))
                }
            },
            None => html! { span.none { (self.text("no-cases")) } },
        }
    }

    /// The caution of a small sample, after a number.
    fn caution_beside(&self, size: SampleSize) -> Markup {
        html! { @if let Some(caution) = size.caution(self.words) { "; " span.weak { (caution) } } }
    }

    /// Where to look: a few plays by game, period and clock, those of the latest game first.
    pub(super) fn clips(&self, plays: &[&ScreenPlay<'_>]) -> Markup {
        let mut latest_first = plays.to_vec();
        latest_first.sort_by_key(|play| play.latest_first());
        latest_first.truncate(CLIPS);
        markup(&self.see(&latest_first, plays.len()))
    }

    /// Some clips, of so many; empty of none.
    pub(super) fn see(&self, plays: &[&ScreenPlay<'_>], of: usize) -> Said {
        if plays.is_empty() {
            return Said::default();
        }
        let clips = Said::list(plays.iter().map(|play| self.clip(play)), ", ");
        match of - plays.len() {
            0 => self.words.said("clips-see", &[("clips", clips.into())]),
            more => {
                let args = [("clips", clips.into()), ("n", more.into())];
                self.words.said("clips-see-more", &args)
            }
        }
    }

    /// One clip by game, period and clock.
    fn clip(&self, play: &ScreenPlay<'_>) -> Said {
        let when = self.words.when(&play.when());
        let text = if play.games > 1 {
            format!("{}, {when}", play.game_called(self.words))
        } else {
            when
        };
        Said::piece(Shown::Clip, text)
    }
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

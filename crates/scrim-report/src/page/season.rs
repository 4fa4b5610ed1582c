//! What the season's tables add: what comes next from a look, whether disguise pays, and answers to what went before. They
//! count all of the team's games of the season, whatever games the page is about.

use maud::{Markup, html};
use scrim_season::ANY_OPTION;
use scrim_season::ball_screens::grouped;
use scrim_season::words::{self, SampleSize};
use scrim_tables::rows::TendencyRow;
use scrim_tables::tags::{Coverage, Grouping, PayMeasure, RunResult, TeamSide};

use super::table::{row, share, table};
use super::view::View;
use crate::evidence::{Most, Share};

/// How many looks, and how many answers of a side, are listed.
const LISTED: usize = 6;
/// An answer to what was seen less often is left out. Common practice, no source.
const FEWEST_ANSWERED: u32 = 5;

/// How often a ball screen comes next from each look, the most frequent looks first.
pub(super) fn next_from_looks(view: &View<'_>) -> Markup {
    let mut looks: Vec<&TendencyRow> = view
        .team
        .season
        .tendencies
        .iter()
        .filter(|row| row.side == TeamSide::Offense && row.grouping == Grouping::Look)
        .collect();
    // A stable sort: of equals the lower key.
    looks.sort_by_key(|row| std::cmp::Reverse(row.n));
    let rows: Vec<Markup> = looks
        .iter()
        .take(LISTED)
        .map(|look| {
            let under = html! {
                @if let Some(bits) = look.next_action_entropy_bits {
                    "What comes next: " (predictability(bits)) "."
                }
            };
            row(
                &words::sentence(&words::look_text(&look.key)),
                &under,
                &[share(Share::of(look.hits as usize, look.n as usize))],
            )
        })
        .collect();
    html! {
        @if !rows.is_empty() {
            (table(
                &format!("From each look, how often a ball screen comes next: {}", whole_season(view)),
                &["Look, mirror images merged", "Ball screen next"],
                &rows,
            ))
        }
    }
}

/// An entropy in words. One bit is a coin's toss, two are four things alike. The steps are common practice, no source.
fn predictability(bits: f32) -> &'static str {
    if bits < 1.0 {
        "mostly one thing"
    } else if bits < 2.0 {
        "one of a few things"
    } else {
        "you can’t tell"
    }
}

/// Whether disguise has paid.
pub(super) fn disguise_pay(view: &View<'_>) -> Markup {
    let rows: Vec<Markup> = view
        .team
        .season
        .disguise_pay
        .iter()
        .filter_map(|row| {
            let (hidden, plain) = (row.disguised?, row.plain?);
            let (difference, low, high) = (row.difference?, row.difference_low?, row.difference_high?);
            let (what, scale, unit) = match row.measure {
                PayMeasure::PointsPerPlay => ("Points per possession", 1.0, ""),
                PayMeasure::OpenShotRate => ("Shots that were open", 100.0, "\u{a0}%"),
                PayMeasure::DefenderLag => ("The screener's defender late by", 1.0, "\u{a0}s"),
            };
            let digits = if scale > 1.0 { 0 } else { 2 };
            let plain_number = |value: f32| format!("{:.digits$}{unit}", value * scale);
            let signed = |value: f32| format!("{:+.digits$}{unit}", value * scale);
            let fewer = row.disguised_n.min(row.plain_n) as usize;
            Some(html! {
                li {
                    (what) ": " strong { (plain_number(hidden)) } " disguised (n\u{a0}=\u{a0}" (row.disguised_n) "), "
                    (plain_number(plain)) " not (n\u{a0}=\u{a0}" (row.plain_n) "); difference " (signed(difference)) " ("
                    (signed(low)) " to " (signed(high)) ")."
                    @if let Some(caution) = SampleSize::of(fewer).caution() { " " span.weak { (words::sentence(caution)) "." } }
                }
            })
        })
        .collect();
    html! {
        @if !rows.is_empty() {
            h3 { "Did it pay? " (words::sentence(&whole_season(view))) }
            ul { @for row in rows { (row) } }
            p.note { "When a range includes zero, the difference may well be chance." }
        }
    }
}

/// What either side of the team went to after a run of the same set.
pub(super) fn answers(view: &View<'_>) -> Markup {
    let sides = [
        (TeamSide::Offense, "What their offence goes to next"),
        (TeamSide::Defense, "What their defence goes to next"),
    ];
    html! {
        @for (side, heading) in sides {
            @let lines = answers_of(view, side);
            @if !lines.is_empty() {
                h3 { (heading) ": " (whole_season(view)) }
                ul { @for line in lines { (line) } }
            }
        }
    }
}

fn answers_of(view: &View<'_>, side: TeamSide) -> Vec<Markup> {
    let rows = view.team.season.counters.iter();
    let ours = rows.filter(|row| row.side == side && row.option == ANY_OPTION && row.n >= FEWEST_ANSWERED);
    let mut situations = grouped(ours.map(|row| ((row.coverage, row.result), row)));
    situations.retain(|((coverage, _), _)| *coverage != Coverage::Unclear);
    situations.sort_by_key(|(_, rows)| std::cmp::Reverse(rows.first().map_or(0, |row| row.n)));
    situations
        .iter()
        .take(LISTED)
        .filter_map(|((coverage, result), rows)| {
            let mut went_to: Vec<(&str, Vec<()>)> = rows
                .iter()
                .map(|row| (row.next.as_str(), vec![(); row.hits as usize]))
                .collect();
            // A stable sort: of equals the first by word.
            went_to.sort_by_key(|(_, hits)| std::cmp::Reverse(hits.len()));
            let most = Most::of(&went_to, rows.first()?.n as usize)?;
            let came = match (side, result) {
                (TeamSide::Offense, RunResult::Beat) => "After their offence had beaten",
                (TeamSide::Offense, RunResult::Beaten) => "After their offence was held by",
                (TeamSide::Defense, RunResult::Beat) => "After their defence was beaten in",
                (TeamSide::Defense, RunResult::Beaten) => "After their defence held with",
            };
            let does = match side {
                TeamSide::Offense => "their next run of the same set brought",
                TeamSide::Defense => "it met the next run of the same set with",
            };
            let (first, share) = most.first;
            Some(html! {
                li {
                    (came) " " strong { (words::noun(*coverage)) } ", " (does) " "
                    @if most.is_clear {
                        strong { (next(side, first)) } " most, " (share.text())
                    } @else {
                        (next(side, first)) ", " (share.text())
                        @if let Some((second, other)) = most.second { "; or " (next(side, second)) ", " (other.text()) ": not clearly different" }
                    }
                    "."
                    @if let Some(caution) = share.sample_size().caution() { " " span.weak { (words::sentence(caution)) "." } }
                }
            })
        })
        .collect()
}

/// The word of `next`: an option with the ball, a coverage against it.
fn next(side: TeamSide, text: &str) -> String {
    match side {
        TeamSide::Offense => words::option(text),
        TeamSide::Defense => text
            .parse::<Coverage>()
            .map_or_else(|_| text.to_owned(), words::noun),
    }
}

pub(super) fn whole_season(view: &View<'_>) -> String {
    match &view.team.season.season {
        Some(season) => format!("all games of the season {season}"),
        None => "all games without a season".into(),
    }
}

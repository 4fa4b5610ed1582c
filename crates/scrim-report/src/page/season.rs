//! What the season's tables add: what comes next from a look, whether disguise pays, and answers to what went before. They
//! count all of the team's games of the season, whatever games the page is about.

use maud::{Markup, html};
use scrim_season::ANY_OPTION;
use scrim_season::ball_screens::grouped;
use scrim_season::look::Look;
use scrim_season::words::{Arg, SampleSize, sentence, strong};
use scrim_tables::chain::{Token, merged};
use scrim_tables::rows::{DisguisePayRow, TendencyRow};
use scrim_tables::tags::{Alignment, Coverage, Entry, Grouping, PayMeasure, Phase, RunResult, TeamSide};

use super::table::{row, table};
use super::view::View;
use crate::evidence::{Most, Share};

/// How many looks, and how many answers of a side, are listed.
const LISTED: usize = 6;
/// How many actions other than a ball screen are named from a look.
const OTHERS: usize = 2;
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
            let others = others_from(view, &look.key);
            let under = html! {
                @if !others.is_empty() { (view.html("next-else", &[("actions", others.join(", ").into())])) }
            };
            row(
                &sentence(&view.words.set_text(&look.key)),
                &under,
                &[view.share(Share::of(look.hits as usize, look.n as usize))],
            )
        })
        .collect();
    html! {
        @if !rows.is_empty() {
            (table(
                &view.words.say("next-caption", &[("games", view.whole_season().into())]),
                &["next-look", "next-ball-screen"].map(|key| view.text(key)),
                &rows,
            ))
            p.note { (view.html("next-else-note", &[("games", view.these_games().into())])) }
        }
    }
}

/// What came next from the look where it was no ball screen, the most frequent first, in the half-court possessions of the page's games.
fn others_from(view: &View<'_>, look: &str) -> Vec<String> {
    let Ok(look) = Look::parse(look) else {
        return Vec::new();
    };
    let games = view.team.games.iter().flat_map(|game| &game.possessions);
    let ours = games
        .filter(|row| row.offense_team_id.as_ref() == view.team_id() && row.phase == Phase::HalfCourt)
        .filter(|row| row.alignment.unwrap_or(Alignment::Other) == look.alignment);
    let next = ours.filter_map(|row| {
        let chain = Token::parse_chain(&row.token_chain).ok()?;
        let mut tokens = merged(&chain);
        let is_look = look.tokens.iter().all(|token| tokens.next() == Some(*token));
        is_look.then(|| (tokens.next().map_or(Entry::None, |token| token.word), ()))
    });
    let mut groups = grouped(next);
    groups.retain(|(action, _)| *action != Entry::BallScreen);
    let named = groups.iter().take(OTHERS).map(|(action, times)| {
        let action = match action {
            Entry::None => view.text("next-nothing"),
            action => view.words.a(*action),
        };
        view.tag_times(action, times.len())
    });
    named.collect()
}

/// Whether disguise has paid.
pub(super) fn disguise_pay(view: &View<'_>) -> Markup {
    let rows = view.team.season.disguise_pay.iter();
    let rows: Vec<Markup> = rows.filter_map(|row| pay_line(view, row)).collect();
    html! {
        @if !rows.is_empty() {
            h3 { (view.html("pay-heading", &[("games", sentence(&view.whole_season()).into())])) }
            ul { @for row in rows { (row) } }
            p.note { (view.text("pay-note")) }
        }
    }
}

fn pay_line(view: &View<'_>, row: &DisguisePayRow) -> Option<Markup> {
    let words = view.words;
    let (hidden, plain) = (row.disguised?, row.plain?);
    let (difference, low, high) = (row.difference?, row.difference_low?, row.difference_high?);
    let (measure, unit) = match row.measure {
        PayMeasure::PointsPerPlay => ("points", None),
        PayMeasure::OpenShotRate => ("open-shots", Some("percent")),
        PayMeasure::DefenderLag => ("late", Some("seconds")),
    };
    let (scale, digits) = match row.measure {
        PayMeasure::OpenShotRate => (100.0, 0),
        PayMeasure::PointsPerPlay | PayMeasure::DefenderLag => (1.0, 2),
    };
    let with_unit = |number: String| match unit {
        Some(unit) => words.say(unit, &[("number", number.into())]),
        None => number,
    };
    let plain_number = |value: f32| with_unit(words.decimal(f64::from(value * scale), digits));
    let signed = |value: f32| with_unit(words.signed(f64::from(value * scale), digits));
    let args = [
        ("measure", Arg::Word(measure)),
        ("hidden", strong(plain_number(hidden)).into()),
        ("hidden-n", row.disguised_n.into()),
        ("plain", plain_number(plain).into()),
        ("plain-n", row.plain_n.into()),
        ("difference", signed(difference).into()),
        ("low", signed(low).into()),
        ("high", signed(high).into()),
    ];
    let size = SampleSize::of(row.disguised_n.min(row.plain_n) as usize);
    Some(html! { li { (view.html("pay-line", &args)) (view.caution(size)) } })
}

/// What either side of the team went to after a run of the same set: a sentence for each answer that clearly leads; of the rest that none does.
pub(super) fn answers(view: &View<'_>) -> Markup {
    let sides = [
        (TeamSide::Offense, "next-offense"),
        (TeamSide::Defense, "next-defense"),
    ];
    html! {
        @for (side, heading) in sides {
            @let (clear, others) = answers_of(view, side);
            @if !clear.is_empty() || others > 0 {
                h3 { (view.html(heading, &[("games", view.whole_season().into())])) }
                @if !clear.is_empty() { ul { @for line in &clear { (line) } } }
                @if others > 0 {
                    p { (view.text(if clear.is_empty() { "next-mixed" } else { "next-others-mixed" })) }
                }
            }
        }
    }
}

/// The answers that clearly lead, and after how many things none does.
fn answers_of(view: &View<'_>, side: TeamSide) -> (Vec<Markup>, usize) {
    let rows = view.team.season.counters.iter();
    let ours = rows.filter(|row| row.side == side && row.option == ANY_OPTION && row.n >= FEWEST_ANSWERED);
    let mut situations = grouped(ours.map(|row| ((row.coverage, row.result), row)));
    situations.retain(|((coverage, _), _)| *coverage != Coverage::Unclear);
    situations.sort_by_key(|(_, rows)| std::cmp::Reverse(rows.first().map_or(0, |row| row.n)));
    situations.truncate(LISTED);
    let clear = situations.iter().filter_map(|((coverage, result), rows)| {
        let mut went_to: Vec<(&str, Vec<()>)> = rows
            .iter()
            .map(|row| (row.next.as_str(), vec![(); row.hits as usize]))
            .collect();
        // A stable sort: of equals the first by word.
        went_to.sort_by_key(|(_, hits)| std::cmp::Reverse(hits.len()));
        let (next, share) = Most::of(&went_to, rows.first()?.n as usize)?.clear()?;
        let came = match (side, result) {
            (TeamSide::Offense, RunResult::Beat) => "offense-beat",
            (TeamSide::Offense, RunResult::Beaten) => "offense-beaten",
            (TeamSide::Defense, RunResult::Beat) => "defense-beat",
            (TeamSide::Defense, RunResult::Beaten) => "defense-beaten",
        };
        let what = strong(next_word(view, side, next)).into();
        let next = [("what", what), ("share", share.text(view.words).into())];
        let args = [
            ("came", Arg::Word(came)),
            ("coverage", strong(view.words.noun(*coverage)).into()),
            ("side", Arg::Word(side.as_str())),
            ("next", view.words.said("next-most", &next).into()),
        ];
        Some(html! { li { (view.html("next-came", &args)) (view.caution(share.sample_size())) } })
    });
    let clear: Vec<Markup> = clear.collect();
    let others = situations.len() - clear.len();
    (clear, others)
}

/// The word of `next`: an option with the ball, a coverage against it.
fn next_word(view: &View<'_>, side: TeamSide, text: &str) -> String {
    match side {
        TeamSide::Offense => view.words.option(text),
        TeamSide::Defense => match text.parse::<Coverage>() {
            Ok(coverage) => view.words.noun(coverage).to_owned(),
            Err(_) => text.to_owned(),
        },
    }
}

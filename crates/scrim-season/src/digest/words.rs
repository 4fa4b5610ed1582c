//! Tags in the words of people, and numbers with what they stand on.

use scrim_floor::Side;
use scrim_tables::chain::Token;
use scrim_tables::rows::{CounterRow, TendencyRow};
use scrim_tables::tags::{Alignment, Entry};

use crate::facts::{GameFacts, Play, Trip};
use crate::look::Look;

/// Under this many, a number is called weak. Common practice, no source: a 95 % interval of a rate is then up to 0.4 wide.
const FEW: u32 = 20;

/// What is to be said of a number that stands on `n`.
pub(super) fn doubt(n: u32) -> &'static str {
    if n < FEW { "; weak, few" } else { "" }
}

pub(super) const fn action(word: Entry) -> &'static str {
    match word {
        Entry::None => "no action before",
        Entry::BallScreen => "ball screen",
        Entry::Handoff => "handoff",
        Entry::Down => "down screen",
        Entry::Back => "back screen",
        Entry::Rub => "rub screen",
        Entry::Cross => "cross screen",
        Entry::Flex => "flex screen",
        Entry::Flare => "flare screen",
        Entry::Zipper => "zipper screen",
        Entry::OverTop => "over-the-top screen",
        Entry::Exit => "exit screen",
        Entry::Other => "off-ball screen without a name",
        Entry::Basket => "basket cut",
        Entry::Backdoor => "backdoor cut",
        Entry::Curl => "curl",
        Entry::Fade => "fade",
        Entry::PopOut => "pop out",
        Entry::Flash => "flash",
        Entry::RubCut => "rub cut",
        Entry::FlexCut => "flex cut",
        Entry::Baseline => "baseline cut",
        Entry::Lift => "lift",
        Entry::Drift => "drift",
        Entry::Fill => "fill",
    }
}

const fn shape(alignment: Alignment) -> &'static str {
    match alignment {
        Alignment::FiveOut => "five out",
        Alignment::FourOutOneIn => "four out, one in",
        Alignment::ThreeOutTwoIn => "three out, two in",
        Alignment::Horns => "horns",
        Alignment::FourHigh => "four high",
        Alignment::Box => "box",
        Alignment::Stack => "stack",
        Alignment::Other => "another shape",
    }
}

fn token(token: &Token) -> String {
    let side = match token.side {
        Side::Left => " left",
        Side::Right => " right",
        Side::Middle => "",
    };
    format!("{}{side}", action(token.word))
}

/// A look as `box > cross screen right > down screen left`.
pub(super) fn look(look: &Look) -> String {
    let mut text = shape(look.alignment).to_owned();
    for part in &look.tokens {
        text.push_str(" > ");
        text.push_str(&token(part));
    }
    text
}

/// A rate with its bounds and what it stands on: `12 of 34 (35 %, 21 to 52 %)`, and as it is likely to be in truth, if that is known.
pub(super) fn rate(row: &TendencyRow) -> String {
    let seen = of(row.hits, row.n, [row.rate, row.rate_low, row.rate_high]);
    seen + &adjusted([row.rate_adjusted, row.rate_adjusted_low, row.rate_adjusted_high])
}

/// The same of a counter.
pub(super) fn counter_rate(row: &CounterRow) -> String {
    let seen = of(row.hits, row.n, [row.rate, row.rate_low, row.rate_high]);
    seen + &adjusted([row.rate_adjusted, row.rate_adjusted_low, row.rate_adjusted_high])
}

fn adjusted(rate: [Option<f32>; 3]) -> String {
    match rate.map(|share| share.map(|share| (share * 100.0).round())) {
        [Some(value), Some(low), Some(high)] => {
            format!("; with wrong tags counted, {value} %, {low} to {high} %")
        }
        _ => String::new(),
    }
}

/// The same from plain numbers.
fn of(hits: u32, n: u32, rate: [f32; 3]) -> String {
    let [value, low, high] = rate.map(|share| (share * 100.0).round());
    format!("{hits} of {n} ({value} %, {low} to {high} %{})", doubt(n))
}

/// Points with their bounds: `1.05 points (0.70 to 1.40, 33 possessions)`.
pub(super) fn points(row: &TendencyRow) -> Option<String> {
    let (mean, low, high) = (row.points_per_play?, row.ppp_low?, row.ppp_high?);
    Some(format!(
        "{mean:.2} points ({low:.2} to {high:.2}, {} possessions{})",
        row.possessions,
        doubt(row.possessions)
    ))
}

/// Where to find a ball screen on film: `game G, period 2, 5:41`.
pub(super) fn place(game: &GameFacts, trip: &Trip, play: &Play) -> String {
    let id = game.partition.game_id();
    let when = match play.game_clock_s(trip) {
        Some(clock_s) => {
            let clock_s = clock_s.max(0.0).round() as u32;
            format!("{}:{:02}", clock_s / 60, clock_s % 60)
        }
        None => format!("{:.0} s after its first frame", play.t_use_s),
    };
    format!("game {id}, period {}, {when}", trip.period)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rate_through_wrong_tags_is_told_beside_the_seen_one_when_all_of_it_is_known() {
        let told = adjusted([Some(0.354), Some(0.21), Some(0.518)]);
        assert_eq!(told, "; with wrong tags counted, 35 %, 21 to 52 %");
        assert_eq!(adjusted([Some(0.354), None, None]), "");
    }
}

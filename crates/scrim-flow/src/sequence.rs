//! The runs of each set in a game: what was run, how it was covered, and what either side changed since the last run.

use std::collections::BTreeMap;

use scrim_actions::{BallScreenRead, Screens};
use scrim_play::{Play, Possession};
use scrim_tables::tags::{Coverage, HandlerAction, Phase, ScreenerAction};

use crate::ScreenFlow;

/// One run of a set: one ball screen or handoff out of its look, in a half-court possession.
#[derive(Debug, Clone, PartialEq)]
pub struct SetRun {
    /// The ball screen, by its place in [`Screens::on_ball`].
    pub screen: usize,
    /// Number of the run of this set by this team in the game, from 0.
    pub run_index: u16,
    /// The team's half-court possessions since the last run; `None` of the first.
    pub trips_since_last: Option<u16>,
    /// Whether the option is another one than last time; `None` of the first, or when one of the two is unclear.
    pub offense_changed: Option<bool>,
    /// Whether the coverage is another one than last time; `None` likewise.
    pub defense_changed: Option<bool>,
}

impl SetRun {
    /// Whether it is the very next half-court possession after the last run.
    pub fn is_back_to_back(&self) -> bool {
        self.trips_since_last == Some(1)
    }
}

/// What was run last time, when, and how it was covered.
struct Last {
    run_index: u16,
    number: u16,
    option: Option<(ScreenerAction, HandlerAction)>,
    coverage: Option<Coverage>,
}

/// The runs of a game, in time order. `flows` and `reads`: one a ball screen, in their order.
pub fn find_runs(
    play: &Play,
    screens: &Screens,
    reads: &[BallScreenRead],
    flows: &[ScreenFlow],
) -> Vec<SetRun> {
    let numbers = half_court_numbers(&play.possessions);
    let mut last_of: BTreeMap<(usize, &str), Last> = BTreeMap::new();
    let mut runs = Vec::new();
    for (place, ((screen, flow), read)) in screens.on_ball().iter().zip(flows).zip(reads).enumerate() {
        let Some(number) = numbers[screen.possession] else {
            continue;
        };
        let offense = play.possessions[screen.possession].offense;
        let (option, coverage) = (known_option(read), known_coverage(read));
        let set = (offense.index(), flow.set_key.as_str());
        let last = last_of.get(&set);
        let run_index = last.map_or(0, |last| last.run_index.saturating_add(1));
        runs.push(SetRun {
            screen: place,
            run_index,
            trips_since_last: last.map(|last| number.saturating_sub(last.number)),
            offense_changed: last.and_then(|last| Some(last.option? != option?)),
            defense_changed: last.and_then(|last| Some(last.coverage? != coverage?)),
        });
        last_of.insert(
            set,
            Last {
                run_index,
                number,
                option,
                coverage,
            },
        );
    }
    runs
}

/// Each possession's number among its team's half-court possessions, from 0; `None` of one in transition.
fn half_court_numbers(possessions: &[Possession]) -> Vec<Option<u16>> {
    let mut next = [0_u16; 2];
    let number = |possession: &Possession| match possession.phase {
        Phase::HalfCourt => {
            let next = &mut next[possession.offense.index()];
            *next = next.saturating_add(1);
            Some(*next - 1)
        }
        Phase::Transition => None,
    };
    possessions.iter().map(number).collect()
}

fn known_option(read: &BallScreenRead) -> Option<(ScreenerAction, HandlerAction)> {
    let option = (read.screener_action.word, read.handler_action.word);
    (option.0 != ScreenerAction::Unclear && option.1 != HandlerAction::Unclear).then_some(option)
}

fn known_coverage(read: &BallScreenRead) -> Option<Coverage> {
    (read.coverage.word != Coverage::Unclear).then_some(read.coverage.word)
}

#[cfg(test)]
mod tests;

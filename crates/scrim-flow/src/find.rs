//! The stage: from a game's scenes, screens, reads and cuts to how it flowed.

use std::ops::Range;

use scrim_actions::{BallScreenRead, Cut, ScreenRef, Screens};
use scrim_floor::{Court, Definitions, Side, SideTracker};
use scrim_play::{Play, Scene};
use scrim_tables::chain::{Token, chain_text};
use scrim_tables::tags::Phase;

use crate::cost::measure_cost;
use crate::entry::find_entry;
use crate::sequence::find_runs;
use crate::{
    Action, ActionSource, Aligned, FlowParams, Look, ScreenFlow, SetRun, find_actions, find_alignment,
};

/// How a game flowed.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Flow {
    /// The actions of the game, see [`find_actions`].
    pub actions: Vec<Action>,
    /// The alignment of each possession.
    pub alignments: Vec<Option<Aligned>>,
    /// The token chain of each possession; empty of one in transition.
    pub chains: Vec<String>,
    /// What each ball screen and handoff flowed out of, in the order of [`Screens::on_ball`].
    pub screens: Vec<ScreenFlow>,
    /// The runs of each set, in time order.
    pub runs: Vec<SetRun>,
}

/// What is known of a game before its flow.
#[derive(Debug, Clone, Copy)]
pub struct FlowInput<'a> {
    /// One scene a possession of `play`, in their order ([`Scene::all`]).
    pub scenes: &'a [Scene],
    /// Its possessions.
    pub play: &'a Play,
    /// Where it was played.
    pub court: &'a Court,
    /// Its screens, on the ball and off it.
    pub screens: &'a Screens,
    /// One read a ball screen, in their order.
    pub reads: &'a [BallScreenRead],
    /// Its cuts.
    pub cuts: &'a [Cut],
}

/// Finds how a game flowed.
pub fn find_flow(input: FlowInput<'_>, params: &FlowParams, definitions: &Definitions) -> Flow {
    let FlowInput {
        scenes,
        play,
        court,
        screens,
        reads,
        cuts,
    } = input;
    let mut flow = Flow {
        actions: find_actions(scenes, screens, cuts, params),
        ..Flow::default()
    };
    let spans = spans(&flow.actions, play.possessions.len());
    let mut tokens = Vec::new();
    for ((possession, scene), span) in play.possessions.iter().zip(scenes).zip(&spans) {
        let actions = &flow.actions[span.clone()];
        flow.alignments
            .push(find_alignment(scene, court, possession.half_court, actions));
        flow.chains.push(match possession.phase {
            Phase::HalfCourt => {
                tokens.clear();
                tokens.extend(actions.iter().filter_map(|action| token(action, params)));
                chain_text(tokens.iter().copied())
            }
            Phase::Transition => String::new(),
        });
    }
    for (place, (screen, read)) in screens.on_ball().iter().zip(reads).enumerate() {
        let (scene, span) = (&scenes[screen.possession], &spans[screen.possession]);
        let actions = &flow.actions[span.clone()];
        let source = ActionSource::Screen(ScreenRef::OnBall(place));
        tokens.clear();
        let before = actions.iter().take_while(|action| action.source != source);
        tokens.extend(before.filter_map(|action| token(action, params)));
        let look = Look {
            alignment: flow.alignments[screen.possession].map(|aligned| aligned.alignment),
            tokens: &tokens,
        };
        let entry = find_entry(screen, source, actions, span.start, scene.hz, params, definitions);
        let came_out_of = entry.action.map(|action| &flow.actions[action]);
        let coverage = read.coverage.word;
        flow.screens.push(ScreenFlow {
            look: look.to_string(),
            set_key: look.set_key(),
            entry,
            cost: measure_cost(scene, screens, screen, coverage, came_out_of, definitions),
        });
    }
    flow.runs = find_runs(play, screens, reads, &flow.screens);
    flow
}

/// The action's token; `None` when it does not stand in chains.
fn token(action: &Action, params: &FlowParams) -> Option<Token> {
    let stands = !action.is_one_of(&params.left_out_cuts);
    stands.then(|| Token {
        word: action.word,
        side: Side::of(action.spot, SideTracker::DEFAULT_BAND_M),
    })
}

/// Each possession's part of the actions.
fn spans(actions: &[Action], possessions: usize) -> Vec<Range<usize>> {
    let mut at = 0;
    (0..possessions)
        .map(|possession| {
            let start = at;
            while actions
                .get(at)
                .is_some_and(|action| action.possession == possession)
            {
                at += 1;
            }
            start..at
        })
        .collect()
}

#[cfg(test)]
mod tests;

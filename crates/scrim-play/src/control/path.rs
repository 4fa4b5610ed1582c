//! The cheapest path through {loose, each player on the floor}.

use scrim_tracks::{Period, TeamSlot, Track, TrackIx};

use super::context::{ControlContext, ControlRule};
use super::evidence::{BallEvidence, Follower, Window};

/// Cost of a ball that nobody controls, per second.
const LOOSE_COST_PER_S: f32 = 6.0;
/// How long control is kept while the ball is missing, s.
const KEEP_MISSING_S: f32 = 2.0;

/// A loose state as its own predecessor.
const STAYED_LOOSE: u16 = u16::MAX;

/// How every state was reached, frame after frame: what walking back needs.
struct Trace {
    /// Words of 64 players a frame.
    words: usize,
    /// Which players took the ball that their own team had last, a bit each.
    took_own: Vec<u64>,
    /// Which players took the ball that the other team had last.
    took_other: Vec<u64>,
    /// Who gave the ball up, for the loose ball that their team had last.
    gave_up: [Vec<u16>; 2],
}

impl Trace {
    fn new(frames: usize, tracks: usize) -> Self {
        let words = tracks.div_ceil(64);
        Self {
            words,
            took_own: vec![0; frames * words],
            took_other: vec![0; frames * words],
            gave_up: [vec![STAYED_LOOSE; frames], vec![STAYED_LOOSE; frames]],
        }
    }

    fn bit(&self, bits: &[u64], frame: usize, at: usize) -> bool {
        bits[frame * self.words + at / 64] >> (at % 64) & 1 == 1
    }
}

/// Who has the ball at each frame; `None` for a loose ball.
///
/// A loose ball remembers which team had it last: it costs more to win the other team's ball than to keep one's own.
pub(super) fn cheapest_path(
    period: &Period,
    context: ControlContext<'_>,
    rule: &ControlRule,
) -> Vec<Option<TrackIx>> {
    let (frames, tracks) = (period.frames, period.tracks.len().min(usize::from(STAYED_LOOSE)));
    if frames == 0 || tracks == 0 {
        return vec![None; frames];
    }
    let dt = (1.0 / period.hz) as f32;
    // +1 for a team that attacks the hoop at +x, 0 when that is not known.
    let sign = TeamSlot::BOTH.map(|team| context.direction.map_or(0.0, |known| known.of(team).sign()));
    let window = Window::new(period);
    let mut follower = Follower::new(period, context);
    let missing_cost_per_s = (rule.gain_cost + rule.lose_cost) / KEEP_MISSING_S;

    let mut trace = Trace::new(frames, tracks);
    let mut costs = vec![f32::INFINITY; tracks];
    let mut loose = [0.0f32; 2];
    let mut active: Vec<Active<'_>> = Vec::with_capacity(tracks);
    let mut span_end = 0;

    for frame in 0..frames {
        if frame >= span_end {
            put_back(&active, &mut costs);
            active.clear();
            // Who stays on the floor keeps their cost.
            let with_cost = |at: usize| Active {
                at,
                team: period.tracks[at].team.index(),
                track: &period.tracks[at],
                cost: costs[at],
            };
            match period.lineup_at(frame) {
                Some(span) => {
                    let on_floor = span.on_floor.iter().flatten().map(|track| track.index());
                    active.extend(on_floor.filter(|&at| at < tracks).map(with_cost));
                    span_end = span.end.max(frame + 1);
                }
                None => {
                    active.extend((0..tracks).map(with_cost));
                    span_end = frames;
                }
            }
            // Who left can only have lost the ball.
            for (at, cost) in costs.iter_mut().enumerate() {
                if active.iter().all(|player| player.at != at) {
                    let team = period.tracks[at].team.index();
                    give_up(rule, frame, (at, team), *cost, &mut loose, &mut trace);
                    *cost = f32::INFINITY;
                }
            }
        }
        for player in &active {
            let who = (player.at, player.team);
            give_up(rule, frame, who, player.cost, &mut loose, &mut trace);
        }
        let ball = BallEvidence::at(period, frame, window, follower.at(frame), rule);
        let take = [0, 1].map(|team| {
            let own = loose[team] + rule.gain_cost;
            let other = loose[1 - team] + rule.gain_cost + rule.change_team_cost;
            (own.min(other), own <= other)
        });
        let mut least = f32::INFINITY;
        for player in &mut active {
            let &mut Active { at, team, track, .. } = player;
            let (taken, is_own) = take[team];
            if taken < player.cost {
                player.cost = taken;
                let took = if is_own {
                    &mut trace.took_own
                } else {
                    &mut trace.took_other
                };
                took[frame * trace.words + at / 64] |= 1 << (at % 64);
            }
            let rate = match &ball {
                Some(ball) => ball.cost_per_s(track, frame, sign[team], rule),
                None => missing_cost_per_s,
            };
            player.cost += rate * dt;
            least = if player.cost < least { player.cost } else { least };
        }
        if ball.is_some() {
            loose = loose.map(|cost| cost + LOOSE_COST_PER_S * dt);
        }
        // Costs are taken against the least: over an hour an f32 sum would lose the small differences.
        let least = least.min(loose[0]).min(loose[1]);
        loose = loose.map(|cost| cost - least);
        for player in &mut active {
            player.cost -= least;
        }
    }
    put_back(&active, &mut costs);
    walk_back(period, &trace, &costs, loose)
}

/// A player on the floor.
struct Active<'p> {
    /// Their place among the tracks.
    at: usize,
    /// Their team's place.
    team: usize,
    track: &'p Track,
    /// What the cheapest path costs that ends with them.
    cost: f32,
}

/// Puts the costs of those on the floor back among all.
fn put_back(active: &[Active<'_>], costs: &mut [f32]) {
    for player in active {
        costs[player.at] = player.cost;
    }
}

/// Lets a player of a team, who is worth `cost`, lose the ball if that is the cheapest way to a loose one.
fn give_up(
    rule: &ControlRule,
    frame: usize,
    (at, team): (usize, usize),
    cost: f32,
    loose: &mut [f32; 2],
    trace: &mut Trace,
) {
    if cost + rule.lose_cost < loose[team] {
        loose[team] = cost + rule.lose_cost;
        trace.gave_up[team][frame] = at as u16;
    }
}

#[derive(Clone, Copy)]
enum State {
    Loose(usize),
    Held(usize),
}

fn walk_back(period: &Period, trace: &Trace, cost: &[f32], loose: [f32; 2]) -> Vec<Option<TrackIx>> {
    let mut path = vec![None; period.frames];
    let mut state = if loose[0] <= loose[1] {
        State::Loose(0)
    } else {
        State::Loose(1)
    };
    let mut least = loose[0].min(loose[1]);
    for (at, &cost) in cost.iter().enumerate() {
        if cost < least {
            least = cost;
            state = State::Held(at);
        }
    }
    for frame in (0..period.frames).rev() {
        if let State::Held(at) = state {
            path[frame] = Some(TrackIx(at as u16));
            // Within a frame the ball is first given up, then taken: walk back in the opposite order. A later and
            // cheaper way to take it is `took_own` or `took_other`, never both.
            let team = period.tracks[at].team.index();
            if trace.bit(&trace.took_own, frame, at) {
                state = State::Loose(team);
            } else if trace.bit(&trace.took_other, frame, at) {
                state = State::Loose(1 - team);
            }
        }
        if let State::Loose(team) = state {
            let giver = trace.gave_up[team][frame];
            if giver != STAYED_LOOSE {
                state = State::Held(usize::from(giver));
            }
        }
    }
    path
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use scrim_tracks::Game;

    use super::*;
    use crate::staging::Staging;

    /// Three players and eight frames, every sample drawn.
    fn small(spots: &[(f32, f32)]) -> Game {
        let mut game = Staging::new(0.32).game();
        let period = &mut game.periods[0];
        let mut tracks = std::mem::take(&mut period.tracks);
        tracks.swap(2, 5);
        tracks.truncate(3);
        let mut spots = spots.iter().copied().cycle();
        for track in &mut tracks {
            for frame in 0..period.frames {
                (track.x_m[frame], track.y_m[frame]) = spots.next().unwrap();
            }
        }
        period.ball.x_m.fill(0.0);
        period.ball.y_m.fill(0.0);
        period.tracks = tracks;
        period.lineups[0].on_floor = [vec![TrackIx(0), TrackIx(1)], vec![TrackIx(2)]];
        game
    }

    /// What a path costs by the model's own words: each frame its state's cost, each change what it costs.
    fn cost_of(period: &Period, rule: &ControlRule, path: &[Option<TrackIx>], first_loose: usize) -> f32 {
        let dt = (1.0 / period.hz) as f32;
        let window = Window::new(period);
        let mut follower = Follower::new(period, ControlContext::default());
        let team = |at: TrackIx| period.track(at).team.index();
        let (mut sum, mut owner, mut was) = (0.0, first_loose, None);
        for (frame, &state) in path.iter().enumerate() {
            let ball = BallEvidence::at(period, frame, window, follower.at(frame), rule).unwrap();
            if state != was {
                if let Some(at) = was {
                    sum += rule.lose_cost;
                    owner = team(at);
                }
                if let Some(at) = state {
                    sum += rule.gain_cost;
                    sum += if team(at) == owner {
                        0.0
                    } else {
                        rule.change_team_cost
                    };
                }
            }
            was = state;
            sum += dt
                * match state {
                    Some(at) => ball.cost_per_s(period.track(at), frame, 0.0, rule),
                    None => LOOSE_COST_PER_S,
                };
        }
        sum
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(16))]

        #[test]
        fn no_path_of_all_is_cheaper(spots in proptest::collection::vec((-1.6f32..1.6, -1.6f32..1.6), 24)) {
            let game = small(&spots);
            let period = &game.periods[0];
            // Changes cheap enough to happen within eight frames.
            let rule = ControlRule {
                gain_cost: 0.05,
                lose_cost: 0.03,
                change_team_cost: 0.04,
                ..ControlRule::of(&crate::PlayParams::default())
            };
            let found = cheapest_path(period, ControlContext::default(), &rule);
            let of = |path: &[Option<TrackIx>]| {
                cost_of(period, &rule, path, 0).min(cost_of(period, &rule, path, 1))
            };
            let mut least = f32::INFINITY;
            for code in 0..4u32.pow(period.frames as u32) {
                let path: Vec<Option<TrackIx>> = (0..period.frames as u32)
                    .map(|frame| (code / 4u32.pow(frame) % 4).checked_sub(1).map(|at| TrackIx(at as u16)))
                    .collect();
                least = least.min(of(&path));
            }
            prop_assert!((of(&found) - least).abs() < 1e-4, "{} against {least}", of(&found));
        }
    }
}
